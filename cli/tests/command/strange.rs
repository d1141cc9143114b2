//! Strange inputs to the studies: each ends with words and a code, none with a panic.

use crate::bench::{Ended, folder, pressfed};
use std::fs;
use std::path::PathBuf;

fn prepared(name: &str) -> PathBuf {
    let folder = folder(name);
    let mut stands = scenarios::ready_made().iter();
    let blowdown = stands.find(|s| s.name == "blowdown-water");
    let text = blowdown.expect("it is ready made").text;
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
    folder
}

/// Each refused with code 2 and these words.
fn refused(name: &str, command: &str, cases: &[(&[&str], &str)]) {
    let folder = prepared(name);
    for (arguments, words) in cases {
        let ended = pressfed(&folder, &[&[command, "stand.toml"], *arguments].concat());
        assert_eq!(
            ended.code, 2,
            "{arguments:?}: {}{}",
            ended.stdout, ended.stderr
        );
        assert!(
            ended.stderr.contains(words),
            "{arguments:?}: {}",
            ended.stderr
        );
        not_panicked(&ended);
    }
}

fn not_panicked(ended: &Ended) {
    assert!(!ended.stderr.contains("panicked"), "{}", ended.stderr);
}

#[test]
fn strange_draws_are_refused() {
    let cases: [(&[&str], &str); 6] = [
        (&["--draws", "1"], "from 40"),
        (&["--draws", "-5"], "'-5'"),
        (&["--draws", "nan"], "from 40"),
        (&["--draws", "99999999999999999999"], "to 1000000"),
        (&["--draws", "40", "--seed", "-1"], "'-1'"),
        (
            &["--draws", "40", "--set", "tank.fuel.fil=3 L"],
            "tank.fuel.fil",
        ),
    ];
    refused("strange-draws", "predict", &cases);
}

#[test]
fn no_draws_leave_no_bands() {
    let folder = prepared("strange-none");
    let predict = ["predict", "stand.toml", "--no-plots", "--draws"];
    for (draws, bands) in [("40", true), ("0", false)] {
        assert_eq!(
            pressfed(&folder, &[&predict[..], &[draws]].concat()).code,
            0
        );
        for table in ["history_bands.csv", "bands_aligned.csv"] {
            let path = folder.join("stand-out").join(table);
            assert_eq!(path.exists(), bands, "{draws} {table}");
        }
    }
}

/// Uncertainties of a thousand per cent: each value comes out positive with little more than half
/// a chance, so that hardly one draw in a thousand has all of them so.
#[test]
fn draws_that_all_fail_say_why() {
    let folder = prepared("strange-failed");
    let wide = [
        "tank.fuel.volume=19 L ± 1000 %",
        "tank.fuel.diameter=230 mm ± 1000 %",
        "line.feed.length=1.2 m ± 1000 %",
        "line.feed.bore=15.5 mm ± 1000 %",
        "line.feed.roughness=1.5 um ± 1000 %",
        "line.feed.minor_loss=2.4 ± 1000 %",
        "valve.run.flow_coefficient=12 Cv ± 1000 %",
        "valve.run.stroke_time=140 ms ± 1000 %",
        "valve.run.delay=20 ms ± 1000 %",
        "tank.fuel.wall_mass=11 kg ± 1000 %",
        "orifice.tip.effective_area=15 mm2 ± 1000 %",
        "tank.fuel.ullage=0.3 .. 0.5",
    ];
    let set = wide.iter().flat_map(|w| ["--set", w]);
    let predict = ["predict", "stand.toml", "--no-plots", "--draws", "40"];
    let ended = pressfed(
        &folder,
        &predict.into_iter().chain(set.clone()).collect::<Vec<_>>(),
    );
    assert_eq!(ended.code, 1, "{}{}", ended.stdout, ended.stderr);
    assert!(
        ended.stderr.contains("none of 40 draws"),
        "{}",
        ended.stderr
    );
    assert!(
        ended.stderr.contains("narrow the uncertainties"),
        "{}",
        ended.stderr
    );
    let sensitivity = ["sensitivity", "stand.toml", "--points", "8", "--walks", "2"];
    let ended = pressfed(
        &folder,
        &sensitivity.into_iter().chain(set).collect::<Vec<_>>(),
    );
    assert_eq!(ended.code, 2, "{}{}", ended.stdout, ended.stderr);
    assert!(ended.stderr.contains("at no point"), "{}", ended.stderr);
}

#[test]
fn strange_sensitivities_are_refused() {
    let cases: [(&[&str], &str); 5] = [
        (&["--points", "0"], "8..=65536"),
        (&["--walks", "1"], "2..=10000"),
        (&["--points", "-8"], "'-8'"),
        (&["--figure", ""], "has no figure"),
        (&["--figure", "fuel"], "has no figure"),
    ];
    refused("strange-sensitivity", "sensitivity", &cases);
}

