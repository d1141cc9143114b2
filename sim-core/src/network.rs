//! What the equations run on: a dense, indexed network of volumes that store and branches
//! that move. Lowering a checked stand to a [`Network`] cannot fail; a [`Network`] that
//! violates its own documented ranges is a fault of the caller.

use fluids::{CompressedLiquid, GasMixture, Liquid, Solid};
use std::sync::Arc;

/// Index into [`Network::volumes`].
pub type VolumeId = usize;
/// Index into [`Network::actuators`].
pub type ActuatorId = usize;
/// Index into [`Network::mixtures`].
pub type MixtureId = usize;

/// A whole stand.
#[derive(Clone, Debug)]
pub struct Network {
    /// What lies around the stand.
    pub surroundings: Surroundings,
    /// One species list for each connected gas network.
    pub mixtures: Vec<Arc<GasMixture>>,
    /// What stores.
    pub volumes: Vec<Volume>,
    /// What moves.
    pub branches: Vec<Branch>,
    /// What turns the valves.
    pub actuators: Vec<Actuator>,
    /// When the valves are told to move, in the order of the stand file.
    pub commands: Vec<Command>,
}

/// The surroundings of the stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surroundings {
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Temperature of air and ground.
    pub temperature_k: f64,
    /// Acceleration of gravity.
    pub gravity_m_s2: f64,
}

/// A volume and its name in the stand file.
#[derive(Clone, Debug)]
pub struct Volume {
    /// Name in the stand file.
    pub name: String,
    /// What it is.
    pub kind: VolumeKind,
}

impl Volume {
    /// Its gas at the start; none of the open air.
    #[must_use]
    pub fn gas(&self) -> Option<&GasFill> {
        match &self.kind {
            VolumeKind::Vessel(vessel) => Some(&vessel.gas),
            VolumeKind::Tank(tank) => Some(&tank.gas),
            VolumeKind::Ambient => None,
        }
    }
}

/// The kinds of volume.
#[derive(Clone, Debug)]
pub enum VolumeKind {
    /// The open air: constant pressure, counts what it receives.
    Ambient,
    /// A rigid gas vessel with a wall: a bottle, or a plenum if it has no wall.
    Vessel(Vessel),
    /// A propellant tank: liquid under gas.
    Tank(Tank),
}

/// The gas that a volume holds at the start.
#[derive(Clone, Debug)]
pub struct GasFill {
    /// Its species list.
    pub mixture: MixtureId,
    /// Absolute pressure.
    pub pressure_pa: f64,
    /// Temperature.
    pub temperature_k: f64,
    /// Mole fraction of each species of the mixture; sums to one.
    pub mole_fractions: Vec<f64>,
}

/// A rigid gas volume (bottle, plenum, gas line).
#[derive(Clone, Debug)]
pub struct Vessel {
    /// Inner volume.
    pub volume_m3: f64,
    /// Contents at the start.
    pub gas: GasFill,
    /// The wall, if heat is exchanged with it.
    pub wall: Option<Wall>,
    /// What is wound about that wall, which is then a liner and meets no air. None where the wall is
    /// held at its temperature.
    pub overwrap: Option<Overwrap>,
}

/// A lump about a liner: one temperature, that of its mid-plane; air on the outside.
#[derive(Clone, Debug)]
pub struct Overwrap {
    /// Mass.
    pub mass_kg: f64,
    /// What it is made of.
    pub material: Arc<Solid>,
    /// Conductance from the liner to the mid-plane.
    pub to_liner_w_k: f64,
}

/// A wall lump: one temperature, gas on the inside, air on the outside.
#[derive(Clone, Debug)]
pub struct Wall {
    /// Mass of the wall.
    pub mass_kg: f64,
    /// What it is made of.
    pub material: Arc<Solid>,
    /// Area wetted by the contents (a tank's total inner area).
    pub inner_area_m2: f64,
    /// How it stands.
    pub posture: Posture,
    /// Height from the lowest point to the highest, which is the diameter of what lies or is a sphere:
    /// the length in the film correlations.
    pub height_m: f64,
    /// Temperature at the start.
    pub temperature_k: f64,
    /// How the contents exchange heat with it.
    pub inside: HeatTransfer,
    /// Multiplier on the inside coefficient: the model's own uncertainty.
    pub inside_multiplier: f64,
    /// Film coefficient from wall to surroundings; zero is insulated.
    pub outside_w_m2_k: f64,
}

/// How a vessel's wall stands, which decides how gas rises or sinks along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Posture {
    /// As a plate of the vessel's height.
    Upright,
    /// As a cylinder with its axis level.
    Lying,
    /// As a sphere.
    Sphere,
}

