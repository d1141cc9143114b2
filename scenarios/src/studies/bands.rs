//! Bands: what a stand may do, given what is not known of it.

use super::aligned::{Aligned, EventBand, event_bands, turns};
use super::chance::Chance;
use super::draws::TooManyFactors;
use super::factor::{Factor, values_at};
use super::grid::{common_grid, resampled};
use super::parallel::{Progress, gathered};
use super::percentile::{HIGH, LOW, Sorted};
use super::ranking::{Ranking, ranking};
use super::stand_model::{DrawnRun, StandModel};
use crate::observables::suffix;
use crate::predict::Prediction;
use crate::summary::Summary;
use crate::summary::{Bound, Figure, Verdict};
use rayon::prelude::*;
use sim_core::interrupt;
use sim_core::outcome::Outcome;

/// Draws whose histories are kept for bands; figures are kept of all.
pub const MOST_HISTORIES: usize = 1000;
/// Draws from which is read which inputs matter.
const MOST_RANKED: usize = 10_000;

/// What a stand may do.
#[derive(Clone, Debug)]
pub struct Bands {
    /// How many draws: those that were run to their end, if they were interrupted.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u32,
    /// What was drawn.
    pub factors: Vec<Factor>,
    /// Draws that gave no whole run, with the reason.
    pub failures: Vec<(usize, String)>,
    /// Bands of the history.
    pub history: HistoryBands,
    /// When each event comes, and bands of the history about it.
    pub events: Vec<EventBand>,
    /// Bands of the figures.
    pub figures: Vec<FigureBand>,
    /// How likely each requirement is met.
    pub requirements: Vec<(Bound, Chance)>,
    /// How likely each limit is broken.
    pub limits: Vec<(Bound, Chance)>,
}

/// Bands of the columns of a history.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct HistoryBands {
    /// Instants.
    pub time_s: Vec<f64>,
    /// Columns but the time.
    pub columns: Vec<String>,
    /// Lower end, median and upper end, row by row.
    pub values: Vec<[f64; 3]>,
}

impl Bands {
    /// Whether no draw gave a whole run.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.failures.len() == self.draws
    }

    /// The figure that the stand is about.
    #[must_use]
    pub fn main_figure(&self) -> Option<&FigureBand> {
        let bounds: Vec<Bound> = self.requirements.iter().map(|r| r.0.clone()).collect();
        let figures: Vec<&Figure> = self.figures.iter().map(|f| &f.figure).collect();
        self.figure(&main_figure(&bounds, &figures)?.name)
    }

    /// The band of a figure.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<&FigureBand> {
        self.figures.iter().find(|f| f.figure.name == name)
    }
}

impl HistoryBands {
    /// Instants with the lower and upper end of a column, where it has any.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<Vec<(f64, f64, f64)>> {
        let column = self.columns.iter().position(|c| c == name)?;
        let rows = self.values.chunks_exact(self.columns.len());
        let ends = self.time_s.iter().zip(rows);
        Some(
            ends.map(|(&t, r)| (t, r[column][0], r[column][2]))
                .collect(),
        )
    }
}

/// The band of a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct FigureBand {
    /// The figure with its nominal value, NaN if the nominal run does not have it.
    pub figure: Figure,
    /// Lower end.
    pub low: f64,
    /// Median.
    pub median: f64,
    /// Upper end.
    pub high: f64,
    /// Between what the true lower end lies with 95 % confidence.
    pub low_within: (f64, f64),
    /// Between what the true upper end lies with 95 % confidence.
    pub high_within: (f64, f64),
    /// How many of the draws have the figure.
    pub seen: Chance,
    /// Which inputs matter for it.
    pub ranking: Option<Ranking>,
}

impl FigureBand {
    /// How far an end of the band may be off, as a part of the width of the band.
    #[must_use]
    pub fn doubt(&self) -> f64 {
        let off = |end: f64, (a, b): (f64, f64)| (end - a).max(b - end);
        let worst = off(self.low, self.low_within).max(off(self.high, self.high_within));
        let width = self.high - self.low;
        if width > 0.0 { worst / width } else { 0.0 }
    }
}

