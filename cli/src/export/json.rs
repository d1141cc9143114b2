//! The summary of a run as JSON, all numbers in SI. No clock goes into it: the same input
//! gives the same bytes.

use super::json_bands::{Banded, Figures};
use scenarios::hand_checks::HandCheck;
use scenarios::predict::Prediction;
use scenarios::si_unit;
use scenarios::studies::Bands;
use scenarios::summary::Verdict;
use serde::{Serialize, Serializer};
use sim_core::network::Relation;

/// Name and edition of the form of the summary.
pub const SUMMARY_SCHEMA: &str = "pressfed-summary/1";

#[derive(Serialize)]
struct Document<'a> {
    schema: &'static str,
    stand: &'a str,
    version: &'a str,
    input_hash: &'a str,
    /// Values in place of those of the stand file.
    #[serde(serialize_with = "pairs")]
    set: &'a [(String, String)],
    figures: Figures<'a>,
    requirements: Vec<Judged<'a>>,
    limits: Vec<Judged<'a>>,
    hand_checks: Vec<Checked<'a>>,
    /// None if the run ended early.
    balances: Option<Balances<'a>>,
    events: Vec<Event<'a>>,
    warnings: Vec<Coded<'a>>,
    assumptions: &'a [String],
    statistics: Statistics,
    failure: Option<Failed<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bands: Option<Banded<'a>>,
}

#[derive(Serialize)]
struct Judged<'a> {
    /// With its unit, as figures and columns are called.
    quantity: String,
    /// That of threshold, observed and margin.
    unit: &'static str,
    /// As it was typed.
    asked: &'a str,
    relation: &'static str,
    threshold: f64,
    observed: Option<f64>,
    time_s: Option<f64>,
    margin: Option<f64>,
    kept: bool,
    /// Up to when, if the run ended early.
    #[serde(skip_serializing_if = "Option::is_none")]
    judged_until_s: Option<f64>,
}

#[derive(Serialize)]
struct Checked<'a> {
    what: &'a str,
    formula: &'a str,
    /// That of both numbers.
    unit: &'static str,
    by_hand: f64,
    simulated: Option<f64>,
}

#[derive(Serialize)]
struct Balances<'a> {
    mass_relative: f64,
    energy_relative: f64,
    #[serde(serialize_with = "pairs")]
    species: &'a [(String, f64)],
}

#[derive(Serialize)]
struct Event<'a> {
    time_s: f64,
    component: &'a str,
    event: String,
}

#[derive(Serialize)]
pub(super) struct Coded<'a> {
    code: &'a str,
    message: &'a str,
}

#[derive(Serialize)]
struct Statistics {
    steps: u64,
    rejected: u64,
    evaluations: u64,
    jacobians: u64,
    factorisations: u64,
    events: u64,
}

#[derive(Serialize)]
struct Failed<'a> {
    time_s: f64,
    component: Option<&'a str>,
    message: &'a str,
}

/// The summary of a prediction.
#[must_use]
pub fn summary(prediction: &Prediction, bands: Option<&Bands>) -> String {
    pretty(&document(prediction, bands))
}

/// Any document on one line.
#[must_use]
pub fn compact(document: &impl Serialize) -> String {
    let text = serde_json::to_string(document);
    text.expect("keys are text and numbers that are not finite become null")
}

/// Any document, indented, with a line end.
#[must_use]
pub fn pretty(document: &impl Serialize) -> String {
    let text = serde_json::to_string_pretty(document);
    text.expect("keys are text and numbers that are not finite become null") + "\n"
}

fn document<'a>(prediction: &'a Prediction, bands: Option<&'a Bands>) -> Document<'a> {
    let outcome = &prediction.outcome;
    let balances = &outcome.balances;
    let s = outcome.statistics;
    Document {
        schema: SUMMARY_SCHEMA,
        stand: &prediction.title,
        version: prediction.version,
        input_hash: &prediction.input_hash,
        set: &prediction.overrides,
        figures: Figures {
            nominal: &prediction.summary.figures,
            bands,
        },
        requirements: prediction.requirements.iter().map(judged).collect(),
        limits: prediction.limits.iter().map(judged).collect(),
        hand_checks: prediction.hand_checks.iter().map(checked).collect(),
        balances: outcome.failure.is_none().then_some(Balances {
            mass_relative: balances.mass_relative,
            energy_relative: balances.energy_relative,
            species: &balances.species,
        }),
        events: outcome.events.iter().map(event).collect(),
        warnings: coded(&prediction.warnings),
        assumptions: &prediction.assumptions,
        statistics: Statistics {
            steps: s.steps,
            rejected: s.rejected,
            evaluations: s.evaluations,
            jacobians: s.jacobians,
            factorisations: s.factorisations,
            events: s.events,
        },
        failure: outcome.failure.as_ref().map(|f| Failed {
            time_s: f.time_s,
            component: f.component.as_deref(),
            message: &f.message,
        }),
        bands: bands.map(Banded::of),
    }
}

fn judged(verdict: &Verdict) -> Judged<'_> {
    Judged {
        quantity: verdict.bound.name(),
        unit: si_unit(verdict.bound.dimension),
        asked: &verdict.bound.text,
        relation: match verdict.bound.relation {
            Relation::Below => "<=",
            Relation::Above => ">=",
        },
        threshold: verdict.bound.threshold,
        observed: verdict.observed,
        time_s: verdict.at_s,
        margin: verdict.margin(),
        kept: verdict.is_kept(),
        judged_until_s: verdict.until_s,
    }
}

fn checked(check: &HandCheck) -> Checked<'_> {
    Checked {
        what: &check.label,
        formula: check.formula,
        unit: si_unit(check.dimension),
        by_hand: check.by_hand,
        simulated: check.simulated,
    }
}

fn event(event: &sim_core::outcome::Event) -> Event<'_> {
    Event {
        time_s: event.time_s,
        component: &event.component,
        event: event.kind.to_string(),
    }
}

pub(super) fn coded(warnings: &[sim_core::outcome::Warning]) -> Vec<Coded<'_>> {
    let coded = warnings.iter().map(|w| Coded {
        code: w.code,
        message: &w.message,
    });
    coded.collect()
}

pub(crate) fn pairs<S: Serializer>(
    values: &&[(String, impl Serialize)],
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_map(values.iter().map(|(name, value)| (name, value)))
}
