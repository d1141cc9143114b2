//! `pressfed fluid`: states, saturation, series, the list.

use crate::bench::{files, folder, pressfed};
use std::fs;

#[test]
fn a_state_is_a_table() {
    let folder = folder("fluid_state");
    let asked = [
        "fluid",
        "nitrogen",
        "--pressure",
        "200 bar(a)",
        "--temperature",
        "15 degC",
    ];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    insta::assert_snapshot!("fluid_state", ended.stdout);
}

#[test]
fn a_plain_liquid_has_fewer_properties() {
    let folder = folder("fluid_plain");
    let asked = ["fluid", "kerosene", "-p", "30 bar(g)", "-t", "15 degC"];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    insta::assert_snapshot!("fluid_plain", ended.stdout);
}

#[test]
fn saturation_shows_both_phases() {
    let folder = folder("fluid_saturation");
    let asked = ["fluid", "N2O", "--saturation", "--temperature", "20 degC"];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    insta::assert_snapshot!("fluid_saturation", ended.stdout);
}

/// A value may begin with its sign, whichever way the option is written.
#[test]
fn a_negative_temperature_or_gauge_pressure_is_a_value() {
    let folder = folder("fluid_negative");
    let minus_30 = pressfed(
        &folder,
        &["fluid", "CO2", "-s", "--temperature", "-30 degC"],
    );
    assert_eq!(minus_30.code, 0, "{}", minus_30.stderr);
    let kelvin = pressfed(
        &folder,
        &["fluid", "CO2", "-s", "--temperature", "243.15 K"],
    );
    assert_eq!(minus_30.stdout, kelvin.stdout);
    let range = [
        "fluid",
        "CO2",
        "-p",
        "50 bar(a)",
        "-t",
        "-40 degC..20 degC:4",
    ];
    let range = pressfed(&folder, &range);
    assert_eq!(range.code, 0, "{}", range.stderr);
    assert_eq!(range.stdout.lines().count(), 5, "{}", range.stdout);
    let below = ["fluid", "nitrogen", "-p", "-0.5 bar(g)", "-t", "20 degC"];
    let below = pressfed(&folder, &below);
    assert_eq!(below.code, 0, "{}", below.stderr);
}

/// Of a liquid that only correlations describe what is known is told, and what is not; the pressure that it is told to
/// have at a temperature is the one at which it is told to boil there.
#[test]
fn saturation_of_a_liquid_by_correlations() {
    let folder = folder("fluid_plain_saturation");
    let asked = ["fluid", "IPA", "--saturation", "-t", "60 degC"];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    insta::assert_snapshot!("fluid_plain_saturation", ended.stdout);
    let value = |asked: &[&str], name: &str| {
        let told = pressfed(&folder, asked).stdout;
        let told: serde_json::Value = serde_json::from_str(&told).expect("JSON");
        told["values"][name].as_f64().expect("a number")
    };
    let at = ["fluid", "IPA", "--saturation", "--json", "-t", "333.15 K"];
    let pressure = format!("{} Pa(a)", value(&at, "pressure_pa"));
    let back = ["fluid", "IPA", "--saturation", "--json", "-p", &pressure];
    // The tolerance of the search, in K.
    assert!((value(&back, "temperature_k") - 333.15).abs() < 1e-6);
    let too_hot = pressfed(&folder, &["fluid", "IPA", "--saturation", "-t", "900 K"]);
    assert_eq!(too_hot.code, 2);
    assert!(
        too_hot.stderr.contains("saturation temperature"),
        "{}",
        too_hot.stderr
    );
}

#[test]
fn the_list_and_one_fluid_name_their_sources() {
    let folder = folder("fluid_list");
    let listed = pressfed(&folder, &["fluid", "--list"]);
    assert_eq!(listed.code, 0, "{}", listed.stderr);
    insta::assert_snapshot!("fluid_list", listed.stdout);
    assert_eq!(pressfed(&folder, &["fluid", "list"]).stdout, listed.stdout);
    let about = pressfed(&folder, &["fluid", "isopropanol"]);
    insta::assert_snapshot!("fluid_about", about.stdout);
}

#[test]
fn machines_read_json() {
    let folder = folder("fluid_json");
    let asked = ["fluid", "he", "-p", "200 bar(a)", "-t", "300 K", "--json"];
    let ended = pressfed(&folder, &asked);
    insta::assert_snapshot!("fluid_json", ended.stdout);
}

/// Along an isobar of oxygen, through its boiling point: CSV on the screen, or files.
#[test]
fn a_range_is_a_series() {
    let folder = folder("fluid_series");
    let range = ["fluid", "LOX", "-p", "20 bar(a)", "-t", "80 K..180 K:11"];
    let printed = pressfed(&folder, &range);
    assert_eq!(printed.code, 0, "{}", printed.stderr);
    assert_eq!(printed.stdout.lines().count(), 12);
    let header = printed.stdout.lines().next().unwrap_or_default();
    assert!(
        header.starts_with("pressure_pa,temperature_k,density_kg_m3"),
        "{header}"
    );
    let written = pressfed(&folder, &[&range[..], &["-o", "lox"]].concat());
    assert_eq!(written.code, 0, "{}", written.stderr);
    assert_eq!(
        files(&folder.join("lox")),
        ["oxygen.csv", "oxygen.png", "oxygen.svg"]
    );
    let csv = fs::read_to_string(folder.join("lox/oxygen.csv")).expect("it was written");
    assert_eq!(csv, printed.stdout);
}

#[test]
fn what_cannot_be_answered_is_refused_with_a_remedy() {
    let folder = folder("fluid_refused");
    let cases: [(&[&str], &str); 7] = [
        (&["fluid", "nitrogn"], "Did you mean \"nitrogen\"?"),
        (&["fluid", "nitrogen", "-p", "200 bar(a)"], "--temperature"),
        (
            &["fluid", "nitrogen", "-p", "200 bar", "-t", "300 K"],
            "bar(a)",
        ),
        (
            &["fluid", "nitrogen", "-p", "1 bar(a)", "-t", "20 K"],
            "63.151",
        ),
        (
            &["fluid", "nitrogen", "-p", "1 bar(a)", "-t", "80 K..90 K:1"],
            "points",
        ),
        (
            &["fluid", "air", "--saturation", "-t", "80 K"],
            "nitrogen and oxygen",
        ),
        (
            &[
                "fluid", "nitrogen", "-p", "1 bar(a)", "-t", "80 K", "-o", "x",
            ],
            "range",
        ),
    ];
    for (asked, word) in cases {
        let ended = pressfed(&folder, asked);
        assert_eq!(ended.code, 2, "{asked:?}");
        assert!(ended.stderr.contains(word), "{asked:?}: {}", ended.stderr);
        assert!(ended.stdout.is_empty(), "{asked:?}");
    }
}
