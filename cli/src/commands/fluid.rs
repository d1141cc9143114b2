//! `pressfed fluid`: properties of a fluid at a state, on the saturation line, along an isobar or an
//! isotherm; the list of fluids.

use super::predict::write_picture;
use super::{Failure, Success};
use crate::args::FluidArgs;
use crate::export::{csv, json, whole};
use crate::plot::properties::{self as plot, Along};
use crate::terminal::properties as table;
use crate::terminal::screen::{self, Screen};
use fluids::{CatalogueEntry, FluidError, Sheet};
use serde::Serialize;
use serde_json::{Map, Value};
use shared::nearest;
use shared::quantity::{Dimension, Quantity};
use std::path::Path;

/// One standard atmosphere, from which gauge pressures are counted here, Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Rows of a series where nothing says how many.
const POINTS: usize = 101;
/// Most rows of a series.
const MOST_POINTS: usize = 100_000;

/// Prints what was asked about a fluid.
///
/// # Errors
/// If there is no such fluid, a value cannot be read, or the state is outside its range.
pub fn run(args: &FluidArgs) -> Result<Success, Failure> {
    let all = fluids::catalogue().map_err(refused)?;
    let Some(asked) = args.name.as_deref().filter(|&n| !args.list && n != "list") else {
        screen::print(&if args.json {
            document(&all)
        } else {
            table::list(&all, Screen::stdout())
        });
        return Ok(Success::Done);
    };
    let name = fluids::canonical(asked).ok_or_else(|| unknown(asked, &all))?;
    let entry = all.iter().find(|entry| entry.name == name);
    let entry = entry.ok_or_else(|| unknown(asked, &all))?;
    let pressure = read(args.pressure.as_deref(), "--pressure", Dimension::Pressure)?;
    let temperature = read(
        args.temperature.as_deref(),
        "--temperature",
        Dimension::Temperature,
    )?;
    match (pressure, temperature) {
        (p, t) if args.saturation => saturation(args, name, p, t),
        (None, None) => {
            screen::print(&if args.json {
                document(std::slice::from_ref(entry))
            } else {
                table::about(entry, Screen::stdout())
            });
            Ok(Success::Done)
        }
        (Some(Asked::One(p)), Some(Asked::One(t))) => state(args, name, p, t),
        (Some(Asked::Many(p)), Some(Asked::One(t))) => {
            let states = p.iter().map(|&p| (p, t)).collect();
            series(args, name, states, Along::Isotherm)
        }
        (Some(Asked::One(p)), Some(Asked::Many(t))) => {
            let states = t.iter().map(|&t| (p, t)).collect();
            series(args, name, states, Along::Isobar)
        }
        (Some(Asked::Many(_)), Some(Asked::Many(_))) => Err(Failure::input(
            "only one of --pressure and --temperature may be a range; give the other one value",
        )),
        (None, _) => Err(missing("--pressure '200 bar(a)'")),
        (_, None) => Err(missing("--temperature '15 degC'")),
    }
}

/// A value, or those of a range.
enum Asked {
    One(f64),
    Many(Vec<f64>),
}

/// Reads `"15 degC"` or `"250 K..350 K:101"`, in SI.
fn read(text: Option<&str>, option: &str, dimension: Dimension) -> Result<Option<Asked>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let one = |text: &str| {
        let quantity = Quantity::parse(text.trim(), &[dimension]);
        let quantity = quantity.map_err(|fault| Failure::input(format!("{option}: {fault}")))?;
        if quantity.spread.is_some() {
            let message = "give one value, or a range as '250 K..350 K:101'";
            return Err(Failure::input(format!("{option}: {message}")));
        }
        Ok(quantity.absolute(ATMOSPHERE_PA))
    };
    let Some((from, rest)) = text.split_once("..") else {
        return Ok(Some(Asked::One(one(text)?)));
    };
    let (to, count) = match rest.rsplit_once(':') {
        Some((to, count)) => (to, points(option, count)?),
        None => (rest, POINTS),
    };
    let (from, to) = (one(from)?, one(to)?);
    let step = (to - from) / (count - 1) as f64;
    let values = (0..count).map(|i| from + step * i as f64);
    Ok(Some(Asked::Many(values.collect())))
}

fn points(option: &str, text: &str) -> Result<usize, Failure> {
    let count = text.trim().parse().ok();
    count
        .filter(|n| (2..=MOST_POINTS).contains(n))
        .ok_or_else(|| {
            Failure::input(format!(
                "{option}: \"{text}\" is no number of points; write 2 to {MOST_POINTS} after the colon"
            ))
        })
}

fn state(args: &FluidArgs, name: &str, p: f64, t: f64) -> Result<Success, Failure> {
    refuse_output(args)?;
    let sheet = fluids::sheet(name, p, t).map_err(refused)?;
    screen::print(&if args.json {
        json::pretty(&State {
            schema: "pressfed-fluid/1",
            fluid: name,
            phase: sheet.phase,
            values: named(&sheet.values),
            notes: &sheet.notes,
        })
    } else {
        table::state(name, &sheet, Screen::stdout())
    });
    Ok(Success::Done)
}

