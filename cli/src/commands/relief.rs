//! `pressfed size --relief`: the relief of a tank behind a regulator that has failed open.

use super::{Failure, Success, beside};
use crate::args::SizeArgs;
use crate::export::{size_json, whole};
use crate::terminal::patience::with_patience;
use crate::terminal::relief::report;
use crate::terminal::screen::{self, Screen};
use scenarios::CheckedStand;
use scenarios::studies::size::relief::{NoRelief, relief};

/// Sizes the relief of a tank.
///
/// # Errors
/// If there is nothing to size, or a file cannot be written.
pub(super) fn run(args: &SizeArgs, stand: &CheckedStand, tank: &str) -> Result<Success, Failure> {
    let found = with_patience("sizing", 1, |_| relief(stand, tank, &|| ()));
    let found = found.map_err(|why| Failure::input(refusal(tank, &why)))?;
    let folder = args.output.clone();
    let folder = folder.unwrap_or_else(|| beside(&args.stand, "size"));
    whole::make_folder(&folder)?;
    let document = size_json::relief(tank, &found);
    whole::write(&folder.join("relief.json"), document.as_bytes())?;
    screen::print(&if args.json {
        document
    } else {
        report(tank, &found, stand, Screen::stdout())
    });
    screen::say(&format!("\nfiles in {}", folder.display()));
    Ok(Success::Done)
}

fn refusal(tank: &str, why: &NoRelief) -> String {
    match why {
        NoRelief::NoTank(tanks) => {
            format!(
                "the stand has no tank {tank}, and no such line that a regulator feeds; it has {}",
                tanks.join(", ")
            )
        }
        NoRelief::NoRegulator => {
            "the stand has no regulator that could fail open; other causes are not sized for"
                .to_owned()
        }
        NoRelief::NotFed => format!(
            "no regulator leads to {tank}, whose failure could fill it; other causes are not sized for"
        ),
        NoRelief::NoLimit => format!(
            "the stand has no limit on the pressure of {tank}; add --set 'limit.{tank}.pressure=<= 40 bar(g)'"
        ),
        NoRelief::Failed(reason) => format!("no area was found: {reason}"),
    }
}
