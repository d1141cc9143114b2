//! The demonstration stand, simulation alone, beside the same equations in SciPy and CoolProp
//! (`peers/regulated_run.py`), in one run and with the accuracy of each.
//!
//! `cargo bench -p validation`. Without Python, SciPy or CoolProp only our own times are shown.

#![allow(clippy::print_stdout)]

use sim_core::network::Network;
use sim_core::outcome::RunOptions;
use std::path::Path;
use std::process::Command;
use std::time::Instant;
use validation::peer::{Reference, demonstration};
use validation::trial::{Trial, stand};

/// Runs of ours.
const RUNS: usize = 200;
/// Runs of the peer.
const PEER_RUNS: usize = 5;

/// What a program needs, and how far off it is.
struct Race {
    name: String,
    median_s: f64,
    best_s: f64,
    /// Largest difference from a much more exact run of the same program, each column
    /// relative to its largest value.
    error: f64,
}

fn main() -> Result<(), String> {
    let stand = stand(demonstration())?;
    let network = stand.lower();
    let exact = Trial::run(network.clone(), &at_tolerance(&stand.run, 1e-9))?;
    let reference = Reference::load()?;
    let with_history = ours(
        "with a history of 10 ms rows",
        &network,
        &stand.run,
        &exact,
        &reference,
    )?;
    let bare = RunOptions {
        output_step_s: stand.run.until_s,
        readings: 1,
        step_rows: false,
        ..stand.run
    };
    let alone = Race {
        error: with_history.error,
        ..timed("integration alone", RUNS, || {
            Trial::run(network.clone(), &bare)
        })?
    };
    println!(
        "demonstration stand, {} s of stand time, median (best):",
        stand.run.until_s
    );
    show(&alone, None);
    show(&with_history, None);
    match peer(&reference) {
        Ok(peer) => show(&peer, Some(&with_history)),
        Err(why) => println!("SciPy + CoolProp: skipped, {why}"),
    }
    Ok(())
}

fn show(race: &Race, against: Option<&Race>) {
    let Race {
        name,
        median_s,
        best_s,
        error,
    } = race;
    println!(
        "{name:45} {:10.2} ms ({:.2} ms)   error {error:.1e}",
        median_s * 1e3,
        best_s * 1e3
    );
    if let Some(ours) = against {
        println!(
            "ratio of the medians {:.0}, of the best {:.0}",
            median_s / ours.median_s,
            best_s / ours.best_s
        );
    }
}

fn at_tolerance(options: &RunOptions, tolerance: f64) -> RunOptions {
    RunOptions {
        tolerance,
        ..*options
    }
}

fn ours(
    name: &str,
    network: &Network,
    options: &RunOptions,
    exact: &Trial,
    reference: &Reference,
) -> Result<Race, String> {
    let trial = Trial::run(network.clone(), options)?;
    let read = |trial: &Trial, column| -> Result<Vec<f64>, String> {
        let times = reference.times_s.iter();
        times.map(|&t| trial.at(column, t)).collect()
    };
    let columns = reference.columns.keys();
    let pairs = columns.map(|column| Ok((read(exact, column)?, read(&trial, column)?)));
    let error = worst(pairs.collect::<Result<Vec<_>, String>>()?);
    Ok(Race {
        error,
        ..timed(name, RUNS, || Trial::run(network.clone(), options))?
    })
}

fn timed<T>(name: &str, runs: usize, run: impl Fn() -> Result<T, String>) -> Result<Race, String> {
    let mut seconds = Vec::with_capacity(runs);
    for _ in 0..runs {
        let began = Instant::now();
        std::hint::black_box(run()?);
        seconds.push(began.elapsed().as_secs_f64());
    }
    Ok(race(name, seconds))
}

fn race(name: &str, mut seconds: Vec<f64>) -> Race {
    seconds.sort_by(f64::total_cmp);
    Race {
        name: name.to_owned(),
        median_s: seconds.get(seconds.len() / 2).copied().unwrap_or(f64::NAN),
        best_s: seconds.first().copied().unwrap_or(f64::NAN),
        error: f64::NAN,
    }
}

/// Largest difference of columns, each relative to the largest value of the first.
fn worst(pairs: Vec<(Vec<f64>, Vec<f64>)>) -> f64 {
    let of_pair = |(exact, found): (Vec<f64>, Vec<f64>)| {
        let size = exact.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        let differences = exact.iter().zip(&found).map(|(a, b)| (a - b).abs());
        differences.fold(0.0, f64::max) / size
    };
    pairs.into_iter().map(of_pair).fold(0.0, f64::max)
}

/// Runs the peer; its wall times come on the standard error, its figures on the output.
fn peer(reference: &Reference) -> Result<Race, String> {
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("peers/regulated_run.py");
    let output = Command::new("python3")
        .arg(script)
        .args(["--repeat", &PEER_RUNS.to_string()])
        .output()
        .map_err(|e| format!("python3: {e}"))?;
    let talk = String::from_utf8_lossy(&output.stderr);
    if !output.status.success() {
        return Err(talk.lines().last().unwrap_or("python3 failed").to_owned());
    }
    let seconds = talk.lines().filter_map(|line| {
        let rest = line.strip_prefix("wall_s ")?;
        rest.split(' ').next()?.parse().ok()
    });
    let found: Reference = serde_json::from_slice(&output.stdout).map_err(|e| e.to_string())?;
    let pairs = reference.columns.iter().map(|(column, exact)| {
        let values = found.columns.get(column).cloned().unwrap_or_default();
        (exact.clone(), values)
    });
    Ok(Race {
        error: worst(pairs.collect()),
        ..race("SciPy + CoolProp, BDF at rtol 1e-5", seconds.collect())
    })
}
