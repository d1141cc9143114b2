//! `pressfed sensitivity`: what figures depend on.

use super::input::Input;
use super::{Failure, Success, beside, predict};
use crate::args::SensitivityArgs;
use crate::export::{csv, json, whole};
use crate::naming::{in_words, typed};
use crate::plot;
use crate::terminal::patience::with_patience;
use crate::terminal::screen::{self, Screen};
use crate::terminal::sensitivity::report;
use crate::terminal::table::aligned;
use scenarios::CheckedStand;
use scenarios::studies::StandModel;
use scenarios::studies::bands::main_figure;
use scenarios::studies::sensitivity::{Effort, Sensitivity, sensitivity};
use scenarios::summary::Figure;
use serde::Serialize;
use shared::nearest;

/// Studies a stand file.
///
/// # Errors
/// If the stand has errors, nothing in it is uncertain, or a figure is unknown.
pub fn run(args: &SensitivityArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(args.json)?;
    let model = StandModel::new(&stand, stand.run);
    if model.factors.is_empty() {
        let message = "no value of the stand is uncertain; write for example \"50 L ± 2 %\"";
        return Err(Failure::input(message));
    }
    let figures = figures(&stand, &model.nominal().summary.figures, &args.figure)?;
    let folder = args.output.clone();
    let folder = folder.unwrap_or_else(|| beside(&args.stand, "sensitivity"));
    whole::make_folder(&folder)?;
    let effort = Effort {
        walks: args.walks as usize,
        points: args.points as usize,
        seed: args.seed,
    };
    let runs = effort.runs(model.factors.len());
    let found = with_patience("running", runs as u64, |done| {
        sensitivity(&model, &figures, effort, &|| done.one_more())
    });
    let found = found.map_err(|e| Failure::input(e.to_string()))?;
    let document = as_json(&stand, effort, runs, &found);
    whole::write(&folder.join("sensitivity.json"), document.as_bytes())?;
    whole::write(&folder.join("sensitivity.csv"), &csv::sensitivity(&found))?;
    for picture in found
        .iter()
        .map(|s| plot::sensitivity::picture(s, &stand.display))
    {
        predict::write_picture(&picture, &folder)?;
    }
    screen::print(&if args.json {
        document
    } else {
        report(&stand.title, &found, &stand.display, Screen::stdout())
    });
    screen::say(&format!("\n{runs} runs; files in {}", folder.display()));
    Ok(Success::Done)
}

/// The figures that were asked for, with or without their unit.
fn figures(
    stand: &CheckedStand,
    known: &[Figure],
    asked: &[String],
) -> Result<Vec<Figure>, Failure> {
    if asked.is_empty() {
        let known: Vec<&Figure> = known.iter().collect();
        let main = main_figure(&stand.requirements, &known);
        let main = main.ok_or_else(|| Failure::input("the run has no figures"))?;
        return Ok(vec![main.clone()]);
    }
    asked.iter().map(|name| named(known, name)).collect()
}

/// A figure by its name, with or without its unit.
pub(super) fn named(known: &[Figure], name: &str) -> Result<Figure, Failure> {
    let with_unit = |f: &&Figure| {
        let rest = f.name.strip_prefix(name);
        let unit = scenarios::suffix(f.dimension);
        rest.is_some_and(|r| r.is_empty() || r.strip_prefix('_') == Some(unit))
    };
    known.iter().find(with_unit).cloned().ok_or_else(|| {
        let names = known.iter().map(|f| typed(&f.name));
        let meant = nearest(typed(name), names);
        let meant = meant.map_or(String::new(), |m| format!(" Did you mean {m}?"));
        Failure::input(format!(
            "the run has no figure \"{name}\".{meant} It has\n{}",
            listed(known)
        ))
    })
}

/// What may be typed for a figure, and what it is.
fn listed(known: &[Figure]) -> String {
    let mut rows = vec![["--figure", ""].map(str::to_owned).to_vec()];
    for figure in known {
        let name = typed(&figure.name).to_owned();
        // The standard volume of a flow has the flow's name.
        if rows.iter().all(|row| row[0] != name) {
            // A label that is set in belongs to the row above it.
            let words = match figure.label.starts_with(' ') {
                true => in_words(&figure.name),
                false => format!("{} {}", figure.component, figure.label),
            };
            rows.push(vec![name, words]);
        }
    }
    aligned(rows, &[])
}

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    stand: &'a str,
    runs: usize,
    seed: u32,
    points: usize,
    walks: usize,
    figures: Vec<OfFigure<'a>>,
}

#[derive(Serialize)]
struct OfFigure<'a> {
    name: &'a str,
    nominal: f64,
    points_seen: usize,
    inputs: Vec<OfInput<'a>>,
}

#[derive(Serialize)]
struct OfInput<'a> {
    input: &'a str,
    change_at_low_end: f64,
    change_at_high_end: f64,
    mean_absolute_effect: f64,
    mean_effect: f64,
    deviation_of_effects: f64,
    first_order_index: f64,
    first_order_half_width_95: f64,
    total_index: f64,
    total_half_width_95: f64,
}

fn as_json(stand: &CheckedStand, effort: Effort, runs: usize, found: &[Sensitivity]) -> String {
    json::pretty(&Document {
        schema: "pressfed-sensitivity/1",
        stand: &stand.title,
        runs,
        seed: effort.seed,
        points: effort.points,
        walks: effort.walks,
        figures: found.iter().map(OfFigure::of).collect(),
    })
}

impl<'a> OfFigure<'a> {
    fn of(found: &'a Sensitivity) -> Self {
        let inputs = found.inputs.iter().map(|s| OfInput {
            input: &s.factor.name,
            change_at_low_end: s.swing.0,
            change_at_high_end: s.swing.1,
            mean_absolute_effect: s.effects.mean_absolute,
            mean_effect: s.effects.mean,
            deviation_of_effects: s.effects.deviation,
            first_order_index: s.indices.first.value,
            first_order_half_width_95: s.indices.first.half_width_95,
            total_index: s.indices.total.value,
            total_half_width_95: s.indices.total.half_width_95,
        });
        Self {
            name: &found.figure.name,
            nominal: found.figure.value,
            points_seen: found.points_seen,
            inputs: inputs.collect(),
        }
    }
}
