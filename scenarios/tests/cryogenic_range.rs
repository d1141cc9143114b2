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
/// 63.151 K (Span et al. 2000), liquid methane to 117 mbar and 90.694 K (Setzmann and Wagner 1991): the
/// run ends there, names it and says what helps, however the ullage is divided.
#[test]
fn a_liquid_that_freezes_as_it_boils_ends_the_run() {
    for (liquid, layers, triple) in [
        ("nitrogen", "1", "-209.999 °C"),
        ("nitrogen", "12", "-209.999 °C"),
        ("methane", "1", "-182.4559 °C"),
        ("methane", "12", "-182.4559 °C"),
    ] {
        let text = format!(
            r#"
            [ambient]
            pressure = "50 mbar(a)"
            [tank.cold]
            volume = "2 L"
            diameter = "120 mm"
            liquid = "{liquid}"
            saturated_at = "1.013 bar(a)"
            pressure = "1.013 bar(a)"
            fill = "0.5 L"
            gas = "helium"
            heat_transfer = "none"
            layers = {layers}
            [orifice.vent]
            from = "cold.gas"
            to = "ambient"
            effective_area = "30 mm2"
            [run]
            until = "600 s"
            output_step = "1 s"
            "#
        );
        let failure = run_as_far_as_it_goes(&text, &[])
            .outcome
            .failure
            .expect("it freezes");
        for told in [
            &*format!("{liquid} freezes: its temperature has come down to {triple}"),
            "let it boil under a higher pressure",
        ] {
            assert!(failure.message.contains(told), "{}", failure.message);
        }
    }
}

/// Nitrogen in bubbles through liquid oxygen at 20 bar comes up at 90 K, where it boils at 3.66 bar: it
/// is liquid.
fn bubbled_at_20_bar(dissolution: &str) -> Prediction {
    let more = format!("inlet = \"bubbled\"\ndissolution = \"{dissolution}\"");
    let text = pushed("oxygen", "nitrogen", &more)
        .replace("3 bar(g)", "20 bar(g)")
        .replace("5 s", "60 s")
        .replace("10 L", "50 L");
    run_as_far_as_it_goes(&text, &[])
}

/// What condenses comes down into the oxygen, and the run goes on with its balances (the bars of every
/// run): an ullage of pure nitrogen is as warm as it boils there, 115.8 K at 20 bar (Span et al. 2000), or
/// warmer.
#[test]
fn gas_that_condenses_comes_down() {
    let outcome = bubbled_at_20_bar("diffusion").outcome;
    assert_eq!(outcome.failure, None);
    assert!(outcome.balances.mass_relative < 1e-9);
    assert!(outcome.balances.energy_relative < 1e-6);
    let last = |name: &str| {
        let column = outcome.history.column(name).expect("it is there");
        column[column.len() - 1]
    };
    assert!(last("cold.dissolved_kg") > 0.01);
    assert!(last("cold.pressure_pa") > 20e5 && last("cold.ullage_temperature_k") > 115.8);
}

