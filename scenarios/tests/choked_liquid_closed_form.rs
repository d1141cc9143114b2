//! Liquid that chokes in a venturi, against `Cd A sqrt(2 rho (p_1 - p_v))`.

use scenarios::predict::{PredictOptions, Prediction, predict};
use sim_core::outcome::Integrator;

/// Water at 20 degC under 20 bar in a large tank, through a venturi and an orifice behind it.
fn run(orifice: &str) -> Prediction {
    let text = format!(
        r#"
[ambient]
pressure = "1 bar(a)"
temperature = "20 degC"
[tank.water]
volume = "1000 L"
diameter = "1 m"
ends = "flat"
liquid = "water"
fill = "500 L"
gas = "nitrogen"
pressure = "20 bar(a)"
heat_transfer = "none"
vapour = "none"
[valve.run]
from = "water"
effective_area = "400 mm2"
delay = "0 ms"
stroke_time = "50 ms"
[venturi.meter]
from = "run"
throat = "3 mm"
discharge_coefficient = 0.95
choking_ratio = 0.85
[orifice.back]
from = "meter"
to = "ambient"
effective_area = "{orifice}"
[[sequence]]
at = "0.1 s"
open = "run"
[run]
until = "2 s"
"#
    );
    let stand = scenarios::load(&text).unwrap_or_else(|e| panic!("{e:#?}"));
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

/// Choked, the flow does not ask what stands behind: an orifice of half the area changes nothing.
#[test]
fn a_venturi_meters() {
    let (wide, narrow) = (run("60 mm2"), run("12 mm2"));
    let before = last(&wide, "meter.inlet_pressure_pa");
    let flow = 0.95 * std::f64::consts::PI / 4.0
        * 0.003_f64.powi(2)
        * (2.0 * 998.2 * (before - 2339.0)).sqrt();
    for prediction in [&wide, &narrow] {
        let got = last(prediction, "meter.mass_flow_kg_s");
        // Density of water under 20 bar instead of 1: 5e-4; throat by F_F: 3e-5.
        assert!((got / flow - 1.0).abs() < 6e-4, "{got} {flow}");
        let mut choked = prediction.warnings.iter().filter(|w| w.code == "liquid-2");
        let words = &choked.next().expect("it is warned of").message;
        assert!(words.contains("discharge_coefficient"), "{words}");
        assert!(!words.contains("liquid_recovery"), "{words}");
        let by_hand = prediction.hand_checks.iter();
        let by_hand = by_hand.filter(|c| c.label == "run: steady flow");
        let parts: Vec<f64> = by_hand
            .map(|c| c.by_hand / c.simulated.expect("it flows"))
            .collect();
        // The same formula, as above.
        assert!((parts[0] - 1.0).abs() < 6e-4, "{parts:?}");
    }
    // Behind the throat stands what the orifice needs: m^2/(2 rho A^2) above the air.
    let behind = last(&narrow, "meter.outlet_pressure_pa");
    let expected = 1e5 + (flow / 12e-6).powi(2) / (2.0 * 998.2);
    assert!(
        (behind / expected - 1.0).abs() < 1e-3,
        "{behind} {expected}"
    );
}

/// While its valve opens, nothing before it rises above what the tank gives: gas pressure and the
/// head of 1 m of liquid and 0.8 m of line. Choking at small openings once put a flow into the
/// column that the valve could not pass.
#[test]
fn an_opening_valve_raises_no_pressure_before_it() {
    let overrides = [("run.until".to_owned(), "6 s".to_owned())];
    let text = scenarios::ready_made()[0].text;
    let stand = scenarios::load_with(text, &overrides).expect("the demonstration");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    let most = |column: &str| {
        let values = prediction.outcome.history.column(column).expect(column);
        values.iter().copied().fold(0.0, f64::max)
    };
    let given = most("fuel.pressure_pa") + 998.2 * 9.806_65 * 1.8;
    assert!(most("run.inlet_pressure_pa") < given);
}

/// An orifice that takes most of the pressure leaves the venturi unchoked.
#[test]
fn a_venturi_against_a_high_pressure_only_loses_a_little() {
    let prediction = run("6 mm2");
    let loss = last(&prediction, "meter.inlet_pressure_pa")
        - last(&prediction, "meter.outlet_pressure_pa");
    let flow = last(&prediction, "meter.mass_flow_kg_s");
    let area = 0.95 * std::f64::consts::PI / 4.0 * 0.003_f64.powi(2) / 0.15_f64.sqrt();
    let expected = (flow / area).powi(2) / (2.0 * 998.2);
    // Density of water under 20 bar instead of 1: 1e-3.
    assert!((loss / expected - 1.0).abs() < 1.5e-3, "{loss} {expected}");
    assert!(prediction.warnings.iter().all(|w| w.code != "liquid-2"));
}

/// Nitrous oxide under its own vapour flashes behind a valve that is opened, shut and opened again, its throat far
/// above the open air that it ends in: at every row the end is at that pressure, to the 10 Pa by which throats
/// take turns, and the second opening releases what the first did, less the pressure that was used up.
#[test]
fn a_valve_that_opens_again_finds_its_throat_anew() {
    let text = r#"
[ambient]
pressure = "1 bar(a)"
temperature = "20 degC"
[tank.ox]
volume = "20 L"
diameter = "230 mm"
liquid = "nitrous oxide"
saturated_at = "50.5 bar(a)"
pressure = "50.5 bar(a)"
fill = "15 L"
gas = "nitrous oxide"
[line.feed]
from = "ox"
length = "1 m"
bore = "10 mm"
[valve.run]
from = "feed"
flow_coefficient = "2 Cv"
characteristic = "linear"
stroke_time = "100 ms"
[orifice.tip]
from = "run"
to = "ambient"
diameter = "4 mm"
discharge_coefficient = 0.62
[[sequence]]
at = "0.5 s"
open = "run"
[[sequence]]
at = "1 s"
close = "run"
[[sequence]]
at = "1.5 s"
open = "run"
[run]
until = "2 s"
output_step = "0.1 ms"
"#;
    let stand = scenarios::load(text).unwrap_or_else(|e| panic!("{e:#?}"));
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    assert!(prediction.outcome.failure.is_none());
    let column = |name: &str| prediction.outcome.history.column(name).expect(name);
    for (time_s, end) in column("time_s")
        .iter()
        .zip(column("tip.outlet_pressure_pa"))
    {
        assert!((end - 1e5).abs() < 10.0, "{end} Pa at {time_s} s");
    }
    let flow = column("run.mass_flow_kg_s");
    let released = |after_s: f64| {
        let row = column("time_s").iter().position(|t| *t > after_s);
        let from = row.expect("it runs on");
        *flow[from..]
            .iter()
            .find(|flow| **flow > 0.0)
            .expect("it flows")
    };
    let (first, second) = (released(0.5), released(1.5));
    assert!(
        (second / first - 1.0).abs() < 0.05,
        "{first} and {second} kg/s"
    );
}
