//! What the tanks hold: liquid mass and level.

use super::chart::{Chart, told_apart};
use super::stack::Stack;
use super::subject::Subject;
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
        weight: 1.0,
    })
}

fn title(subject: &Subject) -> String {
    let from_tank = subject.tanks().first().and_then(|tank| {
        let left = subject.figure(&format!("{tank}.residual_kg"))?;
        let depletion = subject.figure(&format!("{tank}.time_to_depletion_s"));
        Some(match depletion {
            Some(after) => format!("{tank}: {left} left when the outlet uncovers, after {after}"),
            None => format!("{tank}: {left} left at the end of the flow"),
        })
    });
    from_tank.unwrap_or_else(|| "Contents".to_owned())
}
