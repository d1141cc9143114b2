//! What a history shows: columns named `component.quantity_unit`, read from states and
//! potentials.

use crate::components::chain::{ChainModel, Column, Contents};
use crate::components::cryogenic_tank::{COUNTED, Layer};
use crate::components::liquid_choking::{Choke, Throat};
use crate::components::tank::TankSide;
use crate::components::vessel;
use crate::evaluate::{Evaluation, Side};
use crate::layout::{BranchStates, VolumeStates};
use crate::model::{BranchModel, Model};
use crate::modes::BranchMode;
use crate::network::{ActuatorId, BranchKind, Cryogen, ElementKind, Phase, VolumeKind};
use crate::run::Run;

/// What one column shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Quantity {
    Time,
    GasPressure(usize),
    GasTemperature(usize),
    GasMass(usize),
    VapourMass(usize),
    WallTemperature(usize),
    OverwrapTemperature(usize),
    UllageVolume(usize),
    LiquidMass(usize),
    LiquidVolume(usize),
    LiquidTemperature(usize),
    Level(usize),
    OutletPressure(usize),
    Counted { volume: usize, which: usize },
    LayerTemperature { volume: usize, layer: usize },
    SurfaceTemperature(usize),
    BoilOff(usize),
    VapourPressure(usize),
    Probe(usize),
    Scale(usize),
    GasEnergy(usize),
    GasReceived,
    LiquidReceived,
    MassFlow(usize),
    Lift(usize),
    Travel(ActuatorId),
    InletPressure { branch: usize, element: usize },
    ElementOutletPressure { branch: usize, element: usize },
}

/// Vapour that leaves a cryogenic liquid, among what is counted.
const VAPOUR: [&str; 2] = ["evaporated_kg", "boiled_kg"];

/// The columns of a model's history.
#[derive(Clone, Debug)]
pub struct Observer {
    columns: Vec<(String, Quantity)>,
}

