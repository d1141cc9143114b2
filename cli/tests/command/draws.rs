//! Bands: the same bytes on any number of threads, and what a summary says of them.

use crate::bench::{folder, pressfed};
use std::fs;
use std::path::Path;
use std::process::Command;

/// Draws the blowdown stand on so many threads into a folder.
fn drawn_on(threads: &str, folder: &Path, output: &str) {
    let status = Command::new(env!("CARGO_BIN_EXE_pressfed"))
        .args(["demo", "blowdown-water", "--draws", "40", "-o", output])
        .env("RAYON_NUM_THREADS", threads)
        .current_dir(folder)
        .output()
        .expect("the command starts");
    assert!(status.status.success());
}

#[test]
fn bands_have_the_same_bytes_on_one_thread_and_on_two() {
    let folder = folder("bands-threads");
    drawn_on("1", &folder, "one");
    drawn_on("2", &folder, "two");
    for name in crate::bench::files(&folder.join("one")) {
        let bytes = |run: &str| fs::read(folder.join(run).join(&name)).expect("it is there");
        assert!(bytes("one") == bytes("two"), "{name}");
    }
}

#[test]
fn a_drawn_figure_has_low_nominal_and_high() {
    let folder = folder("bands-summary");
    drawn_on("2", &folder, "out");
    let text = fs::read_to_string(folder.join("out/summary.json")).expect("it is there");
    let summary: serde_json::Value = serde_json::from_str(&text).expect("it is JSON");
    let pressure = &summary["figures"]["fuel.pressure_start_pa"];
    let end = |name: &str| pressure[name].as_f64().expect("a number");
    assert!(
        end("low") < end("nominal") && end("nominal") < end("high"),
        "{pressure}"
    );
    assert_eq!(summary["bands"]["draws"], 40);
    assert_eq!(summary["bands"]["limits_broken"][0]["probability"], 0.0);
}

/// Number of draws and their seed change the bytes, and so the hash.
#[test]
fn draws_and_seed_are_part_of_the_hash() {
    let folder = folder("bands-hash");
    let demo = ["demo", "blowdown-water", "--no-plots", "--json", "--draws"];
    let hash = |more: &[&str]| {
        let ended = pressfed(&folder, &[&demo[..], more].concat());
        let summary: serde_json::Value = serde_json::from_str(&ended.stdout).expect("it is JSON");
        summary["input_hash"].as_str().map(str::to_owned)
    };
    let hashes = [
        hash(&["0"]),
        hash(&["40"]),
        hash(&["41"]),
        hash(&["40", "--seed", "2"]),
    ];
    for (i, one) in hashes.iter().enumerate() {
        assert_eq!(one.as_ref().map(String::len), Some(64));
        assert!(!hashes[..i].contains(one), "{hashes:?}");
    }
    assert_eq!(hash(&["40"]), hashes[1]);
}

/// The run ends when the tank runs dry, later in some draws than in others.
#[test]
fn bands_about_an_event_are_narrower_than_at_its_nominal_time() {
    let folder = folder("bands-aligned");
    let demo = [
        "demo",
        "blowdown-water",
        "--no-plots",
        "--draws",
        "40",
        "-o",
        "out",
    ];
    assert_eq!(pressfed(&folder, &demo).code, 0);
    let read = |name: &str| fs::read_to_string(folder.join("out").join(name)).expect("it is there");
    let width = |table: &str, is_row: &dyn Fn(&[&str]) -> bool| {
        let mut lines = table.lines().map(|l| l.split(',').collect::<Vec<_>>());
        let header = lines.next().expect("a heading");
        let place = |end: &str| {
            header
                .iter()
                .position(|c| *c == format!("run.mass_flow_kg_s.{end}"))
        };
        let (low, high) = (
            place("low").expect("a column"),
            place("high").expect("a column"),
        );
        let row = lines.find(|row| is_row(row)).expect("the row is there");
        let number = |i: usize| row[i].parse::<f64>().expect("a number");
        number(high) - number(low)
    };
    let summary: serde_json::Value = serde_json::from_str(&read("summary.json")).expect("JSON");
    let events = summary["bands"]["events"].as_array().expect("events");
    let shut = events
        .iter()
        .find(|e| e["event"] == "commanded shut")
        .expect("it shuts");
    let nominal_s = shut["time_s"]["nominal"].as_f64().expect("a time");
    let low_s = shut["time_s"]["low"].as_f64().expect("a time");
    assert!(low_s < nominal_s, "{shut}");
    let at_its_own = width(&read("bands_aligned.csv"), &|row| {
        row[1] == "commanded shut" && row[2] == "-0.02"
    });
    let at_nominal = width(&read("history_bands.csv"), &|row| {
        row[0].parse::<f64>().is_ok_and(|t| t >= nominal_s - 0.02)
    });
    // At the nominal time half of the draws have no flow any more.
    assert!(at_its_own < 0.5 * at_nominal, "{at_its_own} {at_nominal}");
}

#[test]
fn too_few_draws_are_refused() {
    let folder = folder("bands-few");
    let ended = pressfed(&folder, &["demo", "--draws", "7"]);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("from 40"), "{}", ended.stderr);
}
