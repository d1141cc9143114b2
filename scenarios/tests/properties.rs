//! Properties of the stand file over many inputs.

use proptest::prelude::*;
use scenarios::{load, load_with, ready_made};

/// The demonstration with a stretch cut out and another text put in.
fn mangled() -> impl Strategy<Value = String> {
    let text = ready_made()[0].text;
    let put = prop_oneof![
        Just(""),
        Just("\""),
        Just("["),
        Just("]"),
        Just("="),
        Just("."),
        Just("\n"),
        Just("±"),
        Just("1e999"),
        Just("-"),
        Just("{}"),
        Just("[[x]]"),
        Just("\"0 L\""),
        Just("'''"),
        Just("from = \"run\"\n"),
        Just("\u{0}"),
    ];
    (0..text.len(), 0..60_usize, put).prop_map(move |(at, cut, put)| {
        let boundary = |mut i: usize| {
            while !text.is_char_boundary(i) {
                i -= 1;
            }
            i
        };
        let (start, end) = (boundary(at), boundary((at + cut).min(text.len())));
        format!("{}{put}{}", &text[..start], &text[end..])
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn no_text_breaks_the_reader(text in prop_oneof![".*", mangled()]) {
        if let Err(diagnostics) = load(&text) {
            prop_assert!(!diagnostics.is_empty());
            for diagnostic in diagnostics {
                prop_assert!(shared::codes::find(diagnostic.code).is_some());
                prop_assert!(!diagnostic.remedies.is_empty(), "{:?}", diagnostic);
                for label in diagnostic.labels {
                    prop_assert!(text.get(label.span.bytes.clone()).is_some(), "{:?}", label);
                }
            }
        }
    }

    #[test]
    fn no_override_breaks_the_reader(
        path in prop_oneof!["[a-z.]{0,20}", Just("bottle.supply.volume".to_owned()), Just("sequence.1.at".to_owned())],
        value in ".*",
    ) {
        let overrides = [(path, value.clone())];
        if let Err(diagnostics) = load_with(ready_made()[0].text, &overrides) {
            for label in diagnostics.into_iter().flat_map(|d| d.labels) {
                if matches!(label.span.source, shared::Source::Override(_)) {
                    prop_assert!(value.get(label.span.bytes.clone()).is_some(), "{:?}", label);
                }
            }
        }
    }
}

/// A tank and a bottle of these volumes that say nothing of their walls or of what stays behind.
fn of_volumes(bottle_m3: f64, tank_m3: f64) -> String {
    let fill_m3 = 0.5 * tank_m3;
    format!(
        r#"
[bottle.supply]
volume = "{bottle_m3:e} m3"
gas = "nitrogen"
pressure = "180 bar(g)"
[regulator.main]
from = "supply"
to = "fuel"
set_pressure = "30 bar(g)"
flow_coefficient = "0.1 Cv"
droop = "2 bar"
[tank.fuel]
volume = "{tank_m3:e} m3"
diameter = "{:e} m"
liquid = "water"
fill = "{fill_m3:e} m3"
gas = "nitrogen"
[valve.run]
from = "fuel"
to = "ambient"
effective_area = "1 mm2"
stroke_time = "0.1 s"
[[sequence]]
at = "1 s"
open = "run"
[run]
until = "2 s"
"#,
        tank_m3.cbrt()
    )
}

proptest! {
    #[test]
    fn defaults_follow_the_volume_at_any_size(bottle in -9.0..2.0_f64, tank in -9.0..2.0_f64) {
        let (bottle_m3, tank_m3) = (10_f64.powf(bottle), 10_f64.powf(tank));
        let stand = load(&of_volumes(bottle_m3, tank_m3)).expect("the file is right");
        let values = stand.inputs.nominal();
        let si = |path: &str| values.si(stand.inputs.find(path).expect("it has a default"));
        // The ratios are those that the assumptions state; a volume read from text is exact to its
        // last bits.
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 1e-12;
        prop_assert!(near(si("tank.fuel.residual"), 0.005 * tank_m3));
        prop_assert!(near(si("tank.fuel.wall_mass"), 800.0 * tank_m3));
        prop_assert!(near(si("bottle.supply.wall_mass"), 1100.0 * bottle_m3));
        let of_diameters = std::f64::consts::PI * si("bottle.supply.diameter").powi(3);
        prop_assert!(near(of_diameters, bottle_m3));
        // What is told is right to the four digits that it has.
        for assumption in &stand.assumptions {
            let Some(id) = stand.inputs.find(&assumption.path) else { continue };
            let accepted = [stand.inputs.get(id).dimension];
            let Ok(told) = shared::quantity::Quantity::parse(&assumption.value, &accepted) else { continue };
            if told.value != 0.0 && told.reference == shared::quantity::Reference::None {
                prop_assert!((told.value / values.si(id) - 1.0).abs() < 1e-3, "{}", assumption.value);
            }
        }
    }
}