/// Where nothing is to go into the liquid, the run ends with that.
#[test]
fn gas_that_would_condense_ends_the_run_in_words() {
    let failure = bubbled_at_20_bar("none")
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

fn dissolves(told: &str) -> Option<&str> {
    told.lines().find(|line| line.starts_with("gas-4"))
}

/// What goes into a liquid that it is pushed over, in equilibrium of an ideal solution at 20 bar(g), 21.01 bar(a):
/// argon boils at 1.36 bar(a) at 90.2 K (Tegeler et al. 1999), nitrogen at 3.66 (Span et al. 2000), so that
/// both condense in oxygen (16.4 bar of air are nitrogen); nitrogen boils at 16.12 bar(a) at 111.67 K, and
/// oxygen at 0.2 bar(a) at 77.4 K (Schmidt and Wagner 1985). Told before any run, with the pressure that the
/// regulator sets.
#[test]
fn gases_that_go_into_the_liquid_are_foreseen() {
    for (liquid, gas, what, boils) in [
        ("oxygen", "argon", "argon at", "0.346"),
        ("oxygen", "air", "air, 78 % of it nitrogen, at", "2.6"),
        ("methane", "nitrogen", "nitrogen at", "15.11"),
        ("nitrogen", "air", "air, 21 % of it oxygen, at", "-0.8"),
    ] {
        let text = pushed(liquid, gas, "").replace("3 bar(g)", "20 bar(g)");
        let stand = scenarios::load(&text).expect("no errors");
        let told = stand.warnings.iter().find(|w| w.code == "gas-4");
        let told = &told
            .unwrap_or_else(|| panic!("{gas} over {liquid}"))
            .message;
        assert!(told.contains(what) && told.contains(boils), "{told}");
        assert!(told.contains("condenses into the surface"), "{told}");
    }
    for (liquid, gas) in [
        ("oxygen", "helium"),
        ("hydrogen", "helium"),
        ("oxygen", "oxygen"),
    ] {
        let stand = scenarios::load(&pushed(liquid, gas, "")).expect("no errors");
        assert!(stand.warnings.iter().all(|w| w.code != "gas-4"), "{gas}");
    }
}

/// At 1.5 bar(a) over oxygen at 90.188 K: (1.5 - 1.013)/(3.663 - 1.013) = 0.18 of nitrogen by itself
/// (CoolProp 8); of air 0.7808 (1.5 - 1.013)/(3.663 - 0.7808 1.013) = 0.13.
#[test]
fn the_fraction_that_dissolves_is_that_of_its_part() {
    for (gas, fraction) in [("nitrogen", "0.18"), ("air", "0.13")] {
        let text = pushed("oxygen", gas, "").replace("3 bar(g)", "0.487 bar(g)");
        let stand = scenarios::load(&text).expect("no errors");
        let told = stand.warnings.iter().find(|w| w.code == "gas-4");
        let told = &told.expect("it is told").message;
        assert!(
            told.contains(&format!("up to a mole fraction of {fraction}")),
            "{told}"
        );
    }
}

/// A run tells it once, at the highest pressure that came.
#[test]
fn what_was_foreseen_gives_way_to_what_is_seen() {
    let text = pushed("oxygen", "argon", "").replace("3 bar(g)", "20 bar(g)");
    let prediction = run_as_far_as_it_goes(&text, &[]);
    let told = warned(&prediction);
    assert_eq!(told.matches("gas-4").count(), 1, "{told}");
    let seen = prediction.outcome.history.index_of("cold.pressure_pa");
    let highest = prediction.outcome.extremes[seen.expect("it is there")].greatest;
    let bar = format!("{:.2} bar(g)", (highest.value - 101_325.0) / 1e5);
    assert!(
        dissolves(&told).expect("it is told").contains(&bar),
        "{told}"
    );
}

/// Air over liquid nitrogen at 20 bar(g) is below its dew point, 81.7 K at one atmosphere and 120.9 K there
/// (Lemmon et al. 2000): the run ends with what condenses and what to do, not with densities.
#[test]
fn air_over_liquid_nitrogen_ends_in_words() {
    let text = pushed("nitrogen", "air", "").replace("3 bar(g)", "20 bar(g)");
    let text = text.replace("5 s", "60 s").replace("10 L", "50 L");
    let prediction = run_as_far_as_it_goes(&text, &[]);
    let failure = prediction.outcome.failure.clone().expect("it condenses");
    assert!(failure.message.contains("condense"), "{}", failure.message);
    assert!(failure.message.contains("helium"), "{}", failure.message);
    assert!(dissolves(&warned(&prediction)).is_some());
}

/// Nitrogen pressed with nitrogen to 33 bar(g): its surface warms to the end of what is known of the liquid, next to the
/// critical point of 126.19 K and 33.96 bar (Span et al. 2000), which the run says.
#[test]
fn a_liquid_that_comes_near_its_critical_point_is_named() {
    let text = pushed("nitrogen", "nitrogen", "").replace("3 bar(g)", "33 bar(g)");
    let prediction = run_as_far_as_it_goes(&text.replace("5 s", "60 s"), &[]);
    let failure = prediction.outcome.failure.clone().expect("it ends there");
    assert!(
        failure.message.contains("critical point"),
        "{}",
        failure.message
    );
    assert!(
        failure.message.contains("press it less"),
        "{}",
        failure.message
    );
}

/// A gas colder than the liquid under it would rain out at once: 85 K over oxygen that boils at 90.19 K
/// (1.013 bar; Schmidt and Wagner 1985) is refused, with the temperature to write. At 60 K its vapour is no gas.
#[test]
fn an_ullage_colder_than_its_liquid_is_refused() {
    let text = pushed("oxygen", "helium", "ullage_temperature = \"85 K\"");
    let errors = scenarios::load(&text).expect_err("it is colder");
    let words = format!("{errors:?}");
    assert!(
        words.contains("ullage_temperature") && words.contains("leave it out"),
        "{words}"
    );
    assert!(scenarios::load(&text.replace("85 K", "60 K")).is_err());
    assert!(scenarios::load(&text.replace("85 K", "95 K")).is_ok());
}

/// Gas that an ullage is pressed with at once heats it adiabatically, beyond the 620 K up to which the viscosity and
/// conductivity of methane are known: that is told and ends no run.
#[test]
fn gas_hotter_than_its_transport_data_is_named() {
    let stand = include_str!("../stands/methane-helium.toml");
    let wide = [
        ("valve.press_valve.flow_coefficient", "4 Cv"),
        ("regulator.press.flow_coefficient", "2 Cv"),
        ("run.until", "15 s"),
    ];
    let prediction = run(stand, &wide);
    let told = warned(&prediction);
    assert!(told.contains("gas-11: methane: its gas"), "{told}");
    assert!(told.contains("of methane are known up to"), "{told}");
    assert!(!warned(&run(stand, &wide[2..])).contains("gas-11"));
    assert!(prediction.outcome.balances.mass_relative < 1e-9);
}
