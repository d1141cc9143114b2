//! What a result says of itself: what was set, what was asked for and in which unit; and that
//! none of an earlier run stays beside it.

use crate::bench::{files, folder, pressfed};
use std::fs;
use std::path::{Path, PathBuf};

fn bench(name: &str) -> PathBuf {
    let folder = folder(name);
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    folder
}

fn summary(folder: &Path, set: &[&str]) -> serde_json::Value {
    let mut arguments = vec!["predict", "bench.toml", "--no-plots", "--json"];
    arguments.extend(set.iter().flat_map(|s| ["--set", s]));
    let ended = pressfed(folder, &arguments);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    serde_json::from_str(&ended.stdout).expect("the summary is JSON")
}

#[test]
fn what_was_set_is_told_and_hashed() {
    let folder = bench("set");
    let plain = summary(&folder, &[]);
    assert_eq!(plain["set"], serde_json::json!({}));
    let volume = "bottle.supply.volume";
    // Of two values for one path the last is in force.
    let twice = [format!("{volume}=9 L"), format!("{volume}=40 L")];
    let set = summary(&folder, &[&twice[0], &twice[1]]);
    assert_eq!(set["set"], serde_json::json!({ volume: "40 L" }));
    assert_ne!(plain["input_hash"], set["input_hash"]);
    let other = summary(&folder, &[&twice[0]]);
    assert_ne!(other["input_hash"], set["input_hash"]);
    for command in [
        &["check", "bench.toml"][..],
        &["predict", "bench.toml", "--no-plots"],
    ] {
        let told = |set: &[&str]| pressfed(&folder, &[command, set].concat()).stdout;
        let changed = "Set in place of the stand file's values\n  bottle.supply.volume  40 L\n";
        assert!(told(&["--set", &twice[1]]).contains(changed), "{command:?}");
        assert!(
            !told(&[]).contains("in place of the stand file"),
            "{command:?}"
        );
    }
}

#[test]
fn bounds_and_checks_by_hand_have_their_units() {
    let folder = bench("units");
    let found = summary(&folder, &["limit.fuel.ullage_temperature=<= 200 degC"]);
    let flow = &found["requirements"][0];
    assert_eq!(flow["quantity"], "run.mean_flow_kg_s");
    assert_eq!(flow["unit"], "kg/s");
    let figure = &found["figures"]["run.mean_flow_kg_s"];
    assert_eq!(&flow["observed"], figure);
    let limits = found["limits"].as_array().expect("limits are a list");
    let quantities = limits
        .iter()
        .map(|l| (l["quantity"].as_str(), l["unit"].as_str()));
    assert_eq!(
        quantities.collect::<Vec<_>>(),
        [
            (Some("fuel.pressure_pa"), Some("Pa")),
            (Some("fuel.ullage_temperature_k"), Some("K")),
        ]
    );
    let checks = found["hand_checks"].as_array().expect("checks are a list");
    let units = checks
        .iter()
        .map(|c| c["unit"].as_str().unwrap_or_default());
    // Steady flow, gas flow, gas in the ullage, start-up, peak if shut at once.
    assert_eq!(units.collect::<Vec<_>>(), ["kg/s", "kg/s", "kg", "s", "Pa"]);
}

#[test]
fn a_bound_is_printed_in_the_unit_of_whoever_asked() {
    let folder = bench("asked");
    let predict = |set: &str| {
        let arguments = ["predict", "bench.toml", "--no-plots", "--set", set];
        pressfed(&folder, &arguments).stdout
    };
    // 600 psi are 41.37 bar (1 psi = 6894.757 Pa).
    let psi = predict("limit.fuel.pressure=<= 600 psi(g)");
    let line = psi
        .lines()
        .find(|l| l.trim_start().starts_with("kept  fuel.pressure"));
    let line = line.expect("the limit is judged");
    assert!(line.contains("<= 600.0 psi(g) (41.37 bar(g))"), "{line}");
    let (_, margin) = line.split_once("margin ").expect("it has a margin");
    assert!(margin.ends_with(" psi"), "{line}");
    let bar = predict("limit.fuel.pressure=<= 41 bar(g)");
    assert!(bar.contains("<= 41.00 bar(g)  "), "{bar}");
}

