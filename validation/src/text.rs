//! Numbers as the page shows them: the same bytes on any machine.
//!
//! The last bits of a result depend on the machine's mathematics library, so a value is shown
//! to two digits more than its tolerance asks, an error to two digits, and an error far below
//! its tolerance only as that. A figure that is itself an error is often mere rounding: it is
//! shown by its power of ten, but for one that is known to be more, the worst of a table.

use crate::report::{Figure, Tolerance};

/// Errors below this part of what is allowed are not told apart.
const FLOOR: f64 = 1e-3;

/// A number to so many significant digits.
#[must_use]
pub fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return "none".to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let scientific = format!("{value:.*e}", digits.saturating_sub(1));
    let exponent = scientific
        .split_once('e')
        .and_then(|(_, e)| e.parse::<i32>().ok())
        .unwrap_or(0);
    if !(-4..9).contains(&exponent) {
        return scientific;
    }
    let decimals = (digits as i32 - 1 - exponent).max(0) as usize;
    format!("{value:.decimals$}")
}

/// Digits that a tolerance makes worth showing.
fn digits(figure: &Figure) -> usize {
    let relative = match figure.tolerance {
        Tolerance::Relative(part) => part,
        Tolerance::Absolute(amount) => amount / figure.expected.abs().max(amount),
        Tolerance::AtMost(_) | Tolerance::Worst(_) => return 2,
    };
    (3.0 - relative.log10()).clamp(3.0, 10.0) as usize
}

/// What a figure should be.
#[must_use]
pub fn expected(figure: &Figure) -> String {
    match figure.tolerance {
        Tolerance::AtMost(limit) | Tolerance::Worst(limit) => format!("≤ {}", plain(limit)),
        _ => significant(figure.expected, digits(figure)),
    }
}

/// What the program finds.
#[must_use]
pub fn got(figure: &Figure) -> String {
    match figure.tolerance {
        Tolerance::AtMost(_) | Tolerance::Worst(_) => error(figure),
        _ => significant(figure.got, digits(figure)),
    }
}

/// How far the two are apart.
#[must_use]
pub fn error(figure: &Figure) -> String {
    let (error, floor) = (figure.error(), figure.allowed() * FLOOR);
    if error < floor {
        return format!("< {}", plain(floor));
    }
    match figure.tolerance {
        Tolerance::AtMost(_) if figure.is_inside() => {
            let above = 10_f64.powi(error.log10().ceil() as i32);
            format!("< {}", plain(above.min(figure.allowed())))
        }
        _ => significant(error, 2),
    }
}

/// How far the two may be apart.
#[must_use]
pub fn allowed(figure: &Figure) -> String {
    let text = plain(figure.allowed());
    match figure.tolerance {
        Tolerance::Absolute(_) if !figure.unit.is_empty() => format!("{text} {}", figure.unit),
        _ => text,
    }
}

/// A round number without needless digits.
#[must_use]
pub fn plain(value: f64) -> String {
    // By way of few digits, so that 1e-9 times 1e-3 is 1e-12.
    let text = format!("{value:.5e}");
    let value: f64 = text.parse().unwrap_or(value);
    if (1e-3..1e6).contains(&value) {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// With a capital at the beginning.
#[must_use]
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}
