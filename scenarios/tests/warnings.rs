//! Stands that can be run but deserve a second look, as snapshots.

mod support;

fn warned(overrides: &[(&str, &str)]) -> String {
    let text = scenarios::ready_made()[0].text;
    let overrides: Vec<(String, String)> = overrides
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let stand = scenarios::load_with(text, &overrides).expect("it can be run");
    support::plain(text, &overrides, &stand.warnings)
}

#[test]
fn a_supply_below_the_set_pressure() {
    insta::assert_snapshot!(warned(&[("bottle.supply.pressure", "30 bar(g)")]));
}

#[test]
fn a_step_after_the_end_of_the_run() {
    insta::assert_snapshot!(warned(&[("run.until", "4 s")]));
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
    let stand = scenarios::load(text).expect("it can be run");
    insta::assert_snapshot!(support::plain(text, &[], &stand.warnings));
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
    let stand = scenarios::load(text).expect("it can be run");
    insta::assert_snapshot!(support::plain(text, &[], &stand.warnings));
}

#[test]
fn a_pressure_that_still_rises_at_the_end() {
    let text = scenarios::ready_made()[0].text;
    let code = |until: &str| {
        let overrides = [("run.until".to_owned(), until.to_owned())];
        let stand = scenarios::load_with(text, &overrides).expect("it can be run");
        let options = scenarios::predict::PredictOptions {
            tolerance: None,
            integrator: sim_core::outcome::Integrator::Rodas5p,
        };
        let warnings = scenarios::predict(&stand, &options).warnings;
        let rising = warnings.into_iter().filter(|w| w.code == "run-3");
        rising.map(|w| w.message).collect::<Vec<_>>().join("\n")
    };
    // Half a second into the filling of the tank, and long after it.
    assert!(code("0.5 s").contains("fuel: "), "{}", code("0.5 s"));
    assert!(!code("25 s").contains("fuel: "), "{}", code("25 s"));
}
