//! Sizing: the smallest or largest value of the stand with which its requirements are met and
//! its limits kept, found on the simulation itself.
//!
//! The margin of a run is the least room that any bound leaves, as a part of its threshold. At
//! a confidence of 95 % the margin that counts is the one that 95 % of the draws reach; every
//! value is tried with the same draws, so that margins differ by the value alone. A scan of the
//! range finds where the margin changes its sign, a bracketed root the place. Where no value of
//! the scan does, the summit next to the best of them is sought before any is said to be none.

mod ceiling;
mod count;
pub mod handbook;
mod knob;
mod levers;
mod peak;
mod raised;
pub mod relief;

pub use ceiling::Ceiling;
pub use knob::{Knob, KnobFault};
pub use levers::Lever;
pub use raised::{Raised, raised};

use super::chance::Chance;
use super::parallel::{Progress, gathered};
use super::percentile::Sorted;
use super::stand_model::{DrawnRun, StandModel};
use super::sweep::changed;
use crate::CheckedStand;
use crate::summary::{Bound, Verdict};
use knob::DIGITS;
use peak::{Peak, peak, whole_peak};
use shared::bracketed;
use sim_core::network::Relation;

/// Values of the range that are tried first.
pub const SCAN: usize = 9;
/// Part of the value to which the root is found.
pub const TOLERANCE: f64 = 5e-4;
/// Most digits of an answer, for a window so narrow that it holds no number with fewer.
const MOST_DIGITS: i32 = 8;
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
    /// What was tried over the range, and the answer among it, with the margins.
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

impl Found {
    /// The value that was found, or that comes nearest.
    #[must_use]
    pub fn answer(&self) -> &Answer {
        match self {
            Self::Value(answer) | Self::WholeRange(answer) => answer,
            Self::Nothing(nearest) => &nearest.best,
        }
    }
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
        let mut scan: Vec<(f64, f64)> = tried.into_iter().zip(margins).collect();
        let first = scan.iter().position(|&(_, margin)| margin >= 0.0);
        let found = match first {
            Some(0) => Found::WholeRange(self.answer(scan[0].0)),
            Some(i) => Found::Value(self.between(scan[i - 1].0, scan[i].0, progress)),
            None => self.beside_the_best(&scan, progress),
        };
        let Answer { value, margin, .. } = *found.answer();
        scan.retain(|s| s.0 != value);
        scan.push((value, margin));
        scan.sort_by(|a, b| match self.wanted {
            Wanted::Smallest => a.0.total_cmp(&b.0),
            Wanted::Largest => b.0.total_cmp(&a.0),
        });
        let scan = scan.into_iter();
        Sizing {
            scan: scan.map(|(x, m)| (self.knob.text(x), m)).collect(),
            found,
        }
    }

    /// Where no value of a scan does: what the summit beside the best of them comes to.
    fn beside_the_best(&self, scan: &[(f64, f64)], progress: Progress<'_>) -> Found {
        let summit = self.summit(scan, progress);
        if summit.margin >= 0.0 {
            return Found::Value(self.between(summit.before, summit.at, progress));
        }
        self.nearest(self.knob.rounded(summit.at, DIGITS, 0.0))
    }

    fn summit(&self, scan: &[(f64, f64)], progress: Progress<'_>) -> Peak {
        let best = (0..scan.len()).max_by(|&a, &b| scan[a].1.total_cmp(&scan[b].1));
        let best = best.unwrap_or_default();
        let ends = (
            scan[best.saturating_sub(1)].0,
            scan[(best + 1).min(scan.len() - 1)].0,
        );
        let of_scan = Peak {
            before: ends.0,
            at: scan[best].0,
            margin: scan[best].1,
        };
        // Runs that cannot be judged show no way up.
        if !has_run(of_scan.margin) {
            return of_scan;
        }
        let margin = |x: f64| self.margins(&[x], progress)[0];
        let width = TOLERANCE * ends.0.abs().max(ends.1.abs());
        let found = match self.knob.whole_steps() {
            true => whole_peak(margin, ends),
            false => peak(margin, ends, scan[best], width),
        };
        if found.margin > of_scan.margin {
            found
        } else {
            of_scan
        }
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
        self.answer(match self.knob.whole_steps() {
            true => halved(margin, fails, does),
            false => self.edge(margin, fails, does),
        })
    }

    /// The root, rounded to the side that does; to more digits where that misses the window.
    fn edge(&self, margin: impl Fn(f64) -> f64, fails: f64, does: f64) -> f64 {
        let width = TOLERANCE * does.abs().max(fails.abs());
        let root = bracketed(&margin, fails, does, width).unwrap_or(does);
        let toward = (does - fails).signum();
        let rounded = |digits: i32| {
            let at = move |x: f64| self.knob.rounded(x, digits, toward);
            let next = move |x: &f64| ((does - x) * toward > 0.0).then(|| at(x + toward * width));
            std::iter::successors(Some(at(root)), next)
        };
        let mut values = (DIGITS..=MOST_DIGITS).flat_map(rounded);
        values.find(|&x| margin(x) >= 0.0).unwrap_or(does)
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

    fn nearest(&self, value: f64) -> Found {
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

/// Between a whole number that does not do and one that does: the one that does next to the
/// first, where the margin changes its sign but once.
fn halved(margin: impl Fn(f64) -> f64, mut fails: f64, mut does: f64) -> f64 {
    while (does - fails).abs() > 1.0 {
        let middle = (0.5 * (does + fails)).floor();
        if margin(middle) >= 0.0 {
            does = middle;
        } else {
            fails = middle;
        }
    }
    does
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
