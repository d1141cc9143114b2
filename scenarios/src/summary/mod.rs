//! What a test engineer reads aloud: the figures of one run.
//!
//! Definitions that are ours and stay fixed:
//! - *Steady flow* is the highest flow that is held for [`HOLD_S`], or for a tenth of the
//!   time of flow if that is shorter. A short overshoot does not count, and a flow that
//!   sags from the start counts with its start. A line that first fills counts from the
//!   instant at which it is full.
//! - The *time of flow* runs from the command that opens a chain's last valve to the first
//!   of: a command that shuts it, the tank's depletion, the end of the run.
//! - *Mean flow* is taken from 90 % of steady flow to the end of the time of flow.
//! - Extremes of the whole run are those of every step, not only of the history's rows; where a
//!   column is stopped, its pressures are held to p + rho a v.
//! - *Middle* and *end* are those of the time of flow; *lock-up* is the regulator's at
//!   the supply pressure just before the command.

mod bottle;
mod cautions;
mod condensing;
mod creep;
mod cryogen;
mod dissolving;
pub mod epstein_anderson;
mod fire;
mod flow;
mod freezing;
mod gas_line;
mod hot_film;
mod hottest;
mod ingestion;
mod judge;
mod laminar;
mod nozzle;
mod overshoot;
mod peaks;
mod regulator;
mod relief;
mod solubility;
mod stops;
mod tank;
pub mod trace;
pub mod window;

pub use crate::gas_paths::holds;
pub use cautions::cautions;
pub use dissolving::warn_of_dissolving;
pub use fire::FUELS;
pub(crate) use flow::steady_flow;
pub use judge::{Bound, Over, Verdict, judge};

use crate::gas_paths::{downstream, reached};
use shared::quantity::Dimension;
use sim_core::network::{Branch, Network, VolumeId};
use sim_core::outcome::{Extremes, Outcome, RunOptions};
use window::{FlowWindow, flow_windows};

/// Simulates a network; what follows from the columns of the history alone stands behind them.
#[must_use]
pub fn simulate(network: &Network, options: &RunOptions) -> Outcome {
    let mut outcome = sim_core::simulate(network, options);
    let windows = flow_windows(network, &outcome);
    let more = Run::of(network, &outcome, &windows).map(|run| cryogen::complete(&run));
    outcome.history.append(more.unwrap_or_default());
    outcome
}

/// Time for which a flow must be held to count as steady.
pub const HOLD_S: f64 = 0.5;

/// Families of figures, in the order in which they are read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Liquid flow.
    Flow,
    /// Valve and start-up times.
    Valve,
    /// Tank: pressures, contents.
    Tank,
    /// Cryogenic tank: where the pressurant and its heat went.
    Account,
    /// Regulator.
    Regulator,
    /// Bottle.
    Bottle,
    /// Highest pressures.
    Peaks,
}

/// One figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Figure {
    /// Stable name with the unit as its suffix, for example `run.mean_flow_kg_s`.
    pub name: String,
    /// What it is, in words.
    pub label: String,
    /// The component it belongs to.
    pub component: String,
    /// Its family.
    pub group: Group,
    /// Its dimension.
    pub dimension: Dimension,
    /// Its value in SI.
    pub value: f64,
}

impl Figure {
    /// What it is of its component, with its unit: `mean_flow_kg_s`.
    #[must_use]
    pub fn quantity(&self) -> &str {
        let (_, quantity) = self.name.split_once('.').unwrap_or_default();
        quantity
    }
}

/// The figures of one run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Summary {
    /// In the order in which they are read.
    pub figures: Vec<Figure>,
}

impl Summary {
    /// Reads the figures off a run. A run that failed gives those it got to.
    #[must_use]
    pub fn of(network: &Network, outcome: &Outcome) -> Self {
        let mut summary = Self::default();
        let windows = flow_windows(network, outcome);
        let Some(run) = Run::of(network, outcome, &windows) else {
            return summary;
        };
        for window in &windows {
            flow::read(&run, window, &mut summary);
            tank::read(&run, window, &mut summary);
        }
        cryogen::read(&run, &mut summary);
        solubility::read(&run, &mut summary);
        regulator::read(&run, &mut summary);
        overshoot::read(&run, &mut summary);
        creep::read(&run, &mut summary);
        relief::read(&run, &mut summary);
        nozzle::read(&run, &mut summary);
        bottle::read(&run, &mut summary);
        hottest::read(&run, &mut summary);
        peaks::read(&run, &mut summary);
        summary.figures.sort_by_key(|f| f.group);
        summary
    }