impl Posture {
    /// Of a wall, if there is one; of none it is of no account.
    #[must_use]
    pub fn of(wall: Option<&Wall>) -> Self {
        wall.map_or(Self::Upright, |wall| wall.posture)
    }
}

/// How a gas exchanges heat with what surrounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum HeatTransfer {
    /// Not at all.
    None,
    /// So well that the gas stays at the wall's temperature, which is held at its start value.
    Isothermal,
    /// A given coefficient.
    Coefficient {
        /// Coefficient on the inner area.
        w_m2_k: f64,
    },
    /// A given conductance.
    Conductance {
        /// Coefficient times area.
        w_k: f64,
    },
    /// Published free-convection correlations.
    Film,
}

/// A propellant tank.
#[derive(Clone, Debug)]
pub struct Tank {
    /// Shape of the inside.
    pub shape: TankShape,
    /// The liquid's properties.
    pub liquid: Arc<Liquid>,
    /// Index of the liquid's vapour in the mixture, if the vapour is modelled.
    pub vapour: Option<usize>,
    /// Liquid volume at the start.
    pub liquid_volume_m3: f64,
    /// Liquid temperature at the start.
    pub liquid_temperature_k: f64,
    /// Ullage at the start (total pressure; the vapour is among the mole fractions).
    pub gas: GasFill,
    /// The tank's wall. The wet part has the liquid's temperature, the dry part its own.
    pub wall: Option<Wall>,
    /// How the ullage exchanges heat with the liquid's surface.
    pub interface: HeatTransfer,
    /// Multiplier on the interface coefficient.
    pub interface_multiplier: f64,
    /// Liquid volume at which the outlet uncovers.
    pub residual_m3: f64,
    /// Whether gas follows as soon as the dip over the outlet reaches it.
    pub dips: bool,
    /// What it has beside, if its liquid boils far below room temperature.
    pub cryogen: Option<Box<Cryogen>>,
}

/// What a cryogenic tank has beside a plain one. Its wall is no lump but a row of nodes, wet and
/// dry; `interface` and the wall's `inside` are never isothermal.
#[derive(Clone, Debug)]
pub struct Cryogen {
    /// Liquid and vapour in equilibrium.
    pub boiling: Arc<CompressedLiquid>,
    /// Layers of the ullage; one is a well-mixed zone.
    pub layers: usize,
    /// Nodes of the wall, two or more.
    pub wall_nodes: usize,
    /// Film coefficient between wall and liquid.
    pub wet_w_m2_k: f64,
    /// Heat from outside if it is given; otherwise the wall's outside coefficient.
    pub leak_w: Option<f64>,
    /// Depth of the liquid's surface layer.
    pub surface_layer_m: f64,
    /// Conduction between layers of gas, as a multiple of that of still gas.
    pub gas_mixing: f64,
    /// Conduction within the surface layer, as a multiple of that of still liquid.
    pub liquid_mixing: f64,
    /// Time constant with which a superheated bulk boils.
    pub flash_s: f64,
    /// How gas gets in.
    pub inlet: Inlet,
    /// Gases that go into the liquid.
    pub dissolving: Vec<Dissolving>,
}

/// A gas that goes into the liquid.
#[derive(Clone, Debug)]
pub struct Dissolving {
    /// Its place among the species.
    pub species: usize,
    /// How much of it there is in equilibrium.
    pub solubility: Solubility,
    /// Diffusivity in the liquid.
    pub diffusivity_m2_s: f64,
    /// Heat that it gives off as it dissolves.
    pub heat_of_solution_j_kg: f64,
}

/// Equilibrium between a gas and what is dissolved of it.
#[derive(Clone, Debug)]
pub enum Solubility {
    /// Its partial pressure is its mole fraction times its own saturation pressure (Raoult).
    IdealSolution(Arc<CompressedLiquid>),
    /// Its partial pressure is its mole fraction times a constant.
    Henry {
        /// The constant.
        pa: f64,
    },
}

/// How gas gets into a cryogenic tank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Inlet {
    /// It lies down on top of the ullage.
    Diffuser,
    /// It comes down as a jet.
    Pipe {
        /// Inner diameter.
        bore_m: f64,
    },
    /// It rises in a tube through the liquid to the top of the ullage.
    DipTube {
        /// Inner diameter.
        bore_m: f64,
    },
    /// It rises in bubbles through the liquid.
    Bubbled,
}

