//! `pressfed demo`: a ready-made stand, predicted.

use super::input::Input;
use super::{Failure, Success, predict};
use crate::args::DemoArgs;
use shared::nearest;

/// Draws of the demonstration.
const DRAWS: usize = 200;

/// Predicts a ready-made stand.
///
/// # Errors
/// If there is no stand of that name or the folder cannot be written.
pub fn run(args: &DemoArgs) -> Result<Success, Failure> {
    let stands = scenarios::ready_made();
    let chosen = match &args.name {
        None => stands.first(),
        Some(name) => stands.iter().find(|s| s.name == name),
    };
    let Some(stand) = chosen else {
        let names: Vec<&str> = stands.iter().map(|s| s.name).collect();
        let asked = args.name.as_deref().unwrap_or_default();
        let meant = nearest(asked, names.iter().copied());
        let meant = meant.map_or(String::new(), |m| format!(" Did you mean {m}?"));
        let message = format!(
            "no ready-made stand is called \"{asked}\".{meant} There are: {}",
            names.join(", ")
        );
        return Err(Failure::input(message));
    };
    let input = Input {
        path: format!("{}.toml", stand.name),
        text: stand.text.to_owned(),
        overrides: &[],
    };
    predict::carry_out(&input, &args.output, &args.run, DRAWS, false)
}
