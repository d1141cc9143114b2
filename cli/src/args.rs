//! The command line, with an example for every command.

use clap::{Args, Parser, Subcommand, ValueEnum};
use scenarios::studies::SEED;
use scenarios::studies::percentile::FEWEST_DRAWS;
use shared::quantity::{Dimension, Quantity};
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
Ready-made stands:
  regulated-water         water cold flow behind a regulator that is too small (the demonstration)
  blowdown-water          water pushed out by the gas that is in the tank
  helium-large-regulator  helium through a regulator that is large enough
  two-sides-water         both sides of a stand with water, the oxidiser's valve leading
  lox-helium              liquid oxygen pushed by helium: vent, pressurise, hold, expel
  lox-nitrogen            liquid oxygen pushed by nitrogen, with the warning that it earns
  ln2-cold-flow           liquid nitrogen in place of oxygen, pushed by nitrogen
  methane-helium          liquid methane pushed by helium

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
  pressfed predict bench.toml -o large-out --set 'bottle.supply.volume=9 L'
  pressfed predict bench.toml --draws 500 --why
  pressfed predict bench.toml --pushed-by nitrogen
  pressfed predict bench.toml --watch")]
    Predict(PredictArgs),
    /// Write the one-page test card of a stand, to print and take along.
    #[command(after_help = "\
Example: the card of a stand, with bands of 500 draws
  pressfed card bench.toml
  pressfed card bench.toml --draws 500 -o tuesday.html")]
    Card(CardArgs),
    /// Find the smallest or largest value with which the stand does what it should.
    #[command(after_help = "\
A handbook's figure, and why it differs, stands beside the volume or pressure of a bottle, the flow
coefficient of a regulator and the ullage of a tank. Other values, as set pressure, droop and stroke
time, have none; the output says why.

Example: the smallest bottle; how many of this bottle; a map; a relief for a failed-open regulator
  pressfed size bench.toml --find bottle.supply.volume
  pressfed size bench.toml --find bottle.supply.volume --count
  pressfed size bench.toml --find bottle.supply.volume --between '3 L..30 L' \\
      --against 'bottle.supply.pressure=100 bar(g)..200 bar(g):8'
  pressfed size bench.toml --find regulator.press.set_pressure \\
      --set 'requirement.fuel.pressure_0_5_s=>= 30 bar(g)'
  pressfed size bench.toml --find regulator.press.droop --largest
  pressfed size bench.toml --relief fuel")]
    Size(SizeArgs),
    /// Run a stand at many points: a grid, a list, or spread over ranges.
    #[command(after_help = "\
Example: bottle volume against charge pressure; the same in three pieces; 1000 draws
  pressfed sweep bench.toml --vary 'bottle.supply.volume=5 L..50 L:10' \\
      --vary 'bottle.supply.pressure=100 bar(g)..200 bar(g):6'
  pressfed sweep bench.toml --vary 'bottle.supply.volume=5 L..50 L:10' --shard 1/3
  pressfed sweep bench.toml --draw --points 1000 --figure run.mean_flow")]
    Sweep(SweepArgs),
    /// Put the shards of a sweep together.
    #[command(after_help = "\
Example: when shards 1/3, 2/3 and 3/3 have run
  pressfed gather bench.toml bench-sweep")]
    Gather(GatherArgs),
    /// Show what a figure depends on, and which inputs to measure better.
    #[command(after_help = "\
Example: what does the mean flow depend on, and the pressure at the end?
  pressfed sensitivity bench.toml --figure run.mean_flow --figure fuel.pressure_end")]
    Sensitivity(SensitivityArgs),
    /// Show properties of a fluid: a state, the saturation line, an isobar or an isotherm.
    #[command(after_help = "\
