//! `report.html`: everything a run gave, in one file.

use super::{Told, document, provenance};
use crate::plot::SCHEMATIC;
use crate::terminal::report::GROUPS;
use maud::{Markup, PreEscaped, html};
use scenarios::hand_checks::HandCheck;
use scenarios::summary::{Figure, Group, Verdict};
use shared::quantity::Dimension;
use sim_core::network::Relation;

/// How often the page of a watched stand loads itself anew, s.
const RELOAD_S: u32 = 3;

/// A drawn picture: what it shows, and its SVG.
#[derive(Debug)]
pub struct Drawn {
    /// File name without extension.
    pub name: String,
    /// In words.
    pub words: String,
    /// The document.
    pub svg: String,
}

/// The report, with the drawing of the stand and the plots. That of a watched stand loads itself
/// anew.
#[must_use]
pub fn report(told: &Told<'_>, drawn: &[Drawn], watched: bool) -> String {
    let prediction = told.prediction;
    let schematic = drawn.iter().find(|d| d.name == SCHEMATIC);
    let plots = drawn.iter().filter(|d| d.name != SCHEMATIC);
    let body = html! {
        h1 { (prediction.title) }
        (provenance(prediction))
        @if let Some(failure) = &prediction.outcome.failure {
            p.alert {
                "The run ends early, at " (told.display().text(Dimension::Time, failure.time_s)) ": "
                (failure.message)
            }
        }
        nav aria-label="Sections" {
            a href="#summary" { "Summary" } a href="#plots" { "Plots" } a href="#audit" { "Audit" }
            a href="#stand" { "Stand file" }
        }
        h2 id="summary" { "Summary" }
        p.quiet { (told.about_bands()) }
        (told.verdicts("Requirements", &prediction.requirements, ["met", "NOT MET"]))
        (told.verdicts("Limits", &prediction.limits, ["kept", "BROKEN"]))
        @for (group, words) in GROUPS { (told.group(group, words)) }
        @if let Some(widest) = told.widest() {
            h3 { "What widens the band most" }
            p { (widest) }
        }
        @if let Some(drawn) = schematic {
            h2 { "Schematic" }
            (figure(drawn))
        }
        h2 id="plots" { "Plots" }
        @for drawn in plots { h3 { (drawn.words) } (figure(drawn)) }
        h2 id="audit" { "Audit" }
        (told.audit())
        h2 id="stand" { "Stand file" }
        @if !prediction.overrides.is_empty() {
            p { "Set in place of the file's values:" }
            ul { @for (path, value) in &prediction.overrides { li { code { (path) " = " (value) } } } }
        }
        pre { code { (told.stand.text) } }
    };
    let head = html! {
        @if watched { meta http-equiv="refresh" content=(RELOAD_S); }
    };
    document(&prediction.title, head, "", &body)
}

fn figure(drawn: &Drawn) -> Markup {
    html! { figure { (PreEscaped(&drawn.svg)) } }
}

impl Told<'_> {
    fn group(&self, group: Group, words: &str) -> Markup {
        let figures = self.prediction.summary.figures.iter();
        let figures: Vec<&Figure> = figures.filter(|f| f.group == group).collect();
        html! {
            @if !figures.is_empty() { h3 { (words) } (self.figure_table(&figures, false)) }
        }
    }

    fn verdicts(&self, heading: &str, verdicts: &[Verdict], words: [&str; 2]) -> Markup {
        html! {
            @if !verdicts.is_empty() {
                h3 { (heading) }
                table {
                    thead { tr {
                        th scope="col" { "quantity" } th scope="col" { "asked" }
                        th.n scope="col" { "predicted" } th scope="col" { "verdict" }
                    } }
                    tbody { @for verdict in verdicts { tr {
                        th scope="row" { (verdict.bound.path) }
                        td { (self.asked(verdict)) }
                        td.n { (self.came(verdict)) }
                        @if verdict.is_kept() { td { (words[0]) } } @else { td.alert { (words[1]) } }
                    } } }
                }
            }
        }
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

    fn audit(&self) -> Markup {
        let prediction = self.prediction;
        let balances = &prediction.outcome.balances;
        html! {
            h3 { "Warnings" }
            @if prediction.warnings.is_empty() { p { "None." } }
            ul { @for w in &prediction.warnings { li { code { (w.code) } " " (w.message) } } }
            h3 { "Balances" }
            @if prediction.outcome.failure.is_some() {
                p { "Not drawn up, because the run ended early." }
            } @else {
                p {
                    "Mass within " (format!("{:.1e}", balances.mass_relative.abs()))
                    " of what moved, energy within " (format!("{:.1e}", balances.energy_relative.abs()))
                    " of work and heat."
                }
            }
            @if !prediction.hand_checks.is_empty() {
                h3 { "By hand, beside the simulation" }
                table {
                    thead { tr {
                        th scope="col" { "what" } th.n scope="col" { "by hand" }
                        th.n scope="col" { "simulated" } th scope="col" { "formula" }
                    } }
                    tbody { @for check in &prediction.hand_checks { (self.hand_check(check)) } }
                }
            }
            h3 { "Assumptions" }
            ul { @for assumption in &prediction.assumptions { li { (assumption) } } }
        }
    }

    fn hand_check(&self, check: &HandCheck) -> Markup {
        let text = |value| self.display().text(check.dimension, value);
        html! { tr {
            th scope="row" { (check.label) }
            td.n { (text(check.by_hand)) }
            td.n { (check.simulated.map_or("\u{2013}".to_owned(), text)) }
            td { (check.formula) }
        } }
    }
}