#[test]
fn strange_sweeps_are_refused() {
    let cases: [(&[&str], &str); 12] = [
        (&[], "nothing varies"),
        (&["--vary", "tank.fuel.ullage"], "PATH=VALUE"),
        (&["--vary", "tank.fuel.ulage=10 %..60 %:3"], "ulage"),
        (&["--vary", "tank.fuel.ullage=-60 %..-10 %:3"], "state-1"),
        (
            &["--vary", "tank.fuel.ullage=10 %..60 %:1"],
            "number of steps",
        ),
        (
            &["--vary", "tank.fuel.ullage=nan %..60 %:3"],
            "begin with a number",
        ),
        (
            &["--vary", "tank.fuel.ullage=10 %..inf %:3"],
            "begin with a number",
        ),
        (
            &["--vary", "tank.fuel.ullage=10 %..60 L:3"],
            "different units",
        ),
        (&["--vary", "tank.fuel.ullage=10 %..60 %"], "--points"),
        (&["--draw", "--points", "0"], "--points"),
        (&["--draw", "--points", "2", "--shard", "4/3"], "3/16"),
        (
            &[
                "--vary",
                "tank.fuel.ullage=1 %..60 %:1000000",
                "--vary",
                "tank.fuel.volume=1 L..60 L:1000000",
                "--vary",
                "tank.fuel.pressure=1 bar(g)..60 bar(g):1000000",
                "--vary",
                "valve.run.delay=1 ms..60 ms:1000000",
            ],
            "more than",
        ),
    ];
    refused("strange-sweep", "sweep", &cases);
}

#[test]
fn a_sweep_without_a_whole_run_says_why_and_exits_1() {
    let folder = folder("strange-swept");
    // It cools until its gas is about to condense, whatever its volume.
    let text = r#"
title = "Cold bottle"
[bottle.supply]
gas = "nitrogen"
volume = "5 L"
pressure = "150 bar(g)"
temperature = "-60 degC"
heat_transfer = "none"
[orifice.vent]
from = "supply"
to = "ambient"
effective_area = "10 mm2"
[run]
until = "60 s"
"#;
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
    let axis = "bottle.supply.volume=5 L, 4 L";
    let ended = pressfed(&folder, &["sweep", "stand.toml", "--vary", axis]);
    assert_eq!(ended.code, 1, "{}{}", ended.stdout, ended.stderr);
    let words = "2 of 2 points gave no whole run";
    assert!(ended.stderr.contains(words), "{}", ended.stderr);
    not_panicked(&ended);
}

#[test]
fn strange_sizes_are_refused() {
    let ask = ["--set", "requirement.fuel.pressure_end=>= 12 bar(g)"];
    let find = ["--find", "tank.fuel.ullage", "--between"];
    let of = |between: &'static str| [&ask[..], &find[..], &[between]].concat();
    let plain = |more: &[&'static str]| [&ask[..], more].concat();
    let cases: Vec<(Vec<&str>, &str)> = vec![
        (ask.to_vec(), "say what to find"),
        (
            vec![
                "--set",
                "limit.fuel.pressure=<= 40 bar(g)",
                "--find",
                "tank.feul.ullage",
            ],
            "no value of that path",
        ),
        (of("30 %"), "--between"),
        (of("30 %..80 L"), "different units"),
        (of("2 bar..4 bar"), "neither end"),
        (of("-80 %..-30 %"), "must be above zero"),
        (of("nan..80 %"), "begin with a number"),
        (of(".."), "begin with a number"),
        (
            plain(&["--find", "tank.fuel.ullage", "--confidence", "100"]),
            "1 to 99.9",
        ),
        (
            plain(&["--find", "tank.fuel.ullage", "--draws", "-1"]),
            "'-1'",
        ),
        (plain(&["--relief", "oxidiser"]), "no tank oxidiser"),
    ];
    let cases: Vec<(&[&str], &str)> = cases.iter().map(|(a, w)| (&a[..], *w)).collect();
    refused("strange-size", "size", &cases);
}

#[test]
fn a_size_that_cannot_be_had_says_so_and_exits_1() {
    let folder = prepared("strange-nothing");
    let find = [
        "size",
        "stand.toml",
        "--draws",
        "0",
        "--find",
        "tank.fuel.ullage",
    ];
    let cases = [
        // Far beyond any ullage: the nearest, what could be asked for, another change.
        (
            "requirement.run.mean_flow=>= 1.0 kg/s",
            "could be asked for",
        ),
        // The run valve never opens: there is no mean flow to judge.
        ("sequence.1.at=900 s", "can be judged"),
    ];
    for (set, words) in cases {
        let ask = [
            "--set",
            "requirement.run.mean_flow=>= 0.2 kg/s",
            "--set",
            set,
        ];
        let ask = match set.starts_with("requirement") {
            true => &ask[2..],
            false => &ask[..],
        };
        let between = ["--between", "40 %..60 %"];
        let ended = pressfed(&folder, &[&find[..], ask, &between[..]].concat());
        assert_eq!(ended.code, 1, "{set}: {}{}", ended.stdout, ended.stderr);
        assert!(ended.said().contains(words), "{set}: {}", ended.stdout);
        not_panicked(&ended);
    }
}

#[test]
fn a_requirement_that_is_met_everywhere_says_so() {
    let folder = prepared("strange-met");
    let find = [
        "size",
        "stand.toml",
        "--draws",
        "0",
        "--find",
        "tank.fuel.ullage",
    ];
    let ask = ["--set", "requirement.fuel.pressure_end=>= 0 bar(a)"];
    // Both ends alike, too.
    for between in ["30 %..60 %", "40 %..40 %"] {
        let ended = pressfed(
            &folder,
            &[&find[..], &ask[..], &["--between", between]].concat(),
        );
        assert_eq!(ended.code, 0, "{}{}", ended.stdout, ended.stderr);
        assert!(ended.stdout.contains("look further"), "{}", ended.stdout);
    }
}
