//! From text to [`Quantity`].

use super::dimension::Dimension;
use super::fault::Fault;
use super::misfit::{bare_number, difference_symbol, misfit, unknown_unit};
use super::piece::{Piece, trimmed};
use super::unit::{Reference, Unit, nearest_spelling, resolve};
use super::{Quantity, Spread};
use crate::codes;

/// Marks that stand between a value and its uncertainty.
const PLUS_MINUS: [&str; 3] = ["±", "+/-", "+-"];

pub(super) fn quantity(text: &str, accepted: &[Dimension]) -> Result<Quantity, Fault> {
    if let Some(dots) = text.find("..") {
        let low = Piece::read(text, 0..dots)?;
        let high = Piece::read(text, dots + 2..text.len())?;
        return range(low, high, accepted);
    }
    let mark = PLUS_MINUS
        .into_iter()
        .filter_map(|m| text.find(m).map(|i| (i, i + m.len())))
        .min();
    match mark {
        None => plain(&Piece::read(text, 0..text.len())?, accepted),
        Some((start, end)) => {
            let value = Piece::read(text, 0..start)?;
            let half = Piece::read(text, end..text.len())?;
            with_half_width(value, &half, accepted)
        }
    }
}

fn plain(piece: &Piece<'_>, accepted: &[Dimension]) -> Result<Quantity, Fault> {
    let (unit, reference, dimension) = measure(piece, accepted)?;
    let value = match dimension {
        Dimension::TemperatureDifference => piece.number * unit.factor,
        _ => unit.to_si(piece.number),
    };
    if !value.is_finite() {
        let message = format!("{} {} is too large", piece.digits, piece.unit);
        return Err(Fault::new(
            &codes::NOT_FINITE,
            &piece.at,
            message,
            "write a smaller number",
        ));
    }
    Ok(Quantity {
        value,
        dimension,
        reference,
        spread: None,
        unit,
    })
}

fn range<'a>(
    mut low: Piece<'a>,
    mut high: Piece<'a>,
    accepted: &[Dimension],
) -> Result<Quantity, Fault> {
    share_unit(&mut low, &mut high);
    let (lower, upper) = (plain(&low, accepted)?, plain(&high, accepted)?);
    let whole = low.at.start..high.at.end;
    if lower.dimension != upper.dimension || lower.reference != upper.reference {
        let message = "the two ends of the range are different things";
        let remedy = format!("write both in {}", lower.unit.symbol);
        return Err(Fault::new(&codes::BAD_RANGE, &whole, message, remedy));
    }
    if lower.value >= upper.value {
        let message = format!("the range from {} to {} is empty", low.digits, high.digits);
        let remedy = "write the lower end first, for example \"0.60 .. 0.66\"";
        return Err(Fault::new(&codes::BAD_RANGE, &whole, message, remedy));
    }
    Ok(Quantity {
        value: 0.5 * lower.value + 0.5 * upper.value,
        spread: Some(Spread::Uniform {
            low: lower.value,
            high: upper.value,
        }),
        ..upper
    })
}

/// A unit that stands once holds for both ends.
fn share_unit<'a>(one: &mut Piece<'a>, other: &mut Piece<'a>) {
    if one.unit.is_empty() {
        one.unit = other.unit;
    } else if other.unit.is_empty() {
        other.unit = one.unit;
    }
}

fn with_half_width<'a>(
    mut value: Piece<'a>,
    half: &Piece<'a>,
    accepted: &[Dimension],
) -> Result<Quantity, Fault> {
    let percent = half.unit == "%";
    if value.unit.is_empty() && !percent {
        value.unit = half.unit;
    }
    let quantity = plain(&value, accepted)?;
    let half_width_95 = if percent {
        percent_of(&quantity, &value, half)?
    } else {
        half.number * half_unit(&quantity, half)?.factor
    };
    if half.number <= 0.0 || !half_width_95.is_finite() {
        let message = format!("the uncertainty {} is not above zero", half.digits);
        let remedy =
            "write the half width of the 95 % interval as a positive number, or leave it out";
        return Err(Fault::new(
            &codes::BAD_UNCERTAINTY,
            &half.at,
            message,
            remedy,
        ));
    }
    Ok(Quantity {
        spread: Some(Spread::Normal { half_width_95 }),
        ..quantity
    })
}

