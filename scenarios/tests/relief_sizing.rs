//! Areas of a relief for regulators that fail open: what must not change them, and what must.

use scenarios::load_with;
use scenarios::studies::size::relief::{self, NoRelief};

const STAND: &str = include_str!("two_regulators.toml");

/// Area for seats as they stand in the file, m2; none needed: 0.
fn area_m2(text: &str, tank: &str, overrides: &[(&str, &str)]) -> Result<f64, NoRelief> {
    let own = |&(path, value): &(&str, &str)| (path.to_owned(), value.to_owned());
    let overrides: Vec<(String, String)> = overrides.iter().map(own).collect();
    let stand = load_with(text, &overrides).unwrap_or_else(|e| panic!("{e:#?}"));
    let found = relief::relief(&stand, tank, &|| {})?;
    Ok(found.nominal.hole.map_or(0.0, |hole| hole.area_m2))
}

fn fuel(overrides: &[(&str, &str)]) -> f64 {
    area_m2(STAND, "fuel", overrides).expect("an area")
}

/// The other side's regulator would only drain the bottle, and its relief opens on another tank.
/// The area is known to 1e-4; the runs to a tolerance of 1e-6.
#[test]
fn the_other_side_does_not_relieve() {
    let plain = fuel(&[]);
    assert!(plain > 10e-6, "{plain}");
    for (path, value) in [
        ("relief.oxtop.set_pressure", "60 bar(g)"),
        ("regulator.low.flow_coefficient", "0.3 Cv"),
    ] {
        let other = fuel(&[(path, value)]);
        assert!(
            (other / plain - 1.0).abs() < 2e-3,
            "{path}: {other} {plain}"
        );
    }
}

/// A run valve that stands open at the start may be shut when the regulator fails.
#[test]
fn an_open_liquid_valve_does_not_relieve() {
    let text = STAND.replacen(
        "to = \"ambient\"\nflow_coefficient = \"12 Cv\"",
        "to = \"ambient\"\nat_start = \"open\"\nflow_coefficient = \"12 Cv\"",
        1,
    );
    assert_ne!(text, STAND);
    let open = area_m2(&text, "fuel", &[]).expect("an area");
    assert!((open / fuel(&[]) - 1.0).abs() < 2e-3, "{open}");
}

/// Choked seats and choked reliefs: the area grows with the seat, up to the largest that is sought.
#[test]
fn the_area_grows_with_the_seat() {
    let seat = |kv: &str| {
        fuel(&[
            ("regulator.press.flow_coefficient", kv),
            ("bottle.supply.volume", "680 L"),
            ("relief.top.effective_area", "0.01 mm2"),
        ])
    };
    let (small, large) = (seat("0.3 Cv"), seat("60 Cv"));
    // From a large bottle the flow is steady; what the ullage of 11 L holds back counts for little.
    assert!(
        (large / small * 0.3 / 60.0 - 1.0).abs() < 0.05,
        "{small} {large}"
    );
    assert!(large > 3e-3, "{large}");
}

/// A component may be called as it likes.
#[test]
fn a_relief_of_any_name_is_told_from_the_one_that_is_sought() {
    let renamed = STAND.replace("[relief.top]", "[relief.relief]");
    let area = area_m2(&renamed, "fuel", &[]).expect("an area");
    assert_eq!(area.to_bits(), fuel(&[]).to_bits());
}

#[test]
fn a_tank_that_no_regulator_feeds_is_refused() {
    let text =
        STAND.replace("to = \"ox\"", "to = \"spare\"") + "[plenum.spare]\nvolume = \"1 L\"\n";
    assert_eq!(area_m2(&text, "ox", &[]), Err(NoRelief::NotFed));
}
