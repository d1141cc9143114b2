//! Two bottles with a regulator each, on one tank or on a tank each, against one that is the same.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::predict::Prediction;

/// A bottle and its regulator to a tank.
fn supply(name: &str, volume: &str, cv: &str, to: &str) -> String {
    format!(
        r#"
[bottle.{name}]
gas = "nitrogen"
volume = "{volume}"
pressure = "180 bar(g)"
heat_transfer = "none"
[regulator.{name}_press]
from = "{name}"
to = "{to}"
set_pressure = "32 bar(g)"
droop = "4 bar"
flow_coefficient = "{cv}"
"#
    )
}

/// A tank of water that is emptied.
fn tank(name: &str) -> String {
    format!(
        r#"
[tank.{name}]
volume = "19 L"
diameter = "230 mm"
liquid = "water"
fill = "14 L"
gas = "nitrogen"
[valve.{name}_run]
from = "{name}"
flow_coefficient = "12 Cv"
stroke_time = "140 ms"
[orifice.{name}_tip]
from = "{name}_run"
to = "ambient"
diameter = "5.5 mm"
discharge_coefficient = 0.63
[[sequence]]
at = "5 s"
open = "{name}_run"
"#
    )
}

fn predicted(parts: &[String]) -> Prediction {
    let prediction = run(&(parts.concat() + "[run]\nuntil = \"25 s\"\n"), &[]);
    let balances = &prediction.outcome.balances;
    assert!(balances.mass_relative.abs() < 1e-9, "{balances:?}");
    assert!(balances.energy_relative.abs() < 1e-6, "{balances:?}");
    prediction
}

/// The largest difference of two columns over the whole run, each a function of time, as a part of
/// the largest value. The rows of the two runs are the same but for those about events.
fn off(one: (&Prediction, &str), other: (&Prediction, &str)) -> f64 {
    let grid = |(prediction, name): (&Prediction, &str)| {
        let history = &prediction.outcome.history;
        let values = history.column(name).unwrap_or_else(|| panic!("{name}"));
        let times = history.column("time_s").expect("time is a column");
        let step = |t: f64| (100.0 * t - (100.0 * t).round()).abs() < 1e-6;
        let rows = times.into_iter().zip(values);
        let mut rows: Vec<(f64, f64)> = rows.filter(|&(t, _)| step(t)).collect();
        rows.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-6);
        rows
    };
    let (one, other) = (grid(one), grid(other));
    assert_eq!(one.len(), other.len());
    let most = one.iter().map(|r| r.1.abs()).fold(0.0, f64::max);
    let pairs = one.iter().zip(&other);
    pairs
        .map(|(a, b)| (a.1 - b.1).abs() / most)
        .fold(0.0, f64::max)
}

/// Bottles without heat: two halves are one whole, exactly. The runs differ by their steps, whose
/// tolerance is 1e-5 each; ten of one sign.
const STEPS: f64 = 1e-4;

#[test]
fn two_halves_on_one_tank_are_one_whole() {
    let halves = predicted(&[
        supply("left", "5 L", "0.04 Cv", "fuel"),
        supply("right", "5 L", "0.04 Cv", "fuel"),
        tank("fuel"),
    ]);
    let whole = predicted(&[supply("both", "10 L", "0.08 Cv", "fuel"), tank("fuel")]);
    for (half, one) in [
        ("left.pressure_pa", "both.pressure_pa"),
        ("right.pressure_pa", "both.pressure_pa"),
        ("fuel.pressure_pa", "fuel.pressure_pa"),
        ("fuel.liquid_mass_kg", "fuel.liquid_mass_kg"),
    ] {
        let off = off((&halves, half), (&whole, one));
        assert!(off < STEPS, "{half}: {off}");
    }
}

#[test]
fn two_tanks_with_a_supply_each_are_as_one_alone() {
    let both = predicted(&[
        supply("left", "10 L", "0.08 Cv", "fuel"),
        supply("right", "10 L", "0.08 Cv", "ox"),
        tank("fuel"),
        tank("ox"),
    ]);
    let alone = predicted(&[supply("left", "10 L", "0.08 Cv", "fuel"), tank("fuel")]);
    for (one, same) in [
        ("left.pressure_pa", "left.pressure_pa"),
        ("right.pressure_pa", "left.pressure_pa"),
        ("fuel.pressure_pa", "fuel.pressure_pa"),
        ("ox.pressure_pa", "fuel.pressure_pa"),
        ("ox.liquid_mass_kg", "fuel.liquid_mass_kg"),
    ] {
        let off = off((&both, one), (&alone, same));
        assert!(off < STEPS, "{one}: {off}");
    }
}