/// Per cent of the number as it was written: of the gauge reading for a gauge pressure.
fn percent_of(quantity: &Quantity, value: &Piece<'_>, half: &Piece<'_>) -> Result<f64, Fault> {
    let unit = quantity.unit;
    let refusal = if unit.symbol == "%" {
        Some("per cent of a percentage can be read in two ways; write a range, for example \"23 % .. 27 %\"".to_owned())
    } else if unit.zero != 0.0 {
        Some(format!(
            "write the uncertainty in kelvin: \"{} {} ± 2 K\"",
            value.digits, unit.symbol
        ))
    } else if value.number == 0.0 {
        Some("write the uncertainty with a unit".to_owned())
    } else {
        None
    };
    match refusal {
        None => Ok(half.number / 100.0 * value.number.abs() * unit.factor),
        Some(remedy) => {
            let message = format!(
                "{} % of {} {} has no clear meaning",
                half.digits, value.digits, value.unit
            );
            Err(Fault::new(
                &codes::BAD_UNCERTAINTY,
                &half.at,
                message,
                remedy.trim_end(),
            ))
        }
    }
}

/// The unit of an uncertainty: any that measures differences of the quantity.
fn half_unit(quantity: &Quantity, half: &Piece<'_>) -> Result<&'static Unit, Fault> {
    if half.unit.is_empty()
        && quantity.dimension == Dimension::Fraction
        && quantity.unit.factor == 1.0
    {
        return Ok(quantity.unit);
    }
    if half.unit.is_empty() {
        let message = format!("the uncertainty {} has no unit", half.digits);
        let unit = difference_symbol(quantity.unit);
        let remedy = format!("write \"± {0} {unit}\" or \"± {0} %\"", half.digits);
        return Err(Fault::new(
            &codes::BAD_UNCERTAINTY,
            &half.at,
            message,
            remedy,
        ));
    }
    let (unit, _) = resolve(half.unit).ok_or_else(|| unknown_unit(half, &[quantity.dimension]))?;
    if unit.dimension == quantity.unit.dimension {
        return Ok(unit);
    }
    let message = format!(
        "an uncertainty in {} does not belong to {}",
        unit.symbol,
        quantity.dimension.name()
    );
    let remedy = format!("write it in {}", difference_symbol(quantity.unit));
    Err(Fault::new(
        &codes::BAD_UNCERTAINTY,
        &half.unit_at,
        message,
        remedy,
    ))
}

/// Finds the unit of a piece and which of the accepted dimensions it makes.
fn measure(
    piece: &Piece<'_>,
    accepted: &[Dimension],
) -> Result<(&'static Unit, Reference, Dimension), Fault> {
    if piece.unit.is_empty() && !accepted.contains(&Dimension::Fraction) {
        return Err(bare_number(piece, accepted));
    }
    let (unit, reference) = resolve(piece.unit).ok_or_else(|| unknown_unit(piece, accepted))?;
    let dimension = accepted
        .iter()
        .copied()
        .find(|&d| unit.measures(d) && reference_fits(d, reference));
    match dimension {
        Some(dimension) => Ok((unit, reference, dimension)),
        None => Err(misfit(piece, unit, reference, accepted)),
    }
}

fn reference_fits(dimension: Dimension, reference: Reference) -> bool {
    (dimension == Dimension::Pressure) == (reference != Reference::None)
}

/// A unit without a number, as in a table of display units.
pub(super) fn unit_alone(
    text: &str,
    dimension: Dimension,
) -> Result<(&'static Unit, Reference), Fault> {
    let at = trimmed(text, 0..text.len());
    let units = dimension.usual_units();
    let remedy = format!("write one such as \"{}\"", units.join("\", \""));
    let unit_text = &text[at.clone()];
    let Some((unit, reference)) = resolve(unit_text).filter(|_| !unit_text.is_empty()) else {
        return Err(Fault {
            did_you_mean: nearest_spelling(unit_text),
            ..Fault::new(
                &codes::UNKNOWN_UNIT,
                &at,
                format!("\"{unit_text}\" is no unit that is known here"),
                remedy,
            )
        });
    };
    if !unit.measures(dimension) {
        let message = format!(
            "\"{unit_text}\" is a unit of {}, not of {}",
            unit.dimension.name(),
            dimension.name()
        );
        return Err(Fault::new(&codes::WRONG_DIMENSION, &at, message, remedy));
    }
    if reference_fits(dimension, reference) {
        return Ok((unit, reference));
    }
    if dimension != Dimension::Pressure {
        let message = "a pressure difference is neither gauge nor absolute";
        return Err(Fault::new(
            &codes::DIFFERENCE_WITH_REFERENCE,
            &at,
            message,
            remedy,
        ));
    }
    let symbol = unit.symbol;
    let message = format!("pressures in \"{unit_text}\" may be gauge or absolute");
    let remedy = format!("write \"{symbol}(g)\" for gauge or \"{symbol}(a)\" for absolute");
    Err(Fault::new(&codes::AMBIGUOUS_PRESSURE, &at, message, remedy))
}
