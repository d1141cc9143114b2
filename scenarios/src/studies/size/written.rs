//! Values as the stand file writes them: number, unit and uncertainty.

use crate::CheckedStand;
use crate::input::{Distribution, Input};
use crate::studies::sweep::split;
use shared::Source;
use shared::quantity::Dimension;

/// Digits of an answer.
pub(super) const DIGITS: i32 = 4;
/// Digits of an answer that rests on draws.
pub(super) const DIGITS_OF_DRAWS: i32 = 3;

/// An input as the file or an override writes it.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Written {
    pub path: String,
    pub value: f64,
    unit: String,
    spread: Spread,
}

impl Written {
    /// None if it is not given.
    pub fn of(stand: &CheckedStand, input: &Input) -> Option<Self> {
        let (value, unit) = typed(stand, input)?;
        Some(Self {
            path: input.path.clone(),
            spread: spread(input, value),
            value,
            unit,
        })
    }

    /// Path and text of another value, with the uncertainty that goes with it.
    pub fn with(&self, value: f64) -> (String, String) {
        (self.path.clone(), written(value, &self.unit, self.spread))
    }
}

/// An uncertainty as it is written behind a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Spread {
    /// None.
    None,
    /// Half the width of the 95 % interval as a part of the value.
    Part(f64),
    /// Half the width of a range as a part of the value.
    Range(f64),
    /// In the unit.
    Amount(f64),
}

/// Number and unit as the file or an override writes them.
pub(super) fn typed(stand: &CheckedStand, input: &Input) -> Option<(f64, String)> {
    let span = input.span.as_ref()?;
    let source = match span.source {
        Source::File => stand.text.as_str(),
        Source::Override(i) => stand.overrides.get(i)?.1.as_str(),
    };
    let text = source.get(span.bytes.clone())?.trim_matches(['"', '\'']);
    match text.split_once("..") {
        None => {
            let (number, rest) = split(text).ok()?;
            // The sign of an exponent belongs to the number, any other to the uncertainty.
            let unit = rest.split(['±', '+']).next()?;
            Some((number, unit.trim().to_owned()))
        }
        Some((low, high)) => {
            let ((a, _), (b, unit)) = (split(low).ok()?, split(high).ok()?);
            Some((0.5 * (a + b), unit.to_owned()))
        }
    }
}

/// The uncertainty that goes with the value: of a level an amount, of the rest a part.
pub(super) fn spread(input: &Input, typed: f64) -> Spread {
    let half = match input.distribution {
        Distribution::Normal { half_width_95 } => half_width_95,
        Distribution::Uniform { low, high } => {
            return Spread::Range(0.5 * (high - low) / input.nominal);
        }
        Distribution::Exact | Distribution::LogNormal { .. } => return Spread::None,
    };
    match input.dimension {
        // An increment of its unit does not scale like its value.
        Dimension::Temperature => Spread::None,
        Dimension::Pressure if typed == 0.0 => Spread::None,
        Dimension::Pressure => {
            let per_unit = input.nominal / typed;
            Spread::Amount(half / per_unit)
        }
        // Per cent of a percentage can be read in two ways: a range with the same 95 %.
        Dimension::Fraction => Spread::Range(half / 0.95 / input.nominal),
        _ => Spread::Part(half / input.nominal),
    }
}

/// A value as the file writes it, with its uncertainty to digits that a reader can take in.
pub(super) fn written(value: f64, unit: &str, spread: Spread) -> String {
    let with_unit = |text: String| format!("{text} {unit}").trim_end().to_owned();
    let text = with_unit(shortest(value));
    let few = |value: f64| shortest(rounded(value, DIGITS, 0.0));
    match spread {
        Spread::None => text,
        Spread::Range(part) => {
            // The middle counts: it keeps more digits than a value is found to.
            let end = |side: f64| rounded(value * (1.0 + side * part), 2 * DIGITS, 0.0);
            format!(
                "{} .. {}",
                with_unit(shortest(end(-1.0))),
                with_unit(shortest(end(1.0)))
            )
        }
        Spread::Part(part) => format!("{text} ± {} %", few(100.0 * part)),
        Spread::Amount(amount) => {
            // A level's uncertainty is a difference: without gauge or absolute.
            let unit = unit.replace("(g)", "").replace("(a)", "");
            format!("{text} ± {} {unit}", few(amount))
        }
    }
}

/// Rounded to some digits: up, down, or by 0 to the nearest.
pub(super) fn rounded(value: f64, digits: i32, toward: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let decimals = digits - 1 - value.abs().log10().floor() as i32;
    let scaled = twelve_digits(value * 10.0_f64.powi(decimals));
    let whole = match toward {
        0.0 => scaled.round(),
        up if up > 0.0 => scaled.ceil(),
        _ => scaled.floor(),
    };
    twelve_digits(whole / 10.0_f64.powi(decimals))
}

/// Twelve digits: what is typed again gives the same number.
fn shortest(value: f64) -> String {
    twelve_digits(value).to_string()
}

/// Without what arithmetic leaves behind the last digit that was typed.
fn twelve_digits(value: f64) -> f64 {
    format!("{value:.11e}").parse().unwrap_or(value)
}
