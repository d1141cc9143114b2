//! Figures of whole runs against what they must be by definition or in a limit.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::{OPTIONS, run};
use scenarios::predict::{PredictOptions, Prediction, predict};
use scenarios::{load_with, ready_made};
use sim_core::network::{BranchKind, ChainElement, ElementKind};
use sim_core::outcome::EventKind;

fn figure(prediction: &Prediction, name: &str) -> f64 {
    let figure = prediction.summary.get(name);
    figure.unwrap_or_else(|| panic!("{name} is missing"))
}

const BOTTLE: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "50 L"
pressure = "200 bar(a)"
temperature = "300 K"
[orifice.vent]
from = "supply"
to = "ambient"
effective_area = "20 mm2"
[run]
until = "30 s"
"#;

/// The integrator's tolerance of 1e-6 a step, some steps of one sign; the edges themselves
/// are exact to 1e-9.
const RUN: f64 = 1e-5;

#[test]
fn without_heat_a_bottle_ends_on_its_isentropic_edge() {
    let bottle = run(BOTTLE, &[("bottle.supply.heat_transfer", "none")]);
    let end = figure(&bottle, "supply.pressure_end_pa");
    let edge = figure(&bottle, "supply.pressure_end_isentropic_pa");
    assert!((end / edge - 1.0).abs() < RUN, "{end} is not {edge}");
    let end = figure(&bottle, "supply.temperature_end_k");
    let edge = figure(&bottle, "supply.temperature_end_isentropic_k");
    assert!((end / edge - 1.0).abs() < RUN, "{end} is not {edge}");
}

#[test]
fn with_gas_at_wall_temperature_a_bottle_ends_on_its_isothermal_edge() {
    let bottle = run(BOTTLE, &[("bottle.supply.heat_transfer", "isothermal")]);
    let end = figure(&bottle, "supply.pressure_end_pa");
    let edge = figure(&bottle, "supply.pressure_end_isothermal_pa");
    assert!((end / edge - 1.0).abs() < RUN, "{end} is not {edge}");
}

#[test]
fn ready_made_stands_end_between_the_edges_and_keep_their_books() {
    for stand in ready_made() {
        let prediction = run(stand.text, &[]);
        let get = |name: &str| prediction.summary.get(name);
        if let Some(end) = get("supply.pressure_end_pa") {
            let low = figure(&prediction, "supply.pressure_end_isentropic_pa");
            let high = figure(&prediction, "supply.pressure_end_isothermal_pa");
            assert!(
                low < end && end < high,
                "{}: {low} {end} {high}",
                stand.name
            );
        }
        for branch in &prediction.network.branches {
            let BranchKind::LiquidChain(chain) = &branch.kind else {
                continue;
            };
            let is_valve = |e: &&ChainElement| matches!(e.kind, ElementKind::Valve { .. });
            let valve = chain.elements.iter().find(is_valve).expect("a main valve");
            let tank = &prediction.network.volumes[branch.from.volume].name;
            keeps_its_books(&prediction, stand.name, tank, &valve.name);
        }
    }
}

/// What passed the valve is what the tank lost; the mean flow is not above the steady one.
fn keeps_its_books(prediction: &Prediction, stand: &str, tank: &str, valve: &str) {
    let passed = figure(prediction, &format!("{valve}.liquid_passed_kg"));
    let liquid = format!("{tank}.liquid_mass_kg");
    let liquid = prediction.outcome.history.column(&liquid);
    let liquid = liquid.expect("the tank has liquid");
    let left = figure(prediction, &format!("{tank}.liquid_left_kg"));
    // The trapezoidal rule on rows 10 ms apart, over a rise of 0.1 s: 1e-4 of the whole.
    let vapour = ["evaporated", "boiled"].map(|how| {
        let column = format!("{tank}.{how}_kg");
        let column = prediction.outcome.history.column(&column);
        column.and_then(|c| c.last().copied()).unwrap_or(0.0)
    });
    let gone = liquid[0] - left - vapour[0] - vapour[1];
    assert!(
        (passed / gone - 1.0).abs() < 1e-3,
        "{stand}, {valve}: {passed} {gone}"
    );
    let steady = figure(prediction, &format!("{valve}.steady_flow_kg_s"));
    let mean = figure(prediction, &format!("{valve}.mean_flow_kg_s"));
    assert!(mean <= steady, "{stand}, {valve}: {mean} {steady}");
}

