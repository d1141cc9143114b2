//! Pressures and contents of a tank while it feeds a chain.

use super::window::{FlowEnd, FlowWindow, first_event};
use super::{Group, HOLD_S, Run, Summary, What};
use shared::quantity::Dimension;
use sim_core::outcome::EventKind;

pub(super) fn read(run: &Run, window: &FlowWindow, into: &mut Summary) {
    let name = run.volume_name(window.tank);
    read_pressures(run, window, name, into);
    let mut add = |suffix, label, dimension, value| {
        into.add(Group::Tank, name, suffix, What(label, dimension), value);
    };
    if let Some(t) = first_event(run.outcome, name, EventKind::Depleted, window.start_s) {
        let label = "time to depletion, from the command";
        add(
            "time_to_depletion_s",
            label,
            Dimension::Time,
            t - window.start_s,
        );
    }
    if let Some(liquid) = run.trace(name, "liquid_mass_kg") {
        let label = match window.end {
            FlowEnd::Command => "liquid left at the shut command",
            FlowEnd::Depletion => "liquid left at depletion",
            FlowEnd::EndOfRun => "liquid left at the end of the run",
        };
        add(
            "residual_kg",
            label,
            Dimension::Mass,
            liquid.before(window.end_s),
        );
    }
    if let Some(gas) = run.trace(name, "ullage_temperature_k") {
        let lowest = gas.minimum(window.start_s, window.end_s).1;
        add(
            "lowest_ullage_temperature_k",
            "coldest ullage gas",
            Dimension::Temperature,
            lowest,
        );
    }
}

fn read_pressures(run: &Run, window: &FlowWindow, name: &str, into: &mut Summary) {
    let Some(pressure) = run.trace(name, "pressure_pa") else {
        return;
    };
    let mut add = |suffix, label, dimension, value| {
        into.add(Group::Tank, name, suffix, What(label, dimension), value);
    };
    let start = pressure.before(window.start_s);
    let end = pressure.before(window.end_s);
    add(
        "pressure_start_pa",
        "pressure just before the command",
        Dimension::Pressure,
        start,
    );
    if window.length_s() >= HOLD_S {
        let early = pressure.after(window.start_s + HOLD_S);
        add(
            "pressure_0_5_s_pa",
            "pressure 0.5 s after the command",
            Dimension::Pressure,
            early,
        );
    }
    let middle = pressure.after(window.middle_s());
    add(
        "pressure_middle_pa",
        "pressure in the middle of the flow",
        Dimension::Pressure,
        middle,
    );
    add(
        "pressure_end_pa",
        "pressure at the end of the flow",
        Dimension::Pressure,
        end,
    );
    add(
        "pressure_fall_pa",
        "fall over the flow",
        Dimension::PressureDifference,
        start - end,
    );
}
