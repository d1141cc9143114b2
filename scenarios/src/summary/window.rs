//! When a stand flows: from the command that starts a liquid chain to what ends it.

use super::trace::Trace;
use sim_core::network::{Branch, BranchKind, ElementKind, LiquidChain, Network, Phase, VolumeId};
use sim_core::outcome::{EventKind, Outcome};

/// What ended the flow of a chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FlowEnd {
    /// A valve was told to shut.
    Command,
    /// The tank's outlet uncovered.
    Depletion,
    /// The history ends.
    EndOfRun,
}

/// The time in which a liquid chain flows.
#[derive(Clone, Debug)]
pub struct FlowWindow<'a> {
    /// The branch.
    pub branch: &'a Branch,
    /// Its elements.
    pub chain: &'a LiquidChain,
    /// Name that its flow figures carry: the valve that starts it, else its last element.
    pub name: &'a str,
    /// Whether `name` is a valve that was told to open.
    pub commanded: bool,
    /// The tank that feeds it.
    pub tank: VolumeId,
    /// The command, or the start of the history if nothing starts it.
    pub start_s: f64,
    /// When its line is full of liquid: the start, or later if it first fills. While it fills,
    /// less liquid is to be driven, so that a flow in this time is not the line's own.
    pub full_s: f64,
    /// The end.
    pub end_s: f64,
    /// What ended it.
    pub end: FlowEnd,
}

impl FlowWindow<'_> {
    /// Length of the window.
    #[must_use]
    pub fn length_s(&self) -> f64 {
        self.end_s - self.start_s
    }

    /// Middle of the window.
    #[must_use]
    pub fn middle_s(&self) -> f64 {
        0.5 * (self.start_s + self.end_s)
    }
}

/// The windows of all liquid chains that leave a tank and flow in this run.
#[must_use]
pub fn flow_windows<'a>(network: &'a Network, outcome: &Outcome) -> Vec<FlowWindow<'a>> {
    let branches = network.branches.iter();
    branches
        .filter_map(|b| flow_window(network, b, outcome))
        .collect()
}

fn flow_window<'a>(
    network: &'a Network,
    branch: &'a Branch,
    outcome: &Outcome,
) -> Option<FlowWindow<'a>> {
    let BranchKind::LiquidChain(chain) = &branch.kind else {
        return None;
    };
    if branch.from.phase != Phase::Liquid {
        return None;
    }
    let history = Trace::of(&outcome.history, "time_s")?;
    let (first_s, last_s) = history.span_s();
    let (name, opened) = starter(network, chain, outcome)?;
    let start_s = opened.unwrap_or(first_s);
    let tank = &network.volumes[branch.from.volume].name;
    let (end_s, end) =
        flow_end(chain, tank, outcome, start_s).unwrap_or((last_s, FlowEnd::EndOfRun));
    let primed = first_event(outcome, &branch.name, EventKind::Primed, start_s);
    Some(FlowWindow {
        branch,
        chain,
        name,
        commanded: opened.is_some(),
        tank: branch.from.volume,
        start_s,
        full_s: primed.filter(|&t| t < end_s).unwrap_or(start_s),
        end_s,
        end,
    })
}

/// The valve that opens last, with its command; for a chain that is open from the start,
/// its last element. None if a valve stays shut.
fn starter<'a>(
    network: &Network,
    chain: &'a LiquidChain,
    outcome: &Outcome,
) -> Option<(&'a str, Option<f64>)> {
    let mut last = (chain.elements.last()?.name.as_str(), None);
    for element in &chain.elements {
        let ElementKind::Valve { valve, .. } = &element.kind else {
            continue;
        };
        let open_at_start = network.actuators[valve.actuator].initial > 0.0;
        match first_event(
            outcome,
            &element.name,
            EventKind::CommandedOpen,
            f64::NEG_INFINITY,
        ) {
            Some(t) if last.1.is_none_or(|other| t >= other) => last = (&element.name, Some(t)),
            Some(_) => {}
            None if open_at_start => {}
            None => return None,
        }
    }
    Some(last)
}

/// A valve of the chain that was shut and then opened again, and when; the window is that of
/// the first opening.
#[must_use]
pub fn opened_again<'a>(window: &FlowWindow<'a>, outcome: &Outcome) -> Option<(&'a str, f64)> {
    let names = window.chain.elements.iter().map(|e| e.name.as_str());
    let again = names.filter_map(|name| {
        let shut = first_event(outcome, name, EventKind::CommandedShut, window.start_s)?;
        let open = first_event(outcome, name, EventKind::CommandedOpen, shut)?;
        Some((name, open))
    });
    again.min_by(|a, b| a.1.total_cmp(&b.1))
}

/// The first of: a shut command to any of its valves, the tank's depletion.
fn flow_end(
    chain: &LiquidChain,
    tank: &str,
    outcome: &Outcome,
    start_s: f64,
) -> Option<(f64, FlowEnd)> {
    let names = chain.elements.iter().map(|e| e.name.as_str());
    let shut = names.filter_map(|n| first_event(outcome, n, EventKind::CommandedShut, start_s));
    let shut = shut.map(|t| (t, FlowEnd::Command));
    let depleted = first_event(outcome, tank, EventKind::Depleted, start_s);
    let depleted = depleted.map(|t| (t, FlowEnd::Depletion));
    shut.chain(depleted).min_by(|a, b| a.0.total_cmp(&b.0))
}

/// First instant at which something happened to a component, not before `from_s`.
#[must_use]
pub fn first_event(
    outcome: &Outcome,
    component: &str,
    kind: EventKind,
    from_s: f64,
) -> Option<f64> {
    let mut events = outcome.events.iter();
    let found = events.find(|e| e.component == component && e.kind == kind && e.time_s >= from_s);
    found.map(|e| e.time_s)
}
