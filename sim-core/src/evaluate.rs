//! The equations of motion in three passes: the volumes' potentials, the branches' fluxes,
//! the volumes' rates. Written once over [`Scalar`]: with `f64` it gives the rates, with dual
//! numbers their Jacobian.

use crate::components::chain::{ChainModel, Column, Contents};
use crate::components::characteristic::Trim;
use crate::components::gas::GasSide;
use crate::components::regulator::DemandCurve;
use crate::components::restriction::{gas_flow, nozzle_flux};
use crate::components::tank::{TankInflow, TankModel, TankSide, TankStates};
use crate::components::vessel;
use crate::fault::Fault;
use crate::layout::{BranchStates, VolumeStates};
use crate::model::{BranchModel, Model, VolumeModel};
use crate::modes::{BranchMode, Modes};
use crate::network::{
    Branch, BranchKind, BurstDisc, GasRestriction, MixtureId, Phase, Poppet, Port, Regulator,
    VolumeId, VolumeKind,
};
use fluids::{FluidError, MAX_SPECIES};
use shared::Scalar;

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
    inflow: Vec<TankInflow<S>>,
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
            inflow: vec![nothing; model.volumes.len()],
        }
    }
}

/// One evaluation in progress.
struct Pass<'a, S> {
    model: &'a Model,
    modes: &'a Modes,
    time: S,
    y: &'a [S],
    found: &'a mut Evaluation<S>,
    dy: &'a mut [S],
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
    found.work_w = 0.0;
    found.heat_w = 0.0;
    let mut pass = Pass {
        model,
        modes,
        time,
        y,
        found,
        dy,
    };
    pass.potentials()?;
    pass.fluxes()?;
    pass.rates()
}

