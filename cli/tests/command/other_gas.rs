//! The same stand with another gas in its bottles.

use crate::bench::{folder, pressfed};
use std::fs;

/// Nitrogen is seven times as heavy as helium for its volume, and over liquid oxygen at 90 K it is
/// above its own boiling pressure of 3.66 bar (absolute; Span et al. 2000), 2.65 bar above ambient.
#[test]
fn both_needs_stand_side_by_side() {
    let folder = folder("other_gas");
    let stands = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenarios/stands/");
    fs::copy(
        format!("{stands}lox-helium.toml"),
        folder.join("stand.toml"),
    )
    .expect("it is there");
    let asked = [
        "predict",
        "stand.toml",
        "--no-plots",
        "--pushed-by",
        "nitrogen",
    ];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let (_, told) = ended
        .stdout
        .split_once("Pushed by helium")
        .expect("it tells");
    assert!(told.contains("Warned of with nitrogen only"), "{told}");
    assert!(told.contains("2.649 bar(g)"), "{told}");
    let table = fs::read_to_string(folder.join("stand-out/other_gas.csv")).expect("it is there");
    let row = table
        .lines()
        .find(|l| l.starts_with("lox.pressurant_without_exchange_kg"));
    let numbers = row.expect("the need").split(',').skip(1);
    let numbers: Vec<f64> = numbers.map(|n| n.parse().expect("a number")).collect();
    // 28.0/4.0 by molar mass; nitrogen is denser than ideal at 20 bar and 230 K, helium thinner,
    // and the bottle cools less: up to a tenth more.
    let ratio = numbers[1] / numbers[0];
    assert!((7.0..7.7).contains(&ratio), "{ratio}");
}

#[test]
fn a_gas_that_is_not_known_is_refused_with_those_that_are() {
    let folder = folder("other_gas_unknown");
    let stands = concat!(env!("CARGO_MANIFEST_DIR"), "/../scenarios/stands/");
    fs::copy(
        format!("{stands}lox-helium.toml"),
        folder.join("stand.toml"),
    )
    .expect("it is there");
    let asked = ["predict", "stand.toml", "--no-plots", "--pushed-by", "neon"];
    let ended = pressfed(&folder, &asked);
    assert_eq!(ended.code, 2, "{}", ended.stderr);
    assert!(ended.stderr.contains("\"helium\""), "{}", ended.stderr);
}