#[test]
fn the_steady_flow_by_hand_is_the_simulated_one() {
    for stand in ready_made() {
        let prediction = run(stand.text, &[]);
        let mut checks = prediction.hand_checks.iter();
        let check = checks.find(|c| c.label.ends_with("steady flow"));
        let check = check.expect("the run flows");
        let simulated = check.simulated.expect("the flow is simulated");
        // What is left is the inertia of a column that sags by some per cent a second, and
        // the friction factor, both below a thousandth.
        let ratio = check.by_hand / simulated;
        assert!((ratio - 1.0).abs() < 2e-3, "{}: {ratio}", stand.name);
    }
}

/// A plenum that is filled from one side and emptied at the other: its pressure rises and
/// falls within a second, and no row of the history lies near its peak.
const SURGE: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "2 L"
pressure = "100 bar(a)"
temperature = "300 K"
[orifice.inlet]
from = "supply"
to = "middle"
effective_area = "20 mm2"
[plenum.middle]
volume = "1 L"
gas = "nitrogen"
pressure = "1.013 bar(a)"
[orifice.vent]
from = "middle"
to = "ambient"
effective_area = "20 mm2"
[run]
until = "20 s"
output_step = "20 s"
[limit]
"middle.pressure" = "<= 10 bar(a)"
"#;

#[test]
fn a_limit_that_is_broken_only_between_two_rows_is_found() {
    let surge = run(SURGE, &[]);
    let history = &surge.outcome.history;
    let column = history.index_of("middle.pressure_pa");
    let column = column.expect("the plenum is observed");
    let rows: Vec<f64> = history.rows_to_keep().map(|row| row[column]).collect();
    assert!(
        rows.iter().all(|&pa| pa < 10e5),
        "no row of the table shows it: {rows:?}"
    );
    assert!(surge.is_broken());
    let observed = surge.limits[0].observed.expect("the limit is judged");
    assert!(observed > 10e5, "{observed}");
    let peak = figure(&surge, "middle.peak_pressure_pa");
    assert!(peak.total_cmp(&observed).is_eq(), "{peak} {observed}");
}

fn has_warning(prediction: &Prediction, code: &str) -> bool {
    prediction.warnings.iter().any(|w| w.code == code)
}

#[test]
fn a_valve_that_opens_again_is_warned_of() {
    let shut_and = |again: &str| {
        let text = ready_made()[0].text;
        let (_, rest) = text.split_once("[run]").expect("the stand has a run");
        let (stand, _) = text
            .split_once("[[sequence]]")
            .expect("the run is commanded");
        let mut sequence = String::new();
        for (at, what) in [("1 s", "open"), ("2 s", "close"), ("3 s", again)] {
            sequence += &format!("[[sequence]]\nat = \"{at}\"\n{what} = \"run\"\n");
        }
        let text = format!("{stand}{sequence}[run]{rest}");
        run(&text, &[("run.until", "4 s")])
    };
    let again = shut_and("open");
    assert!(has_warning(&again, "run-2"));
    let time = figure(&again, "run.flow_time_s");
    assert!((time - 1.0).abs() < 1e-9, "the first opening: {time}");
    assert!(!has_warning(&shut_and("close"), "run-2"));
}

#[test]
fn hot_gas_with_oxygen_in_it_is_warned_of() {
    // Ullage that is filled quickly without heat to a wall approaches gamma times the
    // temperature of the supply: 420 K.
    let of = |gas: &str| SURGE.replace("nitrogen", gas);
    assert!(has_warning(&run(&of("oxygen"), &[]), "gas-3"));
    assert!(has_warning(&run(&of("air"), &[]), "gas-3"));
    assert!(!has_warning(&run(SURGE, &[]), "gas-3"));
}

