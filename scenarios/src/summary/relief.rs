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
                let words = "lifts first at";
                let opens = (EventKind::ReliefLifted, words);
                read_one(run, branch, valve.cracking_pa, opens, into);
            }
            BranchKind::BurstDisc(disc) => {
                let opens = (EventKind::Burst, "bursts at");
                read_one(run, branch, disc.burst_pa, opens, into);
            }
            _ => {}
        }
    }
}

fn read_one(
    run: &Run,
    branch: &Branch,
    set_pa: f64,
    (event, words): (EventKind, &str),
    into: &mut Summary,
) {
    let first = first_event(run.outcome, &branch.name, event, run.whole_s().0);
    // Against a pressure that moves too, the difference is not one of two peaks.
    let behind_is_ambient = matches!(
        run.network.volumes[branch.to.volume].kind,
        VolumeKind::Ambient
    );
    let before = run.extremes(run.volume_name(branch.from.volume), "pressure_pa");
    let margin = before.filter(|_| behind_is_ambient).map(|pressure| {
        let ambient_pa = run.network.surroundings.pressure_pa;
        set_pa - (pressure.greatest.value - ambient_pa)
    });
    let lines = [
        Line(
            "least_margin_pa",
            "least margin below its set pressure",
            PressureDifference,
            margin,
        ),
        Line("first_lift_s", words, Time, first),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
    // What never opened passed nothing worth a line.
    if first.is_some() {
        super::regulator::read_flow(run, branch, into);
    }
}
