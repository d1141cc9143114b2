//! `sweep`: the same bytes in one piece, in shards, and when it was stopped on the way.

use crate::bench::{Ended, files, folder, interrupted, pressfed};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

const VARY: [&str; 4] = [
    "--vary",
    "tank.fuel.ullage=10 %..60 %:3",
    "--vary",
    "valve.run.stroke_time=50 ms, 100 ms, nonsense",
];

fn prepared(name: &str) -> std::path::PathBuf {
    let folder = folder(name);
    let stands = scenarios::ready_made();
    let blowdown = stands.iter().find(|s| s.name == "blowdown-water");
    let text = blowdown.expect("it is ready made").text;
    fs::write(folder.join("stand.toml"), text).expect("the folder can be written");
    folder
}

fn swept(folder: &Path, further: &[&str]) -> Ended {
    let ended = pressfed(
        folder,
        &[&["sweep", "stand.toml"], &VARY[..], further].concat(),
    );
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    ended
}

fn table(folder: &Path, output: &str) -> String {
    fs::read_to_string(folder.join(output).join("sweep.csv")).expect("the table is there")
}

#[test]
fn shards_give_the_bytes_of_the_whole() {
    let folder = prepared("sweep-shards");
    swept(&folder, &["-o", "whole"]);
    for shard in ["2/4", "4/4", "1/4", "3/4"] {
        swept(&folder, &["-o", "pieces", "--shard", shard]);
    }
    let ended = pressfed(&folder, &["gather", "stand.toml", "pieces"]);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    assert_eq!(table(&folder, "whole"), table(&folder, "pieces"));
}

#[test]
fn a_path_that_is_not_there_is_answered_with_the_one_that_is() {
    let folder = prepared("sweep-path");
    let vary = ["--vary", "tank.fule.ullage=10 %..60 %:3"];
    let ended = pressfed(&folder, &[&["sweep", "stand.toml"], &vary[..]].concat());
    assert_eq!(ended.code, 2, "{}", ended.stderr);
    let meant = "did you mean \"tank.fuel.ullage\"?";
    assert!(ended.stderr.contains(meant), "{}", ended.stderr);
}

/// What is wrong in the middle of a grid is told with its path and a remedy; numbers stand in SI
/// beside what was typed.
#[test]
fn a_point_that_is_refused_says_where_and_what_to_write() {
    let folder = prepared("sweep-refused");
    let vary = ["--vary", "tank.fuel.volume=20 L, 20 Q", "-o", "out"];
    let ended = pressfed(&folder, &[&["sweep", "stand.toml"], &vary[..]].concat());
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let text = table(&folder, "out");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().expect("it has a heading").clone();
    let cell = |row: &csv::StringRecord, name: &str| {
        let place = header.iter().position(|h| h == name);
        row[place.expect(name)].to_owned()
    };
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    assert_eq!(cell(&rows[0], "tank.fuel.volume"), "20 L");
    assert_eq!(cell(&rows[0], "tank.fuel.volume_m3"), "0.02");
    assert_eq!(cell(&rows[1], "tank.fuel.volume_m3"), "");
    let failure = cell(&rows[1], "failure");
    assert!(failure.contains("tank.fuel.volume = 20 Q: "), "{failure}");
    assert!(failure.matches("; ").count() >= 1, "{failure}");
}

#[test]
fn a_stopped_sweep_goes_on_to_the_same_bytes() {
    let folder = prepared("sweep-stopped");
    swept(&folder, &["-o", "whole"]);
    let text = table(&folder, "whole");
    swept(&folder, &["-o", "stopped"]);
    let out = folder.join("stopped");
    // Stopped within the fifth row.
    let end = text.match_indices('\n').nth(4).expect("there are more").0 + 20;
    fs::remove_file(out.join("sweep.csv")).expect("it is there");
    fs::write(out.join("unfinished-sweep.csv"), &text[..end]).expect("it can be written");
    let ended = swept(&folder, &["-o", "stopped"]);
    assert!(ended.stderr.contains("behind 4 points"), "{}", ended.stderr);
    assert_eq!(table(&folder, "stopped"), text);
}

