//! A sweep: the same stand at many points of a grid, of a list, or spread over a range.
//!
//! A point is what `--set` would put into the stand file, so that each can be run by itself; it
//! depends on its index alone.

use super::bands::main_figure;
use super::draws::{Draws, TooManyFactors};
use super::factor::{Factor, values_at};
use super::stand_model::{DrawnRun, StandModel};
use crate::summary::{Figure, Verdict};
use crate::{CheckedStand, load_with};
use shared::quantity::Dimension;
use shared::{Diagnostic, Source};
use std::borrow::Cow;
use std::fmt;

/// Values of one path.
#[derive(Clone, Debug, PartialEq)]
pub struct Axis {
    /// Path in the stand file.
    pub path: String,
    /// Its values.
    pub values: AxisValues,
}

/// How the values of an axis are given.
#[derive(Clone, Debug, PartialEq)]
pub enum AxisValues {
    /// One after another, as they are written.
    List(Vec<String>),
    /// Spread over a range by the points of a sequence.
    Spread {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
        /// Unit of both.
        unit: String,
    },
}

/// What is wrong with an axis, with its remedy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AxisFault(String);

impl fmt::Display for AxisFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self(what) = self;
        write!(
            f,
            "{what}; write 'bottle.supply.volume=5 L..50 L:10' for ten even steps, '...=5 L, 7 L, 9 L' \
             for a list, or '...=5 L..50 L' with --points"
        )
    }
}

impl std::error::Error for AxisFault {}

impl Axis {
    /// Reads `5 L..50 L:10`, `5 L, 7 L, 9 L` or `5 L..50 L`.
    ///
    /// # Errors
    /// If it is none of these.
    pub fn read(path: &str, text: &str) -> Result<Self, AxisFault> {
        let values = match text.split_once("..") {
            None => list(text)?,
            Some((low, rest)) => match rest.rsplit_once(':') {
                None => range(low, rest)?,
                Some((high, count)) => even(&range(low, high)?, count)?,
            },
        };
        Ok(Self {
            path: path.to_owned(),
            values,
        })
    }

    fn count(&self) -> Option<u64> {
        match &self.values {
            AxisValues::List(values) => Some(values.len() as u64),
            AxisValues::Spread { .. } => None,
        }
    }
}

fn list(text: &str) -> Result<AxisValues, AxisFault> {
    let values: Vec<String> = text.split(',').map(|v| v.trim().to_owned()).collect();
    if values.iter().any(String::is_empty) {
        return Err(AxisFault(format!("\"{text}\" has an empty value")));
    }
    Ok(AxisValues::List(values))
}

fn range(low: &str, high: &str) -> Result<AxisValues, AxisFault> {
    let (low_number, low_unit) = split(low)?;
    let (high_number, high_unit) = split(high)?;
    let unit = if high_unit.is_empty() {
        low_unit
    } else {
        high_unit
    };
    if !low_unit.is_empty() && low_unit != unit {
        let what = format!("\"{low}\" and \"{high}\" have different units");
        return Err(AxisFault(what));
    }
    Ok(AxisValues::Spread {
        low: low_number,
        high: high_number,
        unit: unit.to_owned(),
    })
}

fn even(range: &AxisValues, count: &str) -> Result<AxisValues, AxisFault> {
    let count: u64 = match count.trim().parse() {
        Ok(count) if (2..=1_000_000).contains(&count) => count,
        _ => {
            let what = format!("\"{count}\" is no number of steps from 2 to 1000000");
            return Err(AxisFault(what));
        }
    };
    let last = (count - 1) as f64;
    let values = (0..count).map(|i| range.at(i as f64 / last));
    Ok(AxisValues::List(values.collect()))
}

