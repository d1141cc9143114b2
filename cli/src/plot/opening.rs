//! The first second about the command that opens the run valve.

use super::chart::{Chart, Series, told_apart};
use super::stack::{Mark, Stack};
use super::subject::Subject;
use scenarios::summary::window::flow_windows;
use shared::quantity::Dimension;

/// From shortly before the command to this long after it.
const SHOWN_S: (f64, f64) = (-0.1, 1.0);

/// Pressures, flow and travel of each liquid flow that a command opens.
#[must_use]
pub fn stacks(subject: &Subject) -> Vec<(String, Stack)> {
    let flows = subject.liquid_flows().into_iter();
    flows
        .filter_map(|valve| Some((valve.to_owned(), stack(subject, valve)?)))
        .collect()
}

fn stack(subject: &Subject, valve: &str) -> Option<Stack> {
    let command = subject.summary.get(&format!("{valve}.command_s"))?;
    let flow = subject.series(valve, "mass_flow_kg_s", Dimension::MassFlow)?;
    let travel = subject.series(valve, "travel_1", Dimension::Fraction)?;
    let charts = [
        (
            subject.axis("Pressure", Dimension::Pressure),
            pressures(subject, valve),
            1.6,
        ),
        (subject.axis("Flow", Dimension::MassFlow), vec![flow], 1.2),
        ("Travel, 0 shut to 1 open".to_owned(), vec![travel], 0.8),
    ];
    let from_command = |mut series: Series| {
        series.points.iter_mut().for_each(|p| p.0 -= command);
        series.band.iter_mut().for_each(|p| p.0 -= command);
        series
    };
    let charts = charts.into_iter().map(|(quantity, series, weight)| Chart {
        quantity,
        series: told_apart(series.into_iter().map(from_command).collect()),
        guides: Vec::new(),
        notes: Vec::new(),
        weight,
    });
    Some(Stack {
        title: title(subject, valve),
        x_quantity: subject.time_axis(&format!("Time from the command to {valve}")),
        x_range: SHOWN_S,
        marks: marks(subject, valve),
        charts: charts.collect(),
    })
}

/// The tank, what feeds it, and the inlet of the valve. A bottle is far above them.
fn pressures(subject: &Subject, valve: &str) -> Vec<Series> {
    let network = subject.network;
    let windows = flow_windows(network, subject.outcome);
    let Some(tank) = windows.iter().find(|w| w.name == valve).map(|w| w.tank) else {
        return Vec::new();
    };
    let name = |id: usize| network.volumes[id].name.as_str();
    let highest = |id| {
        let peak = format!("{}.peak_pressure_pa", name(id));
        subject.summary.get(&peak).unwrap_or(f64::INFINITY)
    };
    let feeds = network.branches.iter().filter(|b| b.to.volume == tank);
    let feeds = feeds.map(|b| b.from.volume);
    let near = feeds.filter(|&id| highest(id) < 2.0 * highest(tank));
    let volumes = near.chain([tank]);
    let volumes =
        volumes.filter_map(|id| subject.series(name(id), "pressure_pa", Dimension::Pressure));
    let inlet = subject.series(valve, "inlet_pressure_pa", Dimension::Pressure);
    let inlet = inlet.map(|s| Series {
        name: format!("{valve} inlet"),
        ..s
    });
    volumes.chain(inlet).collect()
}

fn marks(subject: &Subject, valve: &str) -> Vec<Mark> {
    let figure = |suffix| subject.summary.get(&format!("{valve}.{suffix}"));
    let delay = figure("delay_s").map(|x| (x, "moves"));
    let reached = figure("time_to_90_s").map(|x| (x, "90 % of steady flow"));
    let marks = [Some((0.0, "command")), delay, reached];
    let marks = marks.into_iter().flatten();
    marks
        .filter(|&(x, _)| x <= SHOWN_S.1)
        .map(|(x, label)| Mark {
            x,
            label: label.to_owned(),
        })
        .collect()
}

fn title(subject: &Subject, valve: &str) -> String {
    match subject.figure(&format!("{valve}.time_to_90_s")) {
        Some(after) => format!("{valve} opens: 90 % of steady flow {after} after the command"),
        None => format!("{valve} opens"),
    }
}
