//! Relief valves, burst discs and steps that repeat, against what their definitions give.

use scenarios::predict::{PredictOptions, Prediction, predict};
use scenarios::{CheckedStand, load};
use sim_core::outcome::{EventKind, Integrator};

/// A bottle of perfect gas (k = 1.4) blows through a valve into a small volume. Without heat the
/// volume settles at the bottle's temperature: a throttled perfect gas keeps it.
const FILLING: &str = r#"
title = "a volume that is filled"
[ambient]
pressure = "1 bar(a)"
temperature = "300 K"
[perfect_gas.ideal]
heat_capacity_ratio = 1.4
molar_mass = "28 g/mol"
[bottle.supply]
gas = "ideal"
volume = "1000 L"
pressure = "100 bar(a)"
heat_transfer = "none"
[plenum.line]
gas = "ideal"
volume = "2 L"
pressure = "1 bar(a)"
[valve.inlet]
from = "supply"
to = "line"
effective_area = "1 mm2"
delay = "0 ms"
stroke_time = "1 ms"
[[sequence]]
at = "0.5 s"
open = "inlet"
"#;

fn run(rest: &str) -> Prediction {
    let text = format!("{FILLING}{rest}");
    let stand: CheckedStand = load(&text).unwrap_or_else(|e| panic!("{e:#?}"));
    let options = PredictOptions {
        tolerance: Some(1e-7),
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    assert!(prediction.outcome.failure.is_none());
    prediction
}

fn last(prediction: &Prediction, column: &str) -> f64 {
    let values = prediction.outcome.history.column(column).expect(column);
    *values.last().expect("rows")
}

fn count(prediction: &Prediction, component: &str, kind: &EventKind) -> usize {
    let events = prediction.outcome.events.iter();
    events
        .filter(|e| e.component == component && e.kind == *kind)
        .count()
}

/// Both restrictions are choked at one temperature, so A1 p1 = x A2 p2; the lift x rises from the
/// reseat pressure to the overpressure. The gas of the volume, warm from the filling, is renewed
/// within a second.
#[test]
fn a_relief_valve_settles_where_it_passes_what_comes() {
    let prediction = run(r#"
[relief.guard]
from = "line"
to = "ambient"
set_pressure = "10 bar(g)"
overpressure = "10 %"
reseat = "90 %"
effective_area = "20 mm2"
response_time = "10 ms"
[run]
until = "15 s"
"#);
    let (supply_pa, line_pa) = (
        last(&prediction, "supply.pressure_pa"),
        last(&prediction, "line.pressure_pa"),
    );
    let lift = (line_pa - 1e5 - 9e5) / 2e5;
    assert!(
        (last(&prediction, "guard.lift_1") - lift).abs() < 1e-3,
        "{lift}"
    );
    // What the volume still loses while the bottle falls is 1e-4 of the flow.
    let balance = lift * 20.0 * line_pa / supply_pa;
    assert!((balance - 1.0).abs() < 1e-3, "{balance}");
    assert_eq!(count(&prediction, "guard", &EventKind::ReliefLifted), 1);
    // It lifts at the set pressure, and the pressure overshoots it until the disc has moved.
    let figure = |name| prediction.summary.get(name).expect(name);
    assert!(figure("guard.first_lift_s") > 0.5);
    assert!(figure("guard.least_margin_pa") < 0.0);
    assert!(figure("guard.peak_flow_kg_s") > 0.0);
}

/// 5 % below its set pressure a relief valve is shut, and says by how much.
#[test]
fn a_relief_valve_that_is_not_reached_has_a_margin() {
    let prediction = run(r#"
[relief.guard]
from = "line"
to = "ambient"
set_pressure = "120 bar(g)"
effective_area = "20 mm2"
[run]
until = "6 s"
"#);
    assert_eq!(count(&prediction, "guard", &EventKind::ReliefLifted), 0);
    let margin = prediction.summary.get("guard.least_margin_pa");
    let line = prediction.summary.get("line.peak_pressure_pa");
    let expected = 120e5 + 1e5 - line.expect("a peak");
    assert!((margin.expect("a margin") - expected).abs() < 1.0);
}

/// It bursts once, at its pressure, and stays open when the pressure has gone.
#[test]
fn a_burst_disc_bursts_once_and_for_good() {
    let prediction = run(r#"
[burst_disc.last]
from = "line"
to = "ambient"
burst_pressure = "20 bar(g)"
effective_area = "80 mm2"
[run]
until = "6 s"
"#);
    assert_eq!(count(&prediction, "last", &EventKind::Burst), 1);
    let peak = prediction.summary.get("line.peak_pressure_pa");
    // The event is located to rounding.
    assert!((peak.expect("a peak") / 21e5 - 1.0).abs() < 1e-9);
    // Choked against the open air: A1 p1 = A2 p2, until the back pressure counts (1.9 bar).
    let expected_pa = last(&prediction, "supply.pressure_pa") / 80.0;
    let line_pa = last(&prediction, "line.pressure_pa");
    assert!(line_pa < 2e5 && line_pa > expected_pa, "{line_pa}");
}

/// Two steps that repeat hold the pressure between their two thresholds: an on-off control with
/// a dead band. The stroke of 1 ms lets it pass them by 1e-3 of what flows in a second.
#[test]
fn steps_that_repeat_hold_a_dead_band() {
    let prediction = run(r#"
[orifice.leak]
from = "line"
to = "ambient"
effective_area = "4 mm2"
[[sequence]]
whenever = "line.pressure > 12 bar(a)"
close = "inlet"
[[sequence]]
whenever = "line.pressure < 10 bar(a)"
open = "inlet"
[run]
until = "8 s"
"#);
    let shut = count(&prediction, "inlet", &EventKind::CommandedShut);
    let open = count(&prediction, "inlet", &EventKind::CommandedOpen);
    assert!(shut >= 3, "{shut} cycles");
    assert!(open.abs_diff(shut) <= 1, "{open} {shut}");
    let times = prediction.outcome.history.column("time_s").expect("time");
    let pressure = prediction.outcome.history.column("line.pressure_pa");
    let reached = |p: &f64| *p > 11.9e5;
    let pressure = pressure.expect("pressure");
    let first = pressure.iter().position(reached).expect("it is reached");
    for (t, p) in times[first..].iter().zip(&pressure[first..]) {
        assert!((9.95e5..12.05e5).contains(p), "{p} Pa at {t} s");
    }
}

/// A sealed network closes its balances through lifts, bursts and cycles.
#[test]
fn balances_close() {
    let prediction = run(r#"
[relief.guard]
from = "line"
to = "ambient"
set_pressure = "10 bar(g)"
effective_area = "5 mm2"
[burst_disc.last]
from = "line"
to = "ambient"
burst_pressure = "12 bar(g)"
effective_area = "10 mm2"
[run]
until = "6 s"
"#);
    // The project's bars for every run.
    assert!(prediction.outcome.balances.mass_relative.abs() < 1e-9);
    assert!(prediction.outcome.balances.energy_relative.abs() < 1e-6);
}

#[test]
fn a_disc_that_has_burst_had_no_margin_left() {
    let prediction = run(r#"
[burst_disc.last]
from = "line"
to = "ambient"
burst_pressure = "20 bar(g)"
effective_area = "0.5 mm2"
[run]
until = "15 s"
"#);
    let peak = prediction.summary.get("line.peak_pressure_pa");
    assert!(peak.expect("it has one") > 25e5, "it rises on after it");
    let figures = &prediction.summary.figures;
    let margin = figures.iter().find(|f| f.name == "last.least_margin_pa");
    let margin = margin.expect("the disc has one");
    assert!(margin.label.contains("burst pressure"));
    // The event is found to a part in 1e9 of the time step, in which the pressure rises by 0.1 bar.
    assert!(margin.value.abs() < 1.0, "{}", margin.value);
}
