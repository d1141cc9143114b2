//! Where the pressure goes: what each cause takes on the way from lock-up to the tank.
//!
//! Each cause can be taken out of the network. With several causes the order in which they are
//! taken out matters; the mean over all orders (L. S. Shapley, A value for n-person games, 1953)
//! does not, and its parts sum to the whole. Five causes take 32 runs.

use super::parallel::{Progress, gathered};
use crate::CheckedStand;
use crate::predict::in_words;
use crate::summary::Summary;
use fluids::Solid;
use sim_core::network::{
    Branch, BranchKind, Droop, Duty, HeatTransfer, Network, Phase, Posture, Regulator, Vessel,
    VolumeId, VolumeKind, Wall,
};
use sim_core::simulate;
use std::sync::Arc;
use thiserror::Error;

/// A cause of loss that can be taken out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cause {
    /// Regulators whose outlet falls as they open, and whose seat is too small.
    Droop,
    /// The supply that falls as it is used up.
    SupplyFall,
    /// The gas of the bottle that cools.
    BottleCooling,
    /// The gas in the ullage that gives its heat to liquid and wall.
    Collapse,
    /// Check valves, valves and orifices between regulator and tank.
    LineLoss,
}

impl Cause {
    /// All causes.
    pub const ALL: [Self; 5] = [
        Self::Droop,
        Self::SupplyFall,
        Self::BottleCooling,
        Self::Collapse,
        Self::LineLoss,
    ];

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Droop => "regulator: droop and size of its seat",
            Self::SupplyFall => "supply pressure that falls",
            Self::BottleCooling => "gas of the bottle that cools",
            Self::Collapse => "ullage gas that gives heat away",
            Self::LineLoss => "check valves and restrictions up to the tank",
        }
    }

    /// A network without this cause.
    pub fn take_out(self, network: &mut Network) {
        match self {
            Self::Droop => regulators(network, |regulator| {
                regulator.droop = Droop::Linear {
                    full_pa: NO_DROOP_PA,
                };
                regulator.hysteresis_pa = 0.0;
                regulator.capacity = regulator.capacity.scaled(LARGE);
                regulator.response_s *= AT_ONCE;
            }),
            Self::SupplyFall => {
                regulators(network, |regulator| regulator.supply_effect = 0.0);
                bottles(network, |vessel| {
                    vessel.volume_m3 *= ENDLESS;
                    if let Some(wall) = &mut vessel.wall {
                        wall.mass_kg *= ENDLESS;
                        wall.inner_area_m2 *= ENDLESS;
                    }
                    if let Some(overwrap) = &mut vessel.overwrap {
                        overwrap.mass_kg *= ENDLESS;
                        overwrap.to_liner_w_k *= ENDLESS;
                    }
                });
            }
            Self::BottleCooling => bottles(network, |vessel| {
                vessel.wall = Some(isothermal(vessel));
                vessel.overwrap = None;
            }),
            Self::Collapse => {
                for volume in &mut network.volumes {
                    if let VolumeKind::Tank(tank) = &mut volume.kind {
                        tank.interface = HeatTransfer::None;
                        if let Some(wall) = &mut tank.wall {
                            wall.inside = HeatTransfer::None;
                        }
                    }
                }
            }
            Self::LineLoss => {
                for branch in &mut network.branches {
                    match &mut branch.kind {
                        BranchKind::Poppet(valve) if valve.duty == Duty::Check => {
                            valve.capacity = valve.capacity.scaled(LARGE);
                            for pa in [
                                &mut valve.cracking_pa,
                                &mut valve.full_open_pa,
                                &mut valve.reseat_pa,
                            ] {
                                *pa /= LARGE * LARGE;
                            }
                        }
                        BranchKind::GasRestriction(restriction) => {
                            restriction.capacity = restriction.capacity.scaled(LARGE);
                        }
                        BranchKind::Poppet(_)
                        | BranchKind::BurstDisc(_)
                        | BranchKind::Regulator(_)
                        | BranchKind::LiquidChain(_) => {}
                    }
                }
            }
        }
    }
}

