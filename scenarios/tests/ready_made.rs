//! The stands that come with the program, and the file to begin with.

use scenarios::studies::size::relief::{self, NoRelief};
use scenarios::{load, load_with, new_file, ready_made};

fn texts() -> impl Iterator<Item = (&'static str, &'static str)> {
    ready_made()
        .iter()
        .map(|s| (s.name, s.text))
        .chain([("new file", new_file())])
}

/// But for the relief, which the file to begin with leaves to whoever builds the stand.
#[test]
fn all_of_them_load_without_another_warning() {
    for (name, text) in texts() {
        let stand = load(text).unwrap_or_else(|d| panic!("{name}: {d:#?}"));
        let codes: Vec<&str> = stand.warnings.iter().map(|w| w.code).collect();
        let known: &[&str] = match name {
            "new file" => &["relief-5"],
            // What nitrogen does over oxygen is what this stand is there to show.
            "lox-nitrogen" => &["gas-4"],
            _ => &[],
        };
        assert_eq!(codes, known, "{name}: {:#?}", stand.warnings);
    }
}

/// Each relief passes, below the limit of its tank, what the regulators do when they fail open.
#[test]
fn their_reliefs_are_large_enough() {
    for (name, text) in texts() {
        let stand = load(text).expect(name);
        let network = stand.lower();
        let reliefs = network.branches.iter();
        for relief in reliefs.filter(|b| b.relieves_at_pa().is_some()) {
            let tank = &network.volumes[relief.from.volume].name;
            let found = relief::relief(&stand, tank, &|| {});
            match found {
                Ok(found) => assert_eq!(found.larger.hole, None, "{name}: {tank}"),
                // Over liquid oxygen nitrogen condenses at last, and the run ends on that.
                Err(NoRelief::Failed(why)) if name == "lox-nitrogen" => {
                    assert!(why.starts_with("the reliefs of the stand keep"), "{why}");
                }
                Err(why) => panic!("{name}: {tank}: {why:?}"),
            }
        }
    }
}

/// Every column that the simulation observes can be named in a limit, in its own dimension.
#[test]
fn every_column_can_be_judged() {
    for (name, text) in texts() {
        let network = load(text).expect(name).lower();
        let columns = sim_core::columns(&network).expect(name);
        let overrides: Vec<(String, String)> = columns[1..].iter().map(|c| judged(c)).collect();
        let stand = load_with(text, &overrides).unwrap_or_else(|d| panic!("{name}: {d:#?}"));
        assert!(stand.limits.len() >= overrides.len(), "{name}");
    }
}

/// A limit on a column: its name without the unit, and a value in that unit.
fn judged(column: &str) -> (String, String) {
    let units = [
        ("_pa", "Pa(a)"),
        ("_kg_s", "kg/s"),
        ("_kg", "kg"),
        ("_m3", "m3"),
        ("_m", "m"),
        ("_k", "K"),
        ("_j", "J"),
        ("_1", ""),
    ];
    let found = units
        .iter()
        .find_map(|(suffix, unit)| Some((column.strip_suffix(suffix)?, unit)));
    let (path, unit) = found.expect("every column ends in its unit");
    (format!("limit.{path}"), format!("<= 5 {unit}"))
}

/// Every figure that the summary gives can be named in a requirement.
#[test]
fn every_figure_can_be_judged() {
    for (name, text) in texts() {
        let stand = load(text).expect(name);
        let network = stand.lower();
        let outcome = sim_core::simulate(&network, &stand.run);
        assert_eq!(outcome.failure, None, "{name}");
        for figure in scenarios::summary::Summary::of(&network, &outcome).figures {
            let units = [
                "_pa", "_kg_s", "_mol_s", "_kg", "_m3", "_m", "_k", "_j", "_s", "_1",
            ];
            let path = units.iter().find_map(|u| figure.name.strip_suffix(u));
            let path = format!("requirement.{}", path.expect("a unit"));
            let units = figure.dimension.usual_units();
            let value = format!(">= 1 {}", units[units.len() - 1]);
            let set = load_with(text, &[(path.clone(), value)]);
            assert!(set.is_ok(), "{name}: {path}: {:#?}", set.err());
        }
    }
}

/// What is taken for granted is a snapshot: a default that changes should be noticed.
#[test]
fn the_demonstrations_assumptions() {
    let stand = load(ready_made()[0].text).expect("the demonstration");
    let lines: Vec<String> = stand
        .assumptions
        .iter()
        .map(|a| format!("{} = {} ({})", a.path, a.value, a.reason))
        .collect();
    insta::assert_snapshot!(lines.join("\n"));
}

/// The tables that the file to begin with has behind `#`, put to work.
#[test]
fn what_the_new_file_leaves_behind_a_hash_loads_and_runs() {
    let mut is_table = false;
    let uncommented = new_file().lines().map(|line| {
        let bare = line.strip_prefix("# ").unwrap_or_default();
        is_table = bare.starts_with('[') || is_table && bare.contains(" = ");
        if is_table { bare } else { line }
    });
    let text = uncommented.collect::<Vec<_>>().join("\n");
    let rail = "[plenum.rail]\nvolume = \"0.1 L\"\n\n[check_valve.first_check]\nfrom = \"supply\"\nto = \"rail\"\n\
                cracking_pressure = \"0.1 bar\"\nflow_coefficient = \"0.8 Cv\"\n\n[regulator.press]\nfrom = \"rail\"";
    let text = text.replace("[regulator.press]\nfrom = \"supply\"", rail);
    let stand = load(&text).unwrap_or_else(|d| panic!("{d:#?}"));
    let network = stand.lower();
    let names: Vec<&str> = network.branches.iter().map(|b| b.name.as_str()).collect();
    for name in ["second_check", "guard_relief", "last"] {
        assert!(names.contains(&name), "{names:?}");
    }
    let outcome = sim_core::simulate(&network, &stand.run);
    assert_eq!(outcome.failure, None);
    assert!(outcome.balances.energy_relative.abs() < 1e-6);
}
