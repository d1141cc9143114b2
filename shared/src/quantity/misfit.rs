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
    Fault::new(
        &codes::WRONG_DIMENSION,
        &piece.unit_at,
        message,
        spellings(piece.digits, accepted),
    )
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
    let units = accepted.iter().flat_map(|d| d.usual_units());
    let mut spelled: Vec<String> = units
        .map(|u| format!("\"{}\"", format!("{digits} {u}").trim_end()))
        .collect();
    let last = spelled.pop().unwrap_or_default();
    if spelled.is_empty() {
        format!("write {last}")
    } else {
        format!("write {} or {last}", spelled.join(", "))
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