/// A droop that no gauge shows.
const NO_DROOP_PA: f64 = 2e3;
/// Part of its response time in which a regulator without droop follows: its loop is steeper by what its
/// droop is less and its seat more, and would hunt for ever with the lag of a gentle one.
const AT_ONCE: f64 = 1e-3;
/// Times which a restriction counts as none: its loss falls with the square.
const LARGE: f64 = 8.0;
/// Times which a bottle's pressure hardly falls.
const ENDLESS: f64 = 1e3;
/// What a wall of which only the temperature counts is made of.
const MATERIAL: &str = "carbon steel";

/// A wall that holds a vessel's gas at its start temperature, also where it had none. Only its
/// temperature counts: in perfect contact it is a reservoir.
fn isothermal(vessel: &Vessel) -> Wall {
    let of_no_account = || Wall {
        mass_kg: 1.0,
        material: Arc::new(Solid::named(MATERIAL).expect("it is among the materials")),
        inner_area_m2: 1.0,
        posture: Posture::Upright,
        height_m: 1.0,
        temperature_k: vessel.gas.temperature_k,
        inside: HeatTransfer::Isothermal,
        inside_multiplier: 1.0,
        outside_w_m2_k: 0.0,
    };
    Wall {
        inside: HeatTransfer::Isothermal,
        ..vessel.wall.clone().unwrap_or_else(of_no_account)
    }
}

fn regulators(network: &mut Network, change: impl Fn(&mut Regulator)) {
    for branch in &mut network.branches {
        if let BranchKind::Regulator(regulator) = &mut branch.kind {
            change(regulator);
        }
    }
}

/// Changes the vessels that give and are not fed.
fn bottles(network: &mut Network, change: impl Fn(&mut Vessel)) {
    let is_fed = |id: VolumeId, branches: &[Branch]| {
        let mut branches = branches.iter();
        branches.any(|b| b.to.volume == id && b.to.phase == Phase::Gas)
    };
    for (id, volume) in network.volumes.iter_mut().enumerate() {
        if let VolumeKind::Vessel(vessel) = &mut volume.kind
            && !is_fed(id, &network.branches)
        {
            change(vessel);
        }
    }
}

/// What a cause takes of one pressure.
#[derive(Clone, Debug, PartialEq)]
pub struct Loss {
    /// The cause.
    pub cause: Cause,
    /// In Pa; negative if it gives.
    pub pa: f64,
}

/// The budget of one figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Budget {
    /// The tank's pressure figure, for example `fuel.pressure_end_pa`.
    pub figure: String,
    /// Set pressure of the regulator that feeds the tank, from which is counted, Pa.
    pub lock_up_pa: f64,
    /// The pressure of the run, Pa.
    pub pressure_pa: f64,
    /// What each cause takes.
    pub losses: Vec<Loss>,
    /// What is left with all causes taken out: inertia, overshoot, liquid column.
    pub rest_pa: f64,
}

/// Why there is no budget.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum NoBudget {
    /// There is no set pressure to count from.
    #[error("no regulator feeds a tank")]
    NoRegulator,
    /// A run ended early.
    #[error("{} ended at {time_s:.3} s: {message}", the_run_without(.causes))]
    Failed {
        /// What was taken out of it.
        causes: Vec<Cause>,
        /// When it ended.
        time_s: f64,
        /// Why, in the units of the stand.
        message: String,
    },
    /// The runs lack both figures.
    #[error(
        "the runs tell no pressure of {tank} half a second after a command nor at the end of its flow: open its valve"
    )]
    NoFlow {
        /// The tank.
        tank: String,
    },
}

fn the_run_without(causes: &[Cause]) -> String {
    let words: Vec<String> = causes
        .iter()
        .map(|c| format!("\"{}\"", c.words()))
        .collect();
    match words.as_slice() {
        [] => "the run itself".to_owned(),
        words => format!("the run without {}", words.join(", ")),
    }
}

