//! Liquid flow and the times of its valve.

use super::trace::Trace;
use super::window::{FlowEnd, FlowWindow, first_event};
use super::{Group, HOLD_S, Line, Run, Summary};
use shared::quantity::Dimension::{Mass, MassFlow, Time};
use sim_core::outcome::EventKind;

/// Steady flow of a window and the instant that it is read at.
pub(crate) fn steady_flow(flow: &Trace, window: &FlowWindow) -> (f64, f64) {
    let hold_s = HOLD_S.min(0.1 * (window.end_s - window.full_s));
    flow.highest_held(hold_s, window.full_s, window.end_s)
}

pub(super) fn read(run: &Run, window: &FlowWindow, into: &mut Summary) {
    let Some(flow) = run.trace(window.name, "mass_flow_kg_s") else {
        return;
    };
    let (start, end) = (window.start_s, window.end_s);
    let steady = steady_flow(&flow, window).1;
    let full = window.full_s;
    let reached = flow.first_reach(0.9 * steady, full, end).unwrap_or(full);
    let ends = match window.end {
        FlowEnd::Command => "the shut command",
        FlowEnd::Depletion => "depletion",
        FlowEnd::EndOfRun => "the end of the run",
    };
    let held = "steady flow, the highest held for 0.5 s (or a tenth of the flow)";
    let mean = format!("mean flow, 90 % of steady flow to {ends}");
    let last = format!("flow at {ends}");
    let time = format!("time of flow, to {ends}");
    let passed = flow.integral(start, end);
    let lines = [
        Line("steady_flow_kg_s", held, MassFlow, Some(steady)),
        Line(
            "mean_flow_kg_s",
            &mean,
            MassFlow,
            Some(flow.mean(reached, end)),
        ),
        Line("end_flow_kg_s", &last, MassFlow, Some(flow.before(end))),
        Line("flow_time_s", &time, Time, Some(window.length_s())),
        Line("liquid_passed_kg", "liquid passed", Mass, Some(passed)),
    ];
    into.add(Group::Flow, window.name, &lines);
    if window.commanded {
        read_valve(run, window, reached, into);
    }
}

fn read_valve(run: &Run, window: &FlowWindow, reached_s: f64, into: &mut Summary) {
    let (start, end) = (window.start_s, window.end_s);
    let motion = first_event(run.outcome, window.name, EventKind::MotionStarted, start);
    let delay = motion.map(|t| t - start);
    let travel = run.trace(window.name, "travel_1");
    let stroke = travel.and_then(|t| stroke_s(&t, start, end));
    let rise = reached_s - start;
    let lines = [
        Line("command_s", "commanded open at", Time, Some(start)),
        Line("delay_s", "delay, command to motion", Time, delay),
        Line("travel_10_90_s", "travel from 10 to 90 %", Time, stroke),
        Line(
            "time_to_90_s",
            "command to 90 % of steady flow",
            Time,
            Some(rise),
        ),
    ];
    into.add(Group::Valve, window.name, &lines);
}

/// From 10 to 90 % of full travel.
fn stroke_s(travel: &Trace, start_s: f64, end_s: f64) -> Option<f64> {
    let tenth = travel.first_reach(0.1, start_s, end_s)?;
    let nine_tenths = travel.first_reach(0.9, tenth, end_s)?;
    Some(nine_tenths - tenth)
}