    /// Value of a figure.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<f64> {
        let figure = self.figures.iter().find(|f| f.name == name)?;
        Some(figure.value)
    }

    /// Adds figures of a component. Those that the run does not have are left out, and a
    /// chain that shares its tank with another does not give the tank's figures twice.
    fn add(&mut self, group: Group, component: &str, lines: &[Line]) {
        for &Line(suffix, label, dimension, value) in lines {
            let name = format!("{component}.{suffix}");
            let Some(value) = value.filter(|v| v.is_finite()) else {
                continue;
            };
            if self.get(&name).is_none() {
                self.figures.push(Figure {
                    name,
                    label: label.to_owned(),
                    component: component.to_owned(),
                    group,
                    dimension,
                    value,
                });
            }
        }
    }
}

/// A figure in short: name without component, words, dimension, value in SI.
struct Line<'a>(&'a str, &'a str, Dimension, Option<f64>);

/// What the readers look at.
struct Run<'a> {
    network: &'a Network,
    outcome: &'a Outcome,
    /// From the first start of a flow to the last end of one; the whole run if nothing flows.
    span_s: (f64, f64),
    /// Whether liquid flows at all.
    flows: bool,
    /// The time in which each chain flows.
    windows: &'a [FlowWindow<'a>],
}

impl<'a> Run<'a> {
    /// None if there is no history.
    fn of(
        network: &'a Network,
        outcome: &'a Outcome,
        windows: &'a [FlowWindow<'a>],
    ) -> Option<Self> {
        Some(Self {
            windows,
            network,
            outcome,
            span_s: running_span_s(windows, outcome)?,
            flows: !windows.is_empty(),
        })
    }

    /// From the first start to the last end of the flows out of tanks that a branch feeds; the
    /// whole flow if it feeds none.
    fn fed_span_s(&self, branch: &Branch) -> (f64, f64) {
        let fed = reached(self.network, vec![branch.to.volume], downstream);
        let fed: Vec<&FlowWindow> = self
            .windows
            .iter()
            .filter(|w| fed.contains(&w.tank))
            .collect();
        let start = fed.iter().map(|w| w.start_s).reduce(f64::min);
        let end = fed.iter().map(|w| w.end_s).reduce(f64::max);
        start.zip(end).unwrap_or(self.span_s)
    }

    /// The end of the flow; of the run if nothing flows.
    fn end_s(&self) -> f64 {
        if self.flows {
            self.span_s.1
        } else {
            self.whole_s().1
        }
    }

    fn trace(&self, component: &str, quantity: &str) -> Option<trace::Trace> {
        trace::Trace::of_component(&self.outcome.history, component, quantity)
    }

    /// Least and greatest value over the whole run.
    fn extremes(&self, component: &str, quantity: &str) -> Option<&Extremes> {
        extremes(self.outcome, &format!("{component}.{quantity}"))
    }

    fn volume_name(&self, id: VolumeId) -> &str {
        &self.network.volumes[id].name
    }

    /// First and last instant of the history.
    fn whole_s(&self) -> (f64, f64) {
        let time = trace::Trace::of(&self.outcome.history, "time_s");
        time.map_or(self.span_s, |t| t.span_s())
    }
}

/// Least and greatest value of a column over the whole run, also between its rows; none if
/// nothing was seen.
pub(crate) fn extremes<'a>(outcome: &'a Outcome, column: &str) -> Option<&'a Extremes> {
    let extremes = outcome.extremes.get(outcome.history.index_of(column)?)?;
    (extremes.least.value <= extremes.greatest.value).then_some(extremes)
}

/// From the first start of a flow to the last end of one; the whole history if nothing
/// flows; none if there is no history.
fn running_span_s(windows: &[FlowWindow], outcome: &Outcome) -> Option<(f64, f64)> {
    let whole = trace::Trace::of(&outcome.history, "time_s")?.span_s();
    if windows.is_empty() {
        return Some(whole);
    }
    let start = windows
        .iter()
        .map(|w| w.start_s)
        .fold(f64::INFINITY, f64::min);
    let end = windows.iter().map(|w| w.end_s).fold(start, f64::max);
    Some((start, end))
}
