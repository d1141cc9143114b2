//! Requirements and limits held against a run.

use super::trace::Trace;
use super::window::{FlowWindow, flow_windows};
use super::{Summary, extremes, peaks, running_span_s, steady_flow};
use crate::observables::suffix;
use shared::quantity::{Dimension, Display, Reference, Unit};
use sim_core::network::{Network, Relation};
use sim_core::outcome::Outcome;

/// What a quantity is to stay below or above.
#[derive(Clone, Debug, PartialEq)]
pub struct Bound {
    /// Component and quantity without unit: `run.mean_flow`, `fuel.pressure`.
    pub path: String,
    /// Side on which it is to stay.
    pub relation: Relation,
    /// Threshold in SI.
    pub threshold: f64,
    /// Dimension of the quantity.
    pub dimension: Dimension,
    /// Unit in which the threshold was written.
    pub unit: &'static Unit,
    /// What a pressure was counted from there.
    pub reference: Reference,
    /// The bound as it was typed.
    pub text: String,
}

impl Bound {
    /// Name of the quantity with its unit, as figures and columns are called.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}_{}", self.path, suffix(self.dimension))
    }

    /// The units of a stand, but for this quantity the unit in which the bound was written.
    #[must_use]
    pub fn display(&self, of_stand: &Display) -> Display {
        of_stand.like(self.dimension, self.unit, self.reference)
    }
}

/// Figures that are the time of something that need not come: what never comes is later than any
/// time.
const COMING: [&str; 4] = [
    ".regulation_lost_s",
    ".first_wide_open_s",
    ".first_lift_s",
    ".time_to_depletion_s",
];

/// Over which time a history column is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// The whole run, every step of it: limits, which hold at all times.
    WholeRun,
    /// While liquid flows, from its own tank or through its own chain if the component has
    /// one: requirements, which speak of the flowing stand. What is to stay above a value in a
    /// chain must first get there: it is judged once the flow has [started up](started_s).
    Flow,
}

/// A bound and how it came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// What was asked.
    pub bound: Bound,
    /// The figure, or the value of the history nearest to or farthest beyond the threshold;
    /// none if the run has no such figure.
    pub observed: Option<f64>,
    /// When, if it was read off the history.
    pub at_s: Option<f64>,
    /// Whether it is the time of something that did not come in a whole run: it never does.
    pub never: bool,
    /// Where the run ended, if that was early: it says nothing of what would have come then.
    pub until_s: Option<f64>,
}

impl Verdict {
    /// Room left before the threshold; negative beyond it, infinite for what never comes.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        let observed = self.observed.or(self.never.then_some(f64::INFINITY))?;
        Some(match self.bound.relation {
            Relation::Below => self.bound.threshold - observed,
            Relation::Above => observed - self.bound.threshold,
        })
    }

    /// Whether the bound is kept, in a run that ended early [until then](Self::until_s). What cannot be
    /// judged is not kept.
    #[must_use]
    pub fn is_kept(&self) -> bool {
        self.margin().is_some_and(|m| m >= 0.0)
    }
}

/// Judges bounds: first by the summary's figure of the name, else by the history's column.
#[must_use]
pub fn judge(
    bounds: &[Bound],
    over: Over,
    network: &Network,
    outcome: &Outcome,
    summary: &Summary,
) -> Vec<Verdict> {
    let windows = flow_windows(network, outcome);
    let verdict = |bound: &Bound| {
        let name = bound.name();
        let figure = summary.get(&name).map(|value| (None, value));
        let found = figure.or_else(|| match over {
            Over::WholeRun => worst_of_run(&name, bound.relation, outcome),
            Over::Flow => {
                let span_s = span_of(bound, network, &windows, outcome)?;
                worst_of_rows(&name, bound.relation, span_s, outcome)
            }
        });
        let is_time = COMING.iter().any(|what| name.ends_with(what));
        Verdict {
            bound: bound.clone(),
            never: found.is_none() && is_time && outcome.failure.is_none(),
            observed: found.map(|f| f.1),
            at_s: found.and_then(|f| f.0),
            until_s: outcome.failure.as_ref().map(|failure| failure.time_s),
        }
    };
    bounds.iter().map(verdict).collect()
}

/// The time in which a component's column is judged: that of its own flow, else of all.
fn span_of(
    bound: &Bound,
    network: &Network,
    windows: &[FlowWindow],
    outcome: &Outcome,
) -> Option<(f64, f64)> {
    let component = bound.path.split('.').next()?;
    let is_tank = |w: &&FlowWindow| network.volumes[w.tank].name == component;
    let is_in_chain = |w: &&FlowWindow| w.chain.elements.iter().any(|e| e.name == component);
    if let Some(window) = windows.iter().find(is_tank) {
        return Some((window.start_s, window.end_s));
    }
    let Some(window) = windows.iter().find(is_in_chain) else {
        return running_span_s(windows, outcome);
    };
    let from_s = match bound.relation {
        Relation::Below => window.start_s,
        Relation::Above => started_s(window, outcome)?,
    };
    Some((from_s, window.end_s))
}

/// When a flow has started up: twice the time to 90 % of steady flow after its command. A column
/// that starts as tanh(t/tau) is then at 99.4 %.
fn started_s(window: &FlowWindow, outcome: &Outcome) -> Option<f64> {
    let flow = Trace::of_component(&outcome.history, window.name, "mass_flow_kg_s")?;
    let steady = steady_flow(&flow, window).1;
    let most_s = flow.first_reach(0.9 * steady, window.full_s, window.end_s)?;
    Some((2.0 * most_s - window.start_s).min(window.end_s))
}

/// The value of a column that lies worst for a relation in the whole run, and when; a peak at the
/// instant that the table of the highest pressures gives.
fn worst_of_run(column: &str, relation: Relation, outcome: &Outcome) -> Option<(Option<f64>, f64)> {
    let extremes = extremes(outcome, column)?;
    let (at_s, value) = match relation {
        Relation::Below => {
            let at_s = peaks::reached_s(outcome, column, extremes);
            (at_s, extremes.greatest.value)
        }
        Relation::Above => (extremes.least.time_s, extremes.least.value),
    };
    Some((Some(at_s), value))
}

/// The value of a column that lies worst for a relation in the rows of a span, and when.
fn worst_of_rows(
    column: &str,
    relation: Relation,
    (from_s, to_s): (f64, f64),
    outcome: &Outcome,
) -> Option<(Option<f64>, f64)> {
    let trace = Trace::of(&outcome.history, column)?;
    let (at_s, value) = match relation {
        Relation::Below => trace.maximum(from_s, to_s),
        Relation::Above => trace.minimum(from_s, to_s),
    };
    Some((Some(at_s), value))
}
