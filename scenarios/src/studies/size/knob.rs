//! What a sizing turns: a value of the stand file between two ends, as it is written there.

use crate::CheckedStand;
use crate::input::{Distribution, Input};
use crate::studies::sweep::{AxisFault, changed, split};
use shared::Source;
use shared::quantity::Dimension;
use std::fmt;

/// Digits of an answer.
const DIGITS: i32 = 4;
/// How far the range reaches below and above the value of the file, unless it is given.
const REACH: f64 = 10.0;

/// A value of the stand file that is turned.
#[derive(Clone, Debug, PartialEq)]
pub struct Knob {
    /// Its path.
    pub path: String,
    /// Ends of the range, in the unit.
    pub range: (f64, f64),
    /// Unit in which it is written.
    pub unit: String,
    /// Half the width of its 95 % interval as it is written behind the value.
    spread: Spread,
    /// What else is multiplied when whole pieces are counted: path, value of one, unit.
    each: Option<Vec<(String, f64, String)>>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Spread {
    None,
    /// Half the width of the 95 % interval as a part of the value.
    Part(f64),
    /// Half the width of a range as a part of the value.
    Range(f64),
    /// In the unit.
    Amount(f64),
}

/// Why a value cannot be turned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KnobFault {
    /// No value of this path; the paths that there are.
    Unknown(Vec<String>),
    /// Its range cannot be read.
    Range(AxisFault),
    /// The ends of its range have different units.
    Units(String, String),
    /// The stand refuses both ends of its range: why the lower one.
    Refused(String),
    /// The file does not give it, so that its unit and range are not known.
    NotInFile,
}

impl fmt::Display for KnobFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(known) => write!(
                f,
                "the stand has no value of that path; it has {}",
                known.join(", ")
            ),
            Self::Range(fault) => write!(f, "{fault}"),
            Self::Units(low, high) => write!(
                f,
                "the ends of the range have different units, {low} and {high}; write both in one"
            ),
            Self::Refused(fault) => write!(
                f,
                "the stand takes neither end of the range ({fault}); say where to look with \
                 --between, in a unit of the value"
            ),
            Self::NotInFile => write!(
                f,
                "the stand file does not give this value; say where to look with --between, for \
                 example --between '2 L..50 L'"
            ),
        }
    }
}

impl std::error::Error for KnobFault {}

impl Knob {
    /// A value of a stand, between two ends or a tenth and ten times what it is.
    ///
    /// # Errors
    /// If the stand has no such value, or the range cannot be read.
    pub fn new(
        stand: &CheckedStand,
        path: &str,
        between: Option<(&str, &str)>,
    ) -> Result<Self, KnobFault> {
        let Some(id) = stand.inputs.find(path) else {
            let known = stand.inputs.iter().filter(|(_, i)| i.span.is_some());
            return Err(KnobFault::Unknown(
                known.map(|(_, i)| i.path.clone()).collect(),
            ));
        };
        let input = stand.inputs.get(id);
        let typed = typed(stand, input);
        let (range, unit) = match (between, &typed) {
            (Some((low, high)), _) => read_range(low, high)?,
            (None, Some((value, unit))) => (around(*value, unit, input.dimension), unit.clone()),
            (None, None) => return Err(KnobFault::NotInFile),
        };
        let knob = Self {
            path: path.to_owned(),
            range,
            unit,
            spread: typed.map_or(Spread::None, |(value, _)| spread(input, value)),
            each: None,
        };
        let end = |value: f64| changed(stand, &knob.overrides(value)).err();
        match (end(range.0), end(range.1)) {
            (Some(fault), Some(_)) => Err(KnobFault::Refused(fault)),
            _ => Ok(knob),
        }
    }

    /// Counts whole bottles of the size in the file: volume and wall are multiplied.
    ///
    /// # Errors
    /// If the path is no bottle's volume that the file gives.
    pub fn count(stand: &CheckedStand, path: &str) -> Result<Self, KnobFault> {
        let one = Self::new(stand, path, None)?;
        let of = |path: &str| {
            let input = stand.inputs.get(stand.inputs.find(path)?);
            let (value, unit) = typed(stand, input)?;
            Some((path.to_owned(), value, unit))
        };
        let wall = path.replace(".volume", ".wall_mass");
        let each = [of(path), of(&wall)].into_iter().flatten().collect();
        Ok(Self {
            range: (1.0, super::SCAN as f64),
            unit: "bottles".to_owned(),
            each: Some(each),
            ..one
        })
    }

    /// Whether only whole numbers count.
    #[must_use]
    pub fn whole_steps(&self) -> bool {
        self.each.is_some()
    }