impl Observer {
    /// Lists a model's columns, in the order of the network.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let mut observer = Self {
            columns: vec![("time_s".to_owned(), Quantity::Time)],
        };
        for (id, volume) in model.network.volumes.iter().enumerate() {
            observer.add_volume(id, &volume.name, &volume.kind);
        }
        for (id, branch) in model.network.branches.iter().enumerate() {
            observer.add_branch(id, &branch.name, &branch.kind);
        }
        observer
    }

    /// Column names.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.columns.iter().map(|(name, _)| name.as_str())
    }

    /// Index of a column.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.columns.iter().position(|(n, _)| n == name)
    }

    fn add(&mut self, component: &str, quantity: &str, what: Quantity) {
        self.columns.push((format!("{component}.{quantity}"), what));
    }

    fn add_volume(&mut self, id: usize, name: &str, kind: &VolumeKind) {
        match kind {
            VolumeKind::Ambient => {
                self.add(name, "gas_mass_kg", Quantity::GasReceived);
                self.add(name, "liquid_mass_kg", Quantity::LiquidReceived);
            }
            VolumeKind::Vessel(vessel) => {
                self.add(name, "pressure_pa", Quantity::GasPressure(id));
                self.add(name, "temperature_k", Quantity::GasTemperature(id));
                self.add(name, "gas_mass_kg", Quantity::GasMass(id));
                if vessel.wall.is_some() {
                    self.add(name, "wall_temperature_k", Quantity::WallTemperature(id));
                }
                if vessel.overwrap.is_some() {
                    let what = Quantity::OverwrapTemperature(id);
                    self.add(name, "overwrap_temperature_k", what);
                }
            }
            VolumeKind::Tank(tank) => {
                self.add(name, "pressure_pa", Quantity::GasPressure(id));
                self.add(name, "ullage_temperature_k", Quantity::GasTemperature(id));
                self.add(name, "ullage_volume_m3", Quantity::UllageVolume(id));
                self.add(name, "gas_mass_kg", Quantity::GasMass(id));
                if tank.vapour.is_some() {
                    self.add(name, "vapour_mass_kg", Quantity::VapourMass(id));
                }
                self.add(name, "liquid_mass_kg", Quantity::LiquidMass(id));
                self.add(name, "liquid_volume_m3", Quantity::LiquidVolume(id));
                self.add(
                    name,
                    "liquid_temperature_k",
                    Quantity::LiquidTemperature(id),
                );
                self.add(name, "level_m", Quantity::Level(id));
                if tank.wall.is_some() {
                    self.add(name, "wall_temperature_k", Quantity::WallTemperature(id));
                }
                self.add(name, "outlet_pressure_pa", Quantity::OutletPressure(id));
                if let Some(cryogen) = &tank.cryogen {
                    self.add_cryogen(id, name, cryogen);
                }
            }
        }
    }

    fn add_cryogen(&mut self, volume: usize, name: &str, cryogen: &Cryogen) {
        let surface = Quantity::SurfaceTemperature(volume);
        self.add(name, "surface_temperature_k", surface);
        self.add(name, "boil_off_kg_s", Quantity::BoilOff(volume));
        self.add(name, "vapour_pressure_pa", Quantity::VapourPressure(volume));
        self.add(name, "probe_1", Quantity::Probe(volume));
        self.add(name, "scale_kg", Quantity::Scale(volume));
        self.add(name, "gas_energy_j", Quantity::GasEnergy(volume));
        for (which, counted) in COUNTED.iter().enumerate() {
            self.add(name, counted, Quantity::Counted { volume, which });
        }
        if cryogen.layers > 1 {
            for layer in 0..cryogen.layers {
                let what = Quantity::LayerTemperature { volume, layer };
                self.add(name, &format!("layer_{}_temperature_k", layer + 1), what);
            }
        }
    }

    fn add_branch(&mut self, id: usize, name: &str, kind: &BranchKind) {
        match kind {
            BranchKind::GasRestriction(restriction) => {
                self.add(name, "mass_flow_kg_s", Quantity::MassFlow(id));
                if let Some(valve) = &restriction.valve {
                    self.add(name, "travel_1", Quantity::Travel(valve.actuator));
                }
            }
            BranchKind::BurstDisc(_) => {
                self.add(name, "mass_flow_kg_s", Quantity::MassFlow(id));
            }
            BranchKind::Regulator(_) | BranchKind::Poppet(_) => {
                self.add(name, "mass_flow_kg_s", Quantity::MassFlow(id));
                self.add(name, "lift_1", Quantity::Lift(id));
            }
            BranchKind::LiquidChain(chain) => {
                for (element, part) in chain.elements.iter().enumerate() {
                    self.add(&part.name, "mass_flow_kg_s", Quantity::MassFlow(id));
                    let at = |make: fn(usize, usize) -> Quantity| make(id, element);
                    self.add(
                        &part.name,
                        "inlet_pressure_pa",
                        at(|branch, element| Quantity::InletPressure { branch, element }),
                    );
                    self.add(
                        &part.name,
                        "outlet_pressure_pa",
                        at(|branch, element| Quantity::ElementOutletPressure { branch, element }),
                    );
                    if let ElementKind::Valve { valve, .. } = &part.kind {
                        self.add(&part.name, "travel_1", Quantity::Travel(valve.actuator));
                    }
                }
            }
        }
    }

    /// Appends a row.
    pub fn row(
        &self,
        run: &Run,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        dy: &[f64],
        values: &mut Vec<f64>,
    ) {
        values.extend(
            (0..self.columns.len()).map(|column| self.value(run, column, time_s, y, found, dy)),
        );
    }

    /// One value.
    #[must_use]
    pub fn value(
        &self,
        run: &Run,
        column: usize,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        dy: &[f64],
    ) -> f64 {
        let model = &run.model;
        match self.columns[column].1 {
            Quantity::Time => time_s,
            Quantity::Travel(actuator) => run.travel(actuator, time_s),
            Quantity::GasReceived => model
                .layout
                .ledgers
                .ambient_gas
                .iter()
                .flat_map(|places| &y[places.clone()])
                .sum(),
            Quantity::LiquidReceived => model
                .layout
                .ledgers
                .ambient_liquid
                .iter()
                .flatten()
                .map(|&place| y[place])
                .sum(),
            Quantity::MassFlow(branch) => {
                let flux = &found.fluxes[branch];
                flux.gas + flux.liquid
            }
            Quantity::Lift(branch) => match model.layout.branches[branch] {
                // The integrator is accurate to its tolerance; a lift is whole.
                BranchStates::Lift(place) => y[place].clamp(0.0, 1.0),
                _ => f64::NAN,
            },
            Quantity::InletPressure { branch, element } => {
                chain_pressure_pa(run, branch, element, time_s, y, found, dy)
            }
            Quantity::ElementOutletPressure { branch, element } => {
                chain_pressure_pa(run, branch, element + 1, time_s, y, found, dy)
            }
            Quantity::BoilOff(volume) => {
                let places = model.layout.ledgers.cryogenic[volume].clone();
                let counted = places.into_iter().flatten().zip(COUNTED);
                let vapour = counted.filter(|(_, name)| VAPOUR.contains(name));
                vapour.map(|(place, _)| dy[place]).sum()
            }
            volume_quantity => volume_value(model, volume_quantity, y, found),
        }
    }
}

