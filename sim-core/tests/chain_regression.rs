//! Liquid chains where something starts, turns or ends.

mod common;

use common::{
    actuator, ambient, assert_balanced, network, open_at, options, valved_line, water_tank,
};
use sim_core::network::{Friction, Line, Network};
use sim_core::outcome::Outcome;
use sim_core::simulate;

fn line(length_m: f64, rise_m: f64) -> Line {
    Line {
        length_m,
        bore_m: 0.02,
        friction: Friction::Factor(0.0),
        minor_loss: 0.0,
        rise_m,
        softness_per_pa: 0.0,
    }
}

fn stand(pressure_pa: f64, liquid_m3: f64, line: Line, full: bool, stroke_s: f64) -> Network {
    let volume_m3 = std::f64::consts::FRAC_PI_4 * line.bore_m * line.bore_m * line.length_m;
    let primed_m3 = if full { volume_m3 } else { 0.0 };
    let mut stand = network(
        vec![ambient(), water_tank("fuel", liquid_m3, pressure_pa)],
        vec![valved_line(line, primed_m3)],
    );
    stand.actuators = vec![actuator(stroke_s)];
    stand.commands = vec![open_at(0.1)];
    stand
}

fn flow_at(outcome: &Outcome, time_s: f64) -> f64 {
    let times = outcome.history.column("time_s").expect("always shown");
    let flows = outcome.history.column("run.mass_flow_kg_s").expect("shown");
    let row = times
        .iter()
        .rposition(|&t| t <= time_s)
        .expect("a row before");
    flows[row]
}

/// A huge valve that opens in 0.1 ms leaves the column to its inertia: m = m_1 tanh(t/tau),
/// tau = 2 L/V (frictionless start-up from a reservoir, any fluid mechanics text). The pipe ends in
/// the valve, whose opening and the falling tank pressure cost a few parts in a thousand.
#[test]
fn a_quick_valve_leaves_the_start_to_inertia() {
    let mut run = options(0.5);
    run.output_step_s = 1e-3;
    let outcome = simulate(&stand(5e5, 0.01, line(50.0, 0.0), true, 1e-4), &run);
    assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
    // At first the whole driving pressure accelerates: m = dp A t/L.
    let (area_m2, drive_pa) = (std::f64::consts::FRAC_PI_4 * 4e-4, 5e5 - 101_325.0 + 2.0e3);
    let expected = drive_pa * area_m2 * 0.05 / 50.0;
    let got = flow_at(&outcome, 0.15);
    assert!(
        (got / expected - 1.0).abs() < 0.02,
        "{got} against {expected}"
    );
}

/// A dry line that fills keeps the energy balance: the moving front's head is stored.
#[test]
fn priming_keeps_the_energy_balance() {
    let outcome = simulate(
        &stand(5e5, 0.01, line(4.0, 1.0), false, 0.05),
        &options(1.0),
    );
    assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
    assert_balanced(&outcome);
}

/// No line holds less than nothing: air drawn into the tank ends the run, and says so.
#[test]
fn air_drawn_into_the_tank_ends_the_run() {
    let outcome = simulate(
        &stand(0.3e5, 0.01, line(4.0, 0.0), false, 0.05),
        &options(5.0),
    );
    let failure = outcome.failure.expect("not modelled");
    assert_eq!(failure.component.as_deref(), Some("line"));
    assert!(failure.message.contains("draws air"), "{}", failure.message);
    let liquid = outcome
        .history
        .column("fuel.liquid_mass_kg")
        .expect("shown");
    // The guard fires a millionth of the line's content past empty.
    let most = liquid[0] * (1.0 + 1e-6);
    assert!(liquid.iter().all(|&m| m <= most), "no liquid is made");
    assert!(outcome.history.len() > 2, "what was computed is kept");
}