impl<S: Scalar> Pass<'_, S> {
    // ---- first pass: the volumes' potentials ----

    fn potentials(&mut self) -> Result<(), Fault> {
        for id in 0..self.model.volumes.len() {
            let Some(states) = &self.model.layout.volumes[id] else {
                continue;
            };
            let volume = &self.model.network.volumes[id];
            self.found.sides[id] = match (&volume.kind, &self.model.volumes[id]) {
                (VolumeKind::Vessel(vessel), _) => {
                    let mixture = self.model.mixture(vessel.gas.mixture);
                    let gas = GasSide::from_contents(
                        mixture,
                        &self.y[states.gas_mass.clone()],
                        self.y[states.gas_energy],
                        S::constant(vessel.volume_m3),
                    )
                    .map_err(|e| Fault::of_fluid(&volume.name, &e))?;
                    let wall_k = vessel
                        .wall
                        .as_ref()
                        .zip(states.wall_energy)
                        .map(|(wall, place)| vessel::wall_temperature(wall, self.y[place]));
                    Side::Vessel { gas, wall_k }
                }
                (VolumeKind::Tank(tank), VolumeModel::Tank(model)) => {
                    let mixture = self.model.mixture(tank.gas.mixture);
                    let gravity = self.model.network.surroundings.gravity_m_s2;
                    tank.side(model, mixture, &self.tank_states(states), gravity)
                        .map(Side::Tank)
                        .map_err(|e| Fault::of_fluid(&volume.name, &e))?
                }
                _ => Side::Ambient,
            };
        }
        Ok(())
    }

    fn tank_states(&self, states: &VolumeStates) -> TankStates<'_, S> {
        let (mass, energy) = states
            .liquid
            .map_or((S::zero(), S::zero()), |(m, e)| (self.y[m], self.y[e]));
        TankStates {
            gas_mass: &self.y[states.gas_mass.clone()],
            gas_energy: self.y[states.gas_energy],
            liquid_mass: mass,
            liquid_energy: energy,
            wall_energy: states.wall_energy.map_or(S::zero(), |place| self.y[place]),
        }
    }

    /// The gas at a port.
    fn gas_at(&self, volume: VolumeId, mixture: MixtureId) -> GasSide<S> {
        match &self.found.sides[volume] {
            Side::Ambient => constant_side(&self.model.ambient_gas[mixture]),
            Side::Vessel { gas, .. } => *gas,
            Side::Tank(tank) => tank.gas,
        }
    }

    // ---- second pass: the branches' fluxes ----

    fn fluxes(&mut self) -> Result<(), Fault> {
        for inflow in &mut self.found.inflow {
            inflow.liquid_mass = S::zero();
            inflow.liquid_energy = S::zero();
        }
        for id in 0..self.model.branches.len() {
            let branch = &self.model.network.branches[id];
            self.found.fluxes[id] = match (&branch.kind, &self.model.branches[id]) {
                (BranchKind::GasRestriction(restriction), BranchModel::Restriction(trim)) => {
                    self.restriction(id, branch, restriction, trim.as_ref())?
                }
                (BranchKind::Regulator(regulator), BranchModel::Regulator(curve)) => {
                    self.regulator(id, branch, regulator, curve)?
                }
                (BranchKind::Poppet(valve), _) => self.poppet(id, branch, valve)?,
                (BranchKind::BurstDisc(disc), _) => self.burst_disc(id, branch, disc)?,
                (BranchKind::LiquidChain(_), BranchModel::Chain(chain)) => {
                    self.chain(id, branch, chain)?
                }
                _ => Flux::none(),
            };
        }
        Ok(())
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
        let flow = gas_flow(&restriction.capacity, mixture, &from, &to).map(|flow| flow * opening);
        self.pass_gas(id, branch, flow, &from, &to)
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
        let demand = curve.demand(regulator.lock_up(from.pressure) - to.pressure);
        let lift = self.y[place];
        self.dy[place] = regulator.lift_rate(mode, demand, lift);
        let flow = regulator.flow(mixture, lift, &from, &to);
        self.pass_gas(id, branch, flow, &from, &to)
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
        let flow = valve.flow(mixture, lift, &from, &to);
        self.pass_gas(id, branch, flow, &from, &to)
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
        let flow = disc.flow(mixture, &from, &to);
        self.pass_gas(id, branch, flow, &from, &to)
    }

    fn gas_ends(&self, id: usize, branch: &Branch) -> (GasSide<S>, GasSide<S>) {
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
        let energy = flow * up.enthalpy;
        let species = up.fraction.map(|w| flow * w);
        self.give_gas(branch.from.volume, mixture, &species, energy, -1.0);
        self.give_gas(branch.to.volume, mixture, &species, energy, 1.0);
    }

    fn give_gas(
        &mut self,
        volume: VolumeId,
        mixture: MixtureId,
        species: &[S; MAX_SPECIES],
        energy: S,
        sign: f64,
    ) {
        let (mass, energy_place) = match &self.model.layout.volumes[volume] {
            Some(states) => (states.gas_mass.clone(), states.gas_energy),
            None => {
                let ledgers = &self.model.layout.ledgers;
                (ledgers.ambient_gas[mixture].clone(), ledgers.surroundings)
            }
        };
        for (place, &flow) in mass.zip(species) {
            self.dy[place] += flow * sign;
        }
        self.dy[energy_place] += energy * sign;
    }

    // ---- liquid chains ----

    fn chain(&mut self, id: usize, branch: &Branch, chain: &ChainModel) -> Result<Flux<S>, Fault> {
        let (BranchStates::Chain { flow, mass }, BranchMode::Chain { shut, contents }) =
            (self.model.layout.branches[id], self.modes.branches[id])
        else {
            return Ok(Flux::none());
        };
        let Side::Tank(tank) = self.found.sides[branch.from.volume] else {
            return Ok(Flux::none());
        };
        if shut {
            return Ok(Flux::none());
        }
        if contents == Contents::Gas {
            return self.blow_through(id, branch, chain);
        }
        let column = self.column(&tank, self.y[flow], self.y[mass], contents);
        let sum = chain.sum(&column, &|a| self.travel(a));
        let exit = chain.exit_loss(&column);
        let back = self.back_pressure(branch.to);
        let drive = if contents == Contents::Draining {
            tank.gas.pressure
        } else {
            tank.liquid.outlet_pressure
        };
        let acceleration =
            (drive - back - sum.rise - sum.loss - exit - chain.front_head(&column)) / sum.inertance;
        self.dy[flow] = acceleration;
        self.dy[self.model.layout.ledgers.dissipation] +=
            column.flow * (sum.loss + exit) / column.density;
        self.chain_inflow(id, branch, &tank, &column);
        self.chain_outflow(branch, chain, &tank, &column, mass);
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
            contents,
            gravity_m_s2: self.model.network.surroundings.gravity_m_s2,
        }
    }

    /// Total pressure against which a chain ends.
    fn back_pressure(&self, to: Port) -> S {
        match (&self.found.sides[to.volume], to.phase) {
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
            let species = tank.gas.fraction.map(|w| gas_flow * w);
            let mixture = self.model.branch_mixture[id];
            self.give_gas(
                branch.from.volume,
                mixture,
                &species,
                gas_flow * tank.gas.enthalpy,
                -1.0,
            );
            // The gas stays in the line or leaves it: counted as received by the ambient. Its
            // flow work drives the liquid, only its internal energy arrives.
            let ledgers = &self.model.layout.ledgers;
            let places = ledgers.ambient_gas[mixture].clone();
            let surroundings = ledgers.surroundings;
            for (place, &flow) in places.zip(&species) {
                self.dy[place] += flow;
            }
            self.dy[surroundings] +=
                gas_flow * (tank.gas.enthalpy - tank.gas.pressure / tank.gas.density);
        } else {
            let inflow = &mut self.found.inflow[branch.from.volume];
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
        let Side::Tank(tank) = &self.found.sides[to.volume] else {
            if let Some(place) = ledgers.ambient_liquid[branch.from.volume] {
                self.dy[place] += flow;
            }
            self.dy[ledgers.surroundings] += energy + back_work + lift;
            return;
        };
        let head = flow * tank.liquid.level * self.model.network.surroundings.gravity_m_s2;
        let inflow = &mut self.found.inflow[to.volume];
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
            nozzle_flux(mixture, &from, to.pressure)
        } else {
            nozzle_flux(mixture, &to, from.pressure).map(|g| -g)
        }
        .map(|flux| flux * area);
        self.pass_gas(id, branch, flow, &from, &to)
    }

    // ---- third pass: the volumes' rates ----

    fn rates(&mut self) -> Result<(), Fault> {
        for id in 0..self.model.volumes.len() {
            match (
                &self.model.network.volumes[id].kind,
                &self.model.volumes[id],
            ) {
                (
                    VolumeKind::Vessel(_),
                    VolumeModel::Vessel {
                        gas_heat_capacity_j_k,
                    },
                ) => self.vessel_rates(id, *gas_heat_capacity_j_k)?,
                (VolumeKind::Tank(_), VolumeModel::Tank(model)) => self.tank_rates(id, model)?,
                _ => {}
            }
        }
        Ok(())
    }

    fn vessel_rates(&mut self, id: VolumeId, gas_heat_capacity_j_k: f64) -> Result<(), Fault> {
        let volume = &self.model.network.volumes[id];
        let (VolumeKind::Vessel(vessel), Some(states)) =
            (&volume.kind, &self.model.layout.volumes[id])
        else {
            return Ok(());
        };
        let (
            Some(wall),
            Some(place),
            Side::Vessel {
                gas,
                wall_k: Some(wall_k),
            },
        ) = (&vessel.wall, states.wall_energy, self.found.sides[id])
        else {
            return Ok(());
        };
        let heat = vessel::wall_heat(
            wall,
            self.model.mixture(vessel.gas.mixture),
            &gas,
            wall_k,
            gas_heat_capacity_j_k,
            &self.model.network.surroundings,
        )
        .map_err(|e| Fault::of_fluid(&volume.name, &e))?;
        self.dy[states.gas_energy] += heat.into_gas;
        self.dy[place] += heat.into_wall;
        self.dy[self.model.layout.ledgers.surroundings] += heat.into_surroundings;
        self.found.heat_w += heat.into_gas.value().abs();
        Ok(())
    }

    fn tank_rates(&mut self, id: VolumeId, model: &TankModel) -> Result<(), Fault> {
        let volume = &self.model.network.volumes[id];
        let (VolumeKind::Tank(tank), Some(states), Side::Tank(side)) = (
            &volume.kind,
            &self.model.layout.volumes[id],
            self.found.sides[id],
        ) else {
            return Ok(());
        };
        let rates = tank
            .rates(
                model,
                self.model.mixture(tank.gas.mixture),
                &side,
                &self.found.inflow[id],
                &self.model.network.surroundings,
            )
            .map_err(|e| Fault::of_fluid(&volume.name, &e))?;
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
        self.found.heat_w += rates.gas_heat.value().abs();
        self.found.work_w += (side.gas.pressure * rates.liquid_volume).value().abs();
        Ok(())
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