/// A number and the unit behind it.
pub(super) fn split(text: &str) -> Result<(f64, &str), AxisFault> {
    let text = text.trim();
    let is_number =
        |end: &usize| text.is_char_boundary(*end) && text[..*end].parse::<f64>().is_ok();
    let end = (1..=text.len()).rev().find(is_number);
    let number = end.and_then(|end| Some((text[..end].parse().ok()?, text[end..].trim())));
    let number = number.filter(|(n, _): &(f64, _)| n.is_finite());
    number.ok_or_else(|| AxisFault(format!("\"{text}\" does not begin with a number")))
}

impl AxisValues {
    /// The value at a part of the range.
    fn at(&self, part: f64) -> String {
        match self {
            Self::List(values) => values.first().cloned().unwrap_or_default(),
            Self::Spread { low, high, unit } => {
                // Twelve digits: what a reader types again gives the same number.
                let value = low + (high - low) * part;
                let value: f64 = format!("{value:.11e}").parse().unwrap_or(value);
                format!("{value} {unit}").trim_end().to_owned()
            }
        }
    }
}

/// Which points a sweep runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Points {
    /// The axes; the last one varies fastest.
    pub axes: Vec<Axis>,
    /// Points over the spread axes, and over the uncertain values if those are drawn.
    pub spread: u64,
    /// Whether the uncertain values of the stand are drawn at each point.
    pub drawn: bool,
    /// Seed of what is spread or drawn.
    pub seed: u32,
}

impl Points {
    /// How many there are, or the greatest number that can be written if there are more.
    #[must_use]
    pub fn count(&self) -> u64 {
        let counts = self.axes.iter().filter_map(Axis::count);
        counts.fold(self.spread, u64::saturating_mul)
    }

    /// Whether anything is spread or drawn.
    #[must_use]
    pub fn has_spread(&self) -> bool {
        self.drawn || self.axes.iter().any(|a| a.count().is_none())
    }

    /// What stands in place of the file's values at a point.
    #[must_use]
    pub fn overrides(&self, index: u64) -> Vec<(String, String)> {
        let (mut rest, place) = (index / self.spread, index % self.spread);
        let mut spread = 0..;
        let mut values = Vec::new();
        // The last axis varies fastest, so that places are read off from the end.
        for axis in self.axes.iter().rev() {
            let value = match &axis.values {
                AxisValues::List(list) => {
                    let count = list.len() as u64;
                    let value = list[(rest % count) as usize].clone();
                    rest /= count;
                    value
                }
                range @ AxisValues::Spread { .. } => {
                    let dimension = spread.next().unwrap_or(0);
                    range.at(self.coordinate(place, dimension))
                }
            };
            values.push((axis.path.clone(), value));
        }
        values.reverse();
        values
    }

    fn coordinate(&self, place: u64, dimension: usize) -> f64 {
        let draws = Draws::new(dimension + 1, self.seed);
        draws.map_or(0.5, |d| d.coordinate(place, dimension))
    }

    /// Coordinates of the uncertain values at a point.
    fn drawn_at(&self, index: u64, factors: usize) -> Result<Vec<f64>, TooManyFactors> {
        let first = self.axes.iter().filter(|a| a.count().is_none()).count();
        let draws = Draws::new(first + factors, self.seed)?;
        let place = index % self.spread;
        Ok((first..first + factors)
            .map(|d| draws.coordinate(place, d))
            .collect())
    }
}

/// A point that was run.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its index.
    pub index: u64,
    /// Its values, as they would be typed.
    pub values: Vec<String>,
    /// The same in SI, pressures absolute, in the order of [`Sweep::measured`]; NaN where the stand
    /// refuses them.
    pub numbers: Vec<f64>,
    /// Drawn values in the order of [`Sweep::drawn`].
    pub drawn: Vec<f64>,
    /// Figures in the order of [`Sweep::figures`], NaN where it has none.
    pub figures: Vec<f64>,
    /// Whether every requirement is met; none without a whole run.
    pub requirements_met: Option<bool>,
    /// Whether every limit is kept; none without a whole run.
    pub limits_kept: Option<bool>,
    /// Why there is no whole run.
    pub failure: Option<String>,
}

