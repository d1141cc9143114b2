//! One file for each command, and how a command ends.

mod card;
mod check;
mod completions;
mod demo;
mod explain;
mod fluid;
mod gather;
mod input;
mod manual;
mod new;
mod predict;
mod relief;
mod schema;
mod sensitivity;
mod size;
mod sweep;
mod watch;

use crate::args::{Cli, Command};
use crate::export::whole::WriteError;
use crate::terminal::diagnostics::headline;
use crate::terminal::screen::{self, Screen};
use shared::Severity;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// How a command ends when it could do its work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Success {
    /// All is well: exit code 0.
    Done,
    /// The run failed on the way, a limit was broken, or nothing does what was asked for: exit
    /// code 1. What there is to say has been said.
    Broken,
}

/// Why a command could not do its work.
#[derive(Debug)]
pub struct Failure {
    /// Words for standard error; empty if all has been said.
    message: String,
    code: u8,
}

impl Failure {
    /// Something is wrong with what was typed: exit code 2.
    #[must_use]
    pub fn input(message: impl Into<String>) -> Self {
        Self {
            message: message.into(),
            code: 2,
        }
    }

    /// Says on standard error what has not been said.
    fn tell(&self) {
        if !self.message.is_empty() {
            let (what, screen) = (&self.message, Screen::stderr());
            screen::say(&headline(Severity::Error, None, what, screen));
        }
    }

    /// Bad input of which all has been said: exit code 2.
    #[must_use]
    pub fn told() -> Self {
        Self::input("")
    }
}

/// Of a command that leaves its results in a folder; others name their own way to another place.
impl From<WriteError> for Failure {
    fn from(error: WriteError) -> Self {
        Self::input(format!("{error} (results: -o DIR)"))
    }
}

/// `bench.toml` leaves its files in `bench-WORD`, in the present folder.
fn beside(stand: &Path, word: &str) -> PathBuf {
    let stem = stand.file_stem().unwrap_or_default().to_string_lossy();
    PathBuf::from(format!("{stem}-{word}"))
}

/// Carries out a command.
#[must_use]
pub fn run(cli: &Cli) -> ExitCode {
    let ended = match &cli.command {
        Command::Demo(args) => demo::run(args),
        Command::New(args) => new::run(args),
        Command::Check(args) => check::run(args),
        Command::Predict(args) => predict::run(args),
        Command::Card(args) => card::run(args),
        Command::Size(args) => size::run(args),
        Command::Sweep(args) => sweep::run(args),
        Command::Gather(args) => gather::run(args),
        Command::Sensitivity(args) => sensitivity::run(args),
        Command::Fluid(args) => fluid::run(args),
        Command::Explain(args) => explain::run(args),
        Command::Schema => Ok(schema::run()),
        Command::Completions(args) => Ok(completions::run(args)),
        Command::Manual(args) => manual::run(args),
    };
    match ended {
        Ok(Success::Done) => ExitCode::SUCCESS,
        Ok(Success::Broken) => ExitCode::from(1),
        Err(failure) => {
            failure.tell();
            ExitCode::from(failure.code)
        }
    }
}
