//! Bottles whose gas is liquid at the start, or becomes so.

use fluids::PureFluid;
use scenarios::load_with;
use scenarios::predict::{PredictOptions, predict};
use sim_core::outcome::Integrator;

const BOTTLE: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "10 L"
pressure = "300 bar(a)"
temperature = "290 K"
heat_transfer = "none"
[orifice.vent]
from = "supply"
to = "ambient"
effective_area = "30 mm2"
[run]
until = "40 s"
"#;

fn overrides(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    pairs.iter().map(owned).collect()
}

#[test]
fn a_bottle_of_liquid_is_refused_with_the_pressure_at_which_it_is_gas() {
    // Vapour pressures of the equations of state (checked with the fluids).
    for (gas, pressure, temperature) in [
        ("carbon dioxide", "100 bar(a)", "290 K"),
        ("methane", "20 bar(a)", "150 K"),
    ] {
        let changed = overrides(&[
            ("bottle.supply.gas", gas),
            ("bottle.supply.pressure", pressure),
            ("bottle.supply.temperature", temperature),
        ]);
        let errors = load_with(BOTTLE, &changed).expect_err("it is liquid");
        let [error] = &errors[..] else {
            panic!("{errors:?}");
        };
        assert_eq!(error.code, "state-13");
        assert!(error.remedies[0].contains("gas below"), "{error:?}");
    }
    let gas = overrides(&[
        ("bottle.supply.gas", "carbon dioxide"),
        ("bottle.supply.pressure", "40 bar(a)"),
    ]);
    assert!(load_with(BOTTLE, &gas).is_ok());
}

#[test]
fn nitrogen_without_heat_condenses_as_its_isentrope_says() {
    let stand = load_with(BOTTLE, &[]).expect("a gas");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    assert_eq!(prediction.outcome.failure, None);
    let mut warnings = prediction.warnings.iter().filter(|w| w.code == "gas-5");
    let message = &warnings.next().expect("it condenses").message;
    assert!(warnings.next().is_none());
    // The share at the end of the run, on the isentrope through the start.
    let nitrogen = PureFluid::named("nitrogen").expect("known");
    let start = nitrogen.by_pressure_temperature(300e5, 290.0).expect("gas");
    let mass = prediction.outcome.history.column("supply.gas_mass_kg");
    let left_kg = mass.expect("a column").pop().expect("a row");
    let end = nitrogen.by_density_entropy(left_kg / 0.01, start.entropy_j_kg_k);
    let liquid = 1.0 - end.expect("two phases").quality.expect("two phases");
    let part = message.split("up to ").nth(1).expect("a share");
    let shown: f64 = part
        .split(' ')
        .next()
        .expect("a number")
        .parse()
        .expect("a number");
    // Shown with one decimal; the share of liquid grows to the end.
    assert!((shown - 100.0 * liquid).abs() < 0.2, "{shown} {liquid}");
}

#[test]
fn a_warm_bottle_does_not_condense() {
    let warm = overrides(&[
        ("bottle.supply.pressure", "50 bar(a)"),
        ("run.until", "5 s"),
    ]);
    let stand = load_with(BOTTLE, &warm).expect("a gas");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let warnings = predict(&stand, &options).warnings;
    assert!(warnings.iter().all(|w| w.code != "gas-5"), "{warnings:?}");
}
