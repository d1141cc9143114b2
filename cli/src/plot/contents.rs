//! What the tanks hold: liquid mass and level.

use super::chart::{Chart, Shown, told_apart};
use super::stack::Stack;
use super::subject::Subject;
use scenarios::summary::window::{FlowEnd, flow_windows};
use shared::quantity::Dimension;

/// Liquid mass above, level below.
#[must_use]
pub fn stack(subject: &Subject) -> Option<Stack> {
    let mass = chart(subject, "Liquid", "liquid_mass", "kg", Dimension::Mass);
    let level = chart(subject, "Level", "level", "m", Dimension::Length);
    Stack::over_time(subject, title, [mass, level].into_iter().flatten())
}

fn chart(
    subject: &Subject,
    words: &str,
    quantity: &str,
    unit: &str,
    dimension: Dimension,
) -> Option<Chart> {
    let tanks = subject.tanks();
    let column = format!("{quantity}_{unit}");
    let series: Vec<_> = tanks
        .iter()
        .filter_map(|t| subject.series(t, &column, dimension))
        .collect();
    (!series.is_empty()).then(|| Chart {
        quantity: subject.axis(words, dimension),
        series: told_apart(series),
        guides: subject.limit_guides(&tanks, quantity, dimension),
        notes: Vec::new(),
        shown: Shown::default(),
        weight: 1.0,
    })
}

/// What is left when the flow ends by its definition, and after what still ran out.
fn title(subject: &Subject) -> String {
    let windows = flow_windows(subject.network, subject.outcome);
    let from_tank = windows.first().and_then(|window| {
        let tank = &subject.network.volumes[window.tank].name;
        let left = subject.figure(&format!("{tank}.liquid_left_kg"))?;
        let at = subject.text(Dimension::Time, window.end_s);
        let liquid = subject
            .outcome
            .history
            .column(&format!("{tank}.liquid_mass_kg"))?;
        let last = subject.text(Dimension::Mass, *liquid.last()?);
        Some(match window.end {
            FlowEnd::Command if last != left => {
                format!(
                    "{tank}: {left} left at the shut command, {at}; {last} at the end of the run"
                )
            }
            FlowEnd::Command => format!("{tank}: {left} left at the shut command, {at}"),
            FlowEnd::Depletion => format!("{tank}: {left} left when the outlet uncovers, {at}"),
            FlowEnd::EndOfRun => format!("{tank}: {left} left at the end of the run"),
        })
    });
    from_tank.unwrap_or_else(|| "Contents".to_owned())
}
