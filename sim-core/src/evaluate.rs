//! The equations of motion in three passes: the volumes' potentials, the branches' fluxes,
//! the volumes' rates. Written once over [`Scalar`]: with `f64` it gives the rates, with dual
//! numbers their Jacobian.

use crate::components::chain::{ChainModel, Column, Contents};
use crate::components::characteristic::Trim;
use crate::components::cryogenic_tank::{self, CryogenicTank, GasInflow};
use crate::components::gas::GasSide;
use crate::components::liquid_choking::Throat;
use crate::components::poppet::PoppetMode;
use crate::components::regulator::DemandCurve;
use crate::components::restriction::{nozzle_flux, valve_flow};
use crate::components::tank::{TankInflow, TankModel, TankSide, TankStates};
use crate::components::vessel;
use crate::fault::Fault;
use crate::layout::{BranchStates, VolumeStates};
use crate::model::{BranchModel, Model, VolumeModel};
use crate::modes::{BranchMode, Modes};
use crate::network::{
    Branch, BranchKind, BurstDisc, GasRestriction, MixtureId, Phase, Poppet, Port, Regulator, Tank,
    Vessel, VolumeId, VolumeKind,
};
use fluids::FluidError;
use shared::Scalar;
use std::ops::Range;

/// Potentials of one volume. Large, but kept in line: the hot path allocates nothing.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Copy, Debug)]
pub enum Side<S> {
    /// The open air.
    Ambient,
    /// A vessel's gas and wall temperature.
    Vessel {
        /// Gas.
        gas: GasSide<S>,
        /// Wall temperature, K.
        wall_k: Option<S>,
    },
    /// A tank.
    Tank(TankSide<S>),
}

/// What a branch passes.
#[derive(Clone, Copy, Debug)]
pub struct Flux<S> {
    /// Gas, kg/s, from `from` to `to`.
    pub gas: S,
    /// Liquid, kg/s, into the chain at its inlet or, while it drains, out of its outlet.
    pub liquid: S,
    /// Rate of the chain's mass flow, kg/s2.
    pub acceleration: S,
}

impl<S: Scalar> Flux<S> {
    fn none() -> Self {
        Self {
            gas: S::zero(),
            liquid: S::zero(),
            acceleration: S::zero(),
        }
    }

    fn gas(flow: S) -> Self {
        Self {
            gas: flow,
            ..Self::none()
        }
    }
}

/// Everything that one evaluation finds on its way.
#[derive(Clone, Debug)]
pub struct Evaluation<S> {
    /// By volume.
    pub sides: Vec<Side<S>>,
    /// By branch.
    pub fluxes: Vec<Flux<S>>,
    /// Size of the compression work on liquids, W.
    pub work_w: f64,
    /// Size of the heat flows of all gases, W.
    pub heat_w: f64,
    /// The parts of cryogenic tanks, by volume.
    pub cryogenic: Vec<cryogenic_tank::Found<S>>,
    inflow: Vec<TankInflow<S>>,
    gas_inflow: Vec<GasInflow<S>>,
    /// The open air, by mixture.
    ambient: Vec<GasSide<S>>,
}

impl<S: Scalar> Evaluation<S> {
    /// Room for a model's evaluations.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let nothing = TankInflow {
            liquid_mass: S::zero(),
            liquid_energy: S::zero(),
        };
        Self {
            sides: vec![Side::Ambient; model.volumes.len()],
            fluxes: vec![Flux::none(); model.branches.len()],
            work_w: 0.0,
            heat_w: 0.0,
            cryogenic: vec![cryogenic_tank::Found::nothing(); model.volumes.len()],
            inflow: vec![nothing; model.volumes.len()],
            gas_inflow: vec![GasInflow::none(); model.volumes.len()],
            ambient: model.ambient_gas.iter().map(constant_side).collect(),
        }
    }
}

