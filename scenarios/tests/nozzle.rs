//! Critical-flow nozzles in a stand file.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::load;
use sim_core::components::gas::{GasSide, viscosity};
use sim_core::components::restriction::nozzle_flux;
use std::f64::consts::PI;

/// A bottle that empties through a nozzle for as long as that chokes.
const STAND: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "50 L"
pressure = "100 bar(a)"
temperature = "300 K"
[orifice.meter]
from = "supply"
to = "ambient"
diameter = "5 mm"
throat_shape = "toroidal"
[run]
until = "10 s"
"#;

fn changed(from: &str, to: &str) -> String {
    assert!(STAND.contains(from), "{from}");
    STAND.replace(from, to)
}

fn warnings(text: &str) -> String {
    let found = run(text, &[]).warnings.into_iter();
    let found = found.filter(|w| w.code == "gas-10").map(|w| w.message);
    found.collect::<Vec<_>>().join("\n")
}

/// Closed form: the run begins with the flux of the bottle's gas times the throat's area times the coefficient at
/// that flow's Reynolds number. 1e-6 is what levelling out at rest moves, times five.
#[test]
fn a_run_flows_by_the_coefficient_of_the_standard() {
    let prediction = run(STAND, &[]);
    let history = &prediction.outcome.history;
    let flow = history.column("meter.mass_flow_kg_s").expect("a column")[0];
    let gas = &prediction.network.mixtures[0];
    let supply = prediction.network.volumes[0].gas().expect("a gas");
    let up = GasSide::<f64>::constant(gas, 1e7, 300.0, &supply.mole_fractions).expect("a state");
    let flux = nozzle_flux(gas, &up, 101_325.0).expect("a flux");
    let reynolds = 4.0 * flow / (PI * 5e-3 * viscosity(gas, &up).expect("a viscosity"));
    let expected = (0.9959 - 2.720 / reynolds.sqrt()) * flux * PI / 4.0 * 5e-3 * 5e-3;
    assert!((flow / expected - 1.0).abs() < 1e-6, "{flow} {expected}");
    let told = prediction.summary.get("meter.discharge_coefficient_1");
    assert!(told.is_some_and(|cd| (cd - (0.9959 - 2.720 / reynolds.sqrt())).abs() < 1e-6));
    assert!(prediction.outcome.balances.mass_relative.abs() < 1e-9);
    assert!(prediction.outcome.balances.energy_relative.abs() < 1e-6);
    assert_eq!(warnings(STAND), "");
}

/// Property: once the bottle no longer chokes the nozzle, a narrow throat, and gas that runs backward are told.
#[test]
fn it_warns_outside_of_the_standard() {
    let emptied = warnings(&changed(
        "pressure = \"100 bar(a)\"",
        "pressure = \"1.7 bar(a)\"",
    ));
    assert!(
        emptied.contains("not critical, the first time at 0.000 s"),
        "{emptied}"
    );
    let narrow = warnings(&changed("diameter = \"5 mm\"", "diameter = \"0.01 mm\""));
    assert!(narrow.contains("Reynolds number of its throat"), "{narrow}");
    let turned = "from = \"ambient\"\nto = \"supply\"";
    let backward = warnings(&changed("from = \"supply\"\nto = \"ambient\"", turned));
    assert!(backward.contains("backward"), "{backward}");
}

/// Property: a vessel below the pressure of the air draws it in by the coefficient of the standard too, and is
/// warned of once the flow is not critical; at rest there is neither coefficient nor warning.
#[test]
fn the_open_air_may_stand_before_it_and_rest_is_no_flow() {
    let turned = changed(
        "from = \"supply\"\nto = \"ambient\"",
        "from = \"ambient\"\nto = \"supply\"",
    );
    let with = |pressure: &str| turned.replace("100 bar(a)", pressure);
    let drawn = with("0.3 bar(a)");
    let coefficient = run(&drawn, &[])
        .summary
        .get("meter.discharge_coefficient_1");
    assert!(
        coefficient.is_some_and(|cd| cd > 0.97 && cd < 0.9959),
        "{coefficient:?}"
    );
    assert!(
        warnings(&drawn).contains("not critical"),
        "{}",
        warnings(&drawn)
    );
    let still = with("1.01325 bar(a)").replace("300 K", "288.15 K");
    let still = still + "[ambient]\npressure = \"1.01325 bar(a)\"\ntemperature = \"288.15 K\"\n";
    assert_eq!(
        run(&still, &[])
            .summary
            .get("meter.discharge_coefficient_1"),
        None
    );
    assert_eq!(warnings(&still), "");
}

#[test]
fn liquid_is_refused() {
    let more = r#"
[orifice.fill]
from = "supply"
to = "fuel"
effective_area = "2 mm2"
[tank.fuel]
volume = "19 L"
diameter = "230 mm"
liquid = "water"
fill = "14 L"
gas = "nitrogen"
"#;
    let text = changed("from = \"supply\"", "from = \"fuel\"") + more;
    let errors = load(&text).expect_err("a nozzle is for gas");
    let refused = errors.iter().find(|e| e.code == "plumbing-8");
    assert!(
        refused.is_some_and(|e| e.message.contains("throat_shape")),
        "{errors:?}"
    );
}
