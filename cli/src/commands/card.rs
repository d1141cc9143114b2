//! `pressfed card`: the page that goes to the bench.

use super::input::Input;
use super::predict::{draw, hash_draws};
use super::{Failure, Success, beside};
use crate::args::CardArgs;
use crate::export::{json, whole};
use crate::page::Told;
use crate::page::card::card;
use crate::terminal::patience::with_patience;
use crate::terminal::screen;
use scenarios::predict::PredictOptions;
use scenarios::studies::Bands;
use sim_core::outcome::Integrator;

/// Predicts a stand and writes its test card.
///
/// # Errors
/// If the stand has errors or the file cannot be written.
pub fn run(args: &CardArgs) -> Result<Success, Failure> {
    let input = Input::from_file(&args.stand, &args.overrides.set)?;
    let stand = input.checked(args.json)?;
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let mut prediction = with_patience("simulating", 1, |_| scenarios::predict(&stand, &options));
    let drawn = draw(&stand, &prediction, args.draws, args.seed)?;
    let all_failed = drawn.as_ref().is_some_and(Bands::is_empty);
    let bands = drawn.filter(|bands| !bands.is_empty());
    hash_draws(&stand, &mut prediction, bands.as_ref());
    let page = card(&Told {
        stand: &stand,
        prediction: &prediction,
        bands: bands.as_ref(),
    });
    let path = args.output.clone();
    let path = path.unwrap_or_else(|| beside(&args.stand, "card").with_extension("html"));
    whole::write(&path, page.as_bytes())
        .map_err(|e| Failure::input(format!("{e} (card: -o FILE)")))?;
    if args.json {
        screen::print(&json::summary(&prediction, bands.as_ref()));
    }
    screen::say(&format!(
        "card in {}; print it from a browser",
        path.display()
    ));
    Ok(if prediction.is_broken() || all_failed {
        Success::Broken
    } else {
        Success::Done
    })
}
