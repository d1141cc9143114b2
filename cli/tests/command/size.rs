//! `size` and `predict --why`: what they say and leave.

use crate::bench::{Ended, files, folder, pressfed};
use std::fs;
use std::path::{Path, PathBuf};

fn prepared(name: &str, stand: &str) -> PathBuf {
    let folder = folder(name);
    let mut stands = scenarios::ready_made().iter();
    let text = stands
        .find(|s| s.name == stand)
        .expect("it is ready made")
        .text;
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
    folder
}

/// Looks for a value of the stand in a folder.
fn sized(folder: &Path, path: &str, asked: &[&str]) -> Ended {
    pressfed(
        folder,
        &[&["size", "stand.toml", "--find", path], asked].concat(),
    )
}

fn json(text: &str) -> serde_json::Value {
    serde_json::from_str(text).expect("it is JSON")
}

/// A file that a sizing left.
fn left(folder: &Path, name: &str) -> serde_json::Value {
    let text = fs::read_to_string(folder.join("stand-size").join(name));
    json(&text.expect("it is there"))
}

#[test]
fn an_answer_comes_with_the_formula_and_a_map() {
    let folder = prepared("size", "blowdown-water");
    let asked = [
        "--draws",
        "40",
        "--confidence",
        "80",
        "--set",
        "requirement.fuel.pressure_end=>= 12 bar(g)",
        "--between",
        "30 %..80 %",
        "--against",
        "tank.fuel.pressure=25 bar(g)..30 bar(g):2",
    ];
    let ended = sized(&folder, "tank.fuel.ullage", &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert!(
        ended
            .stdout
            .contains("the smallest that meets every requirement and limit"),
        "{}",
        ended.stdout
    );
    assert!(ended.stdout.contains("Boyle's law"), "{}", ended.stdout);
    let names = files(&folder.join("stand-size"));
    assert_eq!(names, ["design-map.png", "design-map.svg", "size.json"]);
}

#[test]
fn an_answer_without_a_formula_says_why_there_is_none() {
    let folder = prepared("size-no-formula", "regulated-water");
    let asked = [
        "--between",
        "30 bar(g)..36 bar(g)",
        "--draws",
        "0",
        "--json",
    ];
    let ended = sized(&folder, "regulator.press.set_pressure", &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let found = json(&ended.stdout);
    assert!(found["by_hand"].is_null());
    let why = found["no_figure_by_hand"].as_str().unwrap_or_default();
    assert!(why.contains("a budget of the run"), "{why}");
    let told = sized(&folder, "regulator.press.set_pressure", &asked[..4]);
    assert!(
        told.stdout.contains("By hand nothing: a set pressure"),
        "{}",
        told.stdout
    );
}

/// A window between two values of the scan: too little flow below it, too much pressure above.
#[test]
fn a_narrow_window_is_found_and_its_json_has_units_and_codes() {
    let folder = prepared("size-window", "regulated-water");
    let asked = [
        "--draws",
        "0",
        "--json",
        "--set",
        "limit.fuel.pressure=<= 30.4 bar(g)",
        "--set",
        "requirement.run.mean_flow=>= 1.05 kg/s",
    ];
    let ended = sized(&folder, "regulator.press.set_pressure", &asked);
    assert_eq!(ended.code, 0, "{}", ended.stdout);
    let found = json(&ended.stdout);
    assert_eq!(found["found"], "value");
    assert_eq!(found["answer"]["unit"], "bar(g)");
    assert!(found["answer"]["number"].is_f64());
    let tightest = &found["answer"]["tightest"];
    assert_eq!(tightest["quantity"], "run.mean_flow_kg_s");
    assert_eq!(tightest["unit"], "kg/s");
    let warnings = found["warnings"].as_array().expect("a list");
    assert!(!warnings.is_empty());
    for warning in warnings {
        assert!(warning["code"].as_str().is_some_and(|c| c.contains('-')));
        assert!(warning["message"].is_string(), "{warning}");
    }
}

#[test]
fn counted_bottles_take_a_range_and_keep_what_is_uncertain_of_one() {
    let folder = prepared("size-count", "regulated-water");
    let asked = [
        "--count",
        "--between",
        "1..40",
        "--draws",
        "0",
        "--set",
        "bottle.supply.volume=3 L ± 2 %",
    ];
    let ended = sized(&folder, "bottle.supply.volume", &asked);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert!(ended.stdout.contains("40 bottles"), "{}", ended.stdout);
    assert!(ended.stdout.contains(" bottles ("), "{}", ended.stdout);
    assert!(ended.stdout.contains(" L ± 2 %'"), "{}", ended.stdout);
    let found = left(&folder, "size.json");
    assert_eq!(found["answer"]["unit"], "bottles");
    assert_eq!(found["by_hand"]["unit"], "m3");
    let wrong = ["--count", "--between", "1 L..40 L"];
    let ended = sized(&folder, "bottle.supply.volume", &wrong);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("'1..40'"), "{}", ended.stderr);
}

/// Fewer than one bottle there is not: nothing else is to be looked for.
#[test]
fn one_bottle_that_does_is_the_fewest() {
    let folder = prepared("size-one", "helium-large-regulator");
    let ended = sized(
        &folder,
        "bottle.supply.volume",
        &["--count", "--draws", "0"],
    );
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert!(ended.stdout.contains("= 1 bottle: "), "{}", ended.stdout);
    assert!(!ended.stdout.contains("look further"), "{}", ended.stdout);
    assert!(!ended.stdout.contains("side by side"), "{}", ended.stdout);
}

#[test]
fn a_raised_pressure_comes_with_a_caution_and_stops_at_a_limit() {
    let folder = prepared("size-raised", "regulated-water");
    let more = [
        "--draws",
        "0",
        "--set",
        "requirement.run.mean_flow=>= 1.11 kg/s",
    ];
    let limit = ["--set", "limit.supply.pressure=<= 200 bar(g)"];
    let ended = sized(&folder, "bottle.supply.pressure", &more);
    assert_eq!(ended.code, 0, "{}", ended.stdout);
    let caution = "Caution, above what the stand file has: bottle.supply.pressure = ";
    assert!(ended.stdout.contains(caution), "{}", ended.stdout);
    let ended = sized(
        &folder,
        "bottle.supply.pressure",
        &[&more[..], &limit[..]].concat(),
    );
    let stopped = "Nothing was tried above the limit supply.pressure <= 200 bar(g)";
    assert!(ended.stdout.contains(stopped), "{}", ended.stdout);
    assert!(!ended.stdout.contains("\n  225 bar(g)"), "{}", ended.stdout);
}

/// A change is as small as does, and without what binary arithmetic leaves behind its digits.
#[test]
fn other_changes_are_written_with_few_digits() {
    let folder = prepared("size-lever", "regulated-water");
    let asked = [
        "--between",
        "6 L..7 L",
        "--draws",
        "0",
        "--set",
        "requirement.run.mean_flow=>= 1.11 kg/s",
    ];
    let ended = sized(&folder, "bottle.supply.volume", &asked);
    assert_eq!(ended.code, 1, "{}", ended.stdout);
    let lever = "orifice.tip.diameter = 5.57 mm";
    assert!(ended.said().contains(lever), "{}", ended.stdout);
}

/// Twelve draws do not know what nineteen of twenty do.
#[test]
fn too_few_draws_for_a_confidence_are_refused() {
    let folder = prepared("size-few-draws", "regulated-water");
    for (confidence, draws, enough) in [("95", "12", "60"), ("99", "64", "300"), ("50", "20", "40")]
    {
        let sure = ["--confidence", confidence, "--draws", draws];
        let ended = sized(&folder, "bottle.supply.volume", &sure);
        assert_eq!(ended.code, 2, "{}", ended.stdout);
        let remedy = format!("give --draws {enough} or more");
        assert!(ended.stderr.contains(&remedy), "{}", ended.stderr);
    }
}

#[test]
fn a_range_that_begins_at_what_cannot_be_is_refused() {
    let folder = prepared("size-nought", "regulated-water");
    let between = ["--between", "0 L..5 L", "--draws", "0"];
    let ended = sized(&folder, "bottle.supply.volume", &between);
    assert_eq!(ended.code, 2, "{}", ended.stdout);
    let why = "the range begins at 0 L, but the value must be above zero";
    assert!(ended.stderr.contains(why), "{}", ended.stderr);
}

/// A limit holds, what is asked is relaxed, and whose margins stand in the table is said.
#[test]
fn what_cannot_be_met_keeps_the_limit_and_says_for_how_many_draws() {
    let folder = prepared("size-nearest", "regulated-water");
    let asked = [
        "--draws",
        "40",
        "--confidence",
        "80",
        "--set",
        "requirement.fuel.pressure_end=>= 30 bar(g)",
        "--set",
        "limit.fuel.pressure=<= 25 bar(g)",
    ];
    let ended = sized(&folder, "regulator.press.set_pressure", &asked);
    assert_eq!(ended.code, 1, "{}", ended.stdout);
    let said = ended.said();
    for words in [
        "comes nearest, with every limit kept: there",
        "(asked: >= 30 bar(g))",
        "could be asked for with 80 % of the draws. What holds it there is the limit fuel.pressure <= 25 bar(g).",
        "Tried, with the margin that 80 % of the draws have to the tightest",
    ] {
        assert!(said.contains(words), "{words}\n{}", ended.stdout);
    }
    let found = left(&folder, "size.json");
    assert_eq!(found["keeps_limits"], true);
    let reachable = found["reachable"].as_array().expect("a list");
    let pressure = reachable
        .iter()
        .find(|r| r["quantity"] == "fuel.pressure_end_pa");
    let pressure = pressure.expect("it is missed");
    assert_eq!(pressure["unit"], "Pa");
    assert!(
        pressure["value"]
            .as_f64()
            .is_some_and(|pa| (20e5..26e5).contains(&pa))
    );
}

#[test]
fn a_path_that_is_not_there_is_refused_with_those_that_are() {
    let folder = prepared("size-path", "blowdown-water");
    let ended = sized(&folder, "tank.fuel.volum", &[]);
    assert_eq!(ended.code, 2);
    assert!(
        ended.stderr.contains("tank.fuel.volume"),
        "{}",
        ended.stderr
    );
}

#[test]
fn a_relief_comes_with_its_caution() {
    let folder = folder("size-relief");
    fs::write(folder.join("stand.toml"), scenarios::new_file()).expect("the folder can be written");
    let ended = pressfed(&folder, &["size", "stand.toml", "--relief", "fuel"]);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert!(
        ended.stdout.contains("licensed practice"),
        "{}",
        ended.stdout
    );
    let bare = "The stand has no relief valve or burst disc";
    assert!(ended.said().contains(bare), "{}", ended.stdout);
    let larger = "20 % more (press: common practice, no source)";
    assert!(ended.said().contains(larger), "{}", ended.stdout);
    let found = left(&folder, "relief.json");
    assert_eq!(found["larger_seats"][0]["factor"], 1.2);
    let area = |seats: &str| found[seats]["hole"]["effective_area_m2"].as_f64();
    assert!(area("larger") > area("nominal"));
}

#[test]
fn a_stand_that_asks_for_nothing_is_shown_what_to_ask_of_its_own_valve() {
    let folder = prepared("size-asks-nothing", "regulated-water");
    let path = folder.join("stand.toml");
    let text = fs::read_to_string(&path).expect("it is there");
    let (before, _) = text
        .split_once("[requirement]")
        .expect("it asks for something");
    // The same stand, with another name for its run valve.
    let renamed = before.replace("valve.run", "valve.main_run");
    let renamed = renamed.replace("\"run\"", "\"main_run\"");
    fs::write(&path, renamed).expect("the folder can be written");
    let ended = sized(&folder, "bottle.supply.volume", &[]);
    assert_eq!(ended.code, 2, "{}", ended.stderr);
    let asked = "requirement.main_run.mean_flow=";
    assert!(ended.stderr.contains(asked), "{}", ended.stderr);
}

#[test]
fn a_prediction_says_where_the_pressure_goes() {
    let folder = prepared("why", "regulated-water");
    let ended = pressfed(&folder, &["predict", "stand.toml", "--why", "--no-plots"]);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert!(
        ended.stdout.contains("Where the pressure goes"),
        "{}",
        ended.stdout
    );
    let table = fs::read_to_string(folder.join("stand-out/loss_budget.csv"));
    // A heading, five causes and a rest for each of two figures.
    assert_eq!(table.expect("it is there").lines().count(), 13);
}
