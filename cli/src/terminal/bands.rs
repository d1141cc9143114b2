//! Bands in the report: between what each figure lies, how well that is known, and which
//! inputs to measure better.

use super::table::aligned;
use scenarios::studies::chance::Chance;
use scenarios::studies::{Bands, EventBand, FigureBand};
use scenarios::summary::Bound;
use shared::quantity::{Dimension, Display};

/// Inputs that are named.
const NAMED: usize = 3;
/// Failed draws whose reasons are told.
const TOLD: usize = 3;

/// Bands in words.
pub(super) struct BandText<'a> {
    pub bands: &'a Bands,
    pub display: &'a Display,
}

impl BandText<'_> {
    /// The ends of a figure's band.
    pub fn of_figure(&self, name: &str) -> Option<String> {
        self.bands.figure(name).map(|band| self.ends(band))
    }

    fn ends(&self, band: &FigureBand) -> String {
        let number = |v| self.display.number(band.figure.dimension, v);
        let ends = format!("{} .. {}", number(band.low), number(band.high));
        if band.seen.count < band.seen.of {
            format!("{ends}, in {} of the draws", percent(band.seen.part()))
        } else {
            ends
        }
    }

    /// In how many of the draws a requirement is met.
    pub fn met(&self, bound: &Bound) -> Option<String> {
        share_of(&self.bands.requirements, bound, "met")
    }

    /// In how many of the draws a limit is broken.
    pub fn broken(&self, bound: &Bound) -> Option<String> {
        share_of(&self.bands.limits, bound, "broken")
    }

    pub fn heading(&self) -> String {
        let count = self.bands.factors.len();
        format!(
            "Bands: 95 % of {} draws of {count} uncertain values",
            self.bands.draws
        )
    }

    pub fn body(&self) -> String {
        let mut rows = Vec::new();
        let bounds = [
            ("met", &self.bands.requirements),
            ("broken", &self.bands.limits),
        ];
        for (word, chances) in bounds {
            rows.extend(chances.iter().map(|(b, c)| chance_row(b, *c, word)));
        }
        rows.extend(self.only_drawn());
        let scattered = self
            .bands
            .events
            .iter()
            .filter(|e| e.time_s[0] < e.time_s[2]);
        rows.extend(scattered.map(|e| self.event_row(e)));
        let sentences = [self.failures(), self.convergence(), self.what_matters()];
        let sentences = sentences.into_iter().flatten();
        let sentences = sentences.map(|s| vec![s]).collect();
        aligned(rows, &[]) + &aligned(sentences, &[])
    }

    /// Figures that the nominal run does not have.
    fn only_drawn(&self) -> impl Iterator<Item = Vec<String>> {
        let figures = self.bands.figures.iter();
        let drawn = figures.filter(|f| f.figure.value.is_nan());
        drawn.map(|f| {
            let unit = self.display.unit(f.figure.dimension);
            let what = format!("{} {}", f.figure.component, f.figure.label);
            vec![what, format!("{} {unit}", self.ends(f))]
        })
    }

    /// When an event comes that does not come at the same instant in every draw.
    fn event_row(&self, event: &EventBand) -> Vec<String> {
        let number = |v| self.display.number(Dimension::Time, v);
        let [low, _, high] = event.time_s;
        let unit = self.display.unit(Dimension::Time);
        let when = format!("at {} .. {} {unit}", number(low), number(high));
        let share = percent(event.seen.part());
        vec![
            format!("{} {}", event.component, event.kind),
            match event.seen.count < event.seen.of {
                true => format!("{when}, in {share} of the draws"),
                false => when,
            },
        ]
    }

    fn failures(&self) -> Option<String> {
        let failures = &self.bands.failures;
        let reasons = failures.iter().take(TOLD);
        let reasons: Vec<String> = reasons.map(|(i, why)| format!("draw {i}: {why}")).collect();
        (!failures.is_empty()).then(|| {
            format!(
                "{} draws gave no whole run and are left out: {}",
                failures.len(),
                reasons.join("; ")
            )
        })
    }

    fn convergence(&self) -> Option<String> {
        let band = self.bands.main_figure()?;
        let number = |v| self.display.number(band.figure.dimension, v);
        let unit = self.display.unit(band.figure.dimension);
        let within = |(a, b)| format!("{} .. {}", number(a), number(b));
        Some(format!(
            "With so many draws the ends of {} are known to lie within {} and {} {unit} (95 % confidence)",
            band.figure.name,
            within(band.low_within),
            within(band.high_within),
        ))
    }

    /// The plain sentence.
    fn what_matters(&self) -> Option<String> {
        let band = self.bands.main_figure()?;
        let ranking = band.ranking.as_ref()?;
        let named = ranking.influences.iter().take(NAMED);
        let named: Vec<String> = named
            .map(|i| {
                let name = &self.bands.factors[i.factor].name;
                format!("{name} ({})", percent(i.share))
            })
            .collect();
        Some(format!(
            "To narrow the band of {}, measure better: {}; shares of its variance by linear \
             regression over the draws, R2 = {:.2}",
            band.figure.name,
            named.join(", "),
            ranking.r_squared
        ))
    }
}

fn chance_row(bound: &Bound, chance: Chance, word: &str) -> Vec<String> {
    let (low, high) = chance.interval_95();
    vec![
        format!("{} {}", bound.path, bound.text),
        format!("{word} in {} of the draws", percent(chance.part())),
        format!("{} .. {} with 95 % confidence", percent(low), percent(high)),
    ]
}

fn share_of(chances: &[(Bound, Chance)], bound: &Bound, word: &str) -> Option<String> {
    let (_, chance) = chances.iter().find(|(b, _)| b == bound)?;
    Some(format!("{word} in {} of the draws", percent(chance.part())))
}

fn percent(part: f64) -> String {
    format!("{:.0} %", 100.0 * part)
}
