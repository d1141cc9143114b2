//! Temperatures of gas, liquid and walls.

use super::chart::{Chart, Series, Shown, told_apart};
use super::stack::Stack;
use super::subject::Subject;
use shared::quantity::Dimension;

/// Gas above, liquid and walls below: gas moves by tens of kelvin, walls by few.
#[must_use]
pub fn stack(subject: &Subject) -> Option<Stack> {
    let gas = chart(
        subject,
        "Gas temperature",
        &[("temperature_k", ""), ("ullage_temperature_k", " gas")],
        1.6,
    );
    let slow = [
        ("wall_temperature_k", " wall"),
        ("liquid_temperature_k", " liquid"),
    ];
    let slow = chart(subject, "Wall and liquid temperature", &slow, 1.0);
    Stack::over_time(subject, title, [gas, slow].into_iter().flatten())
}

fn chart(
    subject: &Subject,
    quantity: &str,
    columns: &[(&str, &str)],
    weight: f64,
) -> Option<Chart> {
    let volumes = subject.volumes();
    let lines = volumes.iter().flat_map(|v| {
        let of_volume = move |(column, suffix): &(&str, &str)| line(subject, v, column, suffix);
        columns.iter().filter_map(of_volume)
    });
    let series: Vec<Series> = lines.collect();
    (!series.is_empty()).then(|| Chart {
        quantity: subject.axis(quantity, Dimension::Temperature),
        series: told_apart(series),
        guides: subject.limit_guides(&volumes, "temperature", Dimension::Temperature),
        notes: Vec::new(),
        shown: Shown::default(),
        weight,
    })
}

fn line(subject: &Subject, volume: &str, column: &str, suffix: &str) -> Option<Series> {
    let series = subject.series(volume, column, Dimension::Temperature)?;
    Some(Series {
        name: format!("{volume}{suffix}"),
        ..series
    })
}

/// The coldest gas, of a bottle if there is one.
fn title(subject: &Subject) -> String {
    let coldest = |suffix| {
        let mut figures = subject.summary.figures.iter();
        figures.find(|f| f.name.ends_with(suffix))
    };
    let bottle = coldest(".lowest_temperature_k").map(|f| (f, "gas"));
    let tank = || coldest(".lowest_ullage_temperature_k").map(|f| (f, "ullage gas"));
    match bottle.or_else(tank) {
        Some((f, gas)) => {
            let lowest = subject.text(f.dimension, f.value);
            format!("{}: {gas} cools to {lowest}", f.component)
        }
        None => "Temperatures".to_owned(),
    }
}
