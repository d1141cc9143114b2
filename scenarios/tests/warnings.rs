//! Stands that can be run but deserve a second look, as snapshots.

#[path = "support/prediction.rs"]
mod prediction;
mod support;

use prediction::{checked, run};

fn warned(text: &str, overrides: &[(&str, &str)]) -> String {
    let stand = checked(text, overrides);
    support::plain(text, &stand.overrides, &stand.warnings)
}

fn demonstration() -> &'static str {
    scenarios::ready_made()[0].text
}

#[test]
fn a_supply_below_the_set_pressure() {
    insta::assert_snapshot!(warned(
        demonstration(),
        &[("bottle.supply.pressure", "30 bar(g)")]
    ));
}

#[test]
fn a_step_after_the_end_of_the_run() {
    insta::assert_snapshot!(warned(demonstration(), &[("run.until", "4 s")]));
}

#[test]
fn a_valve_that_is_never_commanded() {
    let text = r#"
[bottle.supply]
gas = "helium"
volume = "1 L"
pressure = "100 bar(g)"

[valve.vent]
from = "supply"
to = "ambient"
effective_area = "1 mm2"
stroke_time = "50 ms"

[run]
until = "1 s"
"#;
    insta::assert_snapshot!(warned(text, &[]));
}

#[test]
fn a_volume_by_itself() {
    let text = r#"
[bottle.supply]
gas = "helium"
volume = "1 L"
pressure = "100 bar(g)"

[run]
until = "1 s"
"#;
    insta::assert_snapshot!(warned(text, &[]));
}

#[test]
fn a_pressure_that_still_rises_at_the_end() {
    let code = |until: &str| {
        let warnings = run(demonstration(), &[("run.until", until)]).warnings;
        let rising = warnings.into_iter().filter(|w| w.code == "run-3");
        rising.map(|w| w.message).collect::<Vec<_>>().join("\n")
    };
    // Half a second into the filling of the tank, and long after it.
    assert!(code("0.5 s").contains("fuel: "), "{}", code("0.5 s"));
    assert!(!code("25 s").contains("fuel: "), "{}", code("25 s"));
}
