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

#[test]
fn too_few_draws_are_refused() {
    let folder = folder("bands-few");
    let ended = pressfed(&folder, &["demo", "--draws", "7"]);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("from 40"), "{}", ended.stderr);
}