/// What a regulator feeds cannot flow back to the inert side; through an orifice it could.
#[test]
fn gas_that_cannot_hold_oxygen_is_not_warned_of() {
    let upstream = |heading: &str, keys: &str| {
        let text = format!(
            r#"
[bottle.inert]
gas = "nitrogen"
volume = "1 L"
pressure = "20 bar(g)"
temperature = "90 degC"
heat_transfer = "none"

[{heading}]
from = "inert"
to = "cup"
effective_area = "1 mm2"
{keys}

[plenum.cup]
volume = "1 L"
gas = "oxygen"

[run]
until = "0.1 s"
"#
        );
        let prediction = run(&text, &[]);
        let warned = prediction.warnings.iter().filter(|w| w.code == "gas-3");
        warned.filter(|w| w.message.starts_with("inert:")).count()
    };
    assert_eq!(upstream("orifice.hole", ""), 1);
    let keys = "cracking_pressure = \"0.3 bar\"";
    assert_eq!(upstream("check_valve.guard", keys), 0);
}

#[test]
fn a_fuel_under_air_is_warned_of() {
    let text = ready_made()[0].text.replace("\"water\"", "\"ethanol\"");
    let ullage = text.find("gas = \"nitrogen\"").expect("a bottle");
    let in_tank = text[ullage + 1..].find("gas = \"nitrogen\"");
    let in_tank = ullage + 1 + in_tank.expect("a tank");
    let air = format!("{}gas = \"air\"{}", &text[..in_tank], &text[in_tank + 16..]);
    assert!(has_warning(&run(&air, &[]), "gas-8"));
    assert!(!has_warning(&run(&text, &[]), "gas-8"));
}

/// A pipe that stands at ambient beside a full bottle is filled faster than the regulator shuts.
#[test]
fn a_dead_end_that_overshoots_is_told_of_and_cools_down() {
    let text = r#"
[bottle.supply]
gas = "nitrogen"
volume = "50 L"
pressure = "180 bar(g)"

[regulator.press]
from = "supply"
to = "press_line"
set_pressure = "30 bar(g)"
droop = "3 bar"
flow_coefficient = "0.3 Cv"
response_time = "5 ms"

[plenum.press_line]
volume = "60 mL"

[run]
until = "60 s"
"#;
    let dead = run(text, &[]);
    let rise = figure(&dead, "press.rise_above_lock_up_pa");
    let peak = figure(&dead, "press_line.peak_pressure_pa");
    assert!(rise > 5e5, "{rise}");
    assert!(
        (peak - rise - 31e5).abs() < 0.2e5,
        "lock-up: {}",
        peak - rise
    );
    assert!(has_warning(&dead, "regulator-7"));
    assert!(!has_warning(&dead, "regulator-4"));
    let hot = dead.outcome.history.column("press_line.temperature_k");
    let last = hot.and_then(|t| t.last().copied()).expect("a history");
    // With its wall within a minute, whatever it was filled to.
    assert!((last - 288.15).abs() < 10.0, "{last} K");
    let filled = run(
        &text.replace("60 mL\"", "60 mL\"\npressure = \"30 bar(g)\""),
        &[],
    );
    assert!(!has_warning(&filled, "regulator-7"));
}

#[test]
fn an_outlet_above_lock_up_is_told_from_lock_up() {
    let stand = ready_made()
        .iter()
        .find(|s| s.text.contains("[regulator.press]"));
    let text = stand.expect("a ready-made stand is regulated").text;
    let high = run(
        text,
        &[
            ("tank.fuel.pressure", "36 bar(g)"),
            ("plenum.press_line.pressure", "36 bar(g)"),
        ],
    );
    let outlet = figure(&high, "press.outlet_start_pa");
    let lock_up = figure(&high, "press.lock_up_pa");
    assert!(outlet > 1.01 * lock_up, "{outlet} {lock_up}");
    assert!(has_warning(&high, "regulator-4"));
    assert!(!has_warning(&run(text, &[]), "regulator-4"));
}

