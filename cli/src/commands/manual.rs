//! `pressfed manual`: manual pages, one for each command.

use super::{Failure, Success};
use crate::args::{Cli, ManualArgs};
use crate::export::whole;
use crate::terminal::screen;
use clap::{Command, CommandFactory};
use clap_mangen::Man;

/// Writes the pages.
///
/// # Errors
/// If the folder or a page cannot be written.
pub fn run(args: &ManualArgs) -> Result<Success, Failure> {
    whole::make_folder(&args.output)?;
    let mut top = Cli::command().disable_help_subcommand(true);
    top.build();
    let pages: Vec<&Command> = std::iter::once(&top).chain(top.get_subcommands()).collect();
    for command in &pages {
        let name = command.get_display_name().unwrap_or("pressfed");
        let mut page = Vec::new();
        Man::new((*command).clone())
            .render(&mut page)
            .map_err(|e| Failure::input(e.to_string()))?;
        whole::write(&args.output.join(format!("{name}.1")), &page)?;
    }
    let folder = args.output.display();
    screen::say(&format!("wrote {} pages in {folder}", pages.len()));
    Ok(Success::Done)
}
