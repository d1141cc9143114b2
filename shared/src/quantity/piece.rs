//! The smallest part of a quantity's text: a number and the unit behind it.

use super::fault::Fault;
use crate::codes;
use std::ops::Range;

/// A number and the text of its unit.
#[derive(Clone, Debug)]
pub(super) struct Piece<'a> {
    pub number: f64,
    /// The number as it was written.
    pub digits: &'a str,
    /// Trimmed; empty if there is no unit.
    pub unit: &'a str,
    /// Where the whole piece stands.
    pub at: Range<usize>,
    /// Where the unit stands.
    pub unit_at: Range<usize>,
}

impl<'a> Piece<'a> {
    /// Reads the piece that fills `within` of `text`.
    pub fn read(text: &'a str, within: Range<usize>) -> Result<Self, Fault> {
        let at = trimmed(text, within);
        let body = &text[at.clone()];
        let length = number_length(body);
        let digits = &body[..length];
        let Ok(number) = digits.replace('−', "-").parse::<f64>() else {
            return Err(no_number(body, &at));
        };
        let unit_at = trimmed(text, at.start + length..at.end);
        let unit = &text[unit_at.clone()];
        refuse_other_notations(body, length, &at)?;
        if !number.is_finite() {
            let message = format!("{digits} is too large a number");
            return Err(Fault::new(
                &codes::NOT_FINITE,
                &at,
                message,
                "write a smaller number",
            ));
        }
        Ok(Self {
            number,
            digits,
            unit,
            at,
            unit_at,
        })
    }
}

fn no_number(body: &str, at: &Range<usize>) -> Fault {
    let message = if body.is_empty() {
        "a number is missing".to_owned()
    } else {
        format!("\"{body}\" does not begin with a number")
    };
    let remedy = "write a number and its unit, for example \"50 L\" or \"50 L ± 2 %\"";
    Fault::new(&codes::NO_QUANTITY, at, message, remedy)
}

/// Decimal commas and vulgar fractions read as numbers elsewhere; here they would be guesses.
fn refuse_other_notations(body: &str, length: usize, at: &Range<usize>) -> Result<(), Fault> {
    let rest = &body[length..];
    let mut next = rest.chars();
    let (sign, digit) = (next.next(), next.next());
    if !digit.is_some_and(|c| c.is_ascii_digit()) {
        return Ok(());
    }
    let remedy = match sign {
        Some(',') => format!(
            "write it with a decimal point and without commas: \"{}.{}\"",
            &body[..length],
            &rest[1..]
        ),
        Some('/') => "write the fraction as a decimal number, for example \"0.5 in\"".to_owned(),
        _ => return Ok(()),
    };
    let message = format!("\"{body}\" is not a decimal number");
    Err(Fault::new(&codes::NO_QUANTITY, at, message, remedy))
}

/// `range` without the blanks at its ends.
pub(super) fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let part = &text[range.clone()];
    let start = range.start + (part.len() - part.trim_start().len());
    start..start + part.trim().len()
}

/// Length of the decimal number at the start of `text`: sign, digits, point, exponent.
fn number_length(text: &str) -> usize {
    let sign = match text.chars().next() {
        Some(c @ ('+' | '-' | '−')) => c.len_utf8(),
        _ => 0,
    };
    let mantissa = sign + digits_and_point(&text[sign..]);
    let exponent = exponent_length(&text[mantissa..]);
    mantissa + exponent
}

fn digits_and_point(text: &str) -> usize {
    let mut seen_point = false;
    text.bytes()
        .take_while(|b| match b {
            b'.' => !std::mem::replace(&mut seen_point, true),
            other => other.is_ascii_digit(),
        })
        .count()
}

/// An `e` is an exponent only with digits behind it.
fn exponent_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    if !matches!(bytes.first(), Some(b'e' | b'E')) {
        return 0;
    }
    let sign = usize::from(matches!(bytes.get(1), Some(b'+' | b'-')));
    let digits = bytes[1 + sign..]
        .iter()
        .take_while(|b| b.is_ascii_digit())
        .count();
    if digits == 0 { 0 } else { 1 + sign + digits }
}
