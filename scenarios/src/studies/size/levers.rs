//! What else could be changed where a value alone does not do.

use super::Sizer;
use super::knob::Knob;
use super::written::{DIGITS_OF_DRAWS, Written, rounded};
use crate::CheckedStand;
use crate::studies::parallel::Progress;
use crate::studies::sweep::changed;

/// Factors by which each value is changed.
const FACTORS: [f64; 6] = [0.9, 1.1, 0.75, 1.35, 0.5, 2.0];
/// Values that a team can choose.
const CHOOSABLE: [&str; 8] = [
    "volume",
    "pressure",
    "set_pressure",
    "droop",
    "flow_coefficient",
    "diameter",
    "effective_area",
    "fill",
];
/// How many are named.
const NAMED: usize = 3;
/// How many changes that do in the nominal run are tried with the draws.
const TRIED: usize = 16;
/// How often what lies between no change and one that does is halved.
const HALVINGS: usize = 4;

/// A change with which the stand does.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// Path and value.
    pub change: (String, String),
    /// Times what the file says.
    pub factor: f64,
}

/// Single changes that do at the confidence that is asked, beside the best value of the knob; the
/// smallest changes first.
pub(super) fn levers(sizer: &Sizer<'_>, best: f64, progress: Progress<'_>) -> Vec<Lever> {
    let mut candidates = candidates(sizer.stand, &sizer.knob);
    candidates.sort_by(|a, b| a.factor.ln().abs().total_cmp(&b.factor.ln().abs()));
    let hopeful = does(&sizer.with_draws(0), best, candidates, progress);
    // As few draws as can be: one change after another, until enough are found.
    let mut levers: Vec<Lever> = Vec::new();
    for lever in hopeful.into_iter().take(TRIED) {
        let is_new = levers.iter().all(|l| l.change.0 != lever.change.0);
        if levers.len() < NAMED && is_new {
            let found = does(sizer, best, vec![lever], progress).pop();
            levers.extend(found.map(|lever| smaller(sizer, best, lever, progress)));
        }
    }
    levers
}

/// The smallest change of a kind that does, between none and one that does.
fn smaller(sizer: &Sizer<'_>, best: f64, lever: Lever, progress: Progress<'_>) -> Lever {
    let id = sizer.stand.inputs.find(&lever.change.0);
    let input = id.map(|id| sizer.stand.inputs.get(id));
    let Some(written) = input.and_then(|input| Written::of(sizer.stand, input)) else {
        return lever;
    };
    let (mut too_small, mut enough) = (1.0_f64, lever);
    for _ in 0..HALVINGS {
        let factor = (too_small * enough.factor).sqrt();
        match does(sizer, best, vec![times(&written, factor)], progress).pop() {
            Some(does) => enough = does,
            None => too_small = factor,
        }
    }
    enough
}

/// Those of some changes with which the stand does.
fn does(sizer: &Sizer<'_>, best: f64, changes: Vec<Lever>, progress: Progress<'_>) -> Vec<Lever> {
    let of = |lever: &Lever| {
        let overrides = [sizer.knob.overrides(best), vec![lever.change.clone()]].concat();
        changed(sizer.stand, &overrides).ok()
    };
    let stands: Vec<_> = changes.iter().map(of).collect();
    let rooms = sizer.rooms_of(&stands, progress);
    let changes = changes.into_iter().zip(rooms);
    let does = changes.filter(|(_, rooms)| rooms.margin() >= 0.0);
    does.map(|(lever, _)| lever).collect()
}

/// An input changed by a factor, rounded away from what the file has: a change that is a little
/// larger does, too.
fn times(written: &Written, factor: f64) -> Lever {
    let away = (factor - 1.0) * written.value;
    let value = rounded(written.value * factor, DIGITS_OF_DRAWS, away);
    Lever {
        change: written.with(value),
        factor,
    }
}

/// Values that a team can choose, each changed by every factor.
fn candidates(stand: &CheckedStand, knob: &Knob) -> Vec<Lever> {
    let choosable = |path: &str| {
        let key = path.rsplit('.').next().unwrap_or(path);
        let is_table = path.starts_with("ambient") || path.starts_with("run");
        CHOOSABLE.contains(&key) && path != knob.path && !is_table
    };
    let inputs = stand.inputs.iter().map(|(_, input)| input);
    let written = inputs
        .filter(|i| choosable(&i.path))
        .filter_map(|i| Written::of(stand, i));
    let changes = written.flat_map(|input| FACTORS.map(|factor| times(&input, factor)));
    changes.collect()
}
