//! What else could be changed where a value alone does not do.

use super::knob::{DIGITS, Knob, Spread, rounded, typed, written};
use super::margin;
use crate::CheckedStand;
use crate::studies::parallel::{gathered, silent};
use crate::studies::stand_model::StandModel;
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

/// A change with which the nominal run does.
#[derive(Clone, Debug, PartialEq)]
pub struct Lever {
    /// Path and value.
    pub change: (String, String),
    /// Times what the file says.
    pub factor: f64,
}

/// Single changes that do in the nominal run, beside the best value of the knob; the smallest
/// changes first.
pub(super) fn levers(stand: &CheckedStand, knob: &Knob, best: f64) -> Vec<Lever> {
    let choosable = |path: &str| {
        let key = path.rsplit('.').next().unwrap_or(path);
        let is_table = path.starts_with("ambient") || path.starts_with("run");
        CHOOSABLE.contains(&key) && path != knob.path && !is_table
    };
    let inputs = stand.inputs.iter().map(|(_, input)| input);
    let candidates: Vec<Lever> = inputs
        .filter(|i| choosable(&i.path))
        .filter_map(|i| Some((i, typed(stand, i)?)))
        .flat_map(|(input, (value, unit))| {
            FACTORS.map(|factor| Lever {
                change: (
                    input.path.clone(),
                    written(rounded(value * factor, DIGITS, 0.0), &unit, Spread::None),
                ),
                factor,
            })
        })
        .collect();
    let does = gathered(candidates.len(), &silent, |i| {
        let overrides = [knob.overrides(best), vec![candidates[i].change.clone()]].concat();
        changed(stand, &overrides).is_ok_and(|stand| {
            let run = StandModel::new(&stand, stand.run).nominal();
            run.outcome.failure.is_none() && margin(&run) >= 0.0
        })
    });
    let pairs = candidates.into_iter().zip(does);
    let mut levers: Vec<Lever> = pairs.filter_map(|(l, does)| does.then_some(l)).collect();
    levers.sort_by(|a, b| a.factor.ln().abs().total_cmp(&b.factor.ln().abs()));
    let mut seen: Vec<String> = Vec::new();
    levers.retain(|l| {
        let is_new = !seen.contains(&l.change.0);
        seen.push(l.change.0.clone());
        is_new
    });
    levers.truncate(NAMED);
    levers
}
