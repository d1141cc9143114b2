//! Overshoot at lock-up: a regulator that closes is late by its response time, and what it lets by until
//! then stays behind it.
//!
//! The volume that counts is that of the outlet and of what check valves and orifices no narrower than the wide-open
//! regulator join to it, as it is at the start, when an ullage is smallest; valves count as shut. The supply is
//! the highest of the run.

use super::cautions::warning;
use super::creep::{gas_at, lets_pass};
use super::regulator::molar_mass_kg_mol;
use super::relief::reached_from;
use super::{Group, Line, Run, Summary};
use crate::physics::GAS_CONSTANT;
use shared::codes;
use shared::quantity::Dimension::{Fraction, Pressure, PressureDifference, Volume};
use shared::quantity::Display;
use sim_core::components::gas::{GasSide, heat_capacity_ratio};
use sim_core::components::regulator_loop::RegulatorLoop;
use sim_core::components::restriction::gas_flow;
use sim_core::network::{Branch, BranchKind, Droop, Regulator};
use sim_core::outcome::{EventKind, Warning};

/// Overshoot that is worth a warning, as a part of lock-up above ambient: as of an outlet that
/// stands above lock-up.
const NOTABLE: f64 = 0.01;
/// Overshoot that is told at all, as a part of lock-up above ambient: less no gauge shows.
const LEAST: f64 = 2e-3;
/// How long after it has closed an overshoot is over, in response times.
const SETTLED: f64 = 10.0;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (branch, regulator) in regulators(run) {
        let behind = Behind::of(run, branch, regulator);
        let lines = [
            Line(
                "damping_ratio_1",
                "damping ratio of its loop with the volume behind it, valves there shut",
                Fraction,
                behind.as_ref().map(|b| b.its_loop.damping_ratio()),
            ),
            Line(
                "overshoot_from_wide_open_pa",
                "overshoot at lock-up if it closes from wide open, valves there shut (by hand)",
                PressureDifference,
                behind.as_ref().map(|b| b.its_loop.overshoot_pa()),
            ),
            Line(
                "overshoot_pa",
                "overshoot at lock-up, highest of the run",
                PressureDifference,
                seen_pa(run, branch, regulator),
            ),
        ];
        into.add(Group::Regulator, &branch.name, &lines);
    }
}

/// Regulators that overshot notably.
pub(super) fn cautions(run: &Run, display: &Display) -> Vec<Warning> {
    let ambient_pa = run.network.surroundings.pressure_pa;
    let warn = |(branch, regulator): (&Branch, &Regulator)| {
        let seen_pa = seen_pa(run, branch, regulator)?;
        let behind = Behind::of(run, branch, regulator)?;
        let most_pa = NOTABLE * (behind.lock_up_pa - ambient_pa);
        if most_pa <= 0.0 || seen_pa <= most_pa {
            return None;
        }
        // It came with a part of its lift: so much less of the overshoot from wide open.
        let from_wide_open_pa = behind.its_loop.overshoot_pa();
        let calmed_by = behind
            .its_loop
            .calmed_by(from_wide_open_pa * most_pa / seen_pa);
        let message = format!(
            "{}: overshoots lock-up by {}, and a regulator does not vent. With {} before it and {} behind \
             it the damping ratio of its loop is {:.2}, and from wide open the overshoot is {}; {} behind it, or a \
             response_time of {:.2} ms, keeps what was seen to {}",
            branch.name,
            display.text(PressureDifference, seen_pa),
            display.text(Pressure, behind.supply_pa),
            display.text(Volume, behind.volume_m3),
            behind.its_loop.damping_ratio(),
            display.text(PressureDifference, from_wide_open_pa),
            display.text(Volume, behind.volume_m3 * calmed_by),
            1e3 * regulator.response_s / calmed_by,
            display.text(PressureDifference, most_pa),
        );
        Some(warning(&codes::OVERSHOOTS, message))
    };
    regulators(run).filter_map(warn).collect()
}