#[test]
fn the_hash_depends_on_all_that_the_run_depends_on() {
    let of = |text: &str, overrides: &[(&str, &str)]| run(text, overrides).input_hash;
    let base = of(BOTTLE, &[]);
    assert_eq!(base, of(BOTTLE, &[]));
    assert_ne!(base, of(&format!("{BOTTLE}# more\n"), &[]));
    assert_ne!(base, of(BOTTLE, &[("run.until", "31 s")]));
    let stand = load_with(BOTTLE, &[]).expect("the stand has no errors");
    let other = PredictOptions {
        tolerance: Some(1e-4),
        ..OPTIONS
    };
    assert_ne!(base, predict(&stand, &other).input_hash);
}

#[test]
fn lock_up_after_the_flow_is_the_lock_up_at_the_pressure_that_the_bottle_has_then() {
    let mut stands = ready_made().iter();
    let stand = stands.find(|s| s.name == "helium-large-regulator");
    let text = stand.expect("it is ready made").text;
    let prediction = run(text, &[]);
    let shut_s = figure(&prediction, "run.command_s") + figure(&prediction, "run.flow_time_s");
    let mut events = prediction.outcome.events.iter();
    let closed = events.find(|e| e.kind == EventKind::LockUp && e.time_s > shut_s);
    let closed_s = closed.expect("a large regulator shuts again").time_s;
    let history = &prediction.outcome.history;
    let time = history.column("time_s").expect("a run has time");
    let supply = history
        .column("supply.pressure_pa")
        .expect("a bottle is observed");
    let row = time
        .iter()
        .position(|&t| t >= closed_s)
        .expect("the event has rows");
    // Set to 32 bar(g) with the full bottle; 0.01 bar more for each bar that it has fallen.
    let expected = 32e5 + 101_300.0 + 0.01 * (supply[0] - supply[row]);
    let got = figure(&prediction, "press.lock_up_after_pa");
    // The event is located to its tolerance in the lift, which at that slow end of a filling is
    // some 1e-6 of the pressure.
    assert!(
        (got / expected - 1.0).abs() < 1e-5,
        "{got} is not {expected}"
    );
    // A regulator that stays open to the end of its run has no such figure.
    let open = run(ready_made()[0].text, &[]);
    assert_eq!(open.summary.get("press.lock_up_after_pa"), None);
}

/// The ready-made blowdown with its tank vented instead of emptied.
fn vented() -> String {
    let blowdown = ready_made().iter().find(|s| s.name == "blowdown-water");
    let text = blowdown.expect("it is there").text;
    let (before, _) = text.split_once("[[sequence]]").expect("it has steps");
    format!(
        r#"{before}
[valve.vent]
from = "fuel.gas"
to = "ambient"
flow_coefficient = "2 Cv"
stroke_time = "50 ms"
[[sequence]]
at = "0.2 s"
open = "vent"
[run]
until = "20 s"
"#
    )
}

#[test]
fn a_vented_tank_grows_cold_and_the_run_goes_on() {
    let prediction = run(&vented(), &[]);
    let history = &prediction.outcome.history;
    let ullage = history.column("fuel.ullage_temperature_k");
    let ullage = ullage.expect("the tank has an ullage");
    let coldest = ullage.into_iter().fold(f64::INFINITY, f64::min);
    // It must be colder than the table of the vapour's transport begins (150 K), and warmer than
    // nitrogen that expands without heat from 29 to 1 bar: 291 K * 29^(-2/7) = 111 K.
    assert!(coldest > 111.0 && coldest < 150.0, "{coldest}");
    let mut warnings = prediction.warnings.iter();
    assert!(warnings.any(|w| w.message.contains("frost")));
    assert!(prediction.hand_checks.is_empty(), "no liquid flows");
}

#[test]
fn no_check_by_hand_stands_beside_liquid_that_flows_back() {
    let text = ready_made()[1].text;
    let back = [
        ("tank.fuel.pressure", "0.1 bar(g)"),
        ("line.feed.rise", "8 m"),
    ];
    let prediction = run(text, &back);
    assert!(figure(&prediction, "run.steady_flow_kg_s") < 0.0);
    for check in &prediction.hand_checks {
        assert!(check.by_hand > 0.0, "{check:?}");
        assert!(!check.label.starts_with("run"), "{check:?}");
    }
}
