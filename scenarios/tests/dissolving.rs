//! Pressurants that go into liquids that are not cold, and liquid that turns to ice, told before a run.

use shared::Diagnostic;

fn warnings(liquid: &str, gas: &str) -> Vec<Diagnostic> {
    let text = format!(
        r#"
[ambient]
temperature = "293.15 K"
[bottle.supply]
gas = "{gas}"
volume = "50 L"
pressure = "7 bar(a)"
[orifice.press]
from = "supply"
to = "tank"
diameter = "2 mm"
discharge_coefficient = 0.8
[tank.tank]
volume = "20 L"
diameter = "230 mm"
liquid = "{liquid}"
fill = "10 L"
gas = "{gas}"
pressure = "5 bar(a)"
[orifice.tip]
from = "tank"
to = "ambient"
diameter = "2 mm"
discharge_coefficient = 0.63
[run]
until = "1 s"
"#
    );
    scenarios::load(&text)
        .unwrap_or_else(|errors| panic!("{errors:?}"))
        .warnings
}

fn told(warnings: &[Diagnostic], code: &str) -> Option<String> {
    let found = warnings.iter().find(|w| w.code == code)?;
    Some(found.message.clone())
}

/// Ideal solutions at 20 degC and 5 bar(a). Saturation of carbon dioxide 57.3 bar (Span and Wagner 1996), of
/// nitrous oxide 50.6 bar (Lemmon and Span 2006), of propane 8.37 bar (Lemmon et al. 2009), of methanol 0.13 bar;
/// that of dodecane counts for nothing.
#[test]
fn gases_near_their_boiling_point_are_foreseen_in_warm_liquids() {
    for (gas, liquid, fraction) in [
        ("carbon dioxide", "n-dodecane", 5.0 / 57.3),
        ("nitrous oxide", "methanol", (5.0 - 0.13) / (50.6 - 0.13)),
        ("propane", "n-dodecane", 5.0 / 8.37),
    ] {
        let message = told(&warnings(liquid, gas), "gas-4").expect("it is foreseen");
        let words = format!("up to a mole fraction of {fraction:.2} (ideal solution)");
        assert!(message.contains(&words), "{message}");
        assert!(message.contains("Nothing of that is counted"), "{message}");
    }
}

/// Henry's law at 20 degC: 3.3e-4 exp(2400 (1/293.15 - 1/298.15)) R T = 0.92 (Sander 2015, from memory).
#[test]
fn water_takes_up_its_own_volume_of_carbon_dioxide() {
    let message = told(&warnings("water", "carbon dioxide"), "gas-4").expect("it is foreseen");
    assert!(
        message.contains("hold 0.9 times its own volume of it, reckoned as an ideal gas"),
        "{message}"
    );
    assert!(told(&warnings("water", "propane"), "gas-4").is_none());
}

#[test]
fn gases_far_above_their_boiling_point_are_not() {
    for gas in ["nitrogen", "helium", "argon"] {
        for liquid in ["water", "methanol", "n-dodecane"] {
            let found = told(&warnings(liquid, gas), "gas-4");
            assert!(found.is_none(), "{gas} over {liquid}: {found:?}");
        }
    }
}

fn over(liquid: &str, state: &str, gas: &str) -> Option<Diagnostic> {
    let text = format!(
        r#"
[bottle.supply]
gas = "{gas}"
volume = "10 L"
pressure = "150 bar(a)"
[regulator.press]
from = "supply"
to = "tank"
set_pressure = "30 bar(a)"
droop = "0.5 bar"
flow_coefficient = "0.1 Cv"
response_time = "10 ms"
[tank.tank]
volume = "20 L"
diameter = "230 mm"
liquid = "{liquid}"
{state}
fill = "15 L"
gas = "{gas}"
[run]
until = "1 s"
"#
    );
    let stand = scenarios::load(&text).unwrap_or_else(|errors| panic!("{errors:?}"));
    stand.warnings.into_iter().find(|w| w.code == "gas-4")
}

/// Propane at -42 degC is at 1.5 times the critical temperature of argon (150.69 K, Tegeler et al. 1999), nitrous oxide
/// at -20 degC at 1.6 times that of oxygen (154.58 K, Schmidt and Wagner 1985) and more of the others: none of them has a
/// saturation pressure to go by there.
#[test]
fn a_gas_far_above_its_critical_temperature_is_told_no_pressure_at_which_it_boils() {
    let nitrous = "saturated_at = \"18 bar(a)\"\npressure = \"18 bar(a)\"";
    for (liquid, state, gas) in [
        ("propane", "saturated_at = \"1.013 bar(a)\"", "argon"),
        ("nitrous oxide", nitrous, "nitrogen"),
        ("nitrous oxide", nitrous, "oxygen"),
        ("nitrous oxide", nitrous, "argon"),
    ] {
        let told = over(liquid, state, gas).map(|w| w.message);
        assert_eq!(told, None, "{gas} over {liquid}");
    }
}

/// Methane boils at 135 K under 5 bar(a) (Setzmann and Wagner 1991); nitrogen is critical at 126.19 K (Span et al.
/// 2000). It goes into the liquid, but boils at no pressure.
#[test]
fn a_gas_above_its_critical_temperature_dissolves_and_does_not_boil() {
    let state = "saturated_at = \"5 bar(a)\"\npressure = \"5 bar(a)\"";
    let told = over("methane", state, "nitrogen").expect("it is foreseen");
    let all = format!("{} {:?}", told.message, told.remedies);
    assert!(all.contains("above its critical temperature"), "{all}");
    assert!(all.contains("up to a mole fraction of"), "{all}");
    assert!(!all.contains("boils"), "{all}");
}

/// Carbon dioxide has no liquid below 5.18 bar(a) (Span and Wagner 1996): the open air has less.
#[test]
fn liquid_carbon_dioxide_that_is_let_out_becomes_dry_ice() {
    let text = r#"
[ambient]
temperature = "288.15 K"
[tank.tank]
volume = "20 L"
diameter = "230 mm"
liquid = "carbon dioxide"
saturated_at = "50 bar(a)"
fill = "10 L"
gas = "nitrogen"
pressure = "70 bar(a)"
[orifice.tip]
from = "tank"
to = "OUT"
diameter = "2 mm"
discharge_coefficient = 0.63
[run]
until = "1 s"
"#;
    let catch = r#"
[tank.catch]
volume = "40 L"
diameter = "300 mm"
liquid = "carbon dioxide"
saturated_at = "50 bar(a)"
fill = "10 L"
gas = "nitrogen"
pressure = "60 bar(a)"
"#;
    let of = |out: &str, more: &str| {
        let stand = scenarios::load(&(text.replace("OUT", out) + more));
        stand.unwrap_or_else(|errors| panic!("{errors:?}")).warnings
    };
    let open = told(&of("ambient", ""), "liquid-9").expect("it is told");
    assert!(
        open.starts_with("tip: ") && open.contains("dry ice"),
        "{open}"
    );
    assert_eq!(told(&of("catch", catch), "liquid-9"), None);
}
