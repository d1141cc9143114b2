//! The command line, with an example for every command.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Predicts what a pressure-fed liquid rocket stand will do before its valves are opened.
///
/// Exit codes: 0 done; 1 the run failed or a limit was broken; 2 bad input.
#[derive(Debug, Parser)]
#[command(
    name = "pressfed",
    version,
    max_term_width = 100,
    after_help = "\
Example: see a whole run, then make a stand of your own and predict it
  pressfed demo
  pressfed new bench.toml
  pressfed predict bench.toml -o bench-out"
)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Predict a ready-made stand and leave its files in demo-out/.
    #[command(after_help = "\
Example: the demonstration, and another of the ready-made stands
  pressfed demo
  pressfed demo blowdown-water -o blowdown-out")]
    Demo(DemoArgs),
    /// Write a commented stand file to start from.
    #[command(after_help = "\
Example: make a stand file, change it, look at what was understood
  pressfed new bench.toml
  pressfed check bench.toml")]
    New(NewArgs),
    /// Check a stand file and show what was understood.
    #[command(after_help = "\
Example: check a stand, with a warmer bottle
  pressfed check bench.toml --set 'bottle.supply.temperature=30 degC'")]
    Check(CheckArgs),
    /// Predict a run: figures on the screen; history, summary, events and plots in a folder.
    #[command(after_help = "\
Example: predict a stand, and again with a larger bottle
  pressfed predict bench.toml -o bench-out
  pressfed predict bench.toml -o large-out --set 'bottle.supply.volume=9 L'")]
    Predict(PredictArgs),
    /// Explain the code of an error or a warning.
    #[command(after_help = "\
Example: what does E0105 mean?
  pressfed explain E0105")]
    Explain(ExplainArgs),
}

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Which ready-made stand; the demonstration if none is named.
    pub name: Option<String>,
    /// Folder for the files.
    #[arg(short, long, value_name = "DIR", default_value = "demo-out")]
    pub output: PathBuf,
    /// Options of the run.
    #[command(flatten)]
    pub run: RunArgs,
}

/// Arguments of `new`.
#[derive(Debug, Args)]
pub struct NewArgs {
    /// File to write; it must not exist yet.
    pub file: PathBuf,
}

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `predict`.
#[derive(Debug, Args)]
pub struct PredictArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// Folder for the files; by default the stand file's name with -out.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
    /// Options of the run.
    #[command(flatten)]
    pub run: RunArgs,
}

/// Values to put in place of those of the file.
#[derive(Debug, Args)]
pub struct OverrideArgs {
    /// Put another value in the stand file's place, for example
    /// 'bottle.supply.volume=9 L'; may be given several times.
    #[arg(long = "set", value_name = "PATH=VALUE", value_parser = split_override)]
    pub set: Vec<(String, String)>,
}

/// Options of a run.
#[derive(Debug, Args)]
pub struct RunArgs {
    /// Relative tolerance of the integrator, between 1e-12 and 1e-2.
    #[arg(long, value_name = "NUMBER", value_parser = tolerance)]
    pub tolerance: Option<f64>,
    /// Integrator that carries the run.
    #[arg(long, value_enum, default_value_t = IntegratorName::Rodas5p)]
    pub integrator: IntegratorName,
    /// Write no plots.
    #[arg(long)]
    pub no_plots: bool,
    /// Print the summary as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The code, for example E0105.
    pub code: String,
}

/// The integrators by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum IntegratorName {
    /// Linearly implicit Rosenbrock of order 5.
    Rodas5p,
    /// Explicit Runge-Kutta 5(4), slow where the stand is stiff: an independent check.
    Dopri5,
}

fn split_override(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((path, value)) if !path.trim().is_empty() => {
            Ok((path.trim().to_owned(), value.trim().to_owned()))
        }
        _ => Err("write PATH=VALUE, for example 'bottle.supply.volume=9 L'".to_owned()),
    }
}

fn tolerance(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (1e-12..=1e-2).contains(&value) => Ok(value),
        _ => Err("write a number between 1e-12 and 1e-2".to_owned()),
    }
}
