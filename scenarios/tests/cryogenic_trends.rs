//! How the collapse factor and the need of gas move with what drives them.

use scenarios::ready_made;
use scenarios::summary::{Summary, simulate};
use sim_core::outcome::Outcome;

/// The ready-made oxygen stand with other values in place of its own.
fn oxygen(changes: &[(&str, &str)]) -> (Summary, Outcome) {
    let stand = ready_made().iter().find(|s| s.name == "lox-helium");
    let owned = |(key, value): &(&str, &str)| ((*key).to_owned(), (*value).to_owned());
    let changes: Vec<_> = changes.iter().map(owned).collect();
    let stand = scenarios::load_with(stand.expect("it is there").text, &changes);
    let stand = stand.unwrap_or_else(|e| panic!("{e:?}"));
    let network = stand.lower();
    let outcome = simulate(&network, &stand.run);
    assert_eq!(outcome.failure, None);
    (Summary::of(&network, &outcome), outcome)
}

fn figure(changes: &[(&str, &str)], name: &str) -> f64 {
    oxygen(changes).0.get(name).expect(name)
}

fn rising(values: &[f64]) -> bool {
    values.windows(2).all(|pair| pair[1] > pair[0])
}

/// Held under pressure without flow the gas cools, and every second takes more of it.
#[test]
fn it_rises_while_the_tank_is_held() {
    let history = oxygen(&[]).1.history;
    let column = |name: &str| history.column(name).expect(name);
    let (time, factor) = (column("time_s"), column("lox.collapse_factor_1"));
    let held: Vec<f64> = time
        .iter()
        .zip(&factor)
        .filter(|(t, _)| (12.0..30.0).contains(*t))
        .step_by(50)
        .map(|(_, f)| *f)
        .collect();
    assert!(held.len() > 10 && rising(&held), "{held:?}");
}

/// A slower expulsion gives wall and surface more time; a heavier wall and a warmer gas, which is
/// farther from the liquid's temperature, have more to exchange.
#[test]
fn it_rises_with_time_heat_capacity_and_cold() {
    let flow = "lox.collapse_factor_flow_1";
    let tips = [("9 mm", "40 s"), ("5.5 mm", "50 s"), ("4 mm", "75 s")];
    let by_time = tips
        .map(|(tip, until)| figure(&[("orifice.tip.diameter", tip), ("run.until", until)], flow));
    assert!(rising(&by_time), "{by_time:?}");
    let by_wall = ["2 kg", "8 kg", "32 kg"].map(|m| figure(&[("tank.lox.wall_mass", m)], flow));
    assert!(rising(&by_wall), "{by_wall:?}");
    let by_cold = ["240 K", "290 K", "340 K"].map(|t| {
        let keys = ["bottle.supply.temperature", "plenum.press_line.temperature"];
        figure(&keys.map(|key| (key, t)), flow)
    });
    assert!(rising(&by_cold), "{by_cold:?}");
}

/// About 1 % less helium for 10 K of inlet temperature (Stochl et al., NASA TN D-7019, abstract, liquid
/// hydrogen): another liquid and another tank, so that the trend may be half or twice that.
#[test]
fn warmer_gas_is_needed_less_of() {
    let used = |t: &str| {
        let keys = ["bottle.supply.temperature", "plenum.press_line.temperature"];
        figure(&keys.map(|key| (key, t)), "lox.pressurant_kg")
    };
    let fall = (1.0 - used("310 K") / used("270 K")) / 4.0;
    assert!((0.005..0.02).contains(&fall), "{fall} for 10 K");
}

/// One mixed zone and many layers are the two ends of what an ullage may do: what twelve layers
/// need lies between them. They are 5 % apart at most: layers keep hot gas from the liquid, but
/// press it against the wall. More layers change the need less and less.
#[test]
fn one_layer_and_many_bracket() {
    let used = |n: &str| figure(&[("tank.lox.layers", n)], "lox.pressurant_kg");
    let (one, many) = (used("1"), used("24"));
    let steps = ["3", "6", "12"].map(used);
    for need in steps {
        assert!(one < need && need < many, "{one}, {need}, {many}");
    }
    assert!(many / one < 1.05, "{one}, {many}");
    let changes = [steps[1] - steps[0], steps[2] - steps[1], many - steps[2]].map(f64::abs);
    assert!(
        changes[2] < changes[0] && changes[2] < 0.02 * steps[2],
        "{steps:?}, {many}"
    );
}
