//! Sizing: the smallest or largest value of the stand with which its requirements are met and
//! its limits kept, found on the simulation itself.
//!
//! The margin of a run is the least room that any bound leaves, as a part of its threshold. At
//! a confidence of 95 % the margin that counts is the one that 95 % of the draws reach; every
//! value is tried with the same draws, so that margins differ by the value alone. A scan of the
//! range finds where the margin changes its sign, a bracketed root the place.

pub mod handbook;
mod knob;
mod levers;
pub mod relief;

pub use knob::{Knob, KnobFault};
pub use levers::Lever;

use super::chance::Chance;
use super::parallel::{Progress, gathered};
use super::percentile::Sorted;
use super::stand_model::{DrawnRun, StandModel};
use super::sweep::changed;
use crate::CheckedStand;
use crate::summary::{Bound, Verdict};
use shared::bracketed;
use sim_core::network::Relation;

/// Values of the range that are tried first.
pub const SCAN: usize = 9;
/// Part of the value to which the root is found.
pub const TOLERANCE: f64 = 5e-4;
/// Margin of a run that ends early or of a bound that cannot be judged.
const NO_RUN: f64 = -10.0;
/// No bound counts as missed by more than this part, so that a run with any margin is told from
/// one that has none.
const LEAST: f64 = -5.0;

/// Which end of the values that do is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// The smallest.
    Smallest,
    /// The largest.
    Largest,
}

/// How sure the answer is to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Confidence {
    /// Part of the draws that have to succeed.
    pub part: f64,
    /// How many draws; none takes the nominal values alone.
    pub draws: usize,
    /// Their seed.
    pub seed: u32,
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// What was tried first, with its margin.
    pub scan: Vec<(String, f64)>,
    /// What came of it.
    pub found: Found,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub enum Found {
    /// A value.
    Value(Answer),
    /// All of the range does: the end that is wanted.
    WholeRange(Answer),
    /// Nothing in the range does.
    Nothing(Box<Nearest>),
}

/// A value with which the stand does what it should.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// As it is written in the stand file.
    pub text: String,
    /// The number of it.
    pub value: f64,
    /// Margin that the wanted part of the draws has.
    pub margin: f64,
    /// How many of the draws succeed.
    pub success: Chance,
    /// The bound with the least room in the nominal run, and its room in SI.
    pub tightest: Option<(Bound, f64)>,
}

/// What comes nearest where nothing does.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// The value with the best margin.
    pub best: Answer,
    /// Why there is no margin at all, if there is none.
    pub no_run: Option<String>,
    /// What the bound that fails could be instead, in SI.
    pub reachable: Option<f64>,
    /// Other changes that would do in the nominal run, the smallest first.
    pub levers: Vec<Lever>,
}

/// A sizing of a stand.
#[derive(Clone, Debug)]
pub struct Sizer<'a> {
    /// The stand.
    pub stand: &'a CheckedStand,
    /// What is turned.
    pub knob: Knob,
    /// Which end is wanted.
    pub wanted: Wanted,
    /// How sure.
    pub confidence: Confidence,
}