fn regulators<'a>(run: &Run<'a>) -> impl Iterator<Item = (&'a Branch, &'a Regulator)> {
    run.network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::Regulator(regulator) => Some((b, regulator)),
        _ => None,
    })
}

/// What a regulator fills, and its loop with it.
struct Behind {
    supply_pa: f64,
    lock_up_pa: f64,
    volume_m3: f64,
    its_loop: RegulatorLoop,
}

impl Behind {
    fn of(run: &Run, branch: &Branch, regulator: &Regulator) -> Option<Self> {
        let network = run.network;
        let (start_s, _) = run.whole_s();
        let from = branch.from.volume;
        let (_, supply_k, _) = gas_at(run, from, start_s)?;
        let supply_pa = run
            .extremes(run.volume_name(from), "pressure_pa")?
            .greatest
            .value;
        let lock_up_pa = regulator.lock_up(supply_pa);
        let fill = run.network.volumes[from].gas()?;
        let mixture = &network.mixtures[fill.mixture];
        let side = |pressure_pa| {
            GasSide::<f64>::constant(mixture, pressure_pa, supply_k, &fill.mole_fractions).ok()
        };
        let supply = side(supply_pa)?;
        let flow = gas_flow(&regulator.capacity, mixture, &supply, &side(lock_up_pa)?).ok()?;
        let seat_m2 = regulator.capacity.liquid_area_m2();
        let passes = |kind: &BranchKind| lets_pass(kind) && area_m2(kind) >= seat_m2;
        let behind = reached_from(network, branch, passes);
        let rooms = behind.iter().filter_map(|&id| gas_at(run, id, start_s));
        let volume_m3: f64 = rooms.map(|(_, _, m3)| m3).sum();
        let gas_constant = GAS_CONSTANT / molar_mass_kg_mol(run, from);
        let kelvin = heat_capacity_ratio(mixture, &supply) * supply_k;
        (flow > 0.0).then_some(Self {
            supply_pa,
            lock_up_pa,
            volume_m3,
            its_loop: RegulatorLoop {
                wide_open_kg_s: flow,
                storage_kg_pa: volume_m3 / (gas_constant * kelvin),
                droop_pa: steepest_pa(&regulator.droop),
                response_s: regulator.response_s,
            },
        })
    }
}

/// Effective area of what lets gas pass.
fn area_m2(kind: &BranchKind) -> f64 {
    match kind {
        BranchKind::Poppet(valve) => valve.capacity.liquid_area_m2(),
        BranchKind::GasRestriction(restriction) => restriction.capacity.liquid_area_m2(),
        _ => 0.0,
    }
}

/// Fall from lock-up to wide open; of flow curves that of their steepest piece led on.
fn steepest_pa(droop: &Droop) -> f64 {
    match droop {
        Droop::Linear { full_pa } => *full_pa,
        Droop::Curves(curves) => {
            let pieces = curves.iter().flat_map(|curve| curve.points.windows(2));
            let fall_pa = |p: &[(f64, f64)]| (p[1].0 - p[0].0) / (p[1].1 - p[0].1);
            pieces.map(fall_pa).fold(f64::INFINITY, f64::min)
        }
    }
}

/// Highest rise worth telling of the outlet above where it was when the regulator was shut by it.
fn seen_pa(run: &Run, branch: &Branch, regulator: &Regulator) -> Option<f64> {
    let outlet = run.trace(run.volume_name(branch.to.volume), "pressure_pa")?;
    let events = run.outcome.events.iter();
    let closings = events.filter(|e| e.component == branch.name && e.kind == EventKind::LockUp);
    let rise = |at_s: f64| {
        let settled_s = at_s + SETTLED * regulator.response_s;
        outlet.maximum(at_s, settled_s).1 - outlet.after(at_s)
    };
    let seen_pa = closings.map(|e| rise(e.time_s)).max_by(f64::total_cmp)?;
    // What is smaller is the solver's as much as the regulator's.
    let lock_up_pa = regulator.lock_up_pa - run.network.surroundings.pressure_pa;
    (seen_pa > LEAST * lock_up_pa).then_some(seen_pa)
}