fn volume_value(model: &Model, quantity: Quantity, y: &[f64], found: &Evaluation<f64>) -> f64 {
    use Quantity::{
        Counted, GasEnergy, GasMass, GasPressure, GasTemperature, LayerTemperature, Level,
        LiquidMass, LiquidTemperature, LiquidVolume, OutletPressure, OverwrapTemperature, Probe,
        Scale, SurfaceTemperature, UllageVolume, VapourMass, VapourPressure, WallTemperature,
    };
    let side = |id: usize| &found.sides[id];
    match quantity {
        GasMass(id) => model.layout.volumes[id]
            .as_ref()
            .map_or(f64::NAN, |s| gas_mass_kg(model, id, s, y)),
        VapourMass(id) => match (&model.network.volumes[id].kind, &model.layout.volumes[id]) {
            (VolumeKind::Tank(tank), Some(states)) => tank.vapour.map_or(f64::NAN, |k| {
                states.gas_masses(k).iter().map(|&i| y[i]).sum()
            }),
            _ => f64::NAN,
        },
        GasPressure(id) => crate::modes::gas_pressure_pa(model, found, id),
        GasTemperature(id) => match side(id) {
            Side::Vessel { gas, .. } => gas.temperature,
            Side::Tank(tank) => mean_gas_k(tank, &found.cryogenic[id].layers),
            Side::Ambient => f64::NAN,
        },
        WallTemperature(id) => match side(id) {
            Side::Vessel { wall_k, .. } => wall_k.unwrap_or(f64::NAN),
            Side::Tank(tank) => tank.dry_wall_k,
            Side::Ambient => f64::NAN,
        },
        OverwrapTemperature(id) => {
            match (&model.network.volumes[id].kind, &model.layout.volumes[id]) {
                (VolumeKind::Vessel(vessel), Some(states)) => {
                    let about = vessel.overwrap.as_ref().zip(states.overwrap_energy);
                    about.map_or(f64::NAN, |(overwrap, place)| {
                        vessel::overwrap_temperature(overwrap, y[place])
                    })
                }
                _ => f64::NAN,
            }
        }
        UllageVolume(id) => tank_value(side(id), |t| t.ullage),
        LiquidMass(id) => tank_value(side(id), |t| t.liquid.mass),
        LiquidVolume(id) => tank_value(side(id), |t| t.liquid.volume),
        LiquidTemperature(id) => tank_value(side(id), |t| t.liquid.temperature),
        Level(id) => tank_value(side(id), |t| t.liquid.level),
        OutletPressure(id) => tank_value(side(id), |t| t.liquid.outlet_pressure),
        Counted { volume, which } => model.layout.ledgers.cryogenic[volume]
            .as_ref()
            .map_or(f64::NAN, |places| y[places.start + which]),
        LayerTemperature { volume, layer } => found.cryogenic[volume].layers[layer].gas.temperature,
        SurfaceTemperature(id) => found.cryogenic[id].pool[0].temperature,
        VapourPressure(id) => vapour_pressure_pa(model, id, found),
        Probe(id) => match (model.cryogenic_tank(id), side(id)) {
            (Some(tank), Side::Tank(face)) => {
                tank.probe(face, &found.cryogenic[id]).unwrap_or(f64::NAN)
            }
            _ => f64::NAN,
        },
        Scale(id) => {
            let strata = model.layout.volumes[id]
                .as_ref()
                .and_then(|s| s.strata.as_ref());
            let dissolved = strata.into_iter().flat_map(|s| &s.dissolved);
            let dissolved = dissolved
                .flat_map(|d| d.parts.clone())
                .map(|place| y[place]);
            volume_value(model, GasMass(id), y, found)
                + dissolved.sum::<f64>()
                + volume_value(model, LiquidMass(id), y, found)
        }
        GasEnergy(id) => {
            let states = model.layout.volumes[id].as_ref();
            let strata = states.and_then(|s| s.strata.as_ref());
            strata.map_or(f64::NAN, |strata| {
                strata.layers.iter().map(|layer| y[layer.energy]).sum()
            })
        }
        _ => f64::NAN,
    }
}

