//! The words with which a unit that does not serve is refused.

use super::dimension::Dimension;
use super::fault::Fault;
use super::piece::Piece;
use super::unit::{Reference, Unit, nearest_spelling};
use crate::codes;

/// Says why a known unit does not serve.
pub(super) fn misfit(
    piece: &Piece<'_>,
    unit: &Unit,
    reference: Reference,
    accepted: &[Dimension],
) -> Fault {
    let (digits, symbol) = (piece.digits, unit.symbol);
    let pressure = unit.dimension == Dimension::PressureDifference;
    if pressure && reference == Reference::None && accepted.contains(&Dimension::Pressure) {
        return Fault::new(
            &codes::AMBIGUOUS_PRESSURE,
            &piece.unit_at,
            format!("\"{digits} {}\" may be gauge or absolute", piece.unit),
            format!(
                "write \"{digits} {symbol}(g)\" for gauge or \"{digits} {symbol}(a)\" for absolute"
            ),
        );
    }
    if pressure && accepted.contains(&Dimension::PressureDifference) {
        return Fault::new(
            &codes::DIFFERENCE_WITH_REFERENCE,
            &piece.unit_at,
            format!(
                "a pressure difference is neither gauge nor absolute, but \"{}\" says so",
                piece.unit
            ),
            format!("write \"{digits} {symbol}\""),
        );
    }
    if unit.dimension == Dimension::Temperature
        && accepted.contains(&Dimension::TemperatureDifference)
    {
        let unit = difference_symbol(unit);
        return Fault::new(
            &codes::TEMPERATURE_DIFFERENCE,
            &piece.unit_at,
            format!(
                "\"{}\" counts from a zero of its own, but a temperature difference is wanted",
                piece.unit
            ),
            format!("write \"{digits} {unit}\""),
        );
    }
    wrong_dimension(piece, unit, reference, accepted)
}

fn wrong_dimension(
    piece: &Piece<'_>,
    unit: &Unit,
    reference: Reference,
    accepted: &[Dimension],
) -> Fault {
    let got = match reference {
        Reference::None => unit.dimension,
        _ => Dimension::Pressure,
    };
    let message = match got {
        Dimension::Fraction => format!(
            "\"{}\" is a number without unit, but {} is wanted",
            piece.digits,
            names(accepted)
        ),
        _ => format!(
            "\"{}\" is {}, but {} is wanted",
            piece.unit,
            got.name(),
            names(accepted)
        ),
    };
    let is_number = got == Dimension::Fraction || accepted.contains(&Dimension::Fraction);
    let remedy = if is_number {
        spellings(piece.digits, accepted)
    } else {
        // The same number in another unit is another value.
        format!("give it in {}", one_of(&units(accepted)))
    };
    Fault::new(&codes::WRONG_DIMENSION, &piece.unit_at, message, remedy)
}

pub(super) fn bare_number(piece: &Piece<'_>, accepted: &[Dimension]) -> Fault {
    let message = format!(
        "{} has no unit, but {} is wanted",
        piece.digits,
        names(accepted)
    );
    Fault::new(
        &codes::BARE_NUMBER,
        &piece.at,
        message,
        spellings(piece.digits, accepted),
    )
}

pub(super) fn unknown_unit(piece: &Piece<'_>, accepted: &[Dimension]) -> Fault {
    Fault {
        did_you_mean: nearest_spelling(piece.unit),
        ..Fault::new(
            &codes::UNKNOWN_UNIT,
            &piece.unit_at,
            format!("\"{}\" is no unit that is known here", piece.unit),
            spellings(piece.digits, accepted),
        )
    }
}

/// "a volume or a mass".
fn names(accepted: &[Dimension]) -> String {
    let names: Vec<&str> = accepted.iter().map(|d| d.name()).collect();
    names.join(" or ")
}

/// `write "50 L", "50 mL" or "50 gal"`.
fn spellings(digits: &str, accepted: &[Dimension]) -> String {
    let spelled = units(accepted).into_iter();
    let spelled: Vec<String> = spelled
        .map(|u| format!("\"{}\"", format!("{digits} {u}").trim_end()))
        .collect();
    format!("write {}", one_of(&spelled))
}

fn units(accepted: &[Dimension]) -> Vec<&'static str> {
    let units = accepted.iter().flat_map(|d| d.usual_units());
    units.copied().collect()
}

/// "a, b or c".
fn one_of<T: AsRef<str>>(choices: &[T]) -> String {
    let choices: Vec<&str> = choices.iter().map(AsRef::as_ref).collect();
    match choices[..] {
        [] => String::new(),
        [only] => only.to_owned(),
        [ref others @ .., last] => format!("{} or {last}", others.join(", ")),
    }
}

/// Celsius and fahrenheit have kelvin and rankine as their differences.
pub(super) fn difference_symbol(unit: &Unit) -> &'static str {
    match unit.symbol {
        "degC" => "K",
        "degF" => "R",
        symbol => symbol,
    }
}
