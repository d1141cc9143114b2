//! `pressfed explain`: the catalogue entry of a code.

use super::{Failure, Success};
use crate::args::ExplainArgs;
use crate::terminal::screen::{self, Screen};
use shared::{codes, nearest};

/// Prints what a code means.
///
/// # Errors
/// If there is no such code.
pub fn run(args: &ExplainArgs) -> Result<Success, Failure> {
    let Some(code) = codes::find(args.code.trim()) else {
        let known = codes::ALL.iter().map(|c| c.id);
        let meant = nearest(&args.code, known).map(|id| format!(" Did you mean {id}?"));
        return Err(Failure::input(format!(
            "there is no code \"{}\".{} Codes stand in brackets behind \"error\" or \"warning\", as in E0105.",
            args.code,
            meant.unwrap_or_default(),
        )));
    };
    let heading = Screen::stdout().heading(&format!("{}: {}", code.id, code.title));
    screen::print(&format!("{heading}\n\n{}\n", code.explanation));
    Ok(Success::Done)
}