fn gas_mass_kg(model: &Model, id: usize, states: &VolumeStates, y: &[f64]) -> f64 {
    let species = match &model.network.volumes[id].kind {
        VolumeKind::Ambient => return f64::NAN,
        VolumeKind::Vessel(vessel) => vessel.gas.mixture,
        VolumeKind::Tank(tank) => tank.gas.mixture,
    };
    let places = (0..model.mixture(species).len()).flat_map(|k| states.gas_masses(k));
    places.map(|place| y[place]).sum()
}

/// Temperature of an ullage; the mean by volume where it has layers.
fn mean_gas_k(tank: &TankSide<f64>, layers: &[Layer<f64>]) -> f64 {
    if layers.is_empty() {
        return tank.gas.temperature;
    }
    let sum = |of: fn(&Layer<f64>) -> f64| layers.iter().map(of).sum::<f64>();
    sum(|l| l.gas.temperature * l.volume) / sum(|l| l.volume)
}

/// Pressure at which the bulk of a cryogenic tank boils, Pa.
fn vapour_pressure_pa(model: &Model, id: usize, found: &Evaluation<f64>) -> f64 {
    let (VolumeKind::Tank(tank), Side::Tank(side)) =
        (&model.network.volumes[id].kind, &found.sides[id])
    else {
        return f64::NAN;
    };
    let vapour = tank.liquid.at(side.liquid.temperature);
    vapour.map_or(f64::NAN, |liquid| liquid.vapour_pressure_pa)
}

fn tank_value(
    side: &Side<f64>,
    read: impl Fn(&crate::components::tank::TankSide<f64>) -> f64,
) -> f64 {
    match side {
        Side::Tank(tank) => read(tank),
        _ => f64::NAN,
    }
}

/// The column of liquid in a chain and its contents, if the branch is a chain on a tank.
#[must_use]
pub fn column_of<'a>(
    run: &'a Run,
    branch: usize,
    y: &[f64],
    found: &Evaluation<f64>,
) -> Option<(&'a ChainModel, Column<f64>)> {
    let model = &run.model;
    let (
        BranchModel::Chain(chain),
        BranchStates::Chain { flow, mass },
        BranchMode::Chain { contents, .. },
    ) = (
        &model.branches[branch],
        model.layout.branches[branch],
        run.modes.branches[branch],
    )
    else {
        return None;
    };
    let Side::Tank(tank) = &found.sides[model.network.branches[branch].from.volume] else {
        return None;
    };
    Some((
        chain,
        Column {
            flow: y[flow],
            mass: y[mass],
            density: tank.liquid.density,
            viscosity: tank.liquid.viscosity,
            throat_pressure: tank.liquid.throat_pressure,
            contents,
            gravity_m_s2: model.network.surroundings.gravity_m_s2,
        },
    ))
}

