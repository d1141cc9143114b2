//! The highest pressure of every volume and of every place in a liquid chain.

use super::{Group, Line, Run, Summary};
use shared::quantity::Dimension::{Pressure, Time};
use sim_core::network::{BranchKind, VolumeKind};

pub(super) fn read(run: &Run, into: &mut Summary) {
    let volumes = run.network.volumes.iter();
    for volume in volumes.filter(|v| !matches!(v.kind, VolumeKind::Ambient)) {
        read_peak(run, &volume.name, "pressure_pa", "highest pressure", into);
    }
    for branch in &run.network.branches {
        let BranchKind::LiquidChain(chain) = &branch.kind else {
            continue;
        };
        for element in &chain.elements {
            read_peak(
                run,
                &element.name,
                "inlet_pressure_pa",
                "highest inlet pressure",
                into,
            );
        }
    }
}

fn read_peak(run: &Run, component: &str, column: &str, label: &str, into: &mut Summary) {
    let Some(extremes) = run.extremes(component, column) else {
        return;
    };
    let peak = extremes.greatest;
    let value_suffix = format!("peak_{column}");
    let time_suffix = format!("peak_{}_time_s", column.trim_end_matches("_pa"));
    let time_label = format!("{label} at");
    let lines = [
        Line(&value_suffix, label, Pressure, Some(peak.value)),
        Line(&time_suffix, &time_label, Time, Some(peak.time_s)),
    ];
    into.add(Group::Peaks, component, &lines);
}