/// Budgets of the tank's pressure half a second after the command and at the end of the flow, as
/// far as the runs tell both.
///
/// # Errors
/// If no regulator feeds a tank, a run fails (the one told is without the fewest causes), or
/// nothing flows.
pub fn loss_budgets(stand: &CheckedStand, progress: Progress<'_>) -> Result<Vec<Budget>, NoBudget> {
    let network = stand.lower();
    let (tank, lock_up_pa) = fed_tank(&network).ok_or(NoBudget::NoRegulator)?;
    let suffixes = ["pressure_0_5_s_pa", "pressure_end_pa"];
    let figures = suffixes.map(|s| format!("{tank}.{s}"));
    let causes = Cause::ALL.len();
    let runs = gathered(1 << causes, progress, |set| {
        let summary = run_without(stand, &network, &causes_of(set))?;
        Ok(figures.each_ref().map(|name| summary.get(name)))
    });
    let runs = all_or_simplest(runs)?;
    let budget = |(i, figure): (usize, &String)| {
        let values: Vec<f64> = runs.iter().map(|r| r[i]).collect::<Option<_>>()?;
        let losses = Cause::ALL.iter().enumerate();
        Some(Budget {
            figure: figure.clone(),
            lock_up_pa,
            pressure_pa: values[0],
            losses: losses
                .map(|(k, &cause)| Loss {
                    cause,
                    pa: mean_gain(&values, k, causes),
                })
                .collect(),
            rest_pa: lock_up_pa - values[values.len() - 1],
        })
    };
    let budgets: Vec<Budget> = figures.iter().enumerate().filter_map(budget).collect();
    if budgets.is_empty() {
        return Err(NoBudget::NoFlow { tank });
    }
    Ok(budgets)
}

/// The causes in a set, a bit for each.
fn causes_of(set: usize) -> Vec<Cause> {
    let causes = Cause::ALL.into_iter().enumerate();
    let causes = causes.filter(|(i, _)| set >> i & 1 == 1);
    causes.map(|(_, cause)| cause).collect()
}

fn run_without(
    stand: &CheckedStand,
    network: &Network,
    causes: &[Cause],
) -> Result<Summary, NoBudget> {
    let mut changed = network.clone();
    for cause in causes {
        cause.take_out(&mut changed);
    }
    let outcome = in_words(simulate(&changed, &stand.run), &changed, &stand.display);
    match &outcome.failure {
        None => Ok(Summary::of(&changed, &outcome)),
        Some(failure) => Err(NoBudget::Failed {
            causes: causes.to_vec(),
            time_s: failure.time_s,
            message: failure.message.clone(),
        }),
    }
}

/// All runs, by the set of what is out; of those that failed the one without the fewest causes.
fn all_or_simplest<T>(runs: Vec<Result<T, NoBudget>>) -> Result<Vec<T>, NoBudget> {
    let failed = |set: &usize| runs[*set].is_err();
    let simplest = (0..runs.len())
        .filter(failed)
        .min_by_key(|set| set.count_ones());
    match simplest {
        None => runs.into_iter().collect(),
        Some(set) => runs.into_iter().skip(set).take(1).collect(),
    }
}

/// What taking out cause `k` gains, over all orders; `values` by the set of what is out.
#[must_use]
pub fn mean_gain(values: &[f64], k: usize, causes: usize) -> f64 {
    let without_k = (0..values.len()).filter(|set| set >> k & 1 == 0);
    without_k
        .map(|set| {
            let size = set.count_ones() as usize;
            let weight = factorial(size) * factorial(causes - size - 1) / factorial(causes);
            weight * (values[set | 1 << k] - values[set])
        })
        .sum()
}

fn factorial(n: usize) -> f64 {
    (1..=n).map(|i| i as f64).product()
}

fn is_ambient(network: &Network, id: VolumeId) -> bool {
    matches!(network.volumes[id].kind, VolumeKind::Ambient)
}

/// The first tank that a regulator leads to, over whatever stands between, and its set pressure.
fn fed_tank(network: &Network) -> Option<(String, f64)> {
    let regulator = network.branches.iter().find_map(|b| match &b.kind {
        BranchKind::Regulator(regulator) => Some((b, regulator)),
        _ => None,
    });
    let (branch, regulator) = regulator?;
    let mut at = branch.to.volume;
    for _ in 0..network.branches.len() + 1 {
        let volume = network.volumes.get(at)?;
        if let VolumeKind::Tank(_) = volume.kind {
            return Some((volume.name.clone(), regulator.lock_up_pa));
        }
        // What leads out into the open, a vent or a relief, feeds no tank.
        let leads_on = |b: &&Branch| b.from.volume == at && !is_ambient(network, b.to.volume);
        let next = network.branches.iter().find(leads_on);
        at = next?.to.volume;
    }
    None
}
