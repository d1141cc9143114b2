//! Relief valves that work where they should rest.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::{checked, run};
use sim_core::outcome::EventKind;

/// A plenum that a regulator fills to 30 bar(g), and its relief valve.
const FILLING: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "10 L"
pressure = "150 bar(g)"
[regulator.main]
from = "supply"
to = "receiver"
set_pressure = "30 bar(g)"
droop = "2 bar"
flow_coefficient = "0.3 Cv"
[plenum.receiver]
volume = "2 L"
[relief.safety]
from = "receiver"
to = "ambient"
set_pressure = "28 bar(g)"
effective_area = "20 mm2"
[limit]
"receiver.pressure" = "<= 34 bar(g)"
[run]
until = "20 s"
"#;

fn codes_of_check(text: &str, overrides: &[(&str, &str)]) -> Vec<&'static str> {
    let warnings = checked(text, overrides).warnings;
    warnings.iter().map(|w| w.code).collect()
}

/// Ids of the warnings of `check`, then those of the run; and how often the valve lifts.
fn warned(overrides: &[(&str, &str)]) -> (Vec<&'static str>, Vec<&'static str>, usize) {
    let of_check = codes_of_check(FILLING, overrides);
    let prediction = run(FILLING, overrides);
    let of_run = prediction.warnings.iter().skip(of_check.len());
    let of_relief = of_run.map(|w| w.code).filter(|c| c.starts_with("relief"));
    let events = prediction.outcome.events.iter();
    let lifts = events.filter(|e| e.kind == EventKind::ReliefLifted).count();
    (of_check, of_relief.collect(), lifts)
}

#[test]
fn a_relief_valve_below_lock_up_blows() {
    let (of_check, of_run, lifts) = warned(&[]);
    assert!(of_check.is_empty(), "{of_check:?}");
    assert_eq!((of_run, lifts), (vec!["relief-1", "relief-2"], 1));
}

#[test]
fn a_relief_valve_that_is_far_too_large_cycles() {
    let (_, of_run, lifts) = warned(&[
        ("relief.safety.effective_area", "2000 mm2"),
        ("relief.safety.response_time", "50 ms"),
    ]);
    assert!(lifts > 20, "{lifts}");
    assert_eq!(of_run, ["relief-1", "relief-2", "relief-3"]);
}

#[test]
fn a_relief_valve_that_rests_is_not_warned_of() {
    let set = ("relief.safety.set_pressure", "33 bar(g)");
    let (of_check, of_run, lifts) = warned(&[set]);
    assert!(of_check.is_empty(), "{of_check:?}");
    assert_eq!((of_run.len(), lifts), (0, 0), "{of_run:?}");
}

#[test]
fn a_relief_valve_above_the_limit_of_its_volume_does_not_keep_it() {
    let set = ("relief.safety.set_pressure", "35 bar(g)");
    assert_eq!(warned(&[set]).0, ["relief-4"]);
}

/// The stand with a tank behind a check valve, and what stands on the tank.
fn of_tank(on_it: &str) -> Vec<&'static str> {
    let tank = r#"
[check_valve.guard]
from = "receiver"
to = "fuel"
cracking_pressure = "0.3 bar"
flow_coefficient = "1.2 Cv"
[tank.fuel]
volume = "20 L"
diameter = "230 mm"
liquid = "water"
fill = "15 L"
gas = "nitrogen"
"#;
    codes_of_check(&format!("{FILLING}{tank}{on_it}"), &[])
}

#[test]
fn a_tank_that_a_regulator_feeds_has_a_relief_of_its_own() {
    let disc = r#"
[burst_disc.last]
from = "fuel.gas"
to = "ambient"
burst_pressure = "42 bar(g)"
effective_area = "80 mm2"
"#;
    assert_eq!(of_tank(""), ["relief-5"]);
    assert!(of_tank(disc).is_empty());
}
