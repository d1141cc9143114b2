//! The room that runs leave to what is asked and to what is to be kept.

use crate::CheckedStand;
use crate::studies::percentile::Sorted;
use crate::studies::stand_model::DrawnRun;
use crate::summary::{Bound, Verdict};
use sim_core::network::Relation;

/// Room of a run that ends early or of a bound that cannot be judged.
const NO_RUN: f64 = -10.0;
/// No bound counts as missed or kept by more than these parts: a run with any room is told from
/// one that has none, and what never comes has room without end.
const BETWEEN: (f64, f64) = (-5.0, 10.0);

/// Whether a margin is that of runs that could be judged.
#[must_use]
pub fn has_run(margin: f64) -> bool {
    margin >= BETWEEN.0
}

/// The least room that any bound leaves, as a part of its threshold.
#[must_use]
pub fn margin(run: &DrawnRun) -> f64 {
    verdicts(run).map(relative).fold(BETWEEN.1, f64::min)
}

/// The bound with the least room.
pub(super) fn tightest(run: &DrawnRun) -> Option<&Verdict> {
    verdicts(run).min_by(|a, b| relative(a).total_cmp(&relative(b)))
}

fn verdicts(run: &DrawnRun) -> impl Iterator<Item = &Verdict> {
    run.requirements.iter().chain(&run.limits)
}

fn relative(verdict: &Verdict) -> f64 {
    let margin = verdict.margin().map(|m| m / scale(&verdict.bound));
    margin.map_or(NO_RUN, |m| m.clamp(BETWEEN.0, BETWEEN.1))
}

fn scale(bound: &Bound) -> f64 {
    match bound.threshold.abs() {
        0.0 => 1.0,
        size => size,
    }
}

/// The room of one draw to every bound, as parts of the thresholds: the requirements, then the
/// limits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Room(Vec<f64>);

impl Room {
    pub fn of(run: &DrawnRun) -> Self {
        Self(verdicts(run).map(relative).collect())
    }

    /// None to any bound.
    pub fn none(stand: &CheckedStand) -> Self {
        Self(vec![NO_RUN; stand.requirements.len() + stand.limits.len()])
    }

    pub fn least(&self) -> f64 {
        least(&self.0)
    }
}

fn least(rooms: &[f64]) -> f64 {
    rooms.iter().copied().fold(BETWEEN.1, f64::min)
}

/// The rooms of all draws at a value, and which part of them has to have any.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Rooms {
    pub draws: Vec<Room>,
    pub part: f64,
    /// How many of the bounds are requirements.
    pub requirements: usize,
}

impl Rooms {
    /// The margin that the part of the draws has to all bounds at once.
    pub fn margin(&self) -> f64 {
        self.sorted(Room::least).percentile(1.0 - self.part)
    }

    /// Between what that margin would lie if there were draws without end, with 95 % confidence.
    pub fn margin_95(&self) -> (f64, f64) {
        let margins = self.sorted(Room::least);
        margins.confidence_of_percentile(1.0 - self.part)
    }

    /// The room that the part of the draws has to one bound.
    pub fn to_bound(&self, bound: usize) -> f64 {
        self.sorted(|room| room.0[bound])
            .percentile(1.0 - self.part)
    }

    /// The margin where every limit is kept. Where one is broken less than that of any run: what
    /// is asked may be relaxed, what the stand can bear may not.
    pub fn standing(&self) -> f64 {
        match self.to_limits() {
            broken if broken < 0.0 => BETWEEN.0 + broken,
            _ => self.margin(),
        }
    }

    pub fn keeps_limits(&self) -> bool {
        self.to_limits() >= 0.0
    }

    fn to_limits(&self) -> f64 {
        let limits = |room: &Room| least(&room.0[self.requirements..]);
        self.sorted(limits).percentile(1.0 - self.part)
    }

    fn sorted(&self, room: impl Fn(&Room) -> f64) -> Sorted {
        Sorted::of(self.draws.iter().map(room))
    }
}

/// A bound at a value, with the room that the wanted part of the draws has to it.
#[derive(Clone, Debug, PartialEq)]
pub struct Standing {
    /// What is asked, or to be kept.
    pub bound: Bound,
    /// As a part of the threshold.
    pub room: f64,
    /// What the bound would have to be for the same part of the draws to just meet it, in SI.
    pub reachable: f64,
}

impl Standing {
    pub(super) fn of(bound: &Bound, room: f64) -> Self {
        let away = room * scale(bound);
        Self {
            reachable: match bound.relation {
                Relation::Above => bound.threshold + away,
                Relation::Below => bound.threshold - away,
            },
            bound: bound.clone(),
            room,
        }
    }

    /// Whether any run could be judged by it.
    #[must_use]
    pub fn is_judged(&self) -> bool {
        has_run(self.room)
    }
}
