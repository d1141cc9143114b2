//! Refusals of the property engine, in the units of the stand.

use fluids::FluidError;
use shared::quantity::{Dimension, Display, significant};

/// Digits with which a state and the limit that it just left are told apart.
const DIGITS: i32 = 7;
/// No gas on a stand has less: the equations reach down to no pressure at all.
const VACUUM_PA: f64 = 1.0;

/// A refusal with its state and range in the units shown.
#[must_use]
pub fn words(error: &FluidError, display: &Display) -> String {
    let FluidError::OutOfRange {
        fluid,
        what,
        value,
        unit,
        low,
        high,
    } = error
    else {
        return error.to_string();
    };
    let dimension = match *unit {
        "K" => Dimension::Temperature,
        "Pa" => Dimension::Pressure,
        "kg/m3" => Dimension::Density,
        _ => return error.to_string(),
    };
    let text = |si| exact(display, dimension, si);
    let is_above_all = *low < VACUUM_PA && value > high;
    let range = if dimension == Dimension::Pressure && is_above_all {
        format!("above the highest valid one, {}", text(*high))
    } else {
        format!("outside the valid range {} to {}", text(*low), text(*high))
    };
    format!(
        "{fluid}: {what} {} is {range}; change the state, or the component that leads to it, so \
         that it stays inside",
        text(*value)
    )
}

fn exact(display: &Display, dimension: Dimension, si: f64) -> String {
    let number = significant(display.value(dimension, si), DIGITS, 4);
    let short = if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        &number
    };
    format!("{short} {}", display.unit(dimension))
}
