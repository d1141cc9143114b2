//! Which inputs matter, read off the draws.

use super::Told;
use crate::naming::{in_words, or_ratio, percent};
use crate::terminal::sensitivity::of_change;
use maud::{Markup, html};
use scenarios::studies::FigureBand;
use scenarios::studies::ranking::{Influence, Ranking};

/// Inputs of a table.
const LISTED: usize = 8;
/// Less of the variance than this is not listed.
const LEAST_SHARE: f64 = 0.005;

impl Told<'_> {
    /// A table for the main figure and for each that is required; how to learn more.
    pub(super) fn rankings(&self) -> Markup {
        let ranked = self.ranked();
        html! {
            @for (band, ranking) in &ranked { (self.ranking(band, ranking)) }
            @if ranked.is_empty() {
                p { "Not known without draws, or with no more draws than inputs; add "
                    code { "--draws 200" } "." }
            } @else {
                p.quiet {
                    "Shares of the variance by linear regression over the draws. Of one figure in full, with "
                    "what is not linear: " code { "pressfed sensitivity STAND --figure NAME" } "."
                }
            }
        }
    }

    fn ranked(&self) -> Vec<(&FigureBand, &Ranking)> {
        let Some(bands) = self.bands else {
            return Vec::new();
        };
        let required = bands.requirements.iter();
        let required = required.filter_map(|(bound, _)| bands.figure(&bound.name()));
        let mut ranked: Vec<(&FigureBand, &Ranking)> = Vec::new();
        for band in bands.main_figure().into_iter().chain(required) {
            let is_new = ranked
                .iter()
                .all(|(b, _)| b.figure.name != band.figure.name);
            if let (true, Some(ranking)) = (is_new, &band.ranking) {
                ranked.push((band, ranking));
            }
        }
        ranked
    }

    fn ranking(&self, band: &FigureBand, ranking: &Ranking) -> Markup {
        let figure = in_words(&band.figure.name);
        let listed = ranking.influences.iter().take(LISTED);
        let listed = listed.filter(|i| i.share >= LEAST_SHARE);
        let change = of_change(band.figure.dimension);
        let sizes = ranking.influences.iter().map(|i| i.change.abs());
        // One unit for all of them.
        let display = self.display().fitting(change, sizes.fold(0.0, f64::max));
        html! { table {
            caption { "What widens the band of " (figure) " (a linear relation explains "
                (percent(ranking.r_squared)) " of it)" }
            thead { tr {
                th scope="col" { "input" } th.n scope="col" { "share of the variance" }
                th.n scope="col" {
                    "change for one standard deviation of the input, " (or_ratio(display.unit(change)))
                }
            } }
            tbody { @for influence in listed {
                (self.influence(influence, &display.number(change, influence.change)))
            } }
        } }
    }

    fn influence(&self, influence: &Influence, change: &str) -> Markup {
        let factors = self.bands.map_or(&[][..], |bands| &bands.factors);
        let name = factors.get(influence.factor).map_or("", |f| &f.name);
        html! { tr {
            th scope="row" { code { (name) } }
            td.n { (percent(influence.share)) }
            td.n { (change) }
        } }
    }
}