Example: a state; boiling at 3 bar, at -30 degC; an isobar as CSV, then with a picture; all fluids
  pressfed fluid nitrogen --pressure '200 bar(a)' --temperature '15 degC'
  pressfed fluid oxygen --saturation --pressure '3 bar(a)'
  pressfed fluid CO2 --saturation --temperature '-30 degC'
  pressfed fluid LOX --pressure '20 bar(a)' --temperature '60 K..200 K:141'
  pressfed fluid LOX --pressure '20 bar(a)' --temperature '60 K..200 K:141' -o lox
  pressfed fluid --list")]
    Fluid(FluidArgs),
    /// Explain an error or a warning by its id, or a table of the stand file; or list all ids.
    #[command(after_help = "\
Example: what does quantity-5 mean; what may a relief and a requirement have; what is there
  pressfed explain quantity-5
  pressfed explain relief
  pressfed explain requirement
  pressfed explain water hammer
  pressfed explain")]
    Explain(ExplainArgs),
    /// Print the JSON schema of the stand file, with which editors complete and check it.
    #[command(after_help = "\
Example: write it beside the stand file, and name it to the editor as the schema of that file
  pressfed schema > stand.schema.json")]
    Schema,
    /// Print what lets a shell complete commands and options.
    #[command(after_help = "\
Example: for bash, from the next login on
  pressfed completions bash > ~/.local/share/bash-completion/completions/pressfed")]
    Completions(CompletionsArgs),
    /// Write the manual pages, one for each command.
    #[command(after_help = "\
Example: write them, read one
  pressfed manual
  man ./man1/pressfed-predict.1")]
    Manual(ManualArgs),
}

