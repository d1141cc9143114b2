//! `sensitivity`: what it leaves, and what it refuses.

use crate::bench::{files, folder, pressfed};
use std::fs;

/// Writes a stand with this text in place of the blowdown's own.
fn stand(folder: &std::path::Path, change: impl FnOnce(&str) -> String) {
    let stands = scenarios::ready_made();
    let blowdown = stands.iter().find(|s| s.name == "blowdown-water");
    let text = change(blowdown.expect("it is ready made").text);
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
}

#[test]
fn it_ranks_the_orifice_first_for_the_flow_of_a_blowdown() {
    let folder = folder("sensitivity");
    stand(&folder, str::to_owned);
    let effort = ["--points", "8", "--walks", "2"];
    let asked = ["sensitivity", "stand.toml", "--figure", "run.steady_flow"];
    let ended = pressfed(&folder, &[&asked[..], &effort[..]].concat());
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let better = "measure better: orifice.tip.effective_area";
    assert!(ended.stdout.contains(better), "{}", ended.stdout);
    let left = files(&folder.join("stand-sensitivity"));
    let picture = "sensitivity-run.steady_flow_kg_s";
    let expected = [
        format!("{picture}.png"),
        format!("{picture}.svg"),
        "sensitivity.csv".to_owned(),
        "sensitivity.json".to_owned(),
    ];
    assert_eq!(left, expected);
}

#[test]
fn an_unknown_figure_is_refused_with_the_nearest() {
    let folder = folder("sensitivity-figure");
    stand(&folder, str::to_owned);
    let ended = pressfed(
        &folder,
        &[
            "sensitivity",
            "stand.toml",
            "--figure",
            "run.meen_flow_kg_s",
        ],
    );
    assert_eq!(ended.code, 2);
    assert!(
        ended.stderr.contains("Did you mean run.mean_flow?"),
        "{}",
        ended.stderr
    );
}
