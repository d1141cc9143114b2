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
mod edge;
pub mod handbook;
mod knob;
mod levers;
mod peak;
mod raised;
pub mod relief;
mod room;
mod written;

pub use ceiling::Ceiling;
pub use knob::{Knob, KnobFault};
pub use levers::Lever;
pub use raised::{Raised, raised};
pub use room::{Standing, has_run, margin};

use super::chance::Chance;
use super::parallel::{Progress, gathered};
use super::percentile::FEWEST_DRAWS;
use super::stand_model::{DrawnRun, StandModel};
use super::sweep::changed;
use crate::CheckedStand;
use crate::summary::Bound;
use peak::{Peak, peak, whole_peak};
use room::{Room, Rooms, tightest};
use written::DIGITS;

/// Values of the range that are tried first.
pub const SCAN: usize = 9;
/// Part of the value to which the root is found.
pub const TOLERANCE: f64 = 5e-4;
/// How many times more draws the edge that was found is settled with.
pub const FINER: usize = 4;
/// Draws that fail at least at the edge, of the fewest that are taken.
const FAILING: f64 = 3.0;
/// How often a range that nobody gave is carried on.
const FURTHER: usize = 2;

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

impl Confidence {
    /// Fewest draws that can tell: some have to fail where the answer is, and as many as make a
    /// band have to be there.
    #[must_use]
    pub fn fewest_draws(part: f64) -> usize {
        FEWEST_DRAWS.max((FAILING / (1.0 - part) - 1e-6).ceil() as usize)
    }
}

/// What was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizing {
    /// What was tried, and the answer among it, with the margins.
    pub scan: Vec<(String, f64)>,
    /// Between what was tried, in the unit of the knob.
    pub range: (f64, f64),
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
    /// Between what the edge would lie if there were draws without end, with 95 % confidence.
    pub edge_95: Option<(f64, f64)>,
    /// The bound with the least room in the nominal run, and its room in SI.
    pub tightest: Option<(Bound, f64)>,
}

