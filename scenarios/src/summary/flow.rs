//! Liquid flow and the times of its valve.

use super::trace::Trace;
use super::window::{FlowEnd, FlowWindow, first_event};
use super::{Group, HOLD_S, Run, Summary, What};
use shared::quantity::Dimension;
use sim_core::outcome::EventKind;

/// Steady flow of a window and the instant that it is read at.
pub(crate) fn steady_flow(flow: &Trace, window: &FlowWindow) -> (f64, f64) {
    let hold_s = HOLD_S.min(0.1 * window.length_s());
    flow.highest_held(hold_s, window.start_s, window.end_s)
}

pub(super) fn read(run: &Run, window: &FlowWindow, into: &mut Summary) {
    let Some(flow) = run.trace(window.name, "mass_flow_kg_s") else {
        return;
    };
    let (start, end) = (window.start_s, window.end_s);
    let steady = steady_flow(&flow, window).1;
    let reached = flow.first_reach(0.9 * steady, start, end).unwrap_or(start);
    let ends = match window.end {
        FlowEnd::Command => "the shut command",
        FlowEnd::Depletion => "depletion",
        FlowEnd::EndOfRun => "the end of the run",
    };
    let mut add = |suffix, label: &str, dimension, value| {
        into.add(
            Group::Flow,
            window.name,
            suffix,
            What(label, dimension),
            value,
        );
    };
    let held = "steady flow (highest held for 0.5 s or a tenth of the flow)";
    add("steady_flow_kg_s", held, Dimension::MassFlow, steady);
    let mean = format!("mean flow, 90 % of steady flow to {ends}");
    add(
        "mean_flow_kg_s",
        &mean,
        Dimension::MassFlow,
        flow.mean(reached, end),
    );
    add(
        "end_flow_kg_s",
        &format!("flow at {ends}"),
        Dimension::MassFlow,
        flow.before(end),
    );
    add(
        "flow_time_s",
        &format!("time of flow, to {ends}"),
        Dimension::Time,
        window.length_s(),
    );
    add(
        "liquid_passed_kg",
        "liquid passed",
        Dimension::Mass,
        flow.integral(start, end),
    );
    if window.commanded {
        read_valve(run, window, reached, into);
    }
}

fn read_valve(run: &Run, window: &FlowWindow, reached_s: f64, into: &mut Summary) {
    let (start, end) = (window.start_s, window.end_s);
    let mut add = |suffix, label, value| {
        into.add(
            Group::Valve,
            window.name,
            suffix,
            What(label, Dimension::Time),
            value,
        );
    };
    add("command_s", "commanded open at", start);
    let motion = first_event(run.outcome, window.name, EventKind::MotionStarted, start);
    if let Some(motion) = motion {
        add("delay_s", "delay, command to motion", motion - start);
    }
    if let Some(rise) = run
        .trace(window.name, "travel_1")
        .and_then(|t| stroke_s(&t, start, end))
    {
        add("travel_10_90_s", "travel from 10 to 90 %", rise);
    }
    add(
        "time_to_90_s",
        "command to 90 % of steady flow",
        reached_s - start,
    );
}

/// From 10 to 90 % of full travel.
fn stroke_s(travel: &Trace, start_s: f64, end_s: f64) -> Option<f64> {
    let tenth = travel.first_reach(0.1, start_s, end_s)?;
    let nine_tenths = travel.first_reach(0.9, tenth, end_s)?;
    Some(nine_tenths - tenth)
}