/// As a machine that is switched off would leave it: within a row.
#[test]
fn a_killed_sweep_goes_on_to_the_same_bytes() {
    let folder = prepared("sweep-killed");
    let swept = |output: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_pressfed"));
        let axis = ["--vary", "tank.fuel.ullage=20 %..60 %:300", "-o", output];
        command.args([&["sweep", "stand.toml"], &axis[..]].concat());
        command.current_dir(&folder).env("RAYON_NUM_THREADS", "1");
        command.stderr(Stdio::null());
        command
    };
    assert!(swept("whole").status().expect("it starts").success());
    let unfinished = folder.join("killed/unfinished-sweep.csv");
    let mut running = swept("killed").spawn().expect("it starts");
    let rows = || fs::read_to_string(&unfinished).map_or(0, |text| text.lines().count());
    while rows() < 3 && running.try_wait().expect("it can be asked").is_none() {
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    running.kill().expect("it runs");
    running.wait().expect("it ends");
    let text = fs::read_to_string(&unfinished).expect("it was killed before its end");
    let torn = text.lines().nth(1).map(|row| &row[..row.len() / 2]);
    fs::write(&unfinished, text.clone() + torn.expect("it has rows")).expect("it can be written");
    assert!(swept("killed").status().expect("it starts").success());
    assert_eq!(table(&folder, "killed"), table(&folder, "whole"));
}

#[cfg(unix)]
#[test]
fn an_interrupted_sweep_says_where_its_points_are_and_how_to_go_on() {
    let folder = prepared("sweep-interrupted");
    let axis = ["--vary", "tank.fuel.ullage=20 %..60 %:5000", "-o", "out"];
    let mut running = Command::new(env!("CARGO_BIN_EXE_pressfed"))
        .args([&["sweep", "stand.toml"], &axis[..]].concat())
        .current_dir(&folder)
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let unfinished = folder.join("out/unfinished-sweep.csv");
    let rows = || fs::read_to_string(&unfinished).map_or(0, |text| text.lines().count());
    while rows() < 3 && running.try_wait().expect("it can be asked").is_none() {
        std::thread::sleep(std::time::Duration::from_millis(1));
    }
    let (code, said) = interrupted(running);
    assert_eq!(code, Some(130), "{said}");
    assert!(
        said.contains("unfinished-sweep.csv; the same command goes on"),
        "{said}"
    );
    assert!(rows() >= 3);
}

#[test]
fn a_sweep_has_the_same_bytes_on_one_thread_and_on_two() {
    let folder = prepared("sweep-threads");
    for threads in ["1", "2"] {
        let draws = ["--draw", "--points", "64", "-o", threads];
        let status = Command::new(env!("CARGO_BIN_EXE_pressfed"))
            .args([&["sweep", "stand.toml"], &draws[..]].concat())
            .current_dir(&folder)
            .env("RAYON_NUM_THREADS", threads)
            .stderr(Stdio::null())
            .status();
        assert!(status.expect("it starts").success());
    }
    assert_eq!(table(&folder, "1"), table(&folder, "2"));
}

#[test]
fn points_that_fail_keep_their_reason() {
    let folder = prepared("sweep-failed");
    swept(&folder, &["-o", "out"]);
    let text = table(&folder, "out");
    let rows: Vec<&str> = text.lines().skip(1).collect();
    assert_eq!(rows.len(), 9);
    assert!(
        rows[2].contains("nonsense") && rows[2].contains("quantity-2"),
        "{}",
        rows[2]
    );
    assert!(rows[0].ends_with(','), "{}", rows[0]);
}

#[test]
fn a_grid_of_two_axes_is_drawn() {
    let folder = prepared("sweep-drawn");
    let axes = [
        "sweep",
        "stand.toml",
        "--vary",
        "tank.fuel.ullage=30 %..60 %:3",
    ];
    let other = [
        "--vary",
        "tank.fuel.pressure=20 bar(g)..30 bar(g):2",
        "-o",
        "out",
    ];
    let ended = pressfed(&folder, &[&axes[..], &other[..]].concat());
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let left = files(&folder.join("out"));
    assert!(
        left.iter().any(|f| f == "sweep-run.mean_flow_kg_s.svg"),
        "{left:?}"
    );
}

#[test]
fn a_missing_shard_is_named() {
    let folder = prepared("sweep-missing");
    swept(&folder, &["-o", "pieces", "--shard", "2/3"]);
    let ended = pressfed(&folder, &["gather", "stand.toml", "pieces"]);
    assert_eq!(ended.code, 2);
    assert!(
        ended.stderr.contains("1/3") && ended.stderr.contains("3/3"),
        "{}",
        ended.stderr
    );
}

#[test]
fn a_folder_with_another_sweep_is_left_alone() {
    let folder = prepared("sweep-other");
    swept(&folder, &["-o", "out"]);
    let other = [
        "sweep",
        "stand.toml",
        "--vary",
        "tank.fuel.ullage=30 %, 40 %",
        "-o",
        "out",
    ];
    let ended = pressfed(&folder, &other);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("another sweep"), "{}", ended.stderr);
}