    /// Values spread over the range: evenly, or by even ratios where it is wide.
    #[must_use]
    pub fn scan(&self, count: usize) -> Vec<f64> {
        let (low, high) = self.range;
        let by_ratio = !self.whole_steps() && low > 0.0 && high / low > 4.0;
        let part = |i: usize| i as f64 / (count - 1) as f64;
        let value = |i: usize| match by_ratio {
            true => low * (high / low).powf(part(i)),
            false => low + (high - low) * part(i),
        };
        // Digits that a reader can take in; the ends stay within the range.
        let rounded = |i: usize| match i {
            0 => low,
            i if i + 1 == count => high,
            i => self.rounded(value(i), 1.0),
        };
        (0..count).map(rounded).collect()
    }

    /// A value as it is written in the stand file.
    #[must_use]
    pub fn text(&self, value: f64) -> String {
        format!("{} {}", shortest(value), self.unit)
            .trim_end()
            .to_owned()
    }

    /// A value rounded to a few digits, towards a side.
    #[must_use]
    pub fn rounded(&self, value: f64, direction: f64) -> f64 {
        if value == 0.0 || self.whole_steps() {
            return value;
        }
        let digits = DIGITS - 1 - value.abs().log10().floor() as i32;
        let scaled = value * 10.0_f64.powi(digits);
        let whole = if direction > 0.0 {
            scaled.ceil()
        } else {
            scaled.floor()
        };
        shortest(whole / 10.0_f64.powi(digits))
            .parse()
            .unwrap_or(value)
    }

    /// What stands in place of the file's values.
    #[must_use]
    pub fn overrides(&self, value: f64) -> Vec<(String, String)> {
        if let Some(each) = &self.each {
            let times = |(path, one, unit): &(String, f64, String)| {
                (path.clone(), format!("{} {unit}", shortest(value * one)))
            };
            return each.iter().map(times).collect();
        }
        let text = self.text(value);
        let text = match self.spread {
            Spread::None => text,
            Spread::Range(part) => {
                let end = |side: f64| self.text(value * (1.0 + side * part));
                format!("{} .. {}", end(-1.0), end(1.0))
            }
            Spread::Part(part) => format!("{text} ± {} %", shortest(100.0 * part)),
            Spread::Amount(amount) => {
                // A level's uncertainty is a difference: without gauge or absolute.
                let unit = self.unit.replace("(g)", "").replace("(a)", "");
                format!("{text} ± {} {unit}", shortest(amount))
            }
        };
        vec![(self.path.clone(), text)]
    }
}

/// Twelve digits: what is typed again gives the same number.
fn shortest(value: f64) -> String {
    let value: f64 = format!("{value:.11e}").parse().unwrap_or(value);
    value.to_string()
}

/// Number and unit as the file or an override writes them.
pub(super) fn typed(stand: &CheckedStand, input: &Input) -> Option<(f64, String)> {
    let span = input.span.as_ref()?;
    let source = match span.source {
        Source::File => stand.text.as_str(),
        Source::Override(i) => stand.overrides.get(i)?.1.as_str(),
    };
    let text = source.get(span.bytes.clone())?.trim_matches(['"', '\'']);
    let value = text.split(['±', '+']).next()?;
    match value.split_once("..") {
        None => {
            let (number, unit) = split(value).ok()?;
            Some((number, unit.to_owned()))
        }
        Some((low, high)) => {
            let ((a, _), (b, unit)) = (split(low).ok()?, split(high).ok()?);
            Some((0.5 * (a + b), unit.to_owned()))
        }
    }
}

/// The uncertainty that goes with the value: of a level an amount, of the rest a part.
fn spread(input: &Input, typed: f64) -> Spread {
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

fn around(value: f64, unit: &str, dimension: Dimension) -> (f64, f64) {
    let whole = if unit == "%" { 100.0 } else { 1.0 };
    match dimension {
        Dimension::Fraction => (value / 3.0, (3.0 * value).min(0.9 * whole)),
        Dimension::Pressure => (value / 2.0, 2.0 * value),
        _ => (value / REACH, value * REACH),
    }
}

fn read_range(low: &str, high: &str) -> Result<((f64, f64), String), KnobFault> {
    let (low, low_unit) = split(low).map_err(KnobFault::Range)?;
    let (high, high_unit) = split(high).map_err(KnobFault::Range)?;
    if !low_unit.is_empty() && !high_unit.is_empty() && low_unit != high_unit {
        return Err(KnobFault::Units(low_unit.to_owned(), high_unit.to_owned()));
    }
    let unit = if high_unit.is_empty() {
        low_unit
    } else {
        high_unit
    };
    Ok(((low.min(high), low.max(high)), unit.to_owned()))
}