/// The inside of a tank, upright unless said otherwise.
#[derive(Clone, Debug, PartialEq)]
pub enum TankShape {
    /// Cylinder with a pair of equal ends; the cylindrical length follows from the volume.
    Cylinder {
        /// Inner volume, ends included.
        volume_m3: f64,
        /// Inner diameter.
        diameter_m: f64,
        /// Both ends.
        ends: TankEnds,
        /// Axis horizontal.
        lying: bool,
    },
    /// Sphere.
    Sphere {
        /// Inner volume.
        volume_m3: f64,
    },
    /// Liquid volume measured against level, both rising from zero.
    LevelTable {
        /// `(level in m, volume in m3)` pairs.
        points: Vec<(f64, f64)>,
    },
}

impl TankShape {
    /// How its wall stands.
    #[must_use]
    pub fn posture(&self) -> Posture {
        match self {
            Self::Cylinder { lying: true, .. } => Posture::Lying,
            Self::Cylinder { lying: false, .. } | Self::LevelTable { .. } => Posture::Upright,
            Self::Sphere { .. } => Posture::Sphere,
        }
    }
}

/// Ends of a cylindrical tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TankEnds {
    /// Flat plates.
    Flat,
    /// 2:1 semi-elliptical.
    Elliptical,
    /// Half spheres.
    Hemispherical,
    /// Crown radius of one diameter, knuckle radius of a tenth (ASME flanged and dished class).
    Torispherical,
}

/// A place where a branch meets a volume.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Port {
    /// The volume.
    pub volume: VolumeId,
    /// Which phase of it.
    pub phase: Phase,
}

/// The phase that a port reaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// Gas.
    Gas,
    /// Liquid.
    Liquid,
}

/// A branch, its name in the stand file, and where it is plumbed.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Name in the stand file.
    pub name: String,
    /// Upstream end.
    pub from: Port,
    /// Downstream end.
    pub to: Port,
    /// What it is.
    pub kind: BranchKind,
}

impl Branch {
    /// Difference at which a relief valve or a burst disc opens; none of any other branch.
    #[must_use]
    pub fn relieves_at_pa(&self) -> Option<f64> {
        match &self.kind {
            BranchKind::Poppet(valve) if valve.duty == Duty::Relief => Some(valve.cracking_pa),
            BranchKind::BurstDisc(disc) => Some(disc.burst_pa),
            _ => None,
        }
    }
}

/// The kinds of branch.
#[derive(Clone, Debug)]
pub enum BranchKind {
    /// Gas through a fixed or valved restriction, either way.
    GasRestriction(GasRestriction),
    /// Pressure regulator.
    Regulator(Regulator),
    /// Check valve or relief valve for gas.
    Poppet(Poppet),
    /// Burst disc.
    BurstDisc(BurstDisc),
    /// Lines, valves and orifices in series that share one liquid flow.
    LiquidChain(LiquidChain),
}

/// How much a restriction passes when wide open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Capacity {
    /// Discharge coefficient times area: isentropic nozzle flux for gas, sqrt(2 rho dp) for liquid.
    EffectiveArea {
        /// Cd A.
        m2: f64,
    },
    /// Flow coefficient by IEC 60534-2-1.
    FlowCoefficient {
        /// Kv in m3/h at 1 bar.
        kv_m3_h: f64,
        /// Pressure differential ratio factor at choked gas flow.
        xt: f64,
    },
    /// Flow coefficient of a valve between pipes of other bores, or in flow that is not turbulent.
    Installed {
        /// Kv in m3/h at 1 bar, without the pipes.
        kv_m3_h: f64,
        /// Pressure differential ratio factor at choked gas flow, without the pipes.
        xt: f64,
        /// The bores around it.
        pipes: Pipes,
    },
    /// Sonic conductance by ISO 6358.
    SonicConductance {
        /// Conductance C at the reference 293.15 K and 1.185 kg/m3.
        c_m3_s_pa: f64,
        /// Critical back-pressure ratio.
        b: f64,
    },
    /// A long gas line with friction. Its rise counts for nothing.
    Line(Line),
    /// A nozzle for critical flow of gas.
    Nozzle(ToroidalNozzle),
}

/// A nozzle whose throat is a torus, by ISO 9300.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ToroidalNozzle {
    /// Diameter of the throat.
    pub throat_m: f64,
    /// Factor on its discharge coefficient.
    pub multiplier: f64,
}

/// What a valve stands between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipes {
    /// Bore of the valve.
    pub bore_m: f64,
    /// Bore of the pipe before it.
    pub before_m: f64,
    /// Bore of the pipe after it.
    pub after_m: f64,
    /// How its trim takes other flow than turbulent; none where the flow is taken as turbulent.
    pub style: Option<Style>,
}

