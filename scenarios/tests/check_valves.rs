//! Check valves before a small volume, through whole runs.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::{checked, run};
use scenarios::studies::loss_budget::Cause;
use sim_core::outcome::EventKind;

/// Two bottles, each behind a large check valve, on a manifold that a poppet can fill many times over
/// while it moves.
const TWO_BOTTLES: &str = r#"
[bottle.left]
gas = "nitrogen"
volume = "10 L"
pressure = "200 bar(g)"
[bottle.right]
gas = "nitrogen"
volume = "10 L"
pressure = "198 bar(g)"
[check_valve.left_check]
from = "left"
to = "manifold"
cracking_pressure = "0.3 bar"
flow_coefficient = "10 Cv"
[check_valve.right_check]
from = "right"
to = "manifold"
cracking_pressure = "0.3 bar"
flow_coefficient = "10 Cv"
[plenum.manifold]
volume = "0.2 L"
gas = "nitrogen"
pressure = "198 bar(g)"
[regulator.press]
from = "manifold"
to = "fuel"
set_pressure = "32 bar(g)"
droop = "4 bar"
flow_coefficient = "0.08 Cv"
[tank.fuel]
volume = "19 L"
diameter = "230 mm"
liquid = "water"
fill = "14 L"
gas = "nitrogen"
[valve.run]
from = "fuel"
flow_coefficient = "12 Cv"
stroke_time = "140 ms"
[orifice.tip]
from = "run"
to = "ambient"
diameter = "5.5 mm"
discharge_coefficient = 0.63
[[sequence]]
at = "5 s"
open = "run"
[run]
until = "12 s"
"#;

/// From cracking a poppet goes too far, but not back to its seat: it finds the lift that the steady
/// flow asks for, at which the difference is that of its spring (theory 2.6). A run knows a pressure of
/// 170 bar to three of its tolerances of 1e-5, 0.5 kPa, which are 1.4 % of the spring's 0.36 bar; twice that.
#[test]
fn a_check_valve_finds_the_lift_of_a_steady_flow() {
    let prediction = run(TWO_BOTTLES, &[]);
    let outcome = &prediction.outcome;
    let seats = outcome.events.iter();
    let seats = seats.filter(|e| e.kind == EventKind::CheckSeated && e.time_s > 5.2);
    assert_eq!(seats.count(), 0, "while the run valve is open");
    let [left, manifold, lift] = [
        "left.pressure_pa",
        "manifold.pressure_pa",
        "left_check.lift_1",
    ]
    .map(|name| {
        let column = outcome.history.column(name).expect("it has this column");
        *column.last().expect("it has rows")
    });
    let demand = (left - manifold - 0.24e5) / (0.6e5 - 0.24e5);
    assert!(
        (lift - demand).abs() < 0.028,
        "{lift} where {demand} is asked"
    );
}

/// A regulator without droop has a loop that is thousands of times steeper; it is to follow at once, not
/// to hunt: its run is to tell how much a droop takes, and hunting takes thousands of events.
#[test]
fn a_regulator_whose_droop_is_taken_out_does_not_hunt() {
    let valve = ("check_valve.left_check.flow_coefficient", "1.2 Cv");
    let other = ("check_valve.right_check.flow_coefficient", "1.2 Cv");
    let stand = checked(TWO_BOTTLES, &[valve, other]);
    let mut network = stand.lower();
    Cause::Droop.take_out(&mut network);
    let outcome = sim_core::simulate(&network, &stand.run);
    assert_eq!(outcome.failure, None);
    let starts = outcome
        .events
        .iter()
        .filter(|e| e.kind == EventKind::Regulating);
    let starts = starts.count();
    assert!(starts < 100, "it starts to regulate {starts} times");
}
