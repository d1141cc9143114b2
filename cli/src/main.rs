//! The `pressfed` command.

#![allow(clippy::print_stderr)]

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    cli::interrupt::prepare();
    match cli::args::Cli::try_parse() {
        Ok(arguments) => cli::interrupt::exit_code(cli::commands::run(&arguments)),
        Err(error) => {
            // Where it cannot be written, there is nobody to read it.
            let _ = error.print();
            let typed: Vec<String> = std::env::args().collect();
            if let Some(hint) = cli::args::unquoted(&typed).filter(|_| error.use_stderr()) {
                eprintln!("\nA value and its unit are one argument: {hint}");
            }
            ExitCode::from(u8::try_from(error.exit_code()).unwrap_or(2))
        }
    }
}
