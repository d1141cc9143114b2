//! `pressfed check`: what was understood of a stand file.

use super::input::{Input, Told};
use super::{Failure, Success};
use crate::args::CheckArgs;
use crate::export::json;
use crate::terminal::report::changed;
use crate::terminal::screen::{self, Screen};
use crate::terminal::table::aligned;
use crate::terminal::understood::understood;
use scenarios::CheckedStand;
use serde::Serialize;

/// Checks a stand file and shows what was understood.
///
/// # Errors
/// If it has errors.
pub fn run(args: &CheckArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(args.json)?;
    screen::print(&if args.json {
        as_json(&input, &stand)
    } else {
        as_text(&stand, Screen::stdout())
    });
    Ok(Success::Done)
}

fn as_text(stand: &CheckedStand, screen: Screen) -> String {
    let title = screen.heading(&stand.title);
    let changed = changed(&stand.in_force(), screen).map_or(String::new(), |c| c + "\n");
    let network = understood(&stand.lower(), &stand.display, screen);
    let heading = format!("Assumptions ({})", stand.assumptions.len());
    let rows = stand.assumptions.iter();
    let rows = rows.map(|a| vec![a.path.clone(), a.value.clone(), a.reason.clone()]);
    let assumptions = aligned(rows.collect(), &[]);
    format!(
        "{title}\n\n{changed}{}\n{assumptions}\n{network}",
        screen.heading(&heading)
    )
}

fn as_json(input: &Input, stand: &CheckedStand) -> String {
    #[derive(Serialize)]
    struct Document<'a> {
        schema: &'static str,
        stand: &'a str,
        #[serde(serialize_with = "json::pairs")]
        set: &'a [(String, String)],
        assumptions: Vec<Assumed<'a>>,
        warnings: Vec<Told<'a>>,
    }
    #[derive(Serialize)]
    struct Assumed<'a> {
        path: &'a str,
        value: &'a str,
        reason: &'a str,
    }
    let assumed = stand.assumptions.iter().map(|a| Assumed {
        path: &a.path,
        value: &a.value,
        reason: &a.reason,
    });
    json::pretty(&Document {
        schema: "pressfed-check/1",
        stand: &stand.title,
        set: &stand.in_force(),
        assumptions: assumed.collect(),
        warnings: input.told(&stand.warnings),
    })
}