/// Arguments of `completions`.
#[derive(Debug, Args)]
pub struct CompletionsArgs {
    /// The shell.
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// Arguments of `manual`.
#[derive(Debug, Args)]
pub struct ManualArgs {
    /// Folder for the pages.
    #[arg(short, long, value_name = "DIR", default_value = "man1")]
    pub output: PathBuf,
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
    /// Run it again with this gas in place of that of the bottles, and show both needs side by
    /// side.
    #[arg(long, value_name = "GAS")]
    pub pushed_by: Option<String>,
    /// Predict again whenever the stand file is saved, until Ctrl-C; an open report.html follows.
    #[arg(long)]
    pub watch: bool,
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
    /// Draw the uncertain values so many times and show bands that hold 95 % of the draws: 0 for no
    /// draws, otherwise at least 40, for example --draws 200. By default 0, and 200 for the
    /// demonstration.
    #[arg(long, value_name = "COUNT", value_parser = draws)]
    pub draws: Option<usize>,
    /// Seed of the draws.
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub seed: u32,
    /// Say where the pressure goes between lock-up and tank, by 32 runs without one cause or
    /// another.
    #[arg(long)]
    pub why: bool,
    /// Show pressures and flows over time as rows of blocks, for a shell over a poor link.
    #[arg(long)]
    pub sketch: bool,
    /// Time of the run at which the stand is drawn with its values, for example "12 s"; by default
    /// the middle of the flow.
    #[arg(long, value_name = "TIME", value_parser = time_s)]
    pub drawn_at: Option<f64>,
    /// Write no plots.
    #[arg(long)]
    pub no_plots: bool,
    /// Print the summary as JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `card`.
#[derive(Debug, Args)]
pub struct CardArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// File to write; by default the stand file's name with -card.html.
    #[arg(short, long, value_name = "FILE")]
    pub output: Option<PathBuf>,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
    /// Draws of the uncertain values, from which low and high are read: 0 for no draws, otherwise at
    /// least 40, for example --draws 500.
    #[arg(long, value_name = "COUNT", default_value_t = 200, value_parser = draws)]
    pub draws: usize,
    /// Seed of the draws.
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub seed: u32,
    /// Print the figures as JSON, as predict does.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `sensitivity`.
#[derive(Debug, Args)]
pub struct SensitivityArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// Figure of the summary, for example run.mean_flow; may be given several times. By default
    /// that of the first requirement, or the mean flow. A name that is unknown lists all of them.
    #[arg(long, value_name = "NAME")]
    pub figure: Vec<String>,
    /// Folder for the files; by default the stand file's name with -sensitivity.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
    /// Points of the Sobol' indices, best a power of two; each takes a run for every uncertain
    /// value and two more.
    #[arg(long, value_name = "COUNT", default_value_t = 64, value_parser = clap::value_parser!(u32).range(8..=65_536))]
    pub points: u32,
    /// Random walks of the screening; each takes a run for every uncertain value and one more.
    #[arg(long, value_name = "COUNT", default_value_t = 10, value_parser = clap::value_parser!(u32).range(2..=10_000))]
    pub walks: u32,
    /// Seed of points and walks.
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub seed: u32,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `size`.
#[derive(Debug, Args)]
pub struct SizeArgs {
    /// The stand file, with what it should do under "requirement" and "limit".
    pub stand: PathBuf,
    /// Path of the value to find, for example bottle.supply.volume.
    #[arg(long, value_name = "PATH")]
    pub find: Option<String>,
    /// Find the largest value that does, not the smallest.
    #[arg(long)]
    pub largest: bool,
    /// Where to look, for example '2 L..50 L', or '1..40' with --count; by default around the
    /// value of the file.
    #[arg(long, value_name = "LOW..HIGH", allow_hyphen_values = true)]
    pub between: Option<String>,
    /// Count whole bottles of the file's size, from 1 to 24 by default.
    #[arg(long, conflicts_with_all = ["largest", "against"])]
    pub count: bool,
    /// Per cent of the draws that have to succeed.
    #[arg(long, value_name = "PERCENT", default_value_t = 95.0, value_parser = percent)]
    pub confidence: f64,
    /// Draws at each value, four times as many at the answer; 0 takes the nominal run alone. By
    /// default 64, or more where the confidence needs more.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u32).range(0..=100_000))]
    pub draws: Option<u32>,
    /// Seed of the draws.
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub seed: u32,
    /// Draw a map of the room over the range and another path, for example
    /// 'bottle.supply.pressure=100 bar(g)..200 bar(g):8'.
    #[arg(long, value_name = "PATH=VALUES", value_parser = split_axis)]
    pub against: Option<(String, String)>,
    /// Size the relief of this tank instead, for regulators that have failed open.
    #[arg(long, value_name = "TANK", conflicts_with = "find")]
    pub relief: Option<String>,
    /// Folder for the files; by default the stand file's name with -size.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `sweep`.
#[derive(Debug, Args)]
pub struct SweepArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// What varies: 'bottle.supply.volume=5 L..50 L:10' in ten even steps,
    /// 'bottle.supply.gas=nitrogen, helium' by a list, 'bottle.supply.volume=5 L..50 L' spread by
    /// --points; may be given several times, for all combinations.
    #[arg(long, value_name = "PATH=VALUES", value_parser = split_axis)]
    pub vary: Vec<(String, String)>,
    /// Draw the uncertain values of the stand at each point.
    #[arg(long)]
    pub draw: bool,
    /// Points over which ranges are spread and uncertain values drawn.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u64).range(1..=100_000_000))]
    pub points: Option<u64>,
    /// Seed of these points.
    #[arg(long, value_name = "NUMBER", default_value_t = SEED)]
    pub seed: u32,
    /// Figure that is kept, for example run.mean_flow; may be given several times. By default
    /// all are. A name that is unknown lists all of them.
    #[arg(long, value_name = "NAME")]
    pub figure: Vec<String>,
    /// Run only one piece of the points, for example 3/16; gather puts the pieces together.
    #[arg(long, value_name = "PIECE/PIECES", value_parser = piece)]
    pub shard: Option<(u64, u64)>,
    /// Write the whole table as sweep.parquet, too.
    #[cfg(feature = "parquet")]
    #[arg(long, conflicts_with = "shard")]
    pub parquet: bool,
    /// Folder for the files; by default the stand file's name with -sweep. A sweep that was
    /// stopped goes on where it stood.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
}

/// Arguments of `gather`.
#[derive(Debug, Args)]
pub struct GatherArgs {
    /// The stand file.
    pub stand: PathBuf,
    /// Folder with the shards.
    pub folder: PathBuf,
    /// Write the whole table as sweep.parquet, too.
    #[cfg(feature = "parquet")]
    #[arg(long)]
    pub parquet: bool,
    /// Values to put in place of those of the file.
    #[command(flatten)]
    pub overrides: OverrideArgs,
}

/// Arguments of `fluid`.
#[derive(Debug, Args)]
pub struct FluidArgs {
    /// Name or formula of the fluid; alone it shows range and sources.
    pub name: Option<String>,
    /// List all fluids with range and source.
    #[arg(long, conflicts_with = "name")]
    pub list: bool,
    /// Pressure, or a range FROM..TO:POINTS; gauge pressures count from one atmosphere.
    #[arg(short, long, value_name = "PRESSURE", allow_hyphen_values = true)]
    pub pressure: Option<String>,
    /// Temperature, or a range FROM..TO:POINTS.
    #[arg(short, long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub temperature: Option<String>,
    /// Liquid and vapour in equilibrium, at a pressure or at a temperature.
    #[arg(short, long)]
    pub saturation: bool,
    /// Folder for the CSV and the pictures of a range; without it the CSV is printed.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Print JSON.
    #[arg(long)]
    pub json: bool,
}

/// Arguments of `explain`.
#[derive(Debug, Args)]
pub struct ExplainArgs {
    /// The id of a message, for example quantity-5; or a table of the stand file, for example relief or
    /// run, whose keys are shown; or a word of the trade, for example surge; without it all ids are
    /// listed by topic.
    #[arg(value_name = "WORD")]
    pub words: Vec<String>,
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

fn split_axis(text: &str) -> Result<(String, String), String> {
    split_override(text).map_err(|_| {
        "write PATH=VALUES, for example 'bottle.supply.volume=5 L..50 L:10'".to_owned()
    })
}

fn percent(text: &str) -> Result<f64, String> {
    match text.trim_end_matches(['%', ' ']).parse::<f64>() {
        Ok(value) if (1.0..=99.9).contains(&value) => Ok(value),
        _ => Err("write per cent from 1 to 99.9, for example 95".to_owned()),
    }
}

fn piece(text: &str) -> Result<(u64, u64), String> {
    let numbers = text.split_once('/');
    let numbers = numbers.and_then(|(a, b)| Some((a.parse().ok()?, b.parse().ok()?)));
    match numbers {
        Some((piece, of)) if (1..=of).contains(&piece) && of <= 100_000 => Ok((piece, of)),
        _ => Err("write the piece and their number, for example 3/16".to_owned()),
    }
}

fn draws(text: &str) -> Result<usize, String> {
    match text.parse::<usize>() {
        Ok(0) => Ok(0),
        Ok(count) if (FEWEST_DRAWS..=1_000_000).contains(&count) => Ok(count),
        _ => Err(format!(
            "write 0 for no draws, or a number from {FEWEST_DRAWS}, the fewest that show the ends of a band, to \
             1000000, for example 200"
        )),
    }
}

fn time_s(text: &str) -> Result<f64, String> {
    let time = Quantity::parse(text, &[Dimension::Time]);
    time.map(|quantity| quantity.value)
        .map_err(|fault| format!("{}; {}", fault.message, fault.remedy))
}

fn tolerance(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(value) if (1e-12..=1e-2).contains(&value) => Ok(value),
        _ => Err("write a number between 1e-12 and 1e-2".to_owned()),
    }
}

/// The override that a shell has cut in two at its blank, as it should have been typed.
#[must_use]
pub fn unquoted(typed: &[String]) -> Option<String> {
    let cut = typed.windows(2).find(|pair| {
        let value = pair[0].split_once('=').map(|(_, value)| value);
        let ends_bare = value.is_some_and(|v| v.ends_with(|c: char| c.is_ascii_digit()));
        ends_bare && !pair[1].starts_with('-')
    })?;
    Some(format!("\"{} {}\"", cut[0], cut[1]))
}
