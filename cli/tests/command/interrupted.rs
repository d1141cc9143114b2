//! Ctrl-C while a stand is predicted: what was computed is written, whole.

#![cfg(unix)]

use crate::bench::{files, folder, interrupted, pressfed};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

/// Predicts a stand, presses Ctrl-C some time after a file of its folder, or the folder, is there; the
/// summary that is left.
fn summary_of_interrupted(folder: &Path, arguments: &[&str], awaited: &str) -> (Value, String) {
    pressfed(folder, &["new", "stand.toml"]);
    let running = Command::new(env!("CARGO_BIN_EXE_pressfed"))
        .args(
            [
                &["predict", "stand.toml", "-o", "out", "--no-plots"],
                arguments,
            ]
            .concat(),
        )
        .current_dir(folder)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let out = folder.join("out");
    while !out.join(awaited).exists() {
        std::thread::sleep(Duration::from_millis(1));
    }
    std::thread::sleep(Duration::from_millis(700));
    let (code, said) = interrupted(running);
    assert_eq!(code, Some(130), "{said}");
    assert!(said.contains("what is computed is written"), "{said}");
    let left = files(&out);
    for name in ["history.csv", "events.csv", "summary.json", "report.html"] {
        assert!(left.iter().any(|file| file == name), "{left:?}");
    }
    let text = fs::read_to_string(out.join("summary.json")).expect("it is there");
    (serde_json::from_str(&text).expect("it is whole"), said)
}

#[test]
fn a_run_that_is_interrupted_keeps_its_history() {
    let folder = folder("interrupted-run");
    // A row each millisecond for an hour is much work.
    let long = [
        "--set",
        "run.until=\"1 h\"",
        "--set",
        "run.output_step=\"1 ms\"",
    ];
    let (summary, _) = summary_of_interrupted(&folder, &long, "");
    let text = summary.to_string();
    assert!(text.contains("interrupted"), "{text}");
    let history = fs::read_to_string(folder.join("out/history.csv")).expect("it is there");
    assert!(history.lines().count() > 3);
}

#[test]
fn draws_that_are_interrupted_are_not_counted() {
    let folder = folder("interrupted-draws");
    let (summary, said) = summary_of_interrupted(&folder, &["--draws", "3000"], "");
    assert!(said.contains(" of 3000 draws were done"), "{said}");
    let text = summary.to_string();
    assert!(!text.contains("interrupted"), "{text}");
}

#[test]
fn a_loss_budget_that_is_interrupted_says_so() {
    let folder = folder("interrupted-losses");
    // 32 runs with a row each millisecond are much work, of which the first is written before.
    let long = [
        "--why",
        "--set",
        "run.until=\"10 min\"",
        "--set",
        "run.output_step=\"1 ms\"",
    ];
    let (summary, _) = summary_of_interrupted(&folder, &long, "summary.json");
    assert!(!summary.to_string().contains("interrupted"), "{summary}");
    let page = fs::read_to_string(folder.join("out/report.html")).expect("it is there");
    let why = "interrupted before all runs without a cause were done";
    assert!(page.contains(why));
}
