//! Pressures and contents of a tank while it feeds a chain.

use super::window::{FlowEnd, FlowWindow, first_event};
use super::{Group, HOLD_S, Line, Run, Summary};
use shared::quantity::Dimension::{Mass, Pressure, PressureDifference, Temperature, Time};
use sim_core::outcome::EventKind;

pub(super) fn read(run: &Run, window: &FlowWindow, into: &mut Summary) {
    let name = run.volume_name(window.tank);
    read_pressures(run, window, name, into);
    let depleted = first_event(run.outcome, name, EventKind::Depleted, window.start_s);
    let depletion = depleted.map(|t| t - window.start_s);
    let left = match window.end {
        FlowEnd::Command => "liquid left at the shut command",
        FlowEnd::Depletion => "liquid left at depletion",
        FlowEnd::EndOfRun => "liquid left at the end of the run",
    };
    let liquid = run.trace(name, "liquid_mass_kg");
    let residual = liquid.map(|l| l.before(window.end_s));
    let gas = run.trace(name, "ullage_temperature_k");
    let coldest = gas.map(|g| g.minimum(window.start_s, window.end_s).1);
    let lines = [
        Line(
            "time_to_depletion_s",
            "command to depletion",
            Time,
            depletion,
        ),
        Line("liquid_left_kg", left, Mass, residual),
        Line(
            "lowest_ullage_temperature_k",
            "coldest ullage gas, the mean of it, to the end of the flow",
            Temperature,
            coldest,
        ),
    ];
    into.add(Group::Tank, name, &lines);
}

fn read_pressures(run: &Run, window: &FlowWindow, name: &str, into: &mut Summary) {
    let Some(pressure) = run.trace(name, "pressure_pa") else {
        return;
    };
    let start = pressure.before(window.start_s);
    let early = (window.length_s() >= HOLD_S).then(|| pressure.after(window.start_s + HOLD_S));
    let middle = pressure.after(window.middle_s());
    let end = pressure.before(window.end_s);
    let lines = [
        Line(
            "pressure_start_pa",
            "pressure just before the command",
            Pressure,
            Some(start),
        ),
        Line(
            "pressure_0_5_s_pa",
            "pressure 0.5 s after the command",
            Pressure,
            early,
        ),
        Line(
            "pressure_middle_pa",
            "pressure in the middle of the flow",
            Pressure,
            Some(middle),
        ),
        Line(
            "pressure_end_pa",
            "pressure at the end of the flow",
            Pressure,
            Some(end),
        ),
        Line(
            "pressure_fall_pa",
            "fall over the flow",
            PressureDifference,
            Some(start - end),
        ),
    ];
    into.add(Group::Tank, name, &lines);
}
