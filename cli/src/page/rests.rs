//! The assumptions that a card has room for: those that matter most.

use super::Told;
use scenarios::studies::Bands;

impl Told<'_> {
    /// Assumptions in the order of what they do to the bands, then those that are uncertain, then
    /// the rest as they stand in the file; so many of them.
    pub(super) fn rests_on(&self, count: usize) -> Vec<&str> {
        let assumptions = &self.stand.assumptions;
        let mut order: Vec<usize> = (0..assumptions.len()).collect();
        let weights: Vec<f64> = assumptions.iter().map(|a| self.weight(&a.path)).collect();
        order.sort_by(|&a, &b| weights[b].total_cmp(&weights[a]));
        let sentences = order.into_iter().take(count);
        let sentences = sentences.filter_map(|i| self.prediction.assumptions.get(i));
        sentences.map(String::as_str).collect()
    }

    /// The largest share of an input in the variance of any figure; a little for one that is
    /// uncertain at all; nothing for one that is held exact.
    fn weight(&self, path: &str) -> f64 {
        let mut uncertain = self.stand.inputs.uncertain();
        let is_uncertain = uncertain.any(|(_, input)| input.path == path);
        let share = self.bands.map_or(0.0, |bands| largest_share(bands, path));
        share.max(if is_uncertain { f64::MIN_POSITIVE } else { 0.0 })
    }
}

fn largest_share(bands: &Bands, path: &str) -> f64 {
    let rankings = bands.figures.iter().filter_map(|f| f.ranking.as_ref());
    let influences = rankings.flat_map(|r| &r.influences);
    let shares = influences.filter(|i| bands.factors[i.factor].name == path);
    shares.map(|i| i.share).fold(0.0, f64::max)
}
