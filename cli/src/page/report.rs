//! `report.html`: everything a run gave, in one file.

use super::{Told, document, provenance};
use crate::plot::look;
use crate::plot::readout::{ReadOut, hexadecimal};
use crate::plot::scene::Colour;
use crate::plot::subject::{Limit, Subject};
use crate::plot::{self, OVERVIEW, Picture, SCHEMATIC, SCHEMATIC_AT_WORK, paint};
use crate::schematic::Moment;
use crate::terminal::bands::BandText;
use crate::terminal::report::GROUPS;
use crate::{export::json, schematic};
use maud::{Markup, PreEscaped, html};
use scenarios::hand_checks::HandCheck;
use scenarios::predict::Prediction;
use scenarios::studies::loss_budget::{Budget, NoBudget};
use scenarios::summary::{Figure, Group};
use shared::quantity::Dimension;
use sim_core::outcome::Event;
use std::collections::BTreeSet;

/// How often the page of a watched stand loads itself anew, s.
const RELOAD_S: u32 = 3;
/// Events that are listed; a valve that flutters would fill the page.
const MOST_EVENTS: usize = 40;
/// Zooms the plots and reads them out.
const SCRIPT: &str = include_str!("readout.js");
const STYLE: &str = include_str!("report.css");

/// A drawn picture: what it shows, its SVG, and what can be read off it.
#[derive(Debug)]
pub struct Drawn {
    /// File name without extension.
    pub name: String,
    /// In words.
    pub words: String,
    /// The document.
    pub svg: String,
    /// What a pointer reads.
    pub readout: ReadOut,
}

impl Drawn {
    /// Paints a picture.
    ///
    /// # Errors
    /// If it cannot be painted.
    pub fn of(picture: &Picture) -> Result<Self, paint::PaintError> {
        Ok(Self {
            name: picture.name.clone(),
            words: picture.scene.description.clone(),
            svg: paint::to_svg(&picture.scene)?,
            readout: picture.scene.readout.clone(),
        })
    }
}

/// Half way between the command of the first flow and its end.
fn middle_of_flow_s(prediction: &Prediction) -> Option<f64> {
    let summary = &prediction.summary;
    let mut figures = summary.figures.iter();
    let command = figures.find(|f| f.quantity() == "command_s")?;
    let length_s = summary.get(&format!("{}.flow_time_s", command.component))?;
    Some(command.value + 0.5 * length_s)
}

/// The drawing of the stand, as it is set and with its values at a time (by default in the middle
/// of the flow), and all plots of its run.
#[must_use]
pub fn pictures(told: &Told<'_>, drawn_at_s: Option<f64>) -> Vec<Picture> {
    let prediction = told.prediction;
    let display = told.display();
    let drawing = |moment: Option<&Moment>| {
        schematic::scene(&prediction.title, &prediction.network, display, moment)
    };
    let mut pictures = vec![Picture {
        name: SCHEMATIC.to_owned(),
        scene: drawing(None),
    }];
    let time_s = drawn_at_s.or_else(|| middle_of_flow_s(prediction));
    let moment = time_s.and_then(|t| Moment::of(&prediction.outcome.history, t));
    pictures.extend(moment.map(|moment| Picture {
        name: SCHEMATIC_AT_WORK.to_owned(),
        scene: drawing(Some(&moment)),
    }));
    pictures.extend(plot::pictures(&Subject {
        title: &prediction.title,
        network: &prediction.network,
        outcome: &prediction.outcome,
        summary: &prediction.summary,
        display,
        limits: &told.limits(),
        bands: told.bands.map(|b| &b.history),
    }));
    pictures
}

/// The page of a stand that is no longer watched: as it is, and no more loading itself anew.
#[must_use]
pub fn at_rest(page: &str) -> String {
    page.replacen(&reload().into_string(), "", 1)
}

fn reload() -> Markup {
    html! { meta http-equiv="refresh" content=(RELOAD_S); }
}

/// The report, with the drawing of the stand and the plots, and where the pressure goes if that
/// was asked for. That of a watched stand loads itself anew.
#[must_use]
pub fn report(
    told: &Told<'_>,
    drawn: &[Drawn],
    losses: Option<&Result<Vec<Budget>, NoBudget>>,
    watched: bool,
) -> String {
    let prediction = told.prediction;
    let is_schematic = |d: &&Drawn| [SCHEMATIC, SCHEMATIC_AT_WORK].contains(&d.name.as_str());
    let mut schematics = drawn.iter().filter(is_schematic).peekable();
    // The overview shows the same plots once more.
    let plots = drawn.iter();
    let plots = plots.filter(|d| !is_schematic(d) && d.name != OVERVIEW);
    let body = html! {
        h1 { (prediction.title) }
        (provenance(prediction))
        @if let Some(failure) = &prediction.outcome.failure {
            p.alert {
                "The run ends early, at " (told.display().text(Dimension::Time, failure.time_s)) ": "
                (failure.message)
            }
        }
        (told.counted())
        nav aria-label="Sections" {
            a href="#summary" { "Summary" } a href="#warnings" { "Warnings" } a href="#plots" { "Plots" } a href="#losses" { "Losses" }
            a href="#inputs" { "Inputs that matter" } a href="#audit" { "Audit" }
            a href="#stand" { "Stand file" }
        }
        h2 id="summary" { "Summary" }
        (told.doubt())
        (told.verdicts("Requirements", &prediction.requirements, ["met", "NOT MET"]))
        (told.verdicts("Limits", &prediction.limits, ["kept", "BROKEN"]))
        (told.warnings())
        @for (group, words) in GROUPS { (told.group(group, words)) }
        (told.events())
        @if schematics.peek().is_some() { h2 id="schematic" { "Schematic" } }
        @for drawn in schematics { (figure(drawn)) }
        h2 id="plots" { "Plots" }
        @for drawn in plots { (figure(drawn)) }
        h2 id="losses" { "Where the pressure goes" }
        (told.losses(losses))
        h2 id="inputs" { "Inputs that matter" }
        (told.rankings())
        h2 id="audit" { "Audit" }
        (told.audit())
        h2 id="stand" { "Stand file" }
        @if !prediction.overrides.is_empty() {
            p { "Set in place of the file's values:" }
            ul { @for (path, value) in &prediction.overrides { li { code { (path) " = " (value) } } } }
        }
        pre tabindex="0" { code { (told.stand.text) } }
        script { (PreEscaped(SCRIPT)) }
    };
    let head = html! {
        @if watched { (reload()) }
    };
    document(
        &prediction.title,
        head,
        &(STYLE.to_owned() + &by_night(drawn)),
        &body,
    )
}