fn saturation(
    args: &FluidArgs,
    name: &str,
    pressure: Option<Asked>,
    temperature: Option<Asked>,
) -> Result<Success, Failure> {
    refuse_output(args)?;
    let sheet = match (pressure, temperature) {
        (None, Some(Asked::One(t))) => fluids::saturation_sheet(name, t),
        (Some(Asked::One(p)), None) => fluids::boiling_sheet(name, p),
        _ => {
            let message = "--saturation needs one value of either --pressure or --temperature";
            return Err(Failure::input(message));
        }
    };
    let sheet = sheet.map_err(refused)?;
    screen::print(&if args.json {
        json::pretty(&Pair {
            schema: "pressfed-fluid-saturation/1",
            fluid: name,
            values: named(&sheet.values),
            liquid: named(&sheet.liquid.values),
            vapour: named(&sheet.vapour.values),
        })
    } else {
        table::saturation(name, &sheet, Screen::stdout())
    });
    Ok(Success::Done)
}

fn series(
    args: &FluidArgs,
    name: &str,
    states: Vec<(f64, f64)>,
    along: Along,
) -> Result<Success, Failure> {
    let asked = states.len();
    let mut first_refusal = None;
    let found = states.into_iter().map(|(p, t)| fluids::sheet(name, p, t));
    let sheets: Vec<Sheet> = found
        .filter_map(|sheet| {
            sheet
                .map_err(|e| first_refusal.get_or_insert(e).clone())
                .ok()
        })
        .collect();
    if let Some(error) = first_refusal {
        if sheets.is_empty() {
            return Err(refused(error));
        }
        let left_out = asked - sheets.len();
        screen::say(&format!("left out {left_out} of {asked} points: {error}"));
    }
    if args.json {
        screen::print(&json::pretty(&Series {
            schema: "pressfed-fluid-series/1",
            fluid: name,
            rows: sheets.iter().map(|s| named(&s.values)).collect(),
        }));
    }
    match &args.output {
        Some(folder) => write(name, &sheets, along, folder)?,
        None if !args.json => {
            screen::print(&String::from_utf8_lossy(&csv::properties(&sheets)));
        }
        None => {}
    }
    Ok(Success::Done)
}

fn write(name: &str, sheets: &[Sheet], along: Along, folder: &Path) -> Result<(), Failure> {
    whole::make_folder(folder)?;
    let file = name.replace([' ', '%'], "-");
    let file = file.trim_end_matches('-');
    whole::write(
        &folder.join(format!("{file}.csv")),
        &csv::properties(sheets),
    )?;
    write_picture(&plot::picture(file, name, sheets, along), folder)?;
    screen::say(&format!(
        "{} points; files in {}",
        sheets.len(),
        folder.display()
    ));
    Ok(())
}

fn refuse_output(args: &FluidArgs) -> Result<(), Failure> {
    if args.output.is_none() {
        return Ok(());
    }
    let message = "-o writes a series; give a range, for example --temperature '250 K..350 K:101'";
    Err(Failure::input(message))
}

fn refused(error: FluidError) -> Failure {
    Failure::input(error.to_string())
}

fn missing(example: &str) -> Failure {
    Failure::input(format!(
        "a state needs a pressure and a temperature; add {example}"
    ))
}

fn unknown(asked: &str, all: &[CatalogueEntry]) -> Failure {
    let meant = nearest(asked, all.iter().map(|entry| entry.name.as_str()));
    let meant = meant.map_or(String::new(), |m| format!(" Did you mean \"{m}\"?"));
    Failure::input(format!(
        "there is no fluid \"{asked}\".{meant} pressfed fluid --list shows all"
    ))
}

#[derive(Serialize)]
struct State<'a> {
    schema: &'static str,
    fluid: &'a str,
    phase: &'a str,
    values: Map<String, Value>,
    notes: &'a [String],
}

#[derive(Serialize)]
struct Pair<'a> {
    schema: &'static str,
    fluid: &'a str,
    values: Map<String, Value>,
    liquid: Map<String, Value>,
    vapour: Map<String, Value>,
}

#[derive(Serialize)]
struct Series<'a> {
    schema: &'static str,
    fluid: &'a str,
    rows: Vec<Map<String, Value>>,
}

fn named(values: &[fluids::Named]) -> Map<String, Value> {
    let pairs = values.iter();
    pairs
        .map(|&(name, value)| (name.to_owned(), value.into()))
        .collect()
}

/// Fluids for machines.
fn document(entries: &[CatalogueEntry]) -> String {
    #[derive(Serialize)]
    struct Document<'a> {
        schema: &'static str,
        fluids: Vec<Listed<'a>>,
    }
    #[derive(Serialize)]
    struct Listed<'a> {
        name: &'a str,
        gas: bool,
        liquid: bool,
        lowest_temperature_k: f64,
        highest_temperature_k: f64,
        highest_pressure_pa: Option<f64>,
        sources: Vec<Map<String, Value>>,
    }
    let source = |s: &fluids::PropertySource| {
        let pairs = [
            ("property", &s.property),
            ("source", &s.source),
            ("error", &s.error),
        ];
        let filled = pairs.into_iter().filter(|(_, text)| !text.is_empty());
        filled
            .map(|(key, text)| (key.to_owned(), text.as_str().into()))
            .collect()
    };
    json::pretty(&Document {
        schema: "pressfed-fluids/1",
        fluids: entries
            .iter()
            .map(|entry| Listed {
                name: &entry.name,
                gas: entry.is_gas,
                liquid: entry.is_liquid,
                lowest_temperature_k: entry.temperatures_k.0,
                highest_temperature_k: entry.temperatures_k.1,
                highest_pressure_pa: entry.p_max_pa,
                sources: entry.sources.iter().map(source).collect(),
            })
            .collect(),
    })
}
