//! Nitrous oxide that pushes itself out: a liquefied gas under its own vapour.

use scenarios::predict::{PredictOptions, predict};
use sim_core::outcome::Integrator;
use sim_core::simulate;

/// A tank of 20 L, filled to 12 L at 20 degC with saturated liquid.
const TANK: &str = r#"
    [tank.run]
    volume = "20 L"
    diameter = "200 mm"
    liquid = "nitrous oxide"
    gas = "helium"
    fill = "12 L"
    temperature = "293.15 K"
    pressure = "50.526 bar(a)"
"#;

/// The tank without heat from outside, that drains. How quickly vapour follows is in `how`.
fn drained(how: &str) -> impl Fn(&str, f64) -> f64 {
    let text = format!(
        r#"
        {TANK}
        ullage_temperature = "293.2 K"
        heat_transfer = "none"
        heat_leak = "0 W"
        residual = "0.1 L"
        {how}
        [orifice.drain]
        from = "run"
        to = "ambient"
        diameter = "4 mm"
        discharge_coefficient = 0.7
        [run]
        until = "20 s"
        output_step = "20 ms"
        "#
    );
    let stand = scenarios::load(&text).unwrap_or_else(|e| panic!("{e:?}"));
    let outcome = simulate(&stand.lower(), &stand.run);
    let history = outcome.history;
    move |name: &str, kg: f64| {
        let column = |name: &str| history.column(&format!("run.{name}")).expect("it is there");
        let (liquid, gas) = (column("liquid_mass_kg"), column("gas_mass_kg"));
        let left = |row: usize| liquid[row] + gas[row];
        let row = (0..liquid.len()).find(|&row| left(0) - left(row) >= kg);
        column(name)[row.expect("so much has drained")]
    }
}

const EQUILIBRIUM: &str = "layers = 1\ninterface_heat_transfer = \"3000 W/K\"\nliquid_mixing = 1e4\nflash_time = \"5 ms\"";

/// In equilibrium the tank is one substance at one temperature: `dU = h_l dm` along the saturation
/// line at constant volume, integrated with CoolProp 8 (Lemmon and Span 2006) in steps of 2 g. Drained
/// kg, K, Pa, kg of vapour. 5 % of the fall in temperature, 1 % of pressure and vapour: the model's
/// liquid keeps the properties of the highest pressure, 7 to 10 bar above its own in the end,
/// which at constant temperature is worth 2 kJ/kg, most of a kelvin for all of it.
#[test]
fn equilibrium_follows_the_saturation_line() {
    let read = drained(EQUILIBRIUM);
    for (kg, temperature_k, pressure_pa, vapour_kg) in [
        (2.0, 289.979_445, 4_698_948.0, 1.598_093),
        (4.0, 286.629_924, 4_346_217.0, 1.807_368),
        (6.0, 283.010_358, 3_987_798.0, 1.917_093),
    ] {
        let fall = (293.15 - read("liquid_temperature_k", kg)) / (293.15 - temperature_k);
        assert!(
            (fall - 1.0).abs() < 5e-2,
            "{fall} of the fall after {kg} kg"
        );
        let found = read("pressure_pa", kg) / pressure_pa;
        assert!(
            (found - 1.0).abs() < 1e-2,
            "{found} of the pressure after {kg} kg"
        );
        let found = read("gas_mass_kg", kg) / vapour_kg;
        assert!(
            (found - 1.0).abs() < 1e-2,
            "{found} of the vapour after {kg} kg"
        );
    }
}

/// A liquid that lags lets the pressure fall below that of its own boiling: deeper the longer it
/// takes, and never above equilibrium.
#[test]
fn a_liquid_that_lags_has_less_pressure() {
    let mut before = drained(EQUILIBRIUM)("pressure_pa", 2.0);
    for flash in ["100 ms", "1 s", "4 s"] {
        let how = format!("layers = 1\nflash_time = \"{flash}\"");
        let read = drained(&how);
        let (pressure, boiling) = (read("pressure_pa", 2.0), read("vapour_pressure_pa", 2.0));
        assert!(pressure < boiling, "{flash}: {pressure} over {boiling} Pa");
        assert!(pressure < before, "{flash}: {pressure} after {before} Pa");
        before = pressure;
    }
}

/// Liquid that cools as it boils becomes denser in the moving column of its line, too, and changes what
/// that has of kinetic energy. The bar of every run, 1e-6 of work and heat.
#[test]
fn a_line_that_cools_as_it_drains_balances() {
    let text = r#"
        [line.feed]
        from = "run"
        length = "1 m"
        bore = "10 mm"
        rise = "-0.5 m"
        [valve.main]
        from = "feed"
        flow_coefficient = "2 Cv"
        stroke_time = "100 ms"
        [orifice.tip]
        from = "main"
        to = "ambient"
        diameter = "4 mm"
        discharge_coefficient = 0.7
        [[sequence]]
        at = "1 s"
        open = "main"
        [run]
        until = "20 s"
        "#;
    let text = format!("{TANK}{text}");
    let stand = scenarios::load(&text).unwrap_or_else(|e| panic!("{e:?}"));
    let balances = simulate(&stand.lower(), &stand.run).balances;
    assert!(balances.mass_relative < 1e-9, "{balances:?}");
    assert!(balances.energy_relative < 1e-6, "{balances:?}");
}

/// Nothing presses it but its own vapour: it has no hold before pressurisation, and what flashes while it drains
/// is no boil-off of one.
#[test]
fn a_tank_that_pushes_itself_has_no_boil_off_of_a_hold() {
    let text = format!(
        r#"
        {TANK}
        [valve.open]
        from = "run"
        effective_area = "12 mm2"
        stroke_time = "50 ms"
        [orifice.drain]
        from = "open"
        to = "ambient"
        diameter = "4 mm"
        discharge_coefficient = 0.7
        [[sequence]]
        at = "5 s"
        open = "open"
        [run]
        until = "8 s"
        output_step = "20 ms"
        "#
    );
    let stand = scenarios::load(&text).unwrap_or_else(|e| panic!("{e:?}"));
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    assert_eq!(prediction.outcome.failure, None);
    assert!(
        prediction
            .summary
            .get("run.liquid_temperature_end_k")
            .is_some()
    );
    assert_eq!(prediction.summary.get("run.boil_off_kg_s"), None);
}
