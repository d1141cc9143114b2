//! Overrides that do not fit, as snapshots.

mod support;

fn told(overrides: &[(&str, &str)]) -> String {
    let text = scenarios::ready_made()[0].text;
    let overrides: Vec<(String, String)> = overrides
        .iter()
        .map(|(path, value)| ((*path).to_owned(), (*value).to_owned()))
        .collect();
    let diagnostics = scenarios::load_with(text, &overrides).expect_err("an override is wrong");
    support::plain(text, &overrides, &diagnostics)
}

#[test]
fn errors_of_an_override_point_at_the_override() {
    insta::assert_snapshot!(told(&[
        ("bottle.supply.volume", "7"),
        ("bottle.supply.presure", "200 bar(g)"),
        ("regulator.press.set_pressure", "30 bar"),
        ("valve.run.stroke_time", "\"150 kg\""),
        ("sequence.1.at", "-1 s"),
    ]));
}

#[test]
fn paths_that_lead_nowhere_are_refused() {
    insta::assert_snapshot!(told(&[
        ("bottle.suply.volume", "7 L"),
        ("botle.supply.volume", "7 L"),
        ("bottle.supply.volume.unit", "L"),
        ("sequence.3.at", "1 s"),
        ("bottle.supply.", "7 L"),
        ("supply.volume", "7 L"),
        ("fill", "7 L"),
    ]));
}

#[test]
fn whole_tables_without_a_name_can_be_reached() {
    let text = scenarios::ready_made()[0].text;
    let set = |path: &str, value: &str| {
        let overrides = [(path.to_owned(), value.to_owned())];
        scenarios::load_with(text, &overrides).expect(path)
    };
    assert_eq!(set("run.until", "12 s").run.until_s, 12.0);
    assert_eq!(set("title", "Another").title, "Another");
    let limit = &set("limit.fuel.pressure", "<= 35 bar(a)").limits[0];
    assert_eq!(
        (limit.path.as_str(), limit.threshold),
        ("fuel.pressure", 35e5)
    );
    let display = set("display.pressure", "psi(g)").display;
    assert_eq!(
        display.unit(shared::quantity::Dimension::Pressure),
        "psi(g)"
    );
}