/// Evaluates the rates `dy` of the states `y`.
///
/// # Errors
/// When a component's state is outside its fluid's range.
pub fn evaluate<S: Scalar>(
    model: &Model,
    modes: &Modes,
    time: S,
    y: &[S],
    found: &mut Evaluation<S>,
    dy: &mut [S],
) -> Result<(), Fault> {
    dy.fill(S::zero());
    for inflow in &mut found.inflow {
        inflow.liquid_mass = S::zero();
        inflow.liquid_energy = S::zero();
    }
    found.gas_inflow.fill(GasInflow::none());
    potentials(model, y, &mut found.sides, &mut found.cryogenic)?;
    let mut pass = Pass {
        model,
        modes,
        time,
        y,
        sides: &found.sides,
        cryogenic: &found.cryogenic,
        ambient: &found.ambient,
        inflow: &mut found.inflow,
        gas_inflow: &mut found.gas_inflow,
        dy,
        work_w: 0.0,
        heat_w: 0.0,
    };
    for (id, flux) in found.fluxes.iter_mut().enumerate() {
        *flux = pass.flux(id)?;
    }
    for id in 0..model.volumes.len() {
        pass.rates(id)?;
    }
    (found.work_w, found.heat_w) = (pass.work_w, pass.heat_w);
    Ok(())
}

// ---- first pass: the volumes' potentials ----

fn potentials<S: Scalar>(
    model: &Model,
    y: &[S],
    sides: &mut [Side<S>],
    parts: &mut [cryogenic_tank::Found<S>],
) -> Result<(), Fault> {
    for (id, (side, parts)) in sides.iter_mut().zip(parts).enumerate() {
        let Some(states) = &model.layout.volumes[id] else {
            continue;
        };
        let volume = &model.network.volumes[id];
        let found = match (&volume.kind, &model.volumes[id]) {
            (VolumeKind::Vessel(vessel), _) => vessel_side(model, vessel, states, y),
            (VolumeKind::Tank(tank), VolumeModel::Tank(tank_model)) => {
                match model.cryogenic_tank(id) {
                    Some(cryogenic) => cryogenic.side(y, parts),
                    None => tank.side(
                        tank_model,
                        model.mixture(tank.gas.mixture),
                        &tank_states(states, y),
                        model.network.surroundings.gravity_m_s2,
                    ),
                }
                .map(Side::Tank)
            }
            _ => continue,
        };
        *side = found.map_err(|e| Fault::of_fluid(&volume.name, &e))?;
    }
    Ok(())
}

fn vessel_side<S: Scalar>(
    model: &Model,
    vessel: &Vessel,
    states: &VolumeStates,
    y: &[S],
) -> Result<Side<S>, FluidError> {
    let gas = GasSide::from_contents(
        model.mixture(vessel.gas.mixture),
        &y[states.gas_mass.clone()],
        y[states.gas_energy],
        S::constant(vessel.volume_m3),
    )?;
    let wall = vessel.wall.as_ref().zip(states.wall_energy);
    let wall_k = wall.map(|(wall, place)| vessel::wall_temperature(wall, y[place]));
    Ok(Side::Vessel { gas, wall_k })
}

fn tank_states<'y, S: Scalar>(states: &VolumeStates, y: &'y [S]) -> TankStates<'y, S> {
    let at = |place: Option<usize>| place.map_or(S::zero(), |place| y[place]);
    TankStates {
        gas_mass: &y[states.gas_mass.clone()],
        gas_energy: y[states.gas_energy],
        liquid_mass: at(states.liquid.map(|(mass, _)| mass)),
        liquid_energy: at(states.liquid.map(|(_, energy)| energy)),
        wall_energy: at(states.wall_energy),
    }
}

/// The second and third pass of an evaluation, its potentials found. What it reads outlives it,
/// so that potentials are lent to the components while rates are written: with derivatives they
/// are kilobytes.
struct Pass<'a, S> {
    model: &'a Model,
    modes: &'a Modes,
    time: S,
    y: &'a [S],
    sides: &'a [Side<S>],
    cryogenic: &'a [cryogenic_tank::Found<S>],
    ambient: &'a [GasSide<S>],
    inflow: &'a mut [TankInflow<S>],
    gas_inflow: &'a mut [GasInflow<S>],
    dy: &'a mut [S],
    work_w: f64,
    heat_w: f64,
}

