//! Pressures of all volumes, with set points and limits.

use super::chart::{Chart, Guide, Series, Shown, told_apart};
use super::look;
use super::stack::Stack;
use super::subject::Subject;
use shared::quantity::Dimension;
use sim_core::network::BranchKind;

/// Volumes whose highest pressures differ by more than this share no panel.
const PANEL_RATIO: f64 = 2.0;

/// The stack of pressure panels, high pressures on top.
#[must_use]
pub fn stack(subject: &Subject) -> Option<Stack> {
    let volumes = subject.volumes();
    let mut lines: Vec<(f64, Series)> = volumes
        .iter()
        .filter_map(|v| {
            let series = subject.series(v, "pressure_pa", Dimension::Pressure)?;
            let highest = subject.summary.get(&format!("{v}.peak_pressure_pa"))?;
            Some((highest, series))
        })
        .collect();
    lines.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut groups: Vec<Vec<(f64, Series)>> = Vec::new();
    for line in lines {
        match groups.last_mut() {
            Some(group) if group[group.len() - 1].0 < PANEL_RATIO * line.0 => group.push(line),
            _ => groups.push(vec![line]),
        }
    }
    let last = groups.len().checked_sub(1)?;
    let charts = groups.into_iter().enumerate();
    let charts = charts.map(|(i, g)| chart(subject, g, i == last));
    Stack::over_time(subject, title, charts)
}

/// The panel of the lowest pressures is the one that is read closely: it is the tallest.
fn chart(subject: &Subject, group: Vec<(f64, Series)>, lowest: bool) -> Chart {
    let series: Vec<Series> = group.into_iter().map(|(_, s)| s).collect();
    let names: Vec<&str> = series.iter().map(|s| s.name.as_str()).collect();
    let mut guides = set_points(subject, &names);
    guides.extend(subject.limit_guides(&names, "pressure", Dimension::Pressure));
    Chart {
        quantity: subject.axis("Pressure", Dimension::Pressure),
        series: told_apart(series),
        guides,
        notes: Vec::new(),
        shown: Shown::default(),
        weight: if lowest { 1.8 } else { 1.0 },
    }
}

/// Set points of the regulators that feed one of the volumes.
fn set_points(subject: &Subject, volumes: &[&str]) -> Vec<Guide> {
    let branches = subject.network.branches.iter();
    branches
        .filter_map(|branch| {
            let BranchKind::Regulator(regulator) = &branch.kind else {
                return None;
            };
            let outlet = subject.network.volumes[branch.to.volume].name.as_str();
            volumes.contains(&outlet).then(|| {
                let set = subject.text(Dimension::Pressure, regulator.lock_up_pa);
                Guide {
                    label: format!("set point of {} {set}", branch.name),
                    y: subject
                        .display
                        .value(Dimension::Pressure, regulator.lock_up_pa),
                    stroke: look::set_point(),
                }
            })
        })
        .collect()
}

/// What the first tank's pressure does.
fn title(subject: &Subject) -> String {
    let from_tank = subject.tanks().first().and_then(|tank| {
        let start = subject.figure(&format!("{tank}.pressure_start_pa"))?;
        let early = subject.figure(&format!("{tank}.pressure_0_5_s_pa"));
        let end = subject.figure(&format!("{tank}.pressure_end_pa"))?;
        let early = early
            .map(|p| format!(", {p} half a second later"))
            .unwrap_or_default();
        Some(format!(
            "{tank}: {start} at the command{early}, {end} at the end of the flow"
        ))
    });
    from_tank.unwrap_or_else(|| "Pressures".to_owned())
}