/// A picture under its heading, which stands in the picture for who sees it. The data of its
/// panels is JSON, in which no tag can stand.
fn figure(drawn: &Drawn) -> Markup {
    let panels = !drawn.readout.panels.is_empty();
    html! {
        figure id=(drawn.name) {
            @if panels { h3.unseen { (drawn.words) } }
            (PreEscaped(&drawn.svg))
            @if panels {
                script type="application/json" {
                    (PreEscaped(json::compact(&drawn.readout).replace('<', "\\u003c")))
                }
            }
        }
    }
}

/// What each colour of the pictures is on dark paper.
fn by_night(drawn: &[Drawn]) -> String {
    let colours = drawn.iter().flat_map(|d| colours(&d.svg));
    let colours: BTreeSet<&str> = colours.collect();
    let rules = colours.into_iter().filter_map(|colour| {
        let night = hexadecimal(look::by_night(rgb(colour)?));
        Some(format!(
            "figure [fill=\"{colour}\"]{{fill:{night}}}figure [stroke=\"{colour}\"]{{stroke:{night}}}"
        ))
    });
    let rules: String = rules.collect();
    format!("@media screen and (prefers-color-scheme:dark){{{rules}}}")
}

/// The colours of a picture, as `#RRGGBB`.
fn colours(svg: &str) -> impl Iterator<Item = &str> {
    svg.split('"').filter(|value| value.starts_with('#'))
}

fn rgb(colour: &str) -> Option<Colour> {
    let part = |at: usize| u8::from_str_radix(colour.get(at..at + 2)?, 16).ok();
    Some(Colour(part(1)?, part(3)?, part(5)?))
}

impl Told<'_> {
    /// Limits on history columns, as `component.quantity`.
    fn limits(&self) -> Vec<Limit> {
        let bounds = self.prediction.limits.iter().map(|v| &v.bound);
        let limits = bounds.filter_map(|bound| {
            let (component, quantity) = bound.path.split_once('.')?;
            Some(Limit {
                component: component.to_owned(),
                quantity: quantity.to_owned(),
                value: bound.threshold,
            })
        });
        limits.collect()
    }

    /// What the bands are of, and how well they are known.
    fn doubt(&self) -> Markup {
        let text = self.bands.map(|bands| BandText {
            bands,
            display: self.display(),
        });
        html! {
            p.quiet { (self.about_bands()) }
            @if let Some(text) = text {
                @if let Some(failures) = text.failures() { p.alert { (failures) "." } }
                @if let Some(known) = text.convergence() { p.quiet { (known) "." } }
            }
        }
    }

    /// How much there is to beware of, with the way there.
    fn counted(&self) -> Markup {
        let count = |n: usize, what: &str| match n {
            0 => format!("no {what}s"),
            1 => format!("1 {what}"),
            n => format!("{n} {what}s"),
        };
        html! { p {
            a href="#warnings" { (count(self.prediction.warnings.len(), "warning")) } " \u{b7} "
            a href="#assumptions" { (count(self.prediction.assumptions.len(), "assumption")) }
        } }
    }

    fn warnings(&self) -> Markup {
        let warnings = &self.prediction.warnings;
        html! {
            h3 id="warnings" { "Warnings" }
            @if warnings.is_empty() { p { "None." } } @else {
                p.quiet { "More on one: " code { "pressfed explain ID" } }
                ul { @for w in warnings { li { code { (w.code) } " " (w.message) } } }
            }
        }
    }

    fn events(&self) -> Markup {
        let events = &self.prediction.outcome.events;
        let row = |event: &Event| {
            html! { tr {
                td.n { (self.display().text(Dimension::Time, event.time_s)) }
                th scope="row" { (event.component) }
                td { (event.kind) }
            } }
        };
        html! { @if !events.is_empty() {
            h3 { "Events" }
            table.narrow {
                thead { tr {
                    th.n scope="col" { "at" } th scope="col" { "component" } th scope="col" { "what" }
                } }
                tbody { @for event in events.iter().take(MOST_EVENTS) { (row(event)) } }
            }
            @if let Some(more) = events.len().checked_sub(MOST_EVENTS + 1) {
                p { "and " (more + 1) " more, all of them in " code { "events.csv" } }
            }
        } }
    }

    fn group(&self, group: Group, words: &str) -> Markup {
        let figures = self.prediction.summary.figures.iter();
        let figures: Vec<&Figure> = figures.filter(|f| f.group == group).collect();
        html! {
            @if !figures.is_empty() { h3 { (words) } (self.figure_table(&figures, false)) }
        }
    }

    fn audit(&self) -> Markup {
        let prediction = self.prediction;
        let balances = &prediction.outcome.balances;
        html! {
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
            h3 id="assumptions" { "Assumptions" }
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