/// The figure that a stand is about: that of the first requirement, else the first mean flow,
/// else the first pressure at the end of a flow, else the first of all.
#[must_use]
pub fn main_figure<'a>(requirements: &[Bound], figures: &[&'a Figure]) -> Option<&'a Figure> {
    let required = requirements.first();
    let required = required.map(|b| format!("{}_{}", b.path, suffix(b.dimension)));
    let is_main: [&dyn Fn(&str) -> bool; 4] = [
        &|name| required.as_deref() == Some(name),
        &|name| name.ends_with(".mean_flow_kg_s"),
        &|name| name.ends_with(".pressure_end_pa"),
        &|_| true,
    ];
    let first = |is_main: &&dyn Fn(&str) -> bool| figures.iter().find(|f| is_main(&f.name));
    is_main.iter().find_map(first).copied()
}

/// What is kept of a draw: numbers alone where there are many draws.
struct Kept {
    history: Option<Vec<f32>>,
    aligned: Aligned,
    /// Those of the nominal run in its order, NaN where the draw has none.
    figures: Vec<f64>,
    /// What the nominal run does not have, such as the loss of regulation.
    further: Vec<Figure>,
    requirements_kept: Vec<bool>,
    limits_kept: Vec<bool>,
}

impl Kept {
    fn value(&self, figure: usize, name: &str) -> f64 {
        let further = || self.further.iter().find(|f| f.name == name);
        let known = self.figures.get(figure).copied();
        known.unwrap_or_else(|| further().map_or(f64::NAN, |f| f.value))
    }
}

/// The run with nominal values, about which the bands lie.
#[derive(Clone, Copy, Debug)]
pub struct Nominal<'a> {
    outcome: &'a Outcome,
    summary: &'a Summary,
    requirements: &'a [Verdict],
    limits: &'a [Verdict],
}

impl<'a> From<&'a Prediction> for Nominal<'a> {
    fn from(prediction: &'a Prediction) -> Self {
        Self {
            outcome: &prediction.outcome,
            summary: &prediction.summary,
            requirements: &prediction.requirements,
            limits: &prediction.limits,
        }
    }
}

impl<'a> From<&'a DrawnRun> for Nominal<'a> {
    fn from(run: &'a DrawnRun) -> Self {
        Self {
            outcome: &run.outcome,
            summary: &run.summary,
            requirements: &run.requirements,
            limits: &run.limits,
        }
    }
}

/// Draws a stand so many times and gathers the bands about its nominal run.
///
/// # Errors
/// If more values are uncertain than can be drawn.
pub fn bands(
    model: &StandModel<'_>,
    nominal: Nominal<'_>,
    draws: usize,
    seed: u32,
    progress: Progress<'_>,
) -> Result<Bands, TooManyFactors> {
    let sequence = model.draws(seed)?;
    let grid = common_grid(nominal.outcome);
    let turns = turns(nominal.outcome);
    let drawn = model.for_bands();
    let keep = |index: usize, run: DrawnRun| {
        let with_rows = index < MOST_HISTORIES;
        let (figures, further) = apart(nominal.summary, run.summary);
        Kept {
            history: with_rows.then(|| resampled(&run.outcome.history, &grid)),
            aligned: Aligned::of(&turns, &run.outcome, with_rows),
            figures,
            further,
            requirements_kept: kept(&run.requirements),
            limits_kept: kept(&run.limits),
        }
    };
    let results = gathered(draws, progress, |index| {
        let run = drawn.run_at(&sequence.point(index as u64));
        // A run that was interrupted says nothing of the stand.
        let is_whole = run.is_ok() || !interrupt::is_asked();
        is_whole.then(|| run.map(|run| keep(index, run)))
    });
    let results = results.into_iter().enumerate();
    let (indices, runs): (Vec<usize>, Vec<Result<Kept, String>>) =
        results.filter_map(|(i, r)| Some((i, r?))).unzip();
    let ranked = indices.iter().take(MOST_RANKED);
    let inputs: Vec<Vec<f64>> = ranked
        .map(|&i| values_at(&model.factors, &sequence.point(i as u64)))
        .collect();
    let failures = indices.iter().zip(&runs);
    let failures = failures.filter_map(|(&i, r)| Some((i, r.as_ref().err()?.clone())));
    let columns: Vec<String> = nominal
        .outcome
        .history
        .columns
        .iter()
        .skip(1)
        .cloned()
        .collect();
    let aligned: Vec<Option<&Aligned>> = runs
        .iter()
        .map(|r| r.as_ref().ok().map(|kept| &kept.aligned))
        .collect();
    let histories = runs
        .iter()
        .flatten()
        .filter_map(|kept| kept.history.as_ref());
    let histories: Vec<&Vec<f32>> = histories.collect();
    Ok(Bands {
        draws: runs.len(),
        seed,
        factors: model.factors.clone(),
        failures: failures.collect(),
        events: event_bands(turns, &columns, &aligned),
        history: band_table(columns, grid, &histories),
        figures: figure_bands(nominal.summary, &runs, &inputs),
        requirements: chances(nominal.requirements, &runs, |k| &k.requirements_kept, true),
        limits: chances(nominal.limits, &runs, |k| &k.limits_kept, false),
    })
}

