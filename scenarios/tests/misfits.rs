//! Parts that do not fit each other: each slip warns once, the stand as it was meant does not.

use scenarios::{load_with, ready_made};

/// Components of which the demonstration warns with a value in place of its own.
fn warned(path: &str, value: &str) -> Vec<String> {
    let overrides = [(path.to_owned(), value.to_owned())];
    let stand = load_with(ready_made()[0].text, &overrides).expect("the slip is no error");
    let misfits = stand.warnings.iter().filter(|w| w.code == "state-14");
    let component = |message: &str| message.split(' ').next().unwrap_or_default().to_owned();
    misfits.map(|w| component(&w.message)).collect()
}

#[test]
fn a_slip_of_a_unit_warns() {
    for (path, slip, component) in [
        ("line.feed.bore", "15.5 cm", "feed"),
        ("orifice.tip.diameter", "5.5 cm", "tip"),
        ("regulator.press.droop", "40 bar", "press"),
        ("bottle.supply.pressure", "1800 bar(g)", "supply"),
        ("tank.fuel.diameter", "23 mm", "fuel"),
    ] {
        assert_eq!(warned(path, slip), [component], "{path} = {slip}");
    }
}

/// A cock of 12 Cv with a bore of 5 mm would lose less than any pipe, one of 22 mm does not.
#[test]
fn a_cock_that_passes_more_than_its_bore_warns() {
    let misfits = |bore: &str| {
        let overrides = [("characteristic", "cock"), ("bore", bore)]
            .map(|(key, value)| (format!("valve.run.{key}"), value.to_owned()));
        let text = ready_made()[0].text;
        let text = text.replace(
            "characteristic = \"ball\"",
            "characteristic = \"cock\"\nbore = \"1 m\"",
        );
        let stand = load_with(&text, &overrides).expect("a cock with a bore");
        let misfits = stand.warnings.iter().filter(|w| w.code == "state-14");
        misfits.count()
    };
    assert_eq!([misfits("5 mm"), misfits("22 mm")], [1, 0]);
}

/// Two bottles that an orifice each leads into one pipe: the fuller gives to the other.
#[test]
fn a_bottle_that_feeds_another_warns() {
    let misfits = |pressure: &str, joint: &str| {
        let text = format!(
            r#"
[bottle.first]
gas = "nitrogen"
volume = "10 L"
pressure = "150 bar(g)"

[bottle.second]
gas = "nitrogen"
volume = "10 L"
pressure = "{pressure}"

[orifice.of_first]
from = "first"
to = "rail"
effective_area = "5 mm2"

[{joint}.of_second]
from = "second"
to = "rail"
{}

[plenum.rail]
volume = "0.1 L"
pressure = "100 bar(g)"

[run]
until = "1 s"
"#,
            match joint {
                "orifice" => "effective_area = \"5 mm2\"",
                _ => "flow_coefficient = \"0.8 Cv\"\ncracking_pressure = \"0.3 bar\"",
            }
        );
        let stand = scenarios::load(&text).expect("two bottles");
        let misfits = stand.warnings.iter().filter(|w| w.code == "state-14");
        misfits.map(|w| w.message.clone()).collect::<Vec<_>>()
    };
    let found = misfits("120 bar(g)", "orifice");
    assert_eq!(
        found,
        ["first at 150.0 bar(g) feeds second at 120.0 bar(g) where both are open"]
    );
    assert_eq!(misfits("149 bar(g)", "orifice"), [""; 0]);
    assert_eq!(misfits("120 bar(g)", "check_valve"), [""; 0]);
}

#[test]
fn what_is_meant_does_not_warn() {
    for (path, value) in [
        ("line.feed.bore", "15.5 mm"),
        ("valve.run.flow_coefficient", "40 Cv"),
        ("bottle.supply.pressure", "700 bar(g)"),
    ] {
        assert_eq!(warned(path, value), [""; 0], "{path} = {value}");
    }
}
