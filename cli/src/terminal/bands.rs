//! Bands in the report: between what each figure lies, how well that is known, and which
//! inputs to measure better.

use super::table::aligned;
use crate::naming::{in_words, percent, widest};
use scenarios::studies::chance::Chance;
use scenarios::studies::{Bands, EventBand, FigureBand};
use scenarios::summary::{Bound, Figure};
use shared::quantity::{Dimension, Display};

/// Word for a requirement that is kept.
const MET: &str = "met";
/// Failed draws whose reasons are told.
const TOLD: usize = 3;

/// Bands in words.
pub(crate) struct BandText<'a> {
    pub bands: &'a Bands,
    pub display: &'a Display,
}

impl BandText<'_> {
    /// The ends of a figure's band, and how many of the draws have it where these are fewer than
    /// those of its table.
    pub fn of_figure(&self, name: &str, table: Chance) -> Option<[String; 3]> {
        let band = self.bands.figure(name)?;
        let [low, high] = self.ends(band);
        let is_rarer = band.seen.count < table.count;
        let share = is_rarer.then(|| share(band.seen));
        Some([low, high, share.unwrap_or_default()])
    }

    /// How many of the draws have any of the figures of a table.
    pub fn of_table(&self, figures: &[&Figure]) -> Chance {
        let bands = figures.iter().filter_map(|f| self.bands.figure(&f.name));
        let most = bands.map(|band| band.seen).max_by_key(|seen| seen.count);
        most.unwrap_or(Chance { count: 0, of: 0 })
    }

    /// What stands above the bands of a table.
    pub fn column(&self, table: Chance) -> String {
        let rare = table.count < table.of;
        match rare {
            true => format!("low to high: 95 % band, {}", share(table)),
            false => "low to high: 95 % band".to_owned(),
        }
    }

    fn ends(&self, band: &FigureBand) -> [String; 2] {
        let display = self.display_of(band);
        [band.low, band.high].map(|end| display.number(band.figure.dimension, end))
    }

    /// In the unit of the nominal value, if there is one.
    fn display_of(&self, band: &FigureBand) -> Display {
        let nominal = band.figure.value;
        let value = if nominal.is_finite() {
            nominal
        } else {
            band.high
        };
        self.display.fitting(band.figure.dimension, value)
    }

    /// In how many of the draws a requirement is met.
    pub fn met(&self, bound: &Bound) -> Option<String> {
        share_of(&self.bands.requirements, bound, MET)
    }

    /// In how many of the draws a limit is broken.
    pub fn broken(&self, bound: &Bound) -> Option<String> {
        share_of(&self.bands.limits, bound, self.broken_word())
    }

    /// A draw without a whole run counts as one that breaks every limit.
    fn broken_word(&self) -> &'static str {
        match self.bands.failures.is_empty() {
            true => "broken",
            false => "broken or without a whole run",
        }
    }

    /// In how many of the draws a requirement is met or a limit is broken, and how well that is
    /// known.
    pub fn chance(&self, bound: &Bound) -> Option<String> {
        let of_bound =
            |(b, c): &(Bound, Chance), word| (b == bound).then(|| chance_row(b, *c, word));
        let met = self.bands.requirements.iter();
        let broken = self.bands.limits.iter();
        let mut rows = met
            .filter_map(|c| of_bound(c, MET))
            .chain(broken.filter_map(|c| of_bound(c, self.broken_word())));
        let [_, share, within] = rows.next()?;
        Some(format!("{share} ({within})"))
    }

    pub fn heading(&self) -> String {
        let count = self.bands.factors.len();
        format!(
            "Bands: from 2.5 to 97.5 % of {} draws of {count} uncertain values",
            self.bands.draws
        )
    }

    pub fn body(&self) -> String {
        let mut rows = Vec::new();
        let bounds = [
            (MET, &self.bands.requirements),
            (self.broken_word(), &self.bands.limits),
        ];
        for (word, chances) in bounds {
            rows.extend(
                chances
                    .iter()
                    .map(|(b, c)| chance_row(b, *c, word).to_vec()),
            );
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
            let unit = self.display_of(f).unit(f.figure.dimension);
            let what = format!("{} {}", f.figure.component, f.figure.label);
            let [low, high] = self.ends(f);
            vec![what, format!("{low} .. {high} {unit}, {}", share(f.seen))]
        })
    }

    /// When an event comes that does not come at the same instant in every draw.
    fn event_row(&self, event: &EventBand) -> Vec<String> {
        let number = |v| self.display.number(Dimension::Time, v);
        let [low, _, high] = event.time_s;
        let unit = self.display.unit(Dimension::Time);
        let when = format!("at {} .. {} {unit}", number(low), number(high));
        let whole_runs = self.bands.draws - self.bands.failures.len();
        vec![
            format!("{} {}", event.component, event.kind),
            match event.seen.count < whole_runs {
                true => format!("{when}, {}", share(event.seen)),
                false => when,
            },
        ]
    }

    /// How many draws are left out, and why.
    pub fn failures(&self) -> Option<String> {
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

    /// How well the ends of the main figure's band are known.
    pub fn convergence(&self) -> Option<String> {
        let band = self.bands.main_figure()?;
        let display = self.display_of(band);
        let number = |v| display.number(band.figure.dimension, v);
        let unit = display.unit(band.figure.dimension);
        let within = |(a, b)| format!("{} .. {}", number(a), number(b));
        Some(format!(
            "With so many draws the ends of {} are known to lie within {} and {} {unit} (95 % confidence)",
            in_words(&band.figure.name),
            within(band.low_within),
            within(band.high_within),
        ))
    }

    /// The plain sentence.
    fn what_matters(&self) -> Option<String> {
        let (figure, inputs) = widest(self.bands)?;
        let r_squared = self.bands.main_figure()?.ranking.as_ref()?.r_squared;
        Some(format!(
            "To narrow the band of {figure}, measure better: {inputs}; shares of its variance by \
             a linear relation, which explains {} of it",
            percent(r_squared)
        ))
    }
}

fn chance_row(bound: &Bound, chance: Chance, word: &str) -> [String; 3] {
    let (low, high) = chance.interval_95();
    [
        format!("{} {}", bound.path, bound.text),
        format!("{word} in {} of the draws", percent(chance.part())),
        format!("{} .. {} with 95 % confidence", percent(low), percent(high)),
    ]
}

fn share_of(chances: &[(Bound, Chance)], bound: &Bound, word: &str) -> Option<String> {
    let (_, chance) = chances.iter().find(|(b, _)| b == bound)?;
    Some(format!("{word} in {} of the draws", percent(chance.part())))
}

/// In how many of the draws something is seen.
fn share(seen: Chance) -> String {
    format!("in {} of the draws", percent(seen.part()))
}