fn kept(verdicts: &[Verdict]) -> Vec<bool> {
    verdicts.iter().map(Verdict::is_kept).collect()
}

/// The figures that the nominal run has, by its order, and those that it does not have.
fn apart(nominal: &Summary, drawn: Summary) -> (Vec<f64>, Vec<Figure>) {
    let known = nominal.figures.iter().map(|f| &f.name);
    let values = known.map(|name| drawn.get(name).unwrap_or(f64::NAN));
    let values = values.collect();
    let further = drawn.figures.into_iter();
    let further = further.filter(|f| nominal.get(&f.name).is_none());
    (values, further.collect())
}

/// How often each bound is kept, or broken. A run that failed keeps no bound.
fn chances(
    nominal: &[Verdict],
    runs: &[Result<Kept, String>],
    verdicts: impl Fn(&Kept) -> &Vec<bool>,
    kept: bool,
) -> Vec<(Bound, Chance)> {
    let of = |i: usize| {
        let is_kept = |run: &Result<Kept, String>| run.as_ref().is_ok_and(|run| verdicts(run)[i]);
        Chance::of(runs.iter().map(|run| is_kept(run) == kept))
    };
    let bounds = nominal.iter().enumerate();
    bounds.map(|(i, v)| (v.bound.clone(), of(i))).collect()
}

/// Bands of tables that all have these columns and these instants.
pub(super) fn band_table(
    columns: Vec<String>,
    time_s: Vec<f64>,
    tables: &[&Vec<f32>],
) -> HistoryBands {
    let cells = time_s.len() * columns.len();
    let band = |cell: usize| {
        let drawn = tables.iter().filter_map(|table| table.get(cell));
        let sorted = Sorted::of(drawn.map(|&v| f64::from(v)));
        [LOW, 0.5, HIGH].map(|part| sorted.percentile(part))
    };
    HistoryBands {
        values: (0..cells).into_par_iter().map(band).collect(),
        time_s,
        columns,
    }
}

fn figure_bands(
    nominal: &Summary,
    runs: &[Result<Kept, String>],
    inputs: &[Vec<f64>],
) -> Vec<FigureBand> {
    let mut figures = nominal.figures.clone();
    // What only some draws have comes after.
    for figure in runs.iter().flatten().flat_map(|kept| &kept.further) {
        if figures.iter().all(|f| f.name != figure.name) {
            figures.push(Figure {
                value: f64::NAN,
                ..figure.clone()
            });
        }
    }
    let mut bands: Vec<FigureBand> = figures
        .into_par_iter()
        .enumerate()
        .map(|(place, figure)| figure_band(place, figure, runs, inputs))
        .collect();
    bands.sort_by_key(|band| band.figure.group);
    bands
}

fn figure_band(
    place: usize,
    figure: Figure,
    runs: &[Result<Kept, String>],
    inputs: &[Vec<f64>],
) -> FigureBand {
    let value = |kept: &Kept| kept.value(place, &figure.name);
    let of_run = |run: &Result<Kept, String>| run.as_ref().map_or(f64::NAN, value);
    let values: Vec<f64> = runs.iter().map(of_run).collect();
    let sorted = Sorted::of(values.iter().copied());
    FigureBand {
        low: sorted.percentile(LOW),
        median: sorted.percentile(0.5),
        high: sorted.percentile(HIGH),
        low_within: sorted.confidence_of_percentile(LOW),
        high_within: sorted.confidence_of_percentile(HIGH),
        seen: Chance::of(values.iter().map(|v| v.is_finite())),
        ranking: ranking(inputs, &values[..inputs.len()]),
        figure,
    }
}
