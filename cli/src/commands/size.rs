//! `pressfed size`: the smallest or largest value with which a stand does what it should.

use super::input::Input;
use super::{Failure, Success, beside, predict};
use crate::args::SizeArgs;
use crate::export::{size_json, whole};
use crate::plot::design_map;
use crate::terminal::patience::with_patience;
use crate::terminal::screen::{self, Screen};
use crate::terminal::sizing::{Told, report};
use scenarios::CheckedStand;
use scenarios::predict::Prediction;
use scenarios::studies::size::handbook::{by_hand, run_of};
use scenarios::studies::size::{
    Confidence, FINER, Found, Knob, SCAN, Sizer, Sizing, Wanted, raised,
};
use scenarios::studies::sweep::{Axis, AxisValues};
use sim_core::network::{BranchKind, ChainElement, ElementKind};
use sim_core::outcome::Warning;

/// Draws at each value, unless more are needed.
const DRAWS: usize = 64;

/// Sizes a stand.
///
/// # Errors
/// If the stand has errors, asks for nothing, or has no such value.
pub fn run(args: &SizeArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(args.json)?;
    if let Some(tank) = &args.relief {
        return super::relief::run(args, &stand, tank);
    }
    let Some(path) = &args.find else {
        let message = "say what to find: --find bottle.supply.volume, or --relief fuel";
        return Err(Failure::input(message));
    };
    if stand.requirements.is_empty() && stand.limits.is_empty() {
        let through = liquid_valve(&stand).unwrap_or_else(|| "run".to_owned());
        return Err(Failure::input(format!(
            "the stand asks for nothing; add for example --set 'requirement.{through}.mean_flow=>= 1 kg/s'"
        )));
    }
    let sizer = Sizer {
        stand: &stand,
        knob: knob(&stand, path, args)?,
        wanted: if args.largest {
            Wanted::Largest
        } else {
            Wanted::Smallest
        },
        confidence: confidence(args)?,
    };
    let draws = sizer.confidence.draws;
    // A root takes about ten more values than the scan, and is settled with six of more draws.
    let values = SCAN + 10 + if draws > 0 { 6 * FINER } else { 0 };
    let runs = (values * draws.max(1)) as u64;
    let found = with_patience("sizing", runs, |done| sizer.find(&|| done.one_more()));
    let at_answer = at_answer(&stand, &sizer, &found);
    let hand = at_answer.as_ref().and_then(|run| by_hand(run, path));
    let warnings = at_answer.map_or_else(Vec::new, |run| run.warnings);
    let before = run_of(&stand).warnings;
    let is_new = |w: &&Warning| before.iter().all(|b| b.code != w.code);
    let new: Vec<&str> = warnings.iter().filter(is_new).map(|w| w.code).collect();
    let told = Told {
        sizer: &sizer,
        found: &found,
        hand: hand.as_ref(),
        raised: &raised(&stand, &offered(&sizer, &found)),
        warnings: &warnings,
        new_warnings: &new,
    };
    let folder = args.output.clone();
    let folder = folder.unwrap_or_else(|| beside(&args.stand, "size"));
    whole::make_folder(&folder)?;
    let document = size_json::size(&told);
    whole::write(&folder.join("size.json"), document.as_bytes())?;
    if let Some(against) = &args.against {
        let over = sizer.knob.shown(found.found.answer().value, found.range);
        draw_map(&sizer, &over, against, &folder)?;
    }
    screen::print(&if args.json {
        document
    } else {
        report(&told, &stand.display, Screen::stdout())
    });
    screen::say(&format!("\nfiles in {}", folder.display()));
    Ok(match found.found {
        Found::Nothing(_) => Success::Broken,
        Found::Value(_) | Found::WholeRange(_) => Success::Done,
    })
}

/// The last valve of the first liquid chain, else the chain's last part.
fn liquid_valve(stand: &CheckedStand) -> Option<String> {
    let network = stand.lower();
    let chain = network.branches.iter().find_map(|b| match &b.kind {
        BranchKind::LiquidChain(chain) => Some(chain),
        _ => None,
    })?;
    let is_valve = |e: &&ChainElement| matches!(e.kind, ElementKind::Valve { .. });
    let valve = chain.elements.iter().rev().find(is_valve);
    Some(valve.or(chain.elements.last())?.name.clone())
}

fn knob(stand: &CheckedStand, path: &str, args: &SizeArgs) -> Result<Knob, Failure> {
    let between = args.between.as_deref().and_then(|t| t.split_once(".."));
    if args.between.is_some() && between.is_none() {
        return Err(Failure::input("write --between '2 L..50 L'"));
    }
    let knob = if args.count {
        Knob::count(stand, path, between)
    } else {
        Knob::new(stand, path, between)
    };
    knob.map_err(|fault| Failure::input(format!("{path}: {fault}")))
}

/// How sure, with as many draws as that needs.
fn confidence(args: &SizeArgs) -> Result<Confidence, Failure> {
    let part = args.confidence / 100.0;
    let fewest = Confidence::fewest_draws(part);
    let draws = args.draws.map_or(fewest.max(DRAWS), |draws| draws as usize);
    if draws > 0 && draws < fewest {
        return Err(Failure::input(format!(
            "{draws} draws cannot tell what {} % of them do; give --draws {fewest} or more, or --draws 0 for the \
             nominal run alone",
            args.confidence
        )));
    }
    Ok(Confidence {
        part,
        draws,
        seed: args.seed,
    })
}

/// All changes that the report offers.
fn offered(sizer: &Sizer, found: &Sizing) -> Vec<(String, String)> {
    let mut changes = sizer.knob.overrides(found.found.answer().value);
    if let Found::Nothing(nearest) = &found.found {
        changes.extend(nearest.levers.iter().map(|l| l.change.clone()));
    }
    changes
}

/// The nominal run at the answer, or at the nearest.
fn at_answer(stand: &CheckedStand, sizer: &Sizer, found: &Sizing) -> Option<Prediction> {
    let answer = found.found.answer();
    let mut overrides = stand.overrides.clone();
    overrides.extend(sizer.knob.overrides(answer.value));
    let sized = scenarios::load_with(&stand.text, &overrides).ok()?;
    Some(run_of(&sized))
}

/// Margins of the nominal run over the range and the values of another path.
fn draw_map(
    sizer: &Sizer,
    over: &Knob,
    (path, values): &(String, String),
    folder: &std::path::Path,
) -> Result<(), Failure> {
    let axis = Axis::read(path, values).map_err(|e| Failure::input(e.to_string()))?;
    let AxisValues::List(others) = &axis.values else {
        let message = "--against wants a number of steps, as in 'bottle.supply.pressure=100 bar(g)..200 bar(g):8'";
        return Err(Failure::input(message));
    };
    let values = over.scan(2 * SCAN);
    let count = (values.len() * others.len()) as u64;
    let rows: Vec<Vec<f64>> = with_patience("mapping", count, |done| {
        let row = |other: &String| {
            let mut overrides = sizer.stand.overrides.clone();
            overrides.push((path.clone(), other.clone()));
            let Ok(stand) = scenarios::load_with(&sizer.stand.text, &overrides) else {
                return vec![f64::NAN; values.len()];
            };
            let nominal = Sizer {
                stand: &stand,
                ..sizer.with_draws(0)
            };
            nominal.margins(&values, &|| done.one_more())
        };
        others.iter().map(row).collect()
    });
    match design_map::picture(over, &values, path, others, &rows) {
        Some(picture) => predict::write_picture(&picture, folder),
        None => Err(Failure::input(format!(
            "the values of {path} are no numbers"
        ))),
    }
}
