//! One run of a checked stand, with its figures, verdicts and checks.

use crate::hand_checks::{HandCheck, hand_checks};
use crate::observables::spelled;
use crate::summary::window::flow_windows;
use crate::summary::{Over, Summary, Verdict, cautions, judge, simulate};
use crate::words::words;
use crate::{Assumption, CheckedStand};
use sha2::{Digest, Sha256};
use shared::quantity::Display;
use shared::{Diagnostic, codes};
use sim_core::network::{Network, Trigger};
use sim_core::outcome::{Integrator, Outcome, RunOptions, Warning};

/// How a run is carried out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PredictOptions {
    /// Relative tolerance; that of the stand if none is given.
    pub tolerance: Option<f64>,
    /// Which integrator.
    pub integrator: Integrator,
}

/// What a run gave.
#[derive(Clone, Debug)]
pub struct Prediction {
    /// Title of the stand.
    pub title: String,
    /// Version of this program.
    pub version: &'static str,
    /// Hash of all that the run depends on; see [`input_hash`].
    pub input_hash: String,
    /// Values that stood in place of those of the stand file, as path and value.
    pub overrides: Vec<(String, String)>,
    /// What ran.
    pub network: Network,
    /// How it ran.
    pub options: RunOptions,
    /// What came out.
    pub outcome: Outcome,
    /// Its figures.
    pub summary: Summary,
    /// Requirements, judged.
    pub requirements: Vec<Verdict>,
    /// Limits, judged.
    pub limits: Vec<Verdict>,
    /// Formulas beside simulated values.
    pub hand_checks: Vec<HandCheck>,
    /// Warnings of the stand, of the models, and of the figures.
    pub warnings: Vec<Warning>,
    /// What was assumed.
    pub assumptions: Vec<String>,
}

impl Prediction {
    /// Whether the run failed on the way or broke a limit.
    #[must_use]
    pub fn is_broken(&self) -> bool {
        self.outcome.failure.is_some() || self.limits.iter().any(|v| !v.is_kept())
    }
}

/// Runs a stand. A run that fails on the way keeps what it computed.
#[must_use]
pub fn predict(stand: &CheckedStand, options: &PredictOptions) -> Prediction {
    let network = stand.lower();
    let options = RunOptions {
        tolerance: options.tolerance.unwrap_or(stand.run.tolerance),
        integrator: options.integrator,
        ..stand.run
    };
    let outcome = in_words(simulate(&network, &options), &network, &stand.display);
    let summary = Summary::of(&network, &outcome);
    let judged = |bounds: &[_], over| judge(bounds, over, &network, &outcome, &summary);
    let cautions = cautions(&network, &outcome, &summary, &stand.limits, &stand.display);
    // What was foreseen of a gas and a liquid gives way to what the run shows of them.
    let seen = cautions.iter().filter(|w| w.code == codes::DISSOLVES.id);
    let seen: Vec<_> = seen.map(|w| subject(&w.message)).collect();
    let is_seen =
        |d: &&Diagnostic| d.code == codes::DISSOLVES.id && seen.contains(&subject(&d.message));
    let of_stand = stand.warnings.iter().filter(|d| !is_seen(d));
    let of_stand: Vec<Warning> = of_stand
        .map(|d| Warning {
            code: d.code,
            message: d.message.clone(),
        })
        .collect();
    let warnings = of_stand
        .into_iter()
        .chain(outcome.warnings.iter().cloned())
        .chain(cautions);
    Prediction {
        title: stand.title.clone(),
        version: env!("CARGO_PKG_VERSION"),
        input_hash: input_hash(&stand.text, &stand.overrides, &options, None),
        overrides: stand.in_force(),
        requirements: judged(&stand.requirements, Over::Flow),
        limits: judged(&stand.limits, Over::WholeRun),
        hand_checks: hand_checks(&network, &outcome, &flow_windows(&network, &outcome)),
        warnings: warnings.collect(),
        assumptions: stand.assumptions.iter().map(sentence).collect(),
        network,
        options,
        outcome,
        summary,
    }
}

/// Says what the equations said in the words and units of the stand.
pub(crate) fn in_words(mut outcome: Outcome, network: &Network, display: &Display) -> Outcome {
    if let Some(failure) = &mut outcome.failure
        && let Some(refusal) = &failure.refusal
    {
        failure.message = words(refusal, display);
    }
    let columns = network.commands.iter().filter_map(|c| match &c.trigger {
        Trigger::When { column, .. } => Some(column),
        Trigger::At { .. } => None,
    });
    for column in columns {
        let Some((name, _)) = spelled(column) else {
            continue;
        };
        for warning in &mut outcome.warnings {
            warning.message = warning.message.replace(column.as_str(), name);
        }
    }
    outcome
}

/// The component that a warning is about, and the gas or liquid that it begins with.
fn subject(message: &str) -> Option<&str> {
    message.split_once(" at ").map(|(subject, _)| subject)
}

fn sentence(assumption: &Assumption) -> String {
    let Assumption {
        path,
        value,
        reason,
    } = assumption;
    format!("{path} = {value}: {reason}")
}

/// Draws beside a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawing {
    /// How many.
    pub draws: usize,
    /// Their seed.
    pub seed: u32,
}

/// Hash of the stand file, its overrides, the program's version, the run's options and the draws
/// if there are any, as 64 hexadecimal digits of SHA-256: two runs of one hash give the same
/// bytes.
#[must_use]
pub fn input_hash(
    text: &str,
    overrides: &[(String, String)],
    options: &RunOptions,
    drawing: Option<Drawing>,
) -> String {
    let mut hash = Sha256::new();
    let mut part = |text: &str| {
        hash.update((text.len() as u64).to_le_bytes());
        hash.update(text.as_bytes());
    };
    part(env!("CARGO_PKG_VERSION"));
    part(text);
    for (path, value) in overrides {
        part(path);
        part(value);
    }
    part(&format!("{options:?}"));
    if let Some(drawing) = drawing {
        part(&format!("{drawing:?}"));
    }
    hash.finalize()
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
