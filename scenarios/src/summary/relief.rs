//! Relief valves and burst discs: how near they came, when they opened, what they passed.

use super::cautions::warning;
use super::trace::Trace;
use super::window::first_event;
use super::{Group, Line, Run, Summary};
use crate::gas_paths::{downstream, reached};
use shared::codes;
use shared::quantity::Dimension::{Pressure, PressureDifference, Time};
use shared::quantity::Display;
use sim_core::network::{
    Branch, BranchKind, Duty, Network, Phase, Regulator, VolumeId, VolumeKind,
};
use sim_core::outcome::{EventKind, Outcome, Warning};

/// Lifts in one run beyond which a relief valve is worn by them: common practice, no source.
const MANY_LIFTS: usize = 20;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for branch in &run.network.branches {
        match &branch.kind {
            BranchKind::Poppet(valve) if valve.duty == Duty::Relief => {
                let duty = Safeguard {
                    opens_pa: valve.cracking_pa,
                    margin_words: "least margin below its set pressure",
                    event: EventKind::ReliefLifted,
                    event_words: "lifts first at",
                };
                read_one(run, branch, &duty, into);
            }
            BranchKind::BurstDisc(disc) => {
                let duty = Safeguard {
                    opens_pa: disc.burst_pa,
                    margin_words: "least margin below its burst pressure",
                    event: EventKind::Burst,
                    event_words: "bursts at",
                };
                read_one(run, branch, &duty, into);
            }
            _ => {}
        }
    }
}

/// What limits a pressure by opening.
struct Safeguard {
    /// Difference at which it does.
    opens_pa: f64,
    margin_words: &'static str,
    event: EventKind,
    event_words: &'static str,
}

fn read_one(run: &Run, branch: &Branch, duty: &Safeguard, into: &mut Summary) {
    let first = first_event(run.outcome, &branch.name, duty.event, run.whole_s().0);
    // Against a pressure that moves too, the difference is not one of two peaks.
    let behind_is_ambient = matches!(
        run.network.volumes[branch.to.volume].kind,
        VolumeKind::Ambient
    );
    let highest = highest_pa(run, branch, duty.event, first);
    let margin = highest.filter(|_| behind_is_ambient).map(|highest_pa| {
        let ambient_pa = run.network.surroundings.pressure_pa;
        duty.opens_pa - (highest_pa - ambient_pa)
    });
    let lines = [
        Line(
            "least_margin_pa",
            duty.margin_words,
            PressureDifference,
            margin,
        ),
        Line("first_lift_s", duty.event_words, Time, first),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
    // What never opened passed nothing worth a line.
    if first.is_some() {
        super::regulator::read_flow(run, branch, into);
    }
}

/// The highest pressure before it; a disc that has burst no longer has a margin.
fn highest_pa(run: &Run, branch: &Branch, event: EventKind, first_s: Option<f64>) -> Option<f64> {
    let (component, column) = (run.volume_name(branch.from.volume), "pressure_pa");
    match first_s {
        Some(at_s) if event == EventKind::Burst => {
            let pressure = run.trace(component, column)?;
            Some(pressure.maximum(run.whole_s().0, at_s).1)
        }
        _ => Some(run.extremes(component, column)?.greatest.value),
    }
}

/// Relief valves and burst discs that work in a run, which they are not there for.
pub(super) fn cautions(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let branches = network.branches.iter();
    let reliefs = branches.filter_map(|b| Some((b, b.relieves_at_pa()?)));
    let of_each = reliefs.flat_map(|(branch, set_pa)| {
        [
            lifts(branch, outcome, display),
            below_lock_up(branch, set_pa, network, display),
            cycles(branch, outcome),
        ]
    });
    of_each.flatten().collect()
}

fn lifts_of<'a>(branch: &'a Branch, outcome: &'a Outcome) -> impl Iterator<Item = f64> + 'a {
    let events = outcome.events.iter();
    let opens = [EventKind::ReliefLifted, EventKind::Burst];
    let own = events.filter(move |e| e.component == branch.name && opens.contains(&e.kind));
    // One whose set pressure is passed at the start begins open, without an event.
    let lift = Trace::of_component(&outcome.history, &branch.name, "lift_1");
    let at_start = lift.and_then(|lift| {
        let (first_s, _) = lift.span_s();
        (lift.before(first_s) > 0.0).then_some(first_s)
    });
    at_start.into_iter().chain(own.map(|e| e.time_s))
}

fn lifts(branch: &Branch, outcome: &Outcome, display: &Display) -> Option<Warning> {
    let message = format!(
        "{}: opens at {}, in a run in which nothing has failed: what it is there for would come on top \
         of that",
        branch.name,
        display.text(Time, lifts_of(branch, outcome).next()?)
    );
    Some(warning(&codes::RELIEF_LIFTS, message))
}

fn cycles(branch: &Branch, outcome: &Outcome) -> Option<Warning> {
    let count = lifts_of(branch, outcome).count();
    let message = format!(
        "{}: lifts {count} times (warned above {MANY_LIFTS}): a valve that hammers on its seat wears and \
         leaks",
        branch.name
    );
    (count > MANY_LIFTS).then(|| warning(&codes::RELIEF_CYCLES, message))
}

/// A relief valve of a volume that a regulator fills to above its set pressure.
fn below_lock_up(
    branch: &Branch,
    set_pa: f64,
    network: &Network,
    display: &Display,
) -> Option<Warning> {
    let opens_pa = set_pa + network.surroundings.pressure_pa;
    let feeds = network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::Regulator(regulator) if is_fed(network, b, branch.from.volume) => {
            Some((&b.name, regulator))
        }
        _ => None,
    });
    let lock_up_pa = |(_, regulator): &(&String, &Regulator)| regulator.lock_up_pa;
    let highest = feeds.max_by(|a, b| lock_up_pa(a).total_cmp(&lock_up_pa(b)))?;
    let message = format!(
        "{}: set to {}, not above the lock-up pressure {} of {}: without flow it stays open",
        branch.name,
        display.text(Pressure, opens_pa),
        display.text(Pressure, lock_up_pa(&highest)),
        highest.0
    );
    (opens_pa <= lock_up_pa(&highest)).then(|| warning(&codes::RELIEF_BELOW_LOCK_UP, message))
}

/// Whether gas of a regulator reaches a volume without passing another regulator.
fn is_fed(network: &Network, regulator: &Branch, volume: VolumeId) -> bool {
    let is_passage =
        |kind: &BranchKind| !matches!(kind, BranchKind::Regulator(_) | BranchKind::LiquidChain(_));
    reached_from(network, regulator, is_passage).contains(&volume)
}

/// Volumes that the gas behind a regulator gets into through what lets it pass.
pub(super) fn reached_from(
    network: &Network,
    regulator: &Branch,
    is_passage: impl Fn(&BranchKind) -> bool,
) -> Vec<VolumeId> {
    reached(network, vec![regulator.to.volume], |branch| {
        let leads_to_air = matches!(network.volumes[branch.to.volume].kind, VolumeKind::Ambient);
        if is_passage(&branch.kind) && !leads_to_air && branch.from.phase == Phase::Gas {
            downstream(branch)
        } else {
            Vec::new()
        }
    })
}
