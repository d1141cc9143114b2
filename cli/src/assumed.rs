//! Which assumptions to show where there is no room for all of them: those that matter most.

use scenarios::studies::Bands;
use scenarios::{Assumption, CheckedStand, keys_of};

/// Places of the assumptions in the order of what they do to the bands, then those that are
/// uncertain, then the rest as they stand in the file.
fn by_weight(stand: &CheckedStand, bands: Option<&Bands>) -> Vec<usize> {
    let assumptions = stand.assumptions.iter();
    let weights: Vec<f64> = assumptions.map(|a| weight(stand, bands, &a.path)).collect();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by(|&a, &b| weights[b].total_cmp(&weights[a]));
    order
}

/// Places of those to tell first: that the stand file could settle and that matter most.
pub fn first_told(stand: &CheckedStand, bands: Option<&Bands>) -> impl Iterator<Item = usize> {
    let order = by_weight(stand, bands).into_iter();
    order.filter(|&i| stand.assumptions.get(i).is_some_and(has_key))
}

/// Whether the stand file has a key that would say it.
fn has_key(assumption: &Assumption) -> bool {
    let parts: Vec<&str> = assumption.path.split('.').collect();
    match parts[..] {
        [_, _] => true,
        [kind, _, key] => keys_of(kind).is_some_and(|keys| keys.iter().any(|k| k.name == key)),
        _ => false,
    }
}

/// The largest share of an input in the variance of any figure; a little for one that is
/// uncertain at all; nothing for one that is held exact.
fn weight(stand: &CheckedStand, bands: Option<&Bands>, path: &str) -> f64 {
    let mut uncertain = stand.inputs.uncertain();
    let is_uncertain = uncertain.any(|(_, input)| input.path == path);
    let share = bands.map_or(0.0, |bands| largest_share(bands, path));
    share.max(if is_uncertain { f64::MIN_POSITIVE } else { 0.0 })
}

fn largest_share(bands: &Bands, path: &str) -> f64 {
    let rankings = bands.figures.iter().filter_map(|f| f.ranking.as_ref());
    let influences = rankings.flat_map(|r| &r.influences);
    let shares = influences.filter(|i| bands.factors[i.factor].name == path);
    shares.map(|i| i.share).fold(0.0, f64::max)
}
