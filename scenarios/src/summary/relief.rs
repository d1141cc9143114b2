//! Relief valves and burst discs: how near they came, when they opened, what they passed.

use super::window::first_event;
use super::{Group, Line, Run, Summary};
use shared::quantity::Dimension::{PressureDifference, Time};
use sim_core::network::{Branch, BranchKind, Duty, VolumeKind};
use sim_core::outcome::EventKind;

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