/// Where the gas of a volume, or what the ambient receives of it, is counted.
struct GasPlaces {
    mass: Range<usize>,
    energy: usize,
}

impl<'a, S: Scalar> Pass<'a, S> {
    /// The gas at a port.
    fn gas_at(&self, volume: VolumeId, mixture: MixtureId) -> &'a GasSide<S> {
        match &self.sides[volume] {
            Side::Ambient => &self.ambient[mixture],
            Side::Vessel { gas, .. } => gas,
            Side::Tank(tank) => &tank.gas,
        }
    }

    // ---- second pass: the branches' fluxes ----

    fn flux(&mut self, id: usize) -> Result<Flux<S>, Fault> {
        let branch = &self.model.network.branches[id];
        match (&branch.kind, &self.model.branches[id]) {
            (BranchKind::GasRestriction(restriction), BranchModel::Restriction(trim)) => {
                self.restriction(id, branch, restriction, trim.as_ref())
            }
            (BranchKind::Regulator(regulator), BranchModel::Regulator(curve)) => {
                self.regulator(id, branch, regulator, curve)
            }
            (BranchKind::Poppet(valve), _) => self.poppet(id, branch, valve),
            (BranchKind::BurstDisc(disc), _) => self.burst_disc(id, branch, disc),
            (BranchKind::LiquidChain(_), BranchModel::Chain(chain)) => {
                self.chain(id, branch, chain)
            }
            _ => Ok(Flux::none()),
        }
    }

    fn restriction(
        &mut self,
        id: usize,
        branch: &Branch,
        restriction: &GasRestriction,
        trim: Option<&Trim>,
    ) -> Result<Flux<S>, Fault> {
        if let BranchMode::Valve { shut: true } = self.modes.branches[id] {
            return Ok(Flux::none());
        }
        let opening = match (&restriction.valve, trim) {
            (Some(valve), Some(trim)) => trim.fraction(self.travel(valve.actuator)),
            _ => S::constant(1.0),
        };
        let (from, to) = self.gas_ends(id, branch);
        let mixture = self.model.mixture(self.model.branch_mixture[id]);
        let flow = valve_flow(&restriction.capacity, opening, mixture, from, to);
        self.pass_gas(id, branch, flow, from, to)
    }

    fn regulator(
        &mut self,
        id: usize,
        branch: &Branch,
        regulator: &Regulator,
        curve: &DemandCurve,
    ) -> Result<Flux<S>, Fault> {
        let (BranchStates::Lift(place), BranchMode::Regulator(mode)) =
            (self.model.layout.branches[id], self.modes.branches[id])
        else {
            return Ok(Flux::none());
        };
        let (from, to) = self.gas_ends(id, branch);
        let mixture = self.model.mixture(self.model.branch_mixture[id]);
        let demand = regulator.demand(curve, from.pressure, to.pressure);
        let lift = self.y[place];
        self.dy[place] = regulator.lift_rate(mode, demand, lift);
        let flow = regulator.flow(mixture, lift, from, to);
        self.pass_gas(id, branch, flow, from, to)
    }

    fn poppet(&mut self, id: usize, branch: &Branch, valve: &Poppet) -> Result<Flux<S>, Fault> {
        let (BranchStates::Lift(place), BranchMode::Poppet(mode)) =
            (self.model.layout.branches[id], self.modes.branches[id])
        else {
            return Ok(Flux::none());
        };
        let (from, to) = self.gas_ends(id, branch);
        let mixture = self.model.mixture(self.model.branch_mixture[id]);
        let lift = self.y[place];
        self.dy[place] = valve.lift_rate(mode, from.pressure - to.pressure, lift);
        if mode == PoppetMode::Seated && lift.value() == 0.0 {
            return Ok(Flux::none());
        }
        let flow = valve.flow(mixture, lift, from, to);
        self.pass_gas(id, branch, flow, from, to)
    }

    fn burst_disc(
        &mut self,
        id: usize,
        branch: &Branch,
        disc: &BurstDisc,
    ) -> Result<Flux<S>, Fault> {
        if let BranchMode::BurstDisc { whole: true } = self.modes.branches[id] {
            return Ok(Flux::none());
        }
        let (from, to) = self.gas_ends(id, branch);
        let mixture = self.model.mixture(self.model.branch_mixture[id]);
        let flow = disc.flow(mixture, from, to);
        self.pass_gas(id, branch, flow, from, to)
    }

    fn gas_ends(&self, id: usize, branch: &Branch) -> (&'a GasSide<S>, &'a GasSide<S>) {
        let mixture = self.model.branch_mixture[id];
        (
            self.gas_at(branch.from.volume, mixture),
            self.gas_at(branch.to.volume, mixture),
        )
    }

    fn travel(&self, actuator: usize) -> S {
        self.model.stems[actuator].travel(&self.modes.motions[actuator], self.time)
    }

    /// The flux of a gas branch, its gas moved.
    fn pass_gas(
        &mut self,
        id: usize,
        branch: &Branch,
        flow: Result<S, FluidError>,
        from: &GasSide<S>,
        to: &GasSide<S>,
    ) -> Result<Flux<S>, Fault> {
        let flow = flow.map_err(|e| Fault::of_fluid(&branch.name, &e))?;
        self.move_gas(id, branch, flow, from, to);
        Ok(Flux::gas(flow))
    }

    /// Moves gas with its upstream composition and enthalpy.
    fn move_gas(
        &mut self,
        id: usize,
        branch: &Branch,
        flow: S,
        from: &GasSide<S>,
        to: &GasSide<S>,
    ) {
        let up = if flow.value() >= 0.0 { from } else { to };
        let mixture = self.model.branch_mixture[id];
        let from = self.gas_places(branch.from.volume, mixture);
        let to = self
            .arrive(branch.to.volume, flow, up)
            .unwrap_or_else(|| self.gas_places(branch.to.volume, mixture));
        let energy = flow * up.enthalpy;
        self.dy[from.energy] -= energy;
        self.dy[to.energy] += energy;
        self.move_species(flow, up, from.mass, to.mass);
    }

    fn move_species(&mut self, flow: S, up: &GasSide<S>, from: Range<usize>, to: Range<usize>) {
        for ((from, to), &fraction) in from.zip(to).zip(&up.fraction) {
            let species = flow * fraction;
            self.dy[from] -= species;
            self.dy[to] += species;
        }
    }

    /// Where gas that flows into a cryogenic tank arrives; its way in is noted.
    fn arrive(&mut self, volume: VolumeId, flow: S, up: &GasSide<S>) -> Option<GasPlaces> {
        let tank = self.model.cryogenic_tank(volume)?;
        let Side::Tank(side) = &self.sides[volume] else {
            return None;
        };
        if flow.value() <= 0.0 {
            return None;
        }
        tank.receive(flow, up, side, &mut self.gas_inflow[volume]);
        let layer = tank.arrival();
        Some(GasPlaces {
            mass: layer.mass.clone(),
            energy: layer.energy,
        })
    }

    fn gas_places(&self, volume: VolumeId, mixture: MixtureId) -> GasPlaces {
        match &self.model.layout.volumes[volume] {
            Some(states) => GasPlaces {
                mass: states.gas_mass.clone(),
                energy: states.gas_energy,
            },
            None => self.ambient_places(mixture),
        }
    }

    fn ambient_places(&self, mixture: MixtureId) -> GasPlaces {
        let ledgers = &self.model.layout.ledgers;
        GasPlaces {
            mass: ledgers.ambient_gas[mixture].clone(),
            energy: ledgers.surroundings,
        }
    }

    // ---- liquid chains ----

    fn chain(&mut self, id: usize, branch: &Branch, chain: &ChainModel) -> Result<Flux<S>, Fault> {
        let (
            BranchStates::Chain { flow, mass },
            BranchMode::Chain {
                shut,
                contents,
                choking,
            },
        ) = (self.model.layout.branches[id], self.modes.branches[id])
        else {
            return Ok(Flux::none());
        };
        let Side::Tank(tank) = &self.sides[branch.from.volume] else {
            return Ok(Flux::none());
        };
        if shut {
            return Ok(Flux::none());
        }
        if contents == Contents::Gas {
            return self.blow_through(id, branch, chain);
        }
        let column = self.column(tank, self.y[flow], self.y[mass], contents);
        let exit = chain.exit_loss(&column);
        let back = self.back_pressure(branch.to);
        let travel = |a| self.travel(a);
        let (sum, choke) = chain.sum_at(&column, back + exit, &travel, Throat::Held(choking));
        let choke = choke.map_or(S::zero(), |choke| {
            choke.at_flow(column.flow, self.model.scales[flow]).excess
        });
        let loss = sum.loss + exit + choke;
        let drive = if contents == Contents::Draining {
            tank.gas.pressure
        } else {
            tank.liquid.outlet_pressure
        };
        let acceleration =
            (drive - back - sum.rise - loss - chain.front_head(&column)) / sum.inertance;
        self.dy[flow] = acceleration;
        self.dy[self.model.layout.ledgers.dissipation] += column.flow * loss / column.density;
        self.chain_inflow(id, branch, tank, &column);
        self.chain_outflow(branch, chain, tank, &column, mass);
        Ok(Flux {
            gas: S::zero(),
            liquid: column.flow,
            acceleration,
        })
    }

    fn column(&self, tank: &TankSide<S>, flow: S, mass: S, contents: Contents) -> Column<S> {
        Column {
            flow,
            mass,
            density: tank.liquid.density,
            viscosity: tank.liquid.viscosity,
            throat_pressure: tank.liquid.throat_pressure,
            contents,
            gravity_m_s2: self.model.network.surroundings.gravity_m_s2,
        }
    }

    /// Total pressure against which a chain ends.
    fn back_pressure(&self, to: Port) -> S {
        match (&self.sides[to.volume], to.phase) {
            (Side::Ambient, _) => S::constant(self.model.network.surroundings.pressure_pa),
            (Side::Vessel { gas, .. }, _) => gas.pressure,
            (Side::Tank(tank), Phase::Gas) => tank.gas.pressure,
            (Side::Tank(tank), Phase::Liquid) => tank.liquid.outlet_pressure,
        }
    }

    /// What the chain takes from its tank: liquid, or the gas that follows it.
    fn chain_inflow(&mut self, id: usize, branch: &Branch, tank: &TankSide<S>, column: &Column<S>) {
        if column.contents == Contents::Draining {
            let gas_flow = column.flow / column.density * tank.gas.density;
            let mixture = self.model.branch_mixture[id];
            let from = self.gas_places(branch.from.volume, mixture);
            self.dy[from.energy] -= gas_flow * tank.gas.enthalpy;
            // The gas stays in the line or leaves it: counted as received by the ambient. Its
            // flow work drives the liquid, only its internal energy arrives.
            let to = self.ambient_places(mixture);
            self.dy[to.energy] +=
                gas_flow * (tank.gas.enthalpy - tank.gas.pressure / tank.gas.density);
            self.move_species(gas_flow, &tank.gas, from.mass, to.mass);
        } else {
            let inflow = &mut self.inflow[branch.from.volume];
            inflow.liquid_mass -= column.flow;
            inflow.liquid_energy -=
                column.flow * (tank.liquid.energy + tank.gas.pressure / column.density);
        }
    }

    /// What the chain gives to its end, and what stays in it.
    fn chain_outflow(
        &mut self,
        branch: &Branch,
        chain: &ChainModel,
        tank: &TankSide<S>,
        column: &Column<S>,
        mass_place: usize,
    ) {
        let ledgers = &self.model.layout.ledgers;
        let (chain_energy, surroundings) = (ledgers.chain_energy, ledgers.surroundings);
        let energy = column.flow * tank.liquid.energy;
        let back_work = column.flow * self.back_pressure(branch.to) / column.density;
        match column.contents {
            Contents::Priming => {
                self.dy[mass_place] = column.flow;
                self.dy[chain_energy] += energy;
                self.dy[surroundings] += back_work;
                return;
            }
            Contents::Draining => {
                self.dy[mass_place] = -column.flow;
                self.dy[chain_energy] -= energy;
            }
            Contents::Full | Contents::Gas => {}
        }
        let lift = column.flow * (column.gravity_m_s2 * chain.rise_m());
        self.give_liquid(branch, column.flow, energy, back_work, lift);
    }

    /// Hands liquid over at a chain's end. Height above a receiving tank's bottom is potential
    /// energy, which the audit counts from the tank's level.
    fn give_liquid(&mut self, branch: &Branch, flow: S, energy: S, back_work: S, lift: S) {
        let ledgers = &self.model.layout.ledgers;
        let to = branch.to;
        let Side::Tank(tank) = &self.sides[to.volume] else {
            if let Some(place) = ledgers.ambient_liquid[branch.from.volume] {
                self.dy[place] += flow;
            }
            self.dy[ledgers.surroundings] += energy + back_work + lift;
            return;
        };
        let head = flow * tank.liquid.level * self.model.network.surroundings.gravity_m_s2;
        let inflow = &mut self.inflow[to.volume];
        inflow.liquid_mass += flow;
        inflow.liquid_energy += energy + back_work;
        self.dy[ledgers.surroundings] += lift;
        match to.phase {
            Phase::Liquid => inflow.liquid_energy -= head,
            Phase::Gas => self.dy[ledgers.surroundings] -= head,
        }
    }

    /// A chain with only gas in it: a massless restriction.
    fn blow_through(
        &mut self,
        id: usize,
        branch: &Branch,
        chain: &ChainModel,
    ) -> Result<Flux<S>, Fault> {
        let (from, to) = self.gas_ends(id, branch);
        let mixture = self.model.mixture(self.model.branch_mixture[id]);
        let area = chain.series_area(&|a| self.travel(a));
        let flow = if from.pressure.value() >= to.pressure.value() {
            nozzle_flux(mixture, from, to.pressure)
        } else {
            nozzle_flux(mixture, to, from.pressure).map(|g| -g)
        }
        .map(|flux| flux * area);
        self.pass_gas(id, branch, flow, from, to)
    }

    // ---- third pass: the volumes' rates ----

    fn rates(&mut self, id: VolumeId) -> Result<(), Fault> {
        let volume = &self.model.network.volumes[id];
        let done = match (&volume.kind, &self.model.volumes[id]) {
            (
                VolumeKind::Vessel(vessel),
                VolumeModel::Vessel {
                    gas_heat_capacity_j_k,
                },
            ) => self.vessel_rates(id, vessel, *gas_heat_capacity_j_k),
            (VolumeKind::Tank(tank), VolumeModel::Tank(model)) => self.tank_rates(id, tank, model),
            _ => Ok(()),
        };
        done.map_err(|e| Fault::of_fluid(&volume.name, &e))
    }

    fn vessel_rates(
        &mut self,
        id: VolumeId,
        vessel: &Vessel,
        gas_heat_capacity_j_k: f64,
    ) -> Result<(), FluidError> {
        let (
            Some(wall),
            Some(states),
            Side::Vessel {
                gas,
                wall_k: Some(wall_k),
            },
        ) = (
            &vessel.wall,
            &self.model.layout.volumes[id],
            &self.sides[id],
        )
        else {
            return Ok(());
        };
        let about = vessel.overwrap.as_ref().zip(states.overwrap_energy);
        let about = about.map(|(overwrap, place)| {
            let kelvin = vessel::overwrap_temperature(overwrap, self.y[place]);
            (overwrap, kelvin)
        });
        let heat = vessel::wall_heat(
            wall,
            about,
            self.model.mixture(vessel.gas.mixture),
            gas,
            *wall_k,
            gas_heat_capacity_j_k,
            &self.model.network.surroundings,
        )?;
        self.dy[states.gas_energy] += heat.into_gas;
        if let Some(place) = states.wall_energy {
            self.dy[place] += heat.into_wall;
        }
        if let Some(place) = states.overwrap_energy {
            self.dy[place] += heat.into_overwrap;
        }
        self.dy[self.model.layout.ledgers.surroundings] += heat.into_surroundings;
        self.heat_w += heat.into_gas.value().abs();
        Ok(())
    }

    fn tank_rates(
        &mut self,
        id: VolumeId,
        tank: &Tank,
        model: &TankModel,
    ) -> Result<(), FluidError> {
        let (Some(states), Side::Tank(side)) = (&self.model.layout.volumes[id], &self.sides[id])
        else {
            return Ok(());
        };
        if let Some(cryogenic) = self.model.cryogenic_tank(id) {
            self.cryogenic_rates(id, &cryogenic, side);
            return Ok(());
        }
        let rates = tank.rates(
            model,
            self.model.mixture(tank.gas.mixture),
            side,
            &self.inflow[id],
            &self.model.network.surroundings,
        )?;
        if let Some(vapour) = tank.vapour {
            self.dy[states.gas_mass.start + vapour] += rates.evaporation;
        }
        self.dy[states.gas_energy] += rates.gas_energy;
        if let Some((mass, energy)) = states.liquid {
            self.dy[mass] += rates.liquid_mass;
            self.dy[energy] += rates.liquid_energy;
        }
        if let Some(place) = states.wall_energy {
            self.dy[place] += rates.wall_energy;
        }
        self.dy[self.model.layout.ledgers.surroundings] += rates.into_surroundings;
        self.heat_w += rates.gas_heat.value().abs();
        self.work_w += (side.gas.pressure * rates.liquid_volume).value().abs();
        Ok(())
    }
}