/// What comes nearest where nothing does: of the values that keep every limit the one with the best
/// margin, or the one that comes nearest to keeping them.
#[derive(Clone, Debug, PartialEq)]
pub struct Nearest {
    /// The value.
    pub best: Answer,
    /// Why there is no margin at all, if there is none.
    pub no_run: Option<String>,
    /// Whether the wanted part of the draws keeps every limit.
    pub keeps_limits: bool,
    /// Requirements that the wanted part of the draws does not meet.
    pub missed: Vec<Standing>,
    /// The limit with the least room.
    pub limit: Option<Standing>,
    /// Whether the nominal run does, so that only what is uncertain fails.
    pub nominal_does: bool,
    /// Other changes that would do, the smallest first.
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
        let mut sizer = self.clone();
        let (mut scan, mut found) = sizer.search(progress);
        let mut range = sizer.knob.range;
        for _ in 0..FURTHER {
            let Some(knob) = sizer.further(&found) else {
                break;
            };
            range = (range.0.min(knob.range.0), range.1.max(knob.range.1));
            sizer.knob = knob;
            let next = sizer.search(progress);
            scan.extend(next.0);
            found = next.1;
        }
        let Answer { value, margin, .. } = *found.answer();
        scan.retain(|s| s.0 != value);
        scan.push((value, margin));
        scan.sort_by(|a, b| match self.wanted {
            Wanted::Smallest => a.0.total_cmp(&b.0),
            Wanted::Largest => b.0.total_cmp(&a.0),
        });
        scan.dedup_by_key(|s| s.0);
        let scan = scan.into_iter();
        Sizing {
            scan: scan.map(|(x, m)| (self.knob.text(x), m)).collect(),
            range,
            found,
        }
    }

    /// What lies beyond a range that nobody gave, where the search ended at its end.
    fn further(&self, found: &Found) -> Option<Knob> {
        let Answer { value, margin, .. } = *found.answer();
        let ends_here = match found {
            Found::Value(_) => false,
            Found::WholeRange(_) => true,
            Found::Nothing(_) => has_run(margin),
        };
        ends_here.then(|| self.knob.beyond(self.stand, value))?
    }

    /// Over the range: what was tried with its margin, and what came of it.
    fn search(&self, progress: Progress<'_>) -> (Vec<(f64, f64)>, Found) {
        let mut values = self.knob.scan(SCAN);
        if self.wanted == Wanted::Largest {
            values.reverse();
        }
        let rooms = self.rooms(&values, progress);
        let margins: Vec<f64> = rooms.iter().map(Rooms::margin).collect();
        let first = margins.iter().position(|&margin| margin >= 0.0);
        let found = match first {
            Some(0) => Found::WholeRange(self.answer(values[0], &rooms[0])),
            Some(i) => Found::Value(self.between(values[i - 1], values[i], progress)),
            None => {
                let standing = rooms.iter().map(Rooms::standing);
                self.beside_the_best(&values, &standing.collect::<Vec<_>>(), progress)
            }
        };
        (values.into_iter().zip(margins).collect(), found)
    }

    /// Where no value of a scan does: what the summit beside the best of them comes to.
    fn beside_the_best(&self, values: &[f64], standing: &[f64], progress: Progress<'_>) -> Found {
        let summit = self.summit(values, standing, progress);
        if summit.margin >= 0.0 {
            return Found::Value(self.between(summit.before, summit.at, progress));
        }
        self.nearest(summit.at, progress)
    }

    fn summit(&self, values: &[f64], standing: &[f64], progress: Progress<'_>) -> Peak {
        let best = (0..values.len()).max_by(|&a, &b| standing[a].total_cmp(&standing[b]));
        let best = best.unwrap_or_default();
        let ends = (
            values[best.saturating_sub(1)],
            values[(best + 1).min(values.len() - 1)],
        );
        let of_scan = Peak {
            before: ends.0,
            at: values[best],
            margin: standing[best],
        };
        let at = |x: f64| self.rooms_at(x, progress).standing();
        let width = TOLERANCE * ends.0.abs().max(ends.1.abs());
        let found = match self.knob.whole_steps() {
            true => whole_peak(at, ends),
            false => peak(at, ends, (of_scan.at, of_scan.margin), width),
        };
        if found.margin > of_scan.margin {
            found
        } else {
            of_scan
        }
    }

    /// The same with another number of draws; with 0 the nominal values alone.
    #[must_use]
    pub fn with_draws(&self, draws: usize) -> Self {
        let mut other = self.clone();
        other.confidence.draws = draws;
        other
    }

    /// The same with as many draws as an edge is settled with.
    fn finer(&self) -> Self {
        self.with_draws(FINER * self.confidence.draws)
    }

    /// The margin at each of some values.
    #[must_use]
    pub fn margins(&self, values: &[f64], progress: Progress<'_>) -> Vec<f64> {
        let rooms = self.rooms(values, progress);
        rooms.iter().map(Rooms::margin).collect()
    }

    /// The rooms of every draw at each of some values.
    fn rooms(&self, values: &[f64], progress: Progress<'_>) -> Vec<Rooms> {
        let stand = |&value: &f64| changed(self.stand, &self.knob.overrides(value)).ok();
        let stands: Vec<Option<CheckedStand>> = values.iter().map(stand).collect();
        self.rooms_of(&stands, progress)
    }

    /// The rooms of every draw at one value.
    fn rooms_at(&self, value: f64, progress: Progress<'_>) -> Rooms {
        self.rooms(&[value], progress).remove(0)
    }

    /// The rooms of every draw of some stands; none for a stand that is refused.
    fn rooms_of(&self, stands: &[Option<CheckedStand>], progress: Progress<'_>) -> Vec<Rooms> {
        let count = self.confidence.draws.max(1);
        let rooms = gathered(stands.len() * count, progress, |i| {
            let stand = stands[i / count].as_ref();
            let run = stand.and_then(|s| self.run(&StandModel::new(s, s.run), i % count).ok());
            run.map_or_else(|| Room::none(self.stand), |run| Room::of(&run))
        });
        let of_stand = |draws: &[Room]| Rooms {
            draws: draws.to_vec(),
            part: self.confidence.part,
            requirements: self.stand.requirements.len(),
        };
        rooms.chunks_exact(count).map(of_stand).collect()
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

    fn answer(&self, value: f64, rooms: &Rooms) -> Answer {
        let nominal = changed(self.stand, &self.knob.overrides(value));
        let tightest = nominal.ok().and_then(|stand| {
            let run = StandModel::new(&stand, stand.run).nominal();
            tightest(&run).map(|v| (v.bound.clone(), v.margin().unwrap_or(f64::NAN)))
        });
        Answer {
            text: self.knob.text(value),
            value,
            margin: rooms.margin(),
            success: Chance::of(rooms.draws.iter().map(|room| room.least() >= 0.0)),
            edge_95: None,
            tightest,
        }
    }

    fn nearest(&self, at: f64, progress: Progress<'_>) -> Found {
        // Of a value on the edge of a limit only one side keeps it.
        let (low, high) = self.knob.range;
        let rounded = |toward| self.knob.rounded(at, DIGITS, toward);
        let values = [0.0, -1.0, 1.0].map(|toward| rounded(toward).clamp(low, high));
        let mut rooms = self.rooms(&values, progress);
        let standing = |i: usize| rooms[i].standing();
        let best = (0..values.len()).max_by(|&a, &b| standing(a).total_cmp(&standing(b)));
        let best = best.unwrap_or_default();
        let (value, rooms) = (values[best], rooms.swap_remove(best));
        let best = self.answer(value, &rooms);
        let (requirements, limits) = (&self.stand.requirements, &self.stand.limits);
        let bounds = requirements.iter().chain(limits).enumerate();
        // What could be asked for is known better than what is best.
        let finer = self.finer().rooms_at(value, progress);
        let standings = bounds.map(|(i, bound)| Standing::of(bound, finer.to_bound(i)));
        let mut missed: Vec<Standing> = standings.collect();
        let limits = missed.split_off(requirements.len());
        missed.retain(|s| s.room < 0.0);
        Found::Nothing(Box::new(Nearest {
            no_run: (!has_run(best.margin)).then(|| self.why_no_run(value)),
            keeps_limits: rooms.keeps_limits(),
            missed,
            limit: limits.into_iter().min_by(|a, b| a.room.total_cmp(&b.room)),
            nominal_does: best.tightest.as_ref().is_some_and(|t| t.1 >= 0.0),
            levers: levers::levers(self, value, progress),
            best,
        }))
    }
}
