//! Valves between pipes of other bores and in flow that is not turbulent, through whole runs.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::{CheckedStand, load, ready_made};

/// The demonstration, over soon, with keys added to its valve of 12 Cv or to its feeding tank.
fn demonstration(of_valve: &str, liquid: &str) -> String {
    let text = ready_made()[0].text;
    text.replace("[valve.run]", &format!("[valve.run]\n{of_valve}"))
        .replace("liquid = \"water\"", &format!("liquid = \"{liquid}\""))
        .replace("until = \"25 s\"", "until = \"8 s\"")
}

fn stand(of_valve: &str, liquid: &str) -> CheckedStand {
    load(&demonstration(of_valve, liquid)).unwrap_or_else(|e| panic!("{of_valve}: {e:?}"))
}

/// Steady flow in kg/s; the run goes to its end with its balances closed.
fn steady_kg_s(of_valve: &str, liquid: &str) -> f64 {
    let prediction = run(&demonstration(of_valve, liquid), &[]);
    assert!(prediction.outcome.balances.mass_relative.abs() < 1e-9);
    let flow = prediction.summary.get("run.steady_flow_kg_s");
    flow.expect("the valve is commanded open")
}

/// Pipes of the valve's own bore take nothing. The equations are the same; the steps of the runs
/// are not: a hundred times their tolerance of 1e-6.
#[test]
fn pipes_of_its_own_bore_take_nothing() {
    let own = "bore = \"22 mm\"\nbore_before = \"22 mm\"";
    let (with, without) = (steady_kg_s(own, "water"), steady_kg_s("", "water"));
    assert!((with / without - 1.0).abs() < 1e-4, "{with} {without}");
}

/// Closed form: reducers of 12 mm in 24 mm lose `0.5 (1 - 1/4)^2 + (1 - 1/4)^2` heads in the bore, which
/// is what a minor loss of so much on the line's 15.5 mm, times (15.5/12)^4, loses.
#[test]
fn reducers_lose_what_they_would_lose_in_the_line() {
    let reduced = "bore = \"12 mm\"\nbore_before = \"24 mm\"\nbore_after = \"24 mm\"";
    let with = steady_kg_s(reduced, "water");
    let heads = 1.5 * 0.75_f64.powi(2) * (15.5_f64 / 12.0).powi(4);
    let text = demonstration("", "water")
        .replace("minor_loss = 2.4", &format!("minor_loss = {}", 2.4 + heads));
    let in_line = run(&text, &[]);
    let in_line = in_line.summary.get("run.steady_flow_kg_s").expect("a flow");
    assert!((with / in_line - 1.0).abs() < 1e-4, "{with} {in_line}");
    assert!(with < 0.995 * steady_kg_s("", "water"));
}

/// At 10^5 and more the factor is one; water at that is not changed.
#[test]
fn turbulent_flow_has_no_reynolds_factor() {
    let styled = "bore = \"22 mm\"\nstyle_modifier = 0.98";
    let (with, without) = (steady_kg_s(styled, "water"), steady_kg_s("", "water"));
    assert!((with / without - 1.0).abs() < 1e-4, "{with} {without}");
}

/// A needle of 0.004 Cv that recovers no pressure, so that it does not choke: with kerosene it is in
/// its transitional branch and passes less.
#[test]
fn a_needle_in_viscous_flow_passes_less() {
    let needle = |keys: &str| {
        let text = demonstration(keys, "kerosene");
        let text = text.replace(
            "flow_coefficient = \"12 Cv\"",
            "flow_coefficient = \"0.004 Cv\"",
        );
        let prediction = run(&text, &[]);
        prediction
            .summary
            .get("run.steady_flow_kg_s")
            .expect("a flow")
    };
    let (viscous, turbulent) = (
        needle("liquid_recovery = 1\nbore = \"6 mm\"\nstyle_modifier = 0.09"),
        needle(""),
    );
    assert!(viscous < 0.95 * turbulent, "{viscous} {turbulent}");
    assert!(viscous > 0.3 * turbulent, "{viscous} {turbulent}");
}

/// A needle that bleeds a bottle of helium: its flow is in transition and takes less than if it were
/// turbulent; mass and energy are kept, and its recovery is taken for granted.
#[test]
fn a_needle_in_viscous_gas_passes_less() {
    let bleed = |keys: &str| {
        let text = format!(
            r#"
            [bottle.supply]
            gas = "helium"
            volume = "1 L"
            pressure = "3 bar(a)"
            [valve.needle]
            from = "supply"
            to = "ambient"
            flow_coefficient = "0.002 Cv"
            xt = 0.8
            stroke_time = "10 ms"
            at_start = "open"
            {keys}
            [run]
            until = "60 s"
            "#
        );
        let found = run(&text, &[]);
        let balances = &found.outcome.balances;
        assert!(balances.mass_relative < 1e-9, "{balances:?}");
        assert!(balances.energy_relative < 1e-6, "{balances:?}");
        let column = found.outcome.history.column("supply.gas_mass_kg");
        let kg = column.expect("the bottle's gas");
        kg[0] - kg[kg.len() - 1]
    };
    let turbulent = bleed("");
    let viscous = bleed("bore = \"6 mm\"\nstyle_modifier = 0.09");
    assert!(viscous < 0.9 * turbulent, "{viscous} {turbulent}");
    assert!(viscous > 0.2 * turbulent, "{viscous} {turbulent}");
}

#[test]
fn what_is_wrong_is_refused_with_a_remedy() {
    let codes = |keys: &str| {
        let faults = load(&demonstration(keys, "water")).expect_err(keys);
        assert!(faults.iter().all(|f| !f.remedies.is_empty()), "{faults:?}");
        faults.iter().map(|f| f.code).collect::<Vec<_>>()
    };
    assert_eq!(codes("bore_before = \"28 mm\""), ["file-5"]);
    assert_eq!(
        codes("bore = \"22 mm\"\nbore_after = \"15 mm\""),
        ["state-1"]
    );
    let area = demonstration("bore = \"22 mm\"\nbore_after = \"25 mm\"", "water").replace(
        "flow_coefficient = \"12 Cv\"",
        "effective_area = \"100 mm2\"",
    );
    let faults = load(&area).expect_err("an area has no reducers");
    assert_eq!(faults[0].code, "file-10");
}

/// 12 Cv have the area of 16 mm; the standard holds up to about the whole bore.
#[test]
fn a_bore_too_small_for_the_standard_warns() {
    let misfits = |bore: &str| {
        let keys = format!("bore = \"{bore}\"\nbore_before = \"28 mm\"");
        let warnings = stand(&keys, "water").warnings;
        warnings.iter().filter(|w| w.code == "state-14").count()
    };
    assert_eq!([misfits("14 mm"), misfits("20 mm")], [1, 0]);
}