/// What the Reynolds number of a valve follows from, and what it makes of the flow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Valve style modifier F_d.
    pub modifier: f64,
    /// Liquid pressure recovery factor F_L.
    pub recovery: f64,
}

/// A gas orifice or gas valve.
#[derive(Clone, Debug)]
pub struct GasRestriction {
    /// Capacity wide open.
    pub capacity: Capacity,
    /// The valve's stem, if it is a valve.
    pub valve: Option<Valve>,
}

/// A valve: an actuator and what its travel does to the capacity.
#[derive(Clone, Debug)]
pub struct Valve {
    /// What turns it.
    pub actuator: ActuatorId,
    /// Fraction of the capacity against travel.
    pub characteristic: Characteristic,
}

/// Inherent characteristic: fraction of full capacity against fraction of travel.
#[derive(Clone, Debug, PartialEq)]
pub enum Characteristic {
    /// Full-port ball.
    Ball,
    /// Ball or plug whose loss against angle is that of a measured cock.
    Cock {
        /// Loss of the open valve, in velocity heads of its bore.
        open_loss: f64,
    },
    /// Proportional.
    Linear,
    /// Equal percentage, R^(x-1), closed at zero travel.
    EqualPercentage {
        /// Rangeability R.
        rangeability: f64,
    },
    /// Square root of travel.
    QuickOpening,
    /// Measured `(travel, fraction)` pairs from (0, 0) to (1, 1), monotone.
    Table {
        /// The pairs.
        points: Vec<(f64, f64)>,
    },
}

/// What turns a valve.
#[derive(Clone, Debug)]
pub struct Actuator {
    /// Name of its valve in the stand file.
    pub name: String,
    /// From command to first motion.
    pub delay_s: f64,
    /// Full travel, shut to open.
    pub opening_s: f64,
    /// Full travel, open to shut.
    pub closing_s: f64,
    /// Travel against time within the stroke.
    pub law: PositionLaw,
    /// Travel at the start: 0 shut, 1 open.
    pub initial: f64,
}

/// Travel against time within a stroke of unit length.
#[derive(Clone, Debug, PartialEq)]
pub enum PositionLaw {
    /// Constant speed.
    Linear,
    /// Smooth start and stop, 3 s^2 - 2 s^3.
    SCurve,
    /// First-order lag that has covered 95 % of the travel at the end of the stroke time.
    FirstOrder,
    /// Measured `(time fraction, travel)` pairs from (0, 0) to (1, 1), monotone.
    Table {
        /// The pairs.
        points: Vec<(f64, f64)>,
    },
}

/// Pressure regulator: lift proportional to the fall of the outlet below lock-up, with a
/// first-order response; wide open it is a fixed orifice.
#[derive(Clone, Debug)]
pub struct Regulator {
    /// Outlet pressure at zero flow, at the reference supply pressure. Absolute.
    pub lock_up_pa: f64,
    /// Supply pressure at which `lock_up_pa` holds. Absolute.
    pub reference_supply_pa: f64,
    /// Rise of lock-up per fall of supply pressure (dimensionless).
    pub supply_effect: f64,
    /// How the outlet falls with flow.
    pub droop: Droop,
    /// Capacity wide open.
    pub capacity: Capacity,
    /// By how much lower the outlet stands at a lift while the regulator opens than while it closes.
    pub hysteresis_pa: f64,
    /// Time constant of the lift.
    pub response_s: f64,
    /// Effective area through which the shut seat leaks; 0 for a tight one.
    pub leak_m2: f64,
}

/// How a regulator's outlet falls as it opens.
#[derive(Clone, Debug, PartialEq)]
pub enum Droop {
    /// Lift rises linearly from shut at lock-up to wide open at `full_pa` below it.
    Linear {
        /// Fall from lock-up to wide open.
        full_pa: f64,
    },
    /// Measured flow curves, one or more, in the order of their supply pressures, which rise.
    Curves(Vec<FlowCurve>),
}

/// A measured flow curve, turned into lift against fall below lock-up.
#[derive(Clone, Debug, PartialEq)]
pub struct FlowCurve {
    /// Supply pressure at which it was measured. Absolute.
    pub supply_pa: f64,
    /// `(fall below its own lock-up in Pa, lift fraction)`, both rising from (0, 0) to lift 1.
    pub points: Vec<(f64, f64)>,
    /// The measured `(mass flow in kg/s, outlet in Pa absolute)` points, the first at zero flow.
    pub measured: Vec<(f64, f64)>,
}

