//! What figures depend on, as a table and a sentence for each.

use super::screen::Screen;
use super::table::aligned;
use crate::naming::{in_words, typed, worth_measuring};
use scenarios::studies::sensitivity::{Sensitive, Sensitivity};
use scenarios::studies::sobol_indices::Index;
use shared::quantity::{Dimension, Display};

/// Half width of an index from which on it tells little.
const VAGUE: f64 = 0.5;

/// The whole report.
#[must_use]
pub fn report(title: &str, found: &[Sensitivity], display: &Display, screen: Screen) -> String {
    let mut parts = vec![screen.heading(title) + "\n"];
    parts.extend(found.iter().map(|s| of_figure(s, display, screen)));
    parts.join("\n")
}

/// The dimension of a change of a figure.
#[must_use]
pub fn of_change(dimension: Dimension) -> Dimension {
    match dimension {
        Dimension::Pressure => Dimension::PressureDifference,
        Dimension::Temperature => Dimension::TemperatureDifference,
        other => other,
    }
}

fn of_figure(found: &Sensitivity, display: &Display, screen: Screen) -> String {
    let figure = &found.figure;
    let nominal = display.text(figure.dimension, figure.value);
    let heading = format!(
        "{} {}, nominally {nominal} (--figure {})",
        figure.component,
        figure.label.trim_start(),
        typed(&figure.name)
    );
    let unit = display.unit(of_change(figure.dimension));
    let head = [
        "input".to_owned(),
        format!("at its low end, {unit}"),
        format!("high end, {unit}"),
        format!("effect, {unit}"),
        "first order".to_owned(),
        "total".to_owned(),
    ];
    let rows = found
        .inputs
        .iter()
        .map(|s| row(s, figure.dimension, display));
    let table = aligned(
        std::iter::once(head.to_vec()).chain(rows).collect(),
        &[1, 2, 3],
    );
    let sentences = sentence(found).into_iter().chain([explanation(found)]);
    let sentences = sentences.chain(too_few(found));
    let sentences: Vec<Vec<String>> = sentences.map(|s| vec![s]).collect();
    format!(
        "{}\n{table}{}",
        screen.heading(&heading),
        aligned(sentences, &[])
    )
}

fn row(s: &Sensitive, dimension: Dimension, display: &Display) -> Vec<String> {
    let change = |v| display.number(of_change(dimension), v);
    // A minus before nothing but noughts says more than is known.
    let value = |i: Index| (100.0 * i.value).round() / 100.0 + 0.0;
    let index = |i: Index| format!("{:.2} ± {:.2}", value(i), i.half_width_95);
    vec![
        s.factor.name.clone(),
        change(s.swing.0),
        change(s.swing.1),
        change(s.effects.mean_absolute),
        index(s.indices.first),
        index(s.indices.total),
    ]
}

fn sentence(found: &Sensitivity) -> Option<String> {
    let inputs = found.inputs.iter();
    let inputs = inputs.map(|s| (s.factor.name.as_str(), s.indices.total.value.min(1.0)));
    Some(format!(
        "To narrow the band of {}, measure better: {}. The number is the part of the variance \
         that the input has a hand in.",
        in_words(&found.figure.name),
        worth_measuring(inputs)?
    ))
}

/// That so many points do not tell the inputs apart, if they do not.
fn too_few(found: &Sensitivity) -> Option<String> {
    let mut inputs = found.inputs.iter();
    let is_vague = inputs.any(|s| {
        s.indices
            .total
            .half_width_95
            .max(s.indices.first.half_width_95)
            > VAGUE
    });
    is_vague.then(|| {
        format!(
            "So few points know these parts badly: take --points {} or more before anything is measured better for \
             their sake.",
            4 * found.points_seen.next_power_of_two()
        )
    })
}

fn explanation(found: &Sensitivity) -> String {
    format!(
        "Low and high end: change of the figure with this input alone at the ends of its 95 % interval. \
         Effect: mean absolute change when the input moves by half of its distribution, wherever the \
         others stand. First order and total: Sobol' indices from {} points, with 95 % confidence.",
        found.points_seen
    )
}