impl Sizer<'_> {
    /// Finds the value.
    #[must_use]
    pub fn find(&self, progress: Progress<'_>) -> Sizing {
        let mut tried = self.knob.scan(SCAN);
        if self.wanted == Wanted::Largest {
            tried.reverse();
        }
        let margins = self.margins(&tried, progress);
        let texts = tried.iter().map(|&x| self.knob.text(x));
        let scan = texts.zip(margins.iter().copied()).collect();
        let first = margins.iter().position(|&m| m >= 0.0);
        let found = match first {
            None => self.nearest(&tried, &margins),
            Some(0) => Found::WholeRange(self.answer(tried[0])),
            Some(i) => Found::Value(self.between(tried[i - 1], tried[i], progress)),
        };
        Sizing { scan, found }
    }

    /// The margin at each of some values.
    #[must_use]
    pub fn margins(&self, values: &[f64], progress: Progress<'_>) -> Vec<f64> {
        let margins = self.margins_of_draws(values, progress);
        margins.iter().map(|m| self.at_confidence(m)).collect()
    }

    /// The margin of every draw at each of some values.
    fn margins_of_draws(&self, values: &[f64], progress: Progress<'_>) -> Vec<Vec<f64>> {
        let stand = |&value: &f64| changed(self.stand, &self.knob.overrides(value)).ok();
        let stands: Vec<Option<CheckedStand>> = values.iter().map(stand).collect();
        let count = self.confidence.draws.max(1);
        let margins = gathered(values.len() * count, progress, |i| {
            let stand = stands[i / count].as_ref();
            stand.map_or(NO_RUN, |stand| self.margin_of(stand, i % count))
        });
        margins.chunks_exact(count).map(<[f64]>::to_vec).collect()
    }

    /// Between a value that does not do and one that does: nearest to the first.
    fn between(&self, fails: f64, does: f64, progress: Progress<'_>) -> Answer {
        let margin = |x: f64| self.margins(&[x], progress)[0];
        let width = TOLERANCE * does.abs().max(fails.abs());
        let steps = self.knob.whole_steps();
        let root = match steps {
            true => Ok(does),
            false => bracketed(margin, fails, does, width),
        };
        // Rounded, and to the side that does.
        let direction = (does - fails).signum();
        let mut value = self.knob.rounded(root.unwrap_or(does), direction);
        while !steps && margin(value) < 0.0 && (does - value) * direction > 0.0 {
            value = self.knob.rounded(value + direction * width, direction);
        }
        self.answer(value)
    }

    /// The same draw at every value.
    fn margin_of(&self, stand: &CheckedStand, draw: usize) -> f64 {
        let model = StandModel::new(stand, stand.run);
        let run = self.run(&model, draw);
        run.map_or(NO_RUN, |run| margin(&run))
    }

    /// A draw with few rows, as for a band; the nominal run with all, as `predict` shows it.
    fn run(&self, model: &StandModel<'_>, draw: usize) -> Result<DrawnRun, String> {
        if self.confidence.draws == 0 {
            return model.run_with(&model.nominal_values());
        }
        let draws = model.draws(self.confidence.seed);
        let point = draws.map_err(|e| e.to_string())?.point(draw as u64);
        model.with_sparse_rows().run_at(&point)
    }

    /// Why a value gives no margin: the stand refuses it, a run ends early, or a bound cannot
    /// be judged.
    fn why_no_run(&self, value: f64) -> String {
        let stand = match changed(self.stand, &self.knob.overrides(value)) {
            Ok(stand) => stand,
            Err(fault) => return fault,
        };
        let model = StandModel::new(&stand, stand.run);
        let runs = (0..self.confidence.draws.max(1)).map(|draw| self.run(&model, draw));
        let why = |run: Result<DrawnRun, String>| match run {
            Err(reason) => Some(reason),
            Ok(run) => tightest(&run).and_then(|v| {
                let path = &v.bound.path;
                v.margin()
                    .is_none()
                    .then(|| format!("the run has no {path}"))
            }),
        };
        runs.filter_map(why).next().unwrap_or_default()
    }

    fn at_confidence(&self, margins: &[f64]) -> f64 {
        Sorted::of(margins.iter().copied()).percentile(1.0 - self.confidence.part)
    }

    fn answer(&self, value: f64) -> Answer {
        let margins = self.margins_of_draws(&[value], &super::parallel::silent);
        let margins = margins.into_iter().next().unwrap_or_default();
        let nominal = changed(self.stand, &self.knob.overrides(value));
        let tightest = nominal.ok().and_then(|stand| {
            let run = StandModel::new(&stand, stand.run).nominal();
            tightest(&run).map(|v| (v.bound.clone(), v.margin().unwrap_or(f64::NAN)))
        });
        Answer {
            text: self.knob.text(value),
            value,
            margin: self.at_confidence(&margins),
            success: Chance::of(margins.iter().map(|&m| m >= 0.0)),
            tightest,
        }
    }

    fn nearest(&self, tried: &[f64], margins: &[f64]) -> Found {
        let best = (0..tried.len()).max_by(|&a, &b| margins[a].total_cmp(&margins[b]));
        let value = best.map_or(f64::NAN, |i| tried[i]);
        let best = self.answer(value);
        let no_run = (!has_run(best.margin)).then(|| self.why_no_run(value));
        let tightest = best.tightest.as_ref().filter(|_| no_run.is_none());
        let reachable = tightest.map(|(bound, _)| {
            let room = best.margin * scale(bound);
            match bound.relation {
                Relation::Above => bound.threshold + room,
                Relation::Below => bound.threshold - room,
            }
        });
        Found::Nothing(Box::new(Nearest {
            levers: levers::levers(self.stand, &self.knob, value),
            best,
            no_run,
            reachable: reachable.filter(|v| v.is_finite()),
        }))
    }
}

/// Whether a margin is that of runs that could be judged.
#[must_use]
pub fn has_run(margin: f64) -> bool {
    margin >= LEAST
}

/// The least room that any bound leaves, as a part of its threshold.
#[must_use]
pub fn margin(run: &DrawnRun) -> f64 {
    let verdict = tightest(run);
    verdict.map_or(f64::NAN, relative)
}

fn tightest(run: &DrawnRun) -> Option<&Verdict> {
    let verdicts = run.requirements.iter().chain(&run.limits);
    verdicts.min_by(|a, b| relative(a).total_cmp(&relative(b)))
}

fn relative(verdict: &Verdict) -> f64 {
    let margin = verdict.margin().map(|m| m / scale(&verdict.bound));
    margin.map_or(NO_RUN, |m| m.max(LEAST))
}

fn scale(bound: &Bound) -> f64 {
    match bound.threshold.abs() {
        0.0 => 1.0,
        size => size,
    }
}