/// A stand that is swept.
#[derive(Clone, Debug)]
pub struct Sweep<'a> {
    stand: &'a CheckedStand,
    /// Its points.
    pub points: Points,
    /// Figures of a row.
    pub figures: Vec<Figure>,
    /// Uncertain values that are drawn.
    pub drawn: Vec<Factor>,
    /// Paths of the axes that have numbers with a dimension.
    pub measured: Vec<(String, Dimension)>,
}

/// Corners that are tried for their figures.
const MOST_CORNERS: u32 = 4;

impl<'a> Sweep<'a> {
    /// A sweep of a stand, with the figures that the stand itself or a corner of the grid has.
    ///
    /// # Errors
    /// If the stand refuses the values of every corner: what is wrong with the first.
    pub fn new(stand: &'a CheckedStand, points: Points) -> Result<Self, String> {
        let model = StandModel::new(stand, stand.run);
        let mut figures = model.nominal().summary.figures;
        let corners = corners(&points.axes);
        let corners: Vec<_> = corners.iter().map(|c| changed(stand, c)).collect();
        if let [Err(fault), ..] = &corners[..]
            && corners.iter().all(Result::is_err)
        {
            return Err(fault.clone());
        }
        let corners: Vec<CheckedStand> = corners.into_iter().flatten().collect();
        let dimension = |axis: &Axis| {
            let mut stands = std::iter::once(stand).chain(&corners);
            stands.find_map(|s| Some(s.inputs.get(s.inputs.find(&axis.path)?).dimension))
        };
        let axes = points.axes.iter();
        let measured = axes.filter_map(|axis| Some((axis.path.clone(), dimension(axis)?)));
        let measured = measured.collect();
        for at_corner in &corners {
            let run = StandModel::new(at_corner, at_corner.run).nominal();
            for figure in run.summary.figures {
                if figures.iter().all(|f| f.name != figure.name) {
                    figures.push(figure);
                }
            }
        }
        figures.sort_by_key(|f| f.group);
        let drawn = points.drawn.then(|| model.factors.clone());
        Ok(Self {
            stand,
            drawn: drawn.unwrap_or_default(),
            points,
            figures,
            measured,
        })
    }

    /// An input of the stand: what a column of its drawn values holds.
    #[must_use]
    pub fn dimension(&self, path: &str) -> Option<Dimension> {
        let inputs = &self.stand.inputs;
        Some(inputs.get(inputs.find(path)?).dimension)
    }

    /// The figure that the stand is about.
    #[must_use]
    pub fn main_figure(&self) -> Option<&Figure> {
        let figures: Vec<&Figure> = self.figures.iter().collect();
        main_figure(&self.stand.requirements, &figures)
    }

    /// Runs a point.
    #[must_use]
    pub fn row(&self, index: u64) -> Row {
        let overrides = self.points.overrides(index);
        let stand = self.stand_at(&overrides);
        let numbers = self.numbers(stand.as_deref().ok());
        let ran = stand.and_then(|stand| self.run(index, &stand));
        let run = ran.as_ref().ok().map(|(_, run)| run);
        let figure = |f: &Figure| run.and_then(|r| r.summary.get(&f.name)).unwrap_or(f64::NAN);
        let kept = |verdicts: fn(&DrawnRun) -> &Vec<Verdict>| {
            run.map(|r| verdicts(r).iter().all(Verdict::is_kept))
        };
        Row {
            index,
            values: overrides.into_iter().map(|(_, value)| value).collect(),
            numbers,
            figures: self.figures.iter().map(figure).collect(),
            requirements_met: kept(|r| &r.requirements),
            limits_kept: kept(|r| &r.limits),
            drawn: match &ran {
                Ok((drawn, _)) => drawn.clone(),
                Err(_) => vec![f64::NAN; self.drawn.len()],
            },
            failure: ran.err(),
        }
    }