impl<S: Scalar> Pass<'_, S> {
    fn cryogenic_rates(&mut self, id: VolumeId, tank: &CryogenicTank<'_>, side: &TankSide<S>) {
        let totals = tank.rates(cryogenic_tank::Rates {
            side,
            found: &self.cryogenic[id],
            inflow: self.inflow[id],
            gas_inflow: self.gas_inflow[id],
            dy: self.dy,
        });
        let ledgers = &self.model.layout.ledgers;
        self.dy[ledgers.surroundings] += -totals.leak;
        self.dy[ledgers.dissolved_energy] += totals.dissolved_kept;
        self.dy[tank.strata.bulk_energy] += -(totals.density_rate * self.columns_j_m3_kg(id, side));
        for (place, rate) in ledgers.cryogenic[id]
            .clone()
            .into_iter()
            .flatten()
            .zip(totals.counted())
        {
            self.dy[place] = rate;
        }
        self.heat_w += (totals.to_wall + totals.to_surface).value().abs();
        self.heat_w += totals.on_the_way.value().abs();
        self.work_w += totals.work.value().abs();
    }

    /// What the columns behind a tank gain of energy as its liquid becomes denser, J m3/kg, for which no
    /// flow accounts. It is taken from the liquid, as what its own level gains (theory 9.5).
    fn columns_j_m3_kg(&self, id: VolumeId, side: &TankSide<S>) -> f64 {
        let mut sum = 0.0;
        let branches = self.model.network.branches.iter().enumerate();
        for (branch, _) in branches.filter(|(_, b)| b.from.volume == id) {
            let (
                BranchModel::Chain(chain),
                BranchStates::Chain { flow, mass },
                BranchMode::Chain { contents, .. },
            ) = (
                &self.model.branches[branch],
                self.model.layout.branches[branch],
                self.modes.branches[branch],
            )
            else {
                continue;
            };
            let column = self.column(side, self.y[flow], self.y[mass], contents);
            sum += chain.energy_by_density_j_m3_kg(&column.values());
        }
        sum
    }
}

fn constant_side<S: Scalar>(side: &GasSide<f64>) -> GasSide<S> {
    GasSide {
        pressure: S::constant(side.pressure),
        temperature: S::constant(side.temperature),
        density: S::constant(side.density),
        enthalpy: S::constant(side.enthalpy),
        partial_density: side.partial_density.map(S::constant),
        fraction: side.fraction.map(S::constant),
    }
}
