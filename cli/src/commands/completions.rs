//! `pressfed completions`: what lets a shell complete commands and options.

use super::Success;
use crate::args::{Cli, CompletionsArgs};
use crate::terminal::screen;
use clap::CommandFactory;

/// Prints the script of a shell.
#[must_use]
pub fn run(args: &CompletionsArgs) -> Success {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "pressfed", &mut script);
    screen::print(&String::from_utf8_lossy(&script));
    Success::Done
}