/// Total pressure at the joint before `element` of a chain, Pa: what the momentum equation
/// leaves there, the inertia of the elements before it included. Behind a shut valve, and
/// where no liquid stands, it is the pressure of the end.
#[must_use]
pub fn chain_pressure_pa(
    run: &Run,
    branch: usize,
    element: usize,
    time_s: f64,
    y: &[f64],
    found: &Evaluation<f64>,
    dy: &[f64],
) -> f64 {
    let Some((chain, column)) = column_of(run, branch, y, found) else {
        return f64::NAN;
    };
    let ends = &run.model.network.branches[branch];
    let end = chain_end_pa(run, branch, found);
    let Side::Tank(tank) = &found.sides[ends.from.volume] else {
        return f64::NAN;
    };
    let BranchStates::Chain { flow, .. } = run.model.layout.branches[branch] else {
        return f64::NAN;
    };
    let travel = |a| run.travel(a, time_s);
    let start = match column.contents {
        Contents::Full | Contents::Priming => tank.liquid.outlet_pressure,
        Contents::Draining | Contents::Gas => tank.gas.pressure,
    };
    let shut = matches!(
        run.modes.branches[branch],
        BranchMode::Chain { shut: true, .. }
    );
    if shut && element > chain.shut_element(&travel) {
        return end;
    }
    let choke = chain_choke(run, branch, time_s, y, found);
    let before = choke.filter(|choke| choke.element < element && !shut);
    let mut pressure = start - before.map_or(0.0, |choke| choke.excess);
    for index in 0..element {
        let terms = chain.terms(index, &column, &travel);
        let inertia = if shut {
            0.0
        } else {
            terms.inertance * dy[flow]
        };
        pressure -= terms.rise + terms.loss + inertia;
    }
    pressure
}

/// Where a chain chokes, if it does, with what that takes in the rates.
#[must_use]
pub fn chain_choke(
    run: &Run,
    branch: usize,
    time_s: f64,
    y: &[f64],
    found: &Evaluation<f64>,
) -> Option<Choke<f64>> {
    let BranchMode::Chain { choking, .. } = run.modes.branches[branch] else {
        return None;
    };
    let BranchStates::Chain { flow, .. } = run.model.layout.branches[branch] else {
        return None;
    };
    let choke = chain_throat(run, branch, (time_s, y), found, Throat::Held(choking))?;
    Some(choke.at_flow(y[flow], run.model.scales[flow]))
}

/// What a throat of a chain takes beyond its loss, whether it chokes or not.
#[must_use]
pub fn chain_throat(
    run: &Run,
    branch: usize,
    (time_s, y): (f64, &[f64]),
    found: &Evaluation<f64>,
    throat: Throat,
) -> Option<Choke<f64>> {
    if throat == Throat::Held(None) {
        return None;
    }
    let (chain, column) = column_of(run, branch, y, found)?;
    let end = chain_end_pa(run, branch, found) + chain.exit_loss(&column);
    let travel = |a| run.travel(a, time_s);
    chain.sum_at(&column, end, &travel, throat).1
}

/// Total pressure against which a chain ends, Pa.
#[must_use]
pub fn chain_end_pa(run: &Run, branch: usize, found: &Evaluation<f64>) -> f64 {
    let to = run.model.network.branches[branch].to;
    match (&found.sides[to.volume], to.phase) {
        (Side::Tank(tank), Phase::Liquid) => tank.liquid.outlet_pressure,
        _ => crate::modes::gas_pressure_pa(&run.model, found, to.volume),
    }
}
