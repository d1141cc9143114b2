//! The `pressfed` command.

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::commands::run(&cli::args::Cli::parse())
}
