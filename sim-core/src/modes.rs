//! The discrete side of a run: which law each component follows between two events.

use crate::components::actuator::Motion;
use crate::components::chain::{Contents, SHUT_FRACTION};
use crate::components::outlet_dip::dip_height_m;
use crate::components::poppet::PoppetMode;
use crate::components::regulator::{Demand, DemandCurve, RegulatorMode};
use crate::evaluate::{Evaluation, Side};
use crate::layout::BranchStates;
use crate::model::{BranchModel, Model, VolumeModel};
use crate::network::{Branch, BranchKind, Duty, Regulator, VolumeKind};

/// Mode of one branch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BranchMode {
    /// Has only one law.
    Plain,
    /// A gas valve, shut or not.
    Valve {
        /// Flow held at zero.
        shut: bool,
    },
    /// A regulator's demand.
    Regulator(RegulatorMode),
    /// A check or relief valve's demand.
    Poppet(PoppetMode),
    /// A burst disc.
    BurstDisc {
        /// Not burst yet.
        whole: bool,
    },
    /// A liquid chain.
    Chain {
        /// Flow held at zero.
        shut: bool,
        /// What fills it.
        contents: Contents,
        /// Index of the restriction that chokes, once it is full.
        choking: Option<usize>,
    },
}

/// All modes of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct Modes {
    /// By branch.
    pub branches: Vec<BranchMode>,
    /// By actuator: the last move.
    pub motions: Vec<Motion>,
    /// By actuator: the order whose delay is not over yet.
    pub orders: Vec<Option<Order>>,
    /// By command: whether it has been given.
    pub given: Vec<bool>,
    /// By command: whether its condition has been false, so that it can come true.
    pub armed: Vec<bool>,
}

/// An order on its way to a stem.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Order {
    /// Travel wanted.
    pub to: f64,
    /// When the stem obeys.
    pub begins_s: f64,
}

impl Modes {
    /// The modes before the first evaluation: everything shut, chains as primed.
    #[must_use]
    pub fn at_rest(model: &Model) -> Self {
        let motions: Vec<_> = model
            .network
            .actuators
            .iter()
            .map(|actuator| Motion::rest(actuator.initial))
            .collect();
        let branches = model
            .network
            .branches
            .iter()
            .zip(&model.branches)
            .map(|(branch, prepared)| match (&branch.kind, prepared) {
                (BranchKind::GasRestriction(r), _) => match &r.valve {
                    None => BranchMode::Plain,
                    Some(valve) => BranchMode::Valve {
                        shut: motions[valve.actuator].to <= 0.0,
                    },
                },
                (BranchKind::Regulator(_), _) => BranchMode::Regulator(RegulatorMode::Shut),
                (BranchKind::Poppet(_), _) => BranchMode::Poppet(PoppetMode::Seated),
                (BranchKind::BurstDisc(_), _) => BranchMode::BurstDisc { whole: true },
                (BranchKind::LiquidChain(chain), BranchModel::Chain(built)) => BranchMode::Chain {
                    shut: built.opening(&|a| motions[a].to) <= SHUT_FRACTION,
                    // Liquid up to the end within a part in 1e9 is liquid up to the end.
                    contents: if chain.primed_m3 >= built.volume_m3() * (1.0 - 1e-9) {
                        Contents::Full
                    } else {
                        Contents::Priming
                    },
                    choking: None,
                },
                (BranchKind::LiquidChain(_), _) => BranchMode::Plain,
            })
            .collect();
        Self {
            branches,
            orders: vec![None; motions.len()],
            motions,
            given: vec![false; model.network.commands.len()],
            armed: vec![false; model.network.commands.len()],
        }
    }

