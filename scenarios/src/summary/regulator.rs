//! Regulators: lock-up, droop, loss of regulation, peak flow. Other gas branches: peak flow.
//!
//! Lock-up is the regulator's own, at the supply pressure just before the command; the outlet
//! may stand below it (not yet filled) or above (a regulator does not vent).

use super::window::first_event;
use super::{Group, HOLD_S, Line, Run, Summary, peaks};
use shared::quantity::Dimension::{
    Fraction, MassFlow, Pressure, PressureDifference, StandardFlow, Time,
};
use sim_core::network::{Branch, BranchKind, Regulator, VolumeId};
use sim_core::outcome::EventKind;

/// Rise of an outlet above lock-up that is worth a word, as a part of lock-up above ambient: beyond
/// how a set pressure is off, and what a cold gas adds that warms.
const NOTABLE_RISE: f64 = 0.03;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for branch in &run.network.branches {
        match branch.kind {
            BranchKind::Regulator(ref regulator) => {
                // Without a flow there is no pressure before it and no droop under it.
                if run.flows {
                    read_pressures(run, branch, regulator, into);
                }
                read_rise(run, branch, regulator, into);
                read_loss(run, branch, into);
                read_flow(run, branch, into);
            }
            BranchKind::GasRestriction(_) => read_flow(run, branch, into),
            BranchKind::Poppet(_) | BranchKind::BurstDisc(_) | BranchKind::LiquidChain(_) => {}
        }
    }
}

