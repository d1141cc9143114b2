//! What a sizing turns: a value of the stand file between two ends, as it is written there.

use super::ceiling::Ceiling;
use super::count::{Bottles, MOST_BOTTLES};
use super::written::{DIGITS, Spread, rounded, spread, typed, written};
use crate::CheckedStand;
use crate::input::Input;
use crate::studies::sweep::{AxisFault, changed, split};
use shared::nearest;
use shared::quantity::{Dimension, Quantity};
use std::fmt;

/// How far the range reaches below and above the value of the file, unless it is given.
const REACH: f64 = 10.0;
/// How far a picture reaches below and above an answer.
const SHOWN: f64 = 2.5;

/// A value of the stand file that is turned.
#[derive(Clone, Debug, PartialEq)]
pub struct Knob {
    /// Its path.
    pub path: String,
    /// Ends of the range, in the unit.
    pub range: (f64, f64),
    /// Unit in which it is written.
    pub unit: String,
    /// The limit of the stand on this pressure, which ends the range.
    pub ceiling: Option<Ceiling>,
    /// How far each side of the range reaches from the value of the file; none if it was given.
    reach: Option<f64>,
    /// The uncertainty that goes with the value.
    spread: Spread,
    /// What is turned when whole bottles are counted.
    bottles: Option<Bottles>,
}

/// Why a value cannot be turned.
#[derive(Clone, Debug, PartialEq)]
pub enum KnobFault {
    /// No value of this path: the one that was probably meant, and those that there are.
    Unknown(Option<String>, Vec<String>),
    /// Its range cannot be read.
    Range(AxisFault),
    /// The ends of its range have different units.
    Units(String, String),
    /// The stand refuses both ends of its range: why the lower one.
    Refused(String),
    /// The file does not give it, so that its unit and range are not known; a usual unit.
    NotInFile(&'static str),
    /// An end of its range that is not possible, and what it has to be.
    Impossible(String, &'static str),
    /// It is nought in the file, and no range lies around that.
    Nought,
    /// Only bottles are counted.
    NoBottle,
    /// The ends of a range of whole bottles, as they were typed.
    NotWhole(String, String),
    /// The range lies above a limit of the stand.
    AboveLimit(Ceiling),
}

impl fmt::Display for KnobFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown(meant, known) => {
                let meant = meant.as_ref();
                let meant = meant.map_or(".".to_owned(), |m| format!("; did you mean {m}?"));
                let known = known.join(", ");
                write!(
                    f,
                    "the stand has no value of that path{meant} It has {known}"
                )
            }
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
            Self::NotInFile(unit) => write!(
                f,
                "the stand file does not give this value; say where to look with --between, for \
                 example --between '2 {unit}..50 {unit}'"
            ),
            Self::Impossible(end, words) => write!(
                f,
                "the range begins at {end}, but the value must be {words}; begin it there"
            ),
            Self::Nought => write!(
                f,
                "it is 0 in the stand file, and no range lies around that; say where to look with \
                 --between, for example --between '5 bar(g)..40 bar(g)'"
            ),
            Self::NoBottle => write!(
                f,
                "only whole bottles are counted; name the volume of one that the file gives, for \
                 example bottle.supply.volume"
            ),
            Self::NotWhole(low, high) => write!(
                f,
                "{low}..{high} is no range of whole bottles; write for example --between '1..40'"
            ),
            Self::AboveLimit(ceiling) => write!(
                f,
                "the range lies above {ceiling}; look below it, or change the limit if the rating \
                 allows more"
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
            let known: Vec<String> = known.map(|(_, i)| i.path.clone()).collect();
            let meant = nearest(path, known.iter().map(String::as_str));
            return Err(KnobFault::Unknown(meant.map(str::to_owned), known));
        };
        let input = stand.inputs.get(id);
        let typed = typed(stand, input);
        let reach = typed.as_ref().filter(|_| between.is_none());
        let reach = reach.map(|_| reach_of(input.dimension));
        let (range, unit) = match (between, &typed) {
            (Some((low, high)), _) => read_range(low, high)?,
            (None, Some((0.0, _))) => return Err(KnobFault::Nought),
            (None, Some((value, unit))) => (around(*value, unit, input.dimension), unit.clone()),
            (None, None) => {
                let unit = input.dimension.usual_units().first();
                return Err(KnobFault::NotInFile(unit.unwrap_or(&"")));
            }
        };
        let lowest = format!("{} {unit}", range.0);
        let read = Quantity::parse(&lowest, &[input.dimension]);
        if read.is_ok_and(|low| !input.range.holds(low.value)) {
            return Err(KnobFault::Impossible(lowest, input.range.words()));
        }
        let (range, ceiling) = below_ceiling(stand, input, &unit, range)?;
        let knob = Self {
            path: path.to_owned(),
            ceiling,
            range,
            unit,
            reach,
            spread: typed.map_or(Spread::None, |(value, _)| spread(input, value)),
            bottles: None,
        };
        let end = |value: f64| changed(stand, &knob.overrides(value)).err();
        match (end(range.0), end(range.1)) {
            (Some(fault), Some(_)) => Err(KnobFault::Refused(fault)),
            _ => Ok(knob),
        }
    }