impl FlowCurve {
    /// Its outlet at zero flow, Pa absolute.
    #[must_use]
    pub fn lock_up_pa(&self) -> f64 {
        self.measured.first().map_or(0.0, |point| point.1)
    }
}

/// A spring-loaded poppet for gas, a check valve's or a relief valve's: lift rises with the
/// pressure difference from cracking to full open, with a first-order lag.
#[derive(Clone, Debug)]
pub struct Poppet {
    /// What it is there for.
    pub duty: Duty,
    /// Difference at which a shut valve opens.
    pub cracking_pa: f64,
    /// Difference at which it is wide open.
    pub full_open_pa: f64,
    /// Difference at which an open valve is shut.
    pub reseat_pa: f64,
    /// Capacity wide open.
    pub capacity: Capacity,
    /// Time constant of the poppet.
    pub response_s: f64,
}

/// What a poppet is there for. The equations are the same, the words are not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Lets gas pass one way.
    Check,
    /// Lets it out above the set pressure.
    Relief,
}

/// A disc that bursts once and stays open.
#[derive(Clone, Debug)]
pub struct BurstDisc {
    /// Difference at which it bursts.
    pub burst_pa: f64,
    /// Capacity of what is open then.
    pub capacity: Capacity,
}

/// Lines, valves and orifices in series with one liquid flow and one momentum equation.
#[derive(Clone, Debug)]
pub struct LiquidChain {
    /// From the tank to the end, in the order of flow.
    pub elements: Vec<ChainElement>,
    /// Volume of liquid that stands in the chain at the start, measured from the tank.
    pub primed_m3: f64,
}

/// One element of a chain and its name in the stand file.
#[derive(Clone, Debug)]
pub struct ChainElement {
    /// Name in the stand file.
    pub name: String,
    /// What it is.
    pub kind: ElementKind,
}

/// The kinds of chain element.
#[derive(Clone, Debug)]
pub enum ElementKind {
    /// A pipe.
    Line(Line),
    /// A valve.
    Valve {
        /// Capacity wide open.
        capacity: Capacity,
        /// Liquid pressure recovery factor F_L (IEC 60534-2-1); 1 without recovery.
        recovery: f64,
        /// Stem.
        valve: Valve,
    },
    /// A fixed restriction. Its capacity refers to the upstream total pressure.
    Orifice {
        /// Capacity.
        capacity: Capacity,
        /// Liquid pressure recovery factor F_L (IEC 60534-2-1); 1 without recovery.
        recovery: f64,
    },
    /// A venturi, which recovers most of what its throat takes.
    Venturi {
        /// Discharge coefficient times area of the throat, m2.
        throat_m2: f64,
        /// Liquid pressure recovery factor F_L.
        recovery: f64,
    },
}

/// A pipe of constant bore.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Length.
    pub length_m: f64,
    /// Bore.
    pub bore_m: f64,
    /// Wall friction.
    pub friction: Friction,
    /// Sum of the minor loss coefficients, on the velocity head in the bore.
    pub minor_loss: f64,
    /// Outlet above inlet.
    pub rise_m: f64,
    /// How its wall gives way: bore over its thickness and modulus of elasticity; 0 for a rigid one.
    pub softness_per_pa: f64,
}

/// Wall friction of a pipe.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Friction {
    /// From the wall's roughness (laminar, Haaland above).
    Roughness {
        /// Absolute roughness.
        m: f64,
    },
    /// A given Darcy friction factor.
    Factor(f64),
}

/// An order to a valve.
#[derive(Clone, Debug)]
pub struct Command {
    /// When it is given.
    pub trigger: Trigger,
    /// To which actuator.
    pub actuator: ActuatorId,
    /// Travel wanted: 0 shut, 1 open.
    pub travel: f64,
    /// Whether a condition gives the command each time it comes true, not only the first.
    pub repeats: bool,
}

/// When a command is given.
#[derive(Clone, Debug, PartialEq)]
pub enum Trigger {
    /// At a time.
    At {
        /// Time.
        time_s: f64,
    },
    /// When an observed quantity passes a threshold.
    When {
        /// History column, for example `fuel.liquid_mass_kg`.
        column: String,
        /// Below or above.
        relation: Relation,
        /// Threshold in the column's unit.
        threshold: f64,
    },
}

/// Side of a threshold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Relation {
    /// Fires once the quantity is below.
    Below,
    /// Fires once the quantity is above.
    Above,
}