    /// Fits the modes of regulators and check valves to the potentials at the start.
    pub fn fit_start(&mut self, model: &Model, found: &Evaluation<f64>) {
        for (id, branch) in model.network.branches.iter().enumerate() {
            match (&branch.kind, &model.branches[id]) {
                (BranchKind::Regulator(regulator), BranchModel::Regulator(curve)) => {
                    let demand = regulator_demand(model, found, branch, regulator, curve);
                    self.branches[id] = BranchMode::Regulator(RegulatorMode::of_demand(demand));
                }
                (BranchKind::Poppet(valve), _) => {
                    let difference = pressure_difference_pa(model, found, id);
                    self.branches[id] = BranchMode::Poppet(valve.mode_at_rest(difference));
                }
                _ => {}
            }
        }
    }

    /// The lifts at which relief valves stand at the start, each with its place among the states:
    /// what starts above a set pressure found its relief open. A check valve starts shut, because
    /// what starts with a difference across it was just connected.
    pub fn resting_reliefs(&self, model: &Model, found: &Evaluation<f64>) -> Vec<(usize, f64)> {
        let branches = model.network.branches.iter().enumerate();
        let resting = branches.filter_map(|(id, branch)| {
            let (BranchKind::Poppet(valve), BranchMode::Poppet(mode), BranchStates::Lift(place)) =
                (&branch.kind, self.branches[id], model.layout.branches[id])
            else {
                return None;
            };
            let difference = pressure_difference_pa(model, found, id);
            (valve.duty == Duty::Relief).then(|| (place, valve.target(mode, difference)))
        });
        resting.collect()
    }
}

/// Gas pressure at a volume, Pa.
#[must_use]
pub fn gas_pressure_pa(model: &Model, found: &Evaluation<f64>, volume: usize) -> f64 {
    match &found.sides[volume] {
        Side::Ambient => model.network.surroundings.pressure_pa,
        Side::Vessel { gas, .. } => gas.pressure,
        Side::Tank(tank) => tank.gas.pressure,
    }
}

/// Upstream less downstream gas pressure of a branch, Pa.
#[must_use]
pub fn pressure_difference_pa(model: &Model, found: &Evaluation<f64>, branch: usize) -> f64 {
    let ends = &model.network.branches[branch];
    gas_pressure_pa(model, found, ends.from.volume) - gas_pressure_pa(model, found, ends.to.volume)
}

/// Lifts that a regulator's droop asks for.
#[must_use]
pub fn regulator_demand(
    model: &Model,
    found: &Evaluation<f64>,
    ends: &Branch,
    regulator: &Regulator,
    curve: &DemandCurve,
) -> Demand<f64> {
    let supply = gas_pressure_pa(model, found, ends.from.volume);
    let outlet = gas_pressure_pa(model, found, ends.to.volume);
    regulator.demand(curve, supply, outlet)
}

/// Liquid volume left before gas follows it out of a tank from which so many m3/s flow, m3; in
/// scale where a dip over the outlet draws the gas.
#[must_use]
pub fn before_gas_m3(model: &Model, found: &Evaluation<f64>, volume: usize, flow_m3_s: f64) -> f64 {
    let left_m3 = above_residual_m3(model, found, volume);
    match (
        &model.network.volumes[volume].kind,
        &model.volumes[volume],
        &found.sides[volume],
    ) {
        (VolumeKind::Tank(tank), VolumeModel::Tank(built), Side::Tank(side)) if tank.dips => {
            let dip_m = dip_height_m(flow_m3_s, model.network.surroundings.gravity_m_s2);
            let mean_m2 = built.geometry.volume_m3() / built.geometry.height_m();
            left_m3.min((side.liquid.level - dip_m) * mean_m2)
        }
        _ => left_m3,
    }
}

/// Liquid volume left above a tank's residual, m3.
#[must_use]
pub fn above_residual_m3(model: &Model, found: &Evaluation<f64>, volume: usize) -> f64 {
    match (&model.network.volumes[volume].kind, &found.sides[volume]) {
        (VolumeKind::Tank(tank), Side::Tank(side)) => side.liquid.volume - tank.residual_m3,
        _ => f64::INFINITY,
    }
}
