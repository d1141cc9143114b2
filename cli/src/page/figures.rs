//! Figures with the ends of their bands, as rows of a table.

use super::Told;
use crate::naming::{label, or_ratio, typed, widest};
use maud::{Markup, html};
use scenarios::studies::FigureBand;
use scenarios::summary::Figure;

impl Told<'_> {
    /// The band of a figure.
    pub(super) fn band(&self, figure: &Figure) -> Option<&FigureBand> {
        self.bands?.figure(&figure.name)
    }

    /// Component, words, low, nominal, high, unit; then with `blank` a place for what was measured,
    /// else the name by which a user asks for it.
    pub(super) fn figure_row(&self, figure: &Figure, blank: bool) -> Markup {
        let display = self.display().fitting(figure.dimension, figure.value);
        let number = |si| display.number(figure.dimension, si);
        let unit = display.unit(figure.dimension);
        let band = self.band(figure);
        html! {
            tr data-figure=(figure.name) {
                th.in[figure.label.starts_with(' ')] scope="row" {
                    (figure.component) " " (label(figure, &unit).trim_start())
                }
                td.n { (band.map_or(String::new(), |b| number(b.low))) }
                td.n { (number(figure.value)) }
                td.n { (band.map_or(String::new(), |b| number(b.high))) }
                td { (or_ratio(unit)) }
                @if blank { td.blank {} } @else { td.typed { code { (typed(&figure.name)) } } }
            }
        }
    }

    /// A table of figures.
    pub(super) fn figure_table(&self, figures: &[&Figure], blank: bool) -> Markup {
        html! {
            table {
                thead { tr {
                    th scope="col" { "figure" }
                    th.n scope="col" { "low" }
                    th.n scope="col" { "nominal" }
                    th.n scope="col" { "high" }
                    th scope="col" { "unit" }
                    @if blank { th scope="col" { "measured" } }
                    @else { th.typed scope="col" { "name for --figure" } }
                } }
                tbody { @for figure in figures { (self.figure_row(figure, blank)) } }
            }
        }
    }

    /// What the columns low and high are.
    pub(super) fn about_bands(&self) -> String {
        match self.bands {
            Some(bands) => {
                // What is left out may be what goes furthest.
                let left_out = match bands.failures.len() {
                    0 => String::new(),
                    failed => format!(
                        " {failed} of them gave no whole run and are LEFT OUT: the true bands may be wider."
                    ),
                };
                format!(
                    "Low and high: 2.5 and 97.5 % of {} draws of {} uncertain values (seed {}).{left_out}",
                    bands.draws,
                    bands.factors.len(),
                    bands.seed
                )
            }
            None => "No bands were drawn; add --draws 200.".to_owned(),
        }
    }

    /// The inputs that widen the band of the main figure most.
    pub(super) fn widest(&self) -> Option<String> {
        let (figure, inputs) = widest(self.bands?)?;
        Some(format!("{figure}: {inputs}"))
    }
}