    fn stand_at(&self, overrides: &[(String, String)]) -> Result<Cow<'a, CheckedStand>, String> {
        match overrides {
            [] => Ok(Cow::Borrowed(self.stand)),
            _ => changed(self.stand, overrides).map(Cow::Owned),
        }
    }

    fn numbers(&self, stand: Option<&CheckedStand>) -> Vec<f64> {
        let number = |(path, _): &(String, Dimension)| {
            let inputs = &stand?.inputs;
            Some(inputs.nominal().si(inputs.find(path)?))
        };
        let paths = self.measured.iter();
        paths.map(|p| number(p).unwrap_or(f64::NAN)).collect()
    }

    fn run(&self, index: u64, stand: &CheckedStand) -> Result<(Vec<f64>, DrawnRun), String> {
        let model = StandModel::new(stand, stand.run).with_sparse_rows();
        if !self.points.drawn {
            let run = model.run_with(&model.nominal_values())?;
            return Ok((Vec::new(), run));
        }
        let point = self.points.drawn_at(index, model.factors.len());
        let drawn = values_at(&model.factors, &point.map_err(|e| e.to_string())?);
        let run = model.run_with(&drawn)?;
        Ok((self.in_columns(&model.factors, &drawn), run))
    }

    /// A point that takes the uncertainty from a value leaves its column empty.
    fn in_columns(&self, factors: &[Factor], drawn: &[f64]) -> Vec<f64> {
        let value = |column: &Factor| {
            let place = factors.iter().position(|f| f.name == column.name);
            place.map_or(f64::NAN, |i| drawn[i])
        };
        self.drawn.iter().map(value).collect()
    }
}

/// The stand with other values, or what is wrong with it in one line.
pub(super) fn changed(
    stand: &CheckedStand,
    overrides: &[(String, String)],
) -> Result<CheckedStand, String> {
    let all = [&stand.overrides[..], overrides].concat();
    load_with(&stand.text, &all).map_err(|faults| {
        let said = faults.iter().map(|fault| in_a_line(fault, &all));
        said.collect::<Vec<_>>().join("; ")
    })
}

/// What is wrong, in which override, and what to do about it.
fn in_a_line(diagnostic: &Diagnostic, overrides: &[(String, String)]) -> String {
    let Diagnostic { code, message, .. } = diagnostic;
    let source = diagnostic.labels.first().map(|l| l.span.source);
    let place = match source {
        Some(Source::Override(i)) => overrides.get(i),
        Some(Source::File) | None => None,
    };
    // Many a message names its place already.
    let place = place.filter(|(path, _)| !message.contains(path.as_str()));
    let place = place.map_or(String::new(), |(path, value)| format!("{path} = {value}: "));
    let meant = diagnostic.did_you_mean.as_ref();
    let meant = meant.map(|word| format!("did you mean \"{word}\"?"));
    let remedies = meant.iter().chain(&diagnostic.remedies);
    let remedies: String = remedies.map(|r| format!("; {r}")).collect();
    format!("{code}: {place}{message}{remedies}")
}

/// First and last values of the first few axes, in all combinations.
fn corners(axes: &[Axis]) -> Vec<Vec<(String, String)>> {
    let ends = |axis: &Axis| match &axis.values {
        AxisValues::List(list) => [0, list.len() - 1].map(|i| list[i].clone()),
        range @ AxisValues::Spread { .. } => [range.at(0.0), range.at(1.0)],
    };
    let few = axes.len().min(MOST_CORNERS as usize);
    (0..1usize << few)
        .map(|corner| {
            let axes = axes.iter().enumerate();
            axes.map(|(i, axis)| {
                let [low, high] = ends(axis);
                let value = if corner >> i & 1 == 0 { low } else { high };
                (axis.path.clone(), value)
            })
            .collect()
        })
        .collect()
}

/// The indices of a shard, counted from one: a stretch of its own, for any number of shards.
#[must_use]
pub fn shard(points: u64, shard: u64, of: u64) -> std::ops::Range<u64> {
    let edge = |n: u64| (u128::from(points) * u128::from(n) / u128::from(of)) as u64;
    edge(shard - 1)..edge(shard)
}
