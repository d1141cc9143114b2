//! A cold tank does not leave the range of its properties in silence: what freezes or condenses is
//! named, by an error or a warning.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::{run, run_as_far_as_it_goes};
use scenarios::predict::Prediction;

/// A tank of a liquid that a bottle of a gas pushes through a regulator.
fn pushed(liquid: &str, gas: &str, more: &str) -> String {
    format!(
        r#"
        [bottle.supply]
        gas = "{gas}"
        volume = "10 L"
        pressure = "100 bar(g)"
        [regulator.press]
        from = "supply"
        to = "cold"
        set_pressure = "3 bar(g)"
        droop = "0.5 bar"
        flow_coefficient = "0.1 Cv"
        response_time = "10 ms"
        [tank.cold]
        volume = "20 L"
        diameter = "230 mm"
        liquid = "{liquid}"
        saturated_at = "1.013 bar(a)"
        fill = "17 L"
        gas = "{gas}"
        {more}
        [run]
        until = "5 s"
        output_step = "50 ms"
        "#
    )
}

fn warned(prediction: &Prediction) -> String {
    let texts = prediction
        .warnings
        .iter()
        .map(|w| format!("{}: {}", w.code, w.message));
    texts.collect::<Vec<_>>().join("\n")
}

/// Nitrogen freezes at 63.151 K (triple point, Span et al. 2000), over hydrogen at 20.3 K; argon at
/// 83.806 K (Tegeler et al. 1999), over nitrogen at 77.4 K. Helium does not freeze.
#[test]
fn a_pressurant_that_freezes_is_named() {
    for (liquid, gas, triple) in [
        ("hydrogen", "nitrogen", "-210.0 °C"),
        ("nitrogen", "argon", "-189.3 °C"),
    ] {
        let prediction = run_as_far_as_it_goes(&pushed(liquid, gas, ""), &[]);
        let told = warned(&prediction);
        assert!(
            told.contains(&format!("gas-7: cold: {gas} freezes at {triple}")),
            "{told}"
        );
    }
    let helium = run(&pushed("hydrogen", "helium", ""), &[]);
    assert!(!warned(&helium).contains("gas-7"), "{}", warned(&helium));
}

/// Water freezes at 273.16 K: where the gas of a cold tank mixes with that of a tank of water, its
/// vapour may get there.
#[test]
fn water_vapour_that_freezes_is_named() {
    let water = r#"
        [tank.wet]
        volume = "20 L"
        diameter = "230 mm"
        liquid = "water"
        fill = "15 L"
        gas = "nitrogen"
        [orifice.common]
        from = "wet.gas"
        to = "cold.gas"
        effective_area = "1 mm2"
        [run]
        "#;
    let text = pushed("oxygen", "nitrogen", "").replace("[run]", water);
    let told = warned(&run_as_far_as_it_goes(&text, &[]));
    assert!(
        told.contains("gas-7: cold: water freezes at 0.0 °C"),
        "{told}"
    );
}

/// A vent into a chamber at 50 mbar boils liquid nitrogen down to its triple point, 125 mbar and
/// 63.151 K: the run ends there and names it.
#[test]
fn a_liquid_that_freezes_as_it_boils_ends_the_run() {
    let text = r#"
        [ambient]
        pressure = "50 mbar(a)"
        [tank.cold]
        volume = "2 L"
        diameter = "120 mm"
        liquid = "nitrogen"
        saturated_at = "1.013 bar(a)"
        pressure = "1.013 bar(a)"
        fill = "0.5 L"
        gas = "helium"
        heat_transfer = "none"
        layers = 1
        [orifice.vent]
        from = "cold.gas"
        to = "ambient"
        effective_area = "300 mm2"
        [run]
        until = "600 s"
        output_step = "1 s"
        "#;
    let failure = run_as_far_as_it_goes(text, &[])
        .outcome
        .failure
        .expect("it freezes");
    assert!(failure.message.contains("nitrogen"), "{}", failure.message);
    assert!(
        failure.message.contains("temperature"),
        "{}",
        failure.message
    );
}

/// Nitrogen in bubbles through liquid oxygen at 20 bar comes up at 90 K, where it boils at 3.66 bar: it
/// would be liquid, and the run ends with that.
#[test]
fn gas_that_would_condense_ends_the_run_in_words() {
    let text = pushed("oxygen", "nitrogen", "inlet = \"bubbled\"");
    let text = text
        .replace("3 bar(g)", "20 bar(g)")
        .replace("5 s", "60 s")
        .replace("10 L", "50 L");
    let failure = run_as_far_as_it_goes(&text, &[])
        .outcome
        .failure
        .expect("it condenses");
    assert!(
        failure.message.contains("would condense"),
        "{}",
        failure.message
    );
    assert!(failure.message.contains("nitrogen"), "{}", failure.message);
}

/// The warm surface of liquid nitrogen boils at 117.6 K under 22 bar(g), where its heat capacity has
/// doubled: the search for its temperature oversteps the end of the range, 122.4 K, and comes back.
#[test]
fn a_surface_near_the_critical_point_is_no_end_of_a_run() {
    for set in ["22 bar(g)", "26 bar(g)"] {
        let stands = scenarios::ready_made();
        let ready = stands.iter().find(|s| s.name == "ln2-cold-flow");
        let text = ready.expect("it is ready made").text;
        let outcome = run(text, &[("regulator.press.set_pressure", set)]).outcome;
        let column = outcome.history.index_of("ln2.surface_temperature_k");
        let hottest = outcome.extremes[column.expect("it is there")]
            .greatest
            .value;
        assert!(hottest > 115.0 && hottest < 122.4, "{hottest}");
    }
}