#[test]
fn a_new_run_clears_its_own_old_files_and_no_other() {
    let folder = bench("stale");
    let predict = ["predict", "bench.toml", "-o", "out"];
    // No run was here yet: files of such names are someone else's.
    let out = folder.join("out");
    fs::create_dir(&out).expect("the test folder can be written");
    let mine = [
        "loss_budget.csv",
        "notes.txt",
        "opening-photo.png",
        "shutting-run.png",
    ];
    for name in mine {
        fs::write(out.join(name), "mine").expect("the test folder can be written");
    }
    let tables = [&predict[..], &["--no-plots"]].concat();
    assert_eq!(pressfed(&folder, &tables).code, 0);
    for name in mine {
        let kept = fs::read_to_string(out.join(name));
        assert_eq!(kept.expect("it is still there"), "mine", "{name}");
    }
    let drawn = [&predict[..], &["--draws", "40", "--why"]].concat();
    assert_eq!(pressfed(&folder, &drawn).code, 0);
    let left = files(&out);
    for name in [
        "history_bands.csv",
        "loss_budget.csv",
        "overview.png",
        "shutting-run.svg",
    ] {
        assert!(
            left.iter().any(|l| l == name),
            "{name} is missing from {left:?}"
        );
    }
    assert_eq!(pressfed(&folder, &tables).code, 0);
    assert_eq!(
        files(&out),
        [
            "events.csv",
            "history.csv",
            "notes.txt",
            "opening-photo.png",
            "report.html",
            "summary.json"
        ]
    );
}

#[test]
fn the_help_of_demo_names_every_ready_made_stand() {
    let help = pressfed(&folder("stands"), &["demo", "--help"]).stdout;
    for stand in scenarios::ready_made() {
        let named = help
            .lines()
            .find(|l| l.trim_start().starts_with(stand.name));
        let named = named.unwrap_or_else(|| panic!("{} is missing from {help}", stand.name));
        assert!(named.contains(stand.description), "{named}");
    }
}

#[test]
fn the_sequence_is_told_in_the_words_of_the_events() {
    let folder = bench("sequence-words");
    let check = pressfed(&folder, &["check", "bench.toml"]).stdout;
    let predict = pressfed(&folder, &["predict", "bench.toml", "--no-plots"]).stdout;
    for words in ["run commanded open", "run commanded shut"] {
        let found = |text: &str| {
            text.lines().any(|l| {
                let spaced: Vec<&str> = l.split_whitespace().collect();
                spaced.join(" ").contains(words)
            })
        };
        assert!(found(&check), "{check}");
        assert!(found(&predict), "{predict}");
    }
}

#[test]
fn check_says_that_a_composition_is_by_amount() {
    let folder = bench("composition");
    let ended = pressfed(&folder, &["check", "bench.toml"]);
    assert!(ended.stdout.contains(" mol % + water "), "{}", ended.stdout);
}

/// The text of a picture.
fn picture(folder: &Path, set: &[&str], name: &str) -> String {
    let mut arguments = vec!["predict", "bench.toml", "-o", "out"];
    arguments.extend(set.iter().flat_map(|s| ["--set", s]));
    assert_eq!(pressfed(folder, &arguments).code, 0);
    fs::read_to_string(folder.join("out").join(name)).expect("it is drawn")
}

#[test]
fn the_peak_of_the_filling_is_cut_off_and_told() {
    let folder = bench("spike");
    let flow = picture(&folder, &[], "flow.svg");
    assert!(flow.contains("cut off: press peaks at "), "{flow}");
    let limited = ["limit.press.mass_flow=<= 0.5 kg/s"];
    let flow = picture(&folder, &limited, "flow.svg");
    assert!(!flow.contains("cut off"), "a limit shows the whole peak");
}

#[test]
fn pictures_say_what_is_left_when_and_why_curves_are_dashed() {
    let folder = bench("titles");
    let contents = picture(&folder, &[], "contents.svg");
    assert!(
        contents.contains("left at the shut command, "),
        "{contents}"
    );
    for name in ["contents.svg", "shutting-run.svg"] {
        let text = fs::read_to_string(folder.join("out").join(name)).expect("it is drawn");
        assert!(text.contains("commanded shut"), "{name}");
        assert!(!text.contains("told to"), "{name}");
    }
    let shutting = fs::read_to_string(folder.join("out/shutting-run.svg")).expect("it is drawn");
    // 20 ms of delay and 150 ms of stroke.
    assert!(shutting.contains("run shuts: stroke ends 0.170 s after the command"));
    assert!(shutting.contains("without elastic waves"));
    let regulator = fs::read_to_string(folder.join("out/regulator-press.svg"));
    assert!(
        regulator
            .expect("it is drawn")
            .contains("dashed: flow curve at the supply pressure")
    );
    let contents = picture(&folder, &["run.until=10 s"], "contents.svg");
    assert!(
        contents.contains("left at the end of the run"),
        "{contents}"
    );
    assert!(
        !folder.join("out/shutting-run.svg").exists(),
        "nothing shuts"
    );
    let never = ["sequence.2.when=fuel.liquid_mass < 0.001 kg"];
    let contents = picture(&folder, &never, "contents.svg");
    assert!(
        contents.contains("left when the outlet uncovers, "),
        "{contents}"
    );
}

