//! Requirements and limits: what is asked, what is expected, how likely it is.

use super::Told;
use super::redlines::{judged, worst};
use crate::naming::as_far_as;
use crate::terminal::bands::BandText;
use maud::{Markup, html};
use scenarios::summary::{Bound, Verdict};
use sim_core::network::Relation;

impl Told<'_> {
    /// A table of verdicts, with the words for kept and broken.
    pub(super) fn verdicts(&self, heading: &str, verdicts: &[Verdict], words: [&str; 2]) -> Markup {
        html! {
            @if !verdicts.is_empty() {
                h3 { (heading) }
                table {
                    thead { tr {
                        th scope="col" { "quantity" } th scope="col" { "asked" }
                        th.n scope="col" { "low" } th.n scope="col" { "nominal" }
                        th.n scope="col" { "high" } th scope="col" { "verdict" }
                        th scope="col" { "draws" }
                    } }
                    tbody { @for verdict in verdicts { (self.verdict(verdict, words)) } }
                }
            }
        }
    }

    fn verdict(&self, verdict: &Verdict, words: [&str; 2]) -> Markup {
        let bound = &verdict.bound;
        let [low, high] = self.ends(bound);
        html! { tr data-bound=(bound.path) {
            th scope="row" { (bound.path) }
            td.whole { (self.asked(verdict)) }
            td.n { (low) }
            td.n { (self.came(verdict)) }
            td.n { (high) }
            @if verdict.is_kept() { td { (words[0]) (as_far_as(verdict, self.display())) } } @else { td.alert { (words[1]) } }
            td { (self.chance(bound)) }
        } }
    }

    /// The ends of the band of what a bound is on, in its unit. Of an extreme of the run that is no
    /// figure the end toward the bound alone is known.
    fn ends(&self, bound: &Bound) -> [String; 2] {
        let Some(bands) = self.bands else {
            return Default::default();
        };
        let ends = match (judged(bands, bound), bound.relation) {
            (Some(band), _) => [Some(band.low), Some(band.high)],
            (None, Relation::Below) => [None, worst(bands, bound)],
            (None, Relation::Above) => [worst(bands, bound), None],
        };
        let display = bound.display(self.display());
        ends.map(|end| end.map_or(String::new(), |si| display.text(bound.dimension, si)))
    }

    fn chance(&self, bound: &Bound) -> String {
        let text = self.bands.map(|bands| BandText {
            bands,
            display: self.display(),
        });
        let chance = text.and_then(|text| text.chance(bound));
        chance.unwrap_or_else(|| "none drawn".to_owned())
    }

    /// What a bound asks for, in its own unit.
    pub(super) fn asked(&self, verdict: &Verdict) -> String {
        let bound = &verdict.bound;
        let sign = match bound.relation {
            Relation::Below => "<=",
            Relation::Above => ">=",
        };
        let display = bound.display(self.display());
        format!("{sign} {}", display.text(bound.dimension, bound.threshold))
    }

    /// What came of it.
    pub(super) fn came(&self, verdict: &Verdict) -> String {
        let bound = &verdict.bound;
        let display = bound.display(self.display());
        let text = |value| display.text(bound.dimension, value);
        verdict
            .observed
            .map_or("did not come about".to_owned(), text)
    }
}