fn read_pressures(run: &Run, branch: &Branch, regulator: &Regulator, into: &mut Summary) {
    let outlet = run.volume_name(branch.to.volume);
    let supply = run.volume_name(branch.from.volume);
    let traces = (
        run.trace(outlet, "pressure_pa"),
        run.trace(supply, "pressure_pa"),
    );
    let (Some(pressure), Some(supply)) = traces else {
        return;
    };
    let (start, end) = run.fed_span_s(branch);
    let lock_up = regulator.lock_up(supply.before(start));
    let lift = run.trace(&branch.name, "lift_1").map(|l| l.before(start));
    let early = (end - start >= HOLD_S).then(|| lock_up - pressure.after(start + HOLD_S));
    // The supply has fallen by then, and lock-up moved with it.
    let late = regulator.lock_up(supply.before(end)) - pressure.before(end);
    let closed = first_event(run.outcome, &branch.name, EventKind::LockUp, end);
    let lines = [
        Line(
            "outlet_start_pa",
            "outlet just before the command",
            Pressure,
            Some(pressure.before(start)),
        ),
        Line(
            "lock_up_pa",
            "lock-up at the supply pressure just before the command",
            Pressure,
            Some(lock_up),
        ),
        Line(
            "lift_start_1",
            "lift just before the command (0 at lock-up)",
            Fraction,
            lift,
        ),
        Line(
            "droop_0_5_s_pa",
            "below lock-up 0.5 s after the command (droop)",
            PressureDifference,
            early,
        ),
        Line(
            "droop_end_pa",
            "below lock-up at the end of the flow (droop)",
            PressureDifference,
            Some(late),
        ),
        Line(
            "lock_up_after_pa",
            "lock-up after the flow has ended",
            Pressure,
            closed.map(|t| pressure.after(t)),
        ),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
}

/// How far the outlet's peak lies above the lock-up of that instant, where that is worth a word.
fn read_rise(run: &Run, branch: &Branch, regulator: &Regulator, into: &mut Summary) {
    const QUANTITY: &str = "pressure_pa";
    let supply = run.trace(run.volume_name(branch.from.volume), QUANTITY);
    let outlet = run.extremes(run.volume_name(branch.to.volume), QUANTITY);
    let (Some(supply), Some(outlet)) = (supply, outlet) else {
        return;
    };
    let peak = outlet.greatest;
    let lock_up = regulator.lock_up(supply.before(peak.time_s));
    let rise = peak.value - lock_up;
    if rise <= NOTABLE_RISE * (lock_up - run.network.surroundings.pressure_pa) {
        return;
    }
    let lines = [
        Line(
            "rise_above_lock_up_pa",
            "highest rise of the outlet above lock-up",
            PressureDifference,
            Some(rise),
        ),
        Line(
            "rise_above_lock_up_time_s",
            "  that rise at",
            Time,
            Some(peak.time_s),
        ),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
}

/// When and for how long the regulator was wide open during the flow.
fn read_loss(run: &Run, branch: &Branch, into: &mut Summary) {
    let (start, end) = run.fed_span_s(branch);
    let spells = wide_open_spells(run, branch);
    let during = |&(from, to): &(f64, f64)| f64::max(to.min(end) - from.max(start), 0.0);
    let time_s: f64 = spells.iter().map(during).sum();
    let to_the_end = spells.iter().find(|&&(from, to)| from < end && to >= end);
    let first = spells.iter().find(|spell| during(spell) > 0.0);
    let lines = [
        Line(
            "regulation_lost_s",
            "regulation lost (wide open to the end of the flow) at",
            Time,
            to_the_end.map(|spell| spell.0),
        ),
        Line(
            "first_wide_open_s",
            "first wide open at",
            Time,
            first.map(|spell| spell.0),
        ),
        Line(
            "wide_open_time_s",
            "wide open during the flow, in all",
            Time,
            Some(time_s),
        ),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
}

/// From when to when it is wide open, by its events; at the start of the run by its lift.
fn wide_open_spells(run: &Run, branch: &Branch) -> Vec<(f64, f64)> {
    let (first, last) = run.whole_s();
    let lift = run.trace(&branch.name, "lift_1");
    let at_start = lift.is_some_and(|lift| lift.before(first) > 0.999);
    let mut since = at_start.then_some(first);
    let mut spells = Vec::new();
    for event in run
        .outcome
        .events
        .iter()
        .filter(|e| e.component == branch.name)
    {
        if event.kind == EventKind::RegulationLost {
            since = since.or(Some(event.time_s));
        } else if let Some(from) = since.take() {
            spells.push((from, event.time_s));
        }
    }
    spells.extend(since.map(|from| (from, last)));
    spells
}

pub(super) fn read_flow(run: &Run, branch: &Branch, into: &mut Summary) {
    const QUANTITY: &str = "mass_flow_kg_s";
    let flow = run.trace(&branch.name, QUANTITY);
    let (Some(flow), Some(extremes)) = (flow, run.extremes(&branch.name, QUANTITY)) else {
        return;
    };
    let (start, end) = run.fed_span_s(branch);
    let backwards = -extremes.least.value > extremes.greatest.value;
    let (peak, reached_s, source, words) = if backwards {
        let words = "peak gas flow of the whole run (backwards)";
        let peak = extremes.least;
        (peak.value, peak.time_s, branch.to.volume, words)
    } else {
        let words = "peak gas flow of the whole run";
        let reached_s = peaks::reached_s(
            run.outcome,
            &format!("{}.{QUANTITY}", branch.name),
            extremes,
        );
        let peak = extremes.greatest.value;
        (peak, reached_s, branch.from.volume, words)
    };
    let amount = peak.abs() / molar_mass_kg_mol(run, source);
    let running = run
        .flows
        .then(|| f64::max(flow.maximum(start, end).1, -flow.minimum(start, end).1));
    let lines = [
        Line("peak_flow_kg_s", words, MassFlow, Some(peak.abs())),
        Line(
            "peak_flow_mol_s",
            "  that peak as a standard volume",
            StandardFlow,
            Some(amount),
        ),
        Line(
            "peak_flow_time_s",
            "  that peak reached at",
            Time,
            Some(reached_s),
        ),
        Line(
            "peak_running_flow_kg_s",
            "peak gas flow while liquid flows",
            MassFlow,
            running,
        ),
    ];
    into.add(Group::Regulator, &branch.name, &lines);
}

/// Mean molar mass of the gas that a volume holds at the start.
pub(super) fn molar_mass_kg_mol(run: &Run, source: VolumeId) -> f64 {
    let Some(fill) = run.network.volumes[source].gas() else {
        return f64::NAN;
    };
    let mixture = &run.network.mixtures[fill.mixture];
    let parts = fill.mole_fractions.iter().enumerate();
    parts.map(|(k, x)| x * mixture.molar_mass_kg_mol(k)).sum()
}
