//! The highest pressure of every volume and of every place in a liquid chain, and when it is
//! reached: a plateau has its highest instant anywhere, but begins at one. A line before a valve has
//! its highest pressure at its outlet where that shuts fast.

use super::trace::Trace;
use super::{Group, Line, Run, Summary};
use shared::quantity::Dimension::{Pressure, Time};
use sim_core::network::{BranchKind, ChainElement, ElementKind, VolumeKind};
use sim_core::outcome::{Extremes, Outcome};

/// Part of its range by which a column may lie below its peak and count as there.
const REACHED: f64 = 1e-4;

pub(super) fn read(run: &Run, into: &mut Summary) {
    let volumes = run.network.volumes.iter();
    for volume in volumes.filter(|v| !matches!(v.kind, VolumeKind::Ambient)) {
        read_peak(run, &volume.name, "pressure_pa", "highest pressure", into);
    }
    for branch in &run.network.branches {
        let BranchKind::LiquidChain(chain) = &branch.kind else {
            continue;
        };
        for (place, element) in chain.elements.iter().enumerate() {
            let behind = &chain.elements[place + 1..];
            read_peak(
                run,
                &element.name,
                "inlet_pressure_pa",
                "highest inlet pressure",
                into,
            );
            if is_line(element) && behind.iter().any(is_valve) {
                let label = "highest outlet pressure";
                read_peak(run, &element.name, "outlet_pressure_pa", label, into);
            }
        }
    }
}

fn is_line(element: &ChainElement) -> bool {
    matches!(element.kind, ElementKind::Line(_))
}

fn is_valve(element: &ChainElement) -> bool {
    matches!(element.kind, ElementKind::Valve { .. })
}

fn read_peak(run: &Run, component: &str, column: &str, label: &str, into: &mut Summary) {
    let Some(extremes) = run.extremes(component, column) else {
        return;
    };
    let peak = extremes.greatest;
    let reached_s = reached_s(run.outcome, &format!("{component}.{column}"), extremes);
    let value_suffix = format!("peak_{column}");
    let time_suffix = format!("peak_{}_time_s", column.trim_end_matches("_pa"));
    let time_label = format!("{label} at");
    let lines = [
        Line(&value_suffix, label, Pressure, Some(peak.value)),
        Line(&time_suffix, &time_label, Time, Some(reached_s)),
    ];
    into.add(Group::Peaks, component, &lines);
}

/// The first instant at which a column is at its peak, or as good as.
pub(super) fn reached_s(outcome: &Outcome, column: &str, extremes: &Extremes) -> f64 {
    let (least, greatest) = (extremes.least.value, extremes.greatest);
    let level = greatest.value - REACHED * (greatest.value - least);
    let reached = Trace::of(&outcome.history, column).and_then(|trace| {
        let (first, last) = trace.span_s();
        trace.first_reach(level, first, last)
    });
    // A peak between two rows is reached in neither.
    reached.map_or(greatest.time_s, |t| t.min(greatest.time_s))
}