    /// Counts whole bottles of the size in the file, between two numbers or from one to
    /// [`MOST_BOTTLES`].
    ///
    /// # Errors
    /// If the path is no bottle's volume that the file gives, or the range is none of whole
    /// numbers from one.
    pub fn count(
        stand: &CheckedStand,
        path: &str,
        between: Option<(&str, &str)>,
    ) -> Result<Self, KnobFault> {
        let one = Self::new(stand, path, None)?;
        let bottles = Bottles::of(stand, path).ok_or(KnobFault::NoBottle)?;
        Ok(Self {
            range: between.map_or(Ok((1.0, MOST_BOTTLES)), |(low, high)| {
                whole_range(low, high)
                    .ok_or_else(|| KnobFault::NotWhole(low.to_owned(), high.to_owned()))
            })?,
            unit: "bottles".to_owned(),
            reach: between.is_none().then_some(REACH),
            bottles: Some(bottles),
            ..one
        })
    }

    /// The same over what a picture shows: the range that was given, or what lies near a value in
    /// what was tried.
    #[must_use]
    pub fn shown(&self, near: f64, tried: (f64, f64)) -> Self {
        let range = match self.reach {
            Some(_) if near > 0.0 => (tried.0.max(near / SHOWN), tried.1.min(near * SHOWN)),
            Some(_) => tried,
            None => self.range,
        };
        Self {
            range,
            ..self.clone()
        }
    }

    /// As far again beyond an end of the range; none if the range was given, or ends there because
    /// there is nothing more.
    pub(super) fn beyond(&self, stand: &CheckedStand, end: f64) -> Option<Self> {
        let (low, high) = self.range;
        let reach = self.reach?;
        let input = stand.inputs.get(stand.inputs.find(&self.path)?);
        let most = match input.dimension {
            Dimension::Fraction => most_of(&self.unit),
            _ => f64::INFINITY,
        };
        let lowest = if self.whole_steps() { 1.0 } else { 0.0 };
        let range = match end {
            _ if end == low && low > lowest => (low / reach, low),
            _ if end == high && 0.0 < high && high < most => (high, (high * reach).min(most)),
            _ => return None,
        };
        let (range, ceiling) = below_ceiling(stand, input, &self.unit, range).ok()?;
        let knob = Self {
            range,
            ceiling,
            ..self.clone()
        };
        let taken = |value: f64| changed(stand, &knob.overrides(value)).is_ok();
        (taken(range.0) || taken(range.1)).then_some(knob)
    }

    /// Whether only whole numbers count.
    #[must_use]
    pub fn whole_steps(&self) -> bool {
        self.bottles.is_some()
    }

    /// Values spread over the range: evenly, or by even ratios where it is wide.
    #[must_use]
    pub fn scan(&self, count: usize) -> Vec<f64> {
        let (low, high) = self.range;
        let by_ratio = low > 0.0 && high / low > 4.0;
        let part = |i: usize| i as f64 / (count - 1) as f64;
        let value = |i: usize| match by_ratio {
            true => low * (high / low).powf(part(i)),
            false => low + (high - low) * part(i),
        };
        // Digits that a reader can take in; the ends stay within the range.
        let rounded = |i: usize| match i {
            0 => low,
            i if i + 1 == count => high,
            i => self.rounded(value(i), DIGITS, 0.0),
        };
        let mut values: Vec<f64> = (0..count).map(rounded).collect();
        values.dedup();
        values
    }

    /// A value as it is written in the stand file.
    #[must_use]
    pub fn text(&self, value: f64) -> String {
        match (self.whole_steps(), value) {
            (true, 1.0) => "1 bottle".to_owned(),
            _ => written(value, &self.unit, Spread::None),
        }
    }

    /// A value rounded to some digits, or to a whole number: up, down, or by 0 to the nearest.
    #[must_use]
    pub fn rounded(&self, value: f64, digits: i32, toward: f64) -> f64 {
        if self.whole_steps() {
            return value.round();
        }
        rounded(value, digits, toward)
    }

    /// What stands in place of the file's values.
    #[must_use]
    pub fn overrides(&self, value: f64) -> Vec<(String, String)> {
        match &self.bottles {
            Some(bottles) => bottles.overrides(value),
            None => vec![(self.path.clone(), written(value, &self.unit, self.spread))],
        }
    }
}

fn whole_range(low: &str, high: &str) -> Option<(f64, f64)> {
    let ((low, high), unit) = read_range(low, high).ok()?;
    let is_whole = low >= 1.0 && low.fract() == 0.0 && high.fract() == 0.0;
    (is_whole && ["", "bottles"].contains(&unit.as_str())).then_some((low, high))
}

/// How far a range reaches from a value that nobody gave one for.
fn reach_of(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::Fraction => 3.0,
        Dimension::Pressure => 2.0,
        _ => REACH,
    }
}

/// Most that is tried of a fraction.
fn most_of(unit: &str) -> f64 {
    if unit == "%" { 90.0 } else { 0.9 }
}

fn around(value: f64, unit: &str, dimension: Dimension) -> (f64, f64) {
    let reach = reach_of(dimension);
    let (near, far) = match dimension {
        Dimension::Fraction => (value / reach, (reach * value).min(most_of(unit))),
        _ => (value / reach, value * reach),
    };
    // Of a negative value the farther end is the lower one.
    (near.min(far), near.max(far))
}

/// A range as far as the stand's limit on this pressure, and that limit where it ends it.
fn below_ceiling(
    stand: &CheckedStand,
    input: &Input,
    unit: &str,
    (low, high): (f64, f64),
) -> Result<((f64, f64), Option<Ceiling>), KnobFault> {
    match Ceiling::of(stand, input, unit) {
        Some(ceiling) if low >= ceiling.value => Err(KnobFault::AboveLimit(ceiling)),
        Some(ceiling) if high >= ceiling.value => Ok(((low, ceiling.value), Some(ceiling))),
        _ => Ok(((low, high), None)),
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