/// Waves are drawn where they count: those of a stroke of 5 ms before which a line of 1.5 m parts, 2L/a about 2 ms.
#[test]
fn a_fast_stroke_is_drawn_with_its_waves() {
    let folder = bench("waves");
    let fast = ["valve.run.stroke_time=5 ms"];
    let shutting = picture(&folder, &fast, "shutting-run.svg");
    assert!(shutting.contains("of an elastic column"), "{shutting}");
    // The window is that of stroke and waves, some 12 ms: thousandths of a second are told apart.
    assert!(shutting.contains("\n0.024\n"), "{shutting}");
}

#[test]
fn the_axis_of_time_has_the_unit_that_it_names() {
    let folder = bench("milliseconds");
    let set = ["display.time=ms"];
    let pressures = picture(&folder, &set, "pressures.svg");
    // The run lasts 30 s.
    for text in ["Time, ms", "\n30000\n"] {
        assert!(pressures.contains(text), "{text} is missing");
    }
    let opening = fs::read_to_string(folder.join("out/opening-run.svg")).expect("it is drawn");
    assert!(opening.contains("\n1000\n"), "one second after the command");
}

#[test]
fn a_zoom_about_a_command_on_a_condition_has_no_band_over_time() {
    let folder = folder("zoom");
    assert_eq!(pressfed(&folder, &["demo", "--draws", "40"]).code, 0);
    let shaded = |name: &str| {
        let text = fs::read_to_string(folder.join("demo-out").join(name));
        text.expect("it is drawn").contains("shaded")
    };
    assert!(shaded("opening-run.svg"), "opened at 5 s in every draw");
    assert!(
        !shaded("shutting-run.svg"),
        "shut at another time in each draw"
    );
}

#[test]
fn feet_of_flow_curves_that_stand_close_share_one_label() {
    let labels = |set: &[&str]| {
        let folder = folder("feet");
        let mut arguments = vec!["predict", "stand.toml", "-o", "out"];
        arguments.extend(set.iter().flat_map(|s| ["--set", s]));
        let stand = scenarios::ready_made()[0].text;
        fs::write(folder.join("stand.toml"), stand).expect("the folder can be written");
        assert_eq!(pressfed(&folder, &arguments).code, 0);
        let text = fs::read_to_string(folder.join("out/regulator-press.svg"));
        let text = text.expect("it is drawn");
        let lines = text.lines().filter(|l| l.starts_with("supply "));
        lines.map(str::to_owned).collect::<Vec<String>>()
    };
    // A small bottle falls by tens of bar, a large one by few.
    let apart = labels(&[]);
    assert_eq!(apart.len(), 3, "{apart:?}");
    let small_seat = "regulator.press.flow_coefficient=0.05 Cv";
    let close = labels(&["bottle.supply.volume=60 L", small_seat]);
    assert_eq!(close.len(), 1, "{close:?}");
    assert_eq!(close[0].matches(", ").count(), 2, "{close:?}");
}

#[test]
fn the_last_time_on_an_operating_line_stands_on_its_free_side() {
    let anchor_of = |stand: usize, last: &str| {
        let folder = folder(&format!("free-side-{stand}"));
        let stand = scenarios::ready_made()[stand].text;
        fs::write(folder.join("stand.toml"), stand).expect("the folder can be written");
        let predict = ["predict", "stand.toml", "-o", "out"];
        assert_eq!(pressfed(&folder, &predict).code, 0);
        let text = fs::read_to_string(folder.join("out/regulator-press.svg"));
        let text = text.expect("it is drawn");
        let lines: Vec<&str> = text.lines().collect();
        let at = lines.iter().position(|l| l.ends_with(last));
        let tag = lines[at.expect("the time is written") - 1];
        let (_, anchor) = tag
            .split_once("text-anchor=\"")
            .expect("texts are anchored");
        anchor.split('"').next().unwrap_or_default().to_owned()
    };
    // The small regulator runs down to smaller flows, the large one goes on to larger ones.
    assert_eq!(anchor_of(0, "17.70 s"), "end");
    assert_eq!(anchor_of(2, "16.92 s"), "start");
}

#[test]
fn a_run_is_sketched_in_rows_of_blocks() {
    let folder = folder("sketch");
    let told = pressfed(&folder, &["demo", "--draws", "0", "--no-plots", "--sketch"]).stdout;
    let row = |name: &str| {
        let line = told.lines().find(|l| l.trim_start().starts_with(name));
        let line = line.unwrap_or_else(|| panic!("no {name} in {told}"));
        let blocks = line.chars().filter(|c| ('▁'..='█').contains(c));
        blocks.collect::<Vec<char>>()
    };
    let bottle = row("supply pressure");
    assert_eq!(bottle.len(), 60);
    assert!(bottle.is_sorted_by(|a, b| a >= b), "a bottle only empties");
    let flow = row("run mass flow");
    // The command comes at 5 s of 25 s, and the tank is empty before the end.
    assert_eq!((flow[11], flow[20], flow[59]), ('▁', '█', '▁'));
}
