//! Exit codes, files and words of the commands.

use crate::bench::{files, folder, pressfed, pressfed_on};
use std::fs;

/// What a run leaves without pictures.
const WITHOUT_PICTURES: [&str; 4] = ["events.csv", "history.csv", "report.html", "summary.json"];

#[test]
fn predict_leaves_its_tables_and_prints_its_summary() {
    let folder = folder("predict");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let ended = pressfed(&folder, &["predict", "bench.toml", "--no-plots", "--json"]);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let out = folder.join("bench-out");
    assert_eq!(files(&out), WITHOUT_PICTURES);
    let summary = fs::read_to_string(out.join("summary.json")).expect("the summary is there");
    assert_eq!(summary, ended.stdout);
    let history = fs::read_to_string(out.join("history.csv")).expect("the history is there");
    assert!(history.starts_with("time_s,"), "{}", &history[..80]);
}

#[test]
fn the_summary_has_the_keys_of_its_schema() {
    let folder = folder("schema");
    let ended = pressfed(&folder, &["demo", "--no-plots", "--json", "--draws", "0"]);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let summary: serde_json::Value =
        serde_json::from_str(&ended.stdout).expect("the summary is JSON");
    let object = summary.as_object().expect("the summary is an object");
    let mut keys: Vec<&str> = object.keys().map(String::as_str).collect();
    keys.sort_unstable();
    assert_eq!(
        keys,
        [
            "assumptions",
            "balances",
            "events",
            "failure",
            "figures",
            "hand_checks",
            "input_hash",
            "limits",
            "requirements",
            "schema",
            "set",
            "stand",
            "statistics",
            "version",
            "warnings",
        ]
    );
    assert_eq!(summary["schema"], "pressfed-summary/1");
    assert_eq!(summary["input_hash"].as_str().map(str::len), Some(64));
    for figure in [
        "run.steady_flow_kg_s",
        "run.mean_flow_kg_s",
        "run.delay_s",
        "run.travel_10_90_s",
        "run.time_to_90_s",
        "fuel.pressure_0_5_s_pa",
        "fuel.pressure_middle_pa",
        "fuel.pressure_end_pa",
        "fuel.liquid_left_kg",
        "fuel.peak_pressure_pa",
        "press.outlet_start_pa",
        "press.lock_up_pa",
        "press.droop_0_5_s_pa",
        "press.regulation_lost_s",
        "press.peak_flow_kg_s",
        "press.peak_flow_mol_s",
        "supply.gas_used_kg",
        "supply.pressure_end_pa",
        "supply.pressure_end_isothermal_pa",
        "supply.pressure_end_isentropic_pa",
        "supply.temperature_end_k",
        "supply.pressure_rewarmed_pa",
    ] {
        assert!(summary["figures"][figure].is_f64(), "{figure} is missing");
    }
    for key in ["mass_relative", "energy_relative"] {
        assert!(
            summary["balances"][key].is_f64(),
            "balances.{key} is missing"
        );
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let folder = folder("bytes");
    for out in ["one", "two"] {
        assert_eq!(
            pressfed(&folder, &["demo", "-o", out, "--draws", "40"]).code,
            0
        );
    }
    let names = files(&folder.join("one"));
    assert_eq!(names, files(&folder.join("two")));
    for name in names {
        let read = |out: &str| fs::read(folder.join(out).join(&name)).expect("the file is there");
        assert!(read("one") == read("two"), "{name} differs");
    }
}

#[test]
fn demo_draws_every_picture_twice() {
    let folder = folder("pictures");
    assert_eq!(pressfed(&folder, &["demo", "--draws", "0"]).code, 0);
    let names = files(&folder.join("demo-out"));
    for picture in [
        "overview",
        "pressures",
        "flow",
        "contents",
        "temperatures",
        "opening-run",
        "shutting-run",
        "regulator-press",
    ] {
        for kind in ["svg", "png"] {
            let name = format!("{picture}.{kind}");
            assert!(names.contains(&name), "{name} is missing from {names:?}");
        }
    }
    assert!(names.iter().all(|n| !n.starts_with('.')), "{names:?}");
}

#[test]
fn a_broken_limit_exits_1_and_an_unmet_requirement_0() {
    let folder = folder("verdicts");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let predict = |set: &str| {
        pressfed(
            &folder,
            &["predict", "bench.toml", "--no-plots", "--set", set],
        )
    };
    let broken = predict("limit.fuel.pressure=<= 20 bar(g)");
    assert_eq!(broken.code, 1, "{}", broken.stderr);
    assert!(broken.stdout.contains("BROKEN"), "{}", broken.stdout);
    let unmet = predict("requirement.run.mean_flow=>= 50 kg/s");
    assert_eq!(unmet.code, 0, "{}", unmet.stderr);
    assert!(unmet.stdout.contains("NOT MET"), "{}", unmet.stdout);
    let no_bands = "no bands drawn; add --draws 200";
    assert!(unmet.stdout.contains(no_bands), "{}", unmet.stdout);
}

#[test]
fn bands_stand_under_their_heading_and_shares_beside_their_bounds() {
    let folder = folder("headings");
    let set = "requirement.run.mean_flow=>= 0.1 kg/s";
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let predict = ["predict", "bench.toml", "--no-plots", "--draws", "40"];
    let ended = pressfed(&folder, &[&predict[..], &["--set", set]].concat());
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let line = |words: &str| {
        let found = ended.stdout.lines().find(|l| l.contains(words));
        found
            .unwrap_or_else(|| panic!("no {words} in {}", ended.stdout))
            .to_owned()
    };
    assert!(line("nominal").contains("95 % band"));
    assert!(line("margin").contains("met in 100 % of the draws"));
}

/// A cold bottle that cools until its gas is about to condense.
const COLD: &str = r#"
title = "Cold bottle"
[display]
temperature = "degF"
[bottle.supply]
gas = "nitrogen"
volume = "5 L"
pressure = "150 bar(g)"
temperature = "-60 degC"
heat_transfer = "none"
[orifice.vent]
from = "supply"
to = "ambient"
diameter = "4 mm"
discharge_coefficient = 0.8
[run]
until = "60 s"
output_step = "0.1 s"
[limit]
"supply.pressure" = "<= 160 bar(g)"
"#;

#[test]
fn a_run_that_fails_exits_1_says_where_and_leaves_its_history() {
    let folder = folder("failed");
    fs::write(folder.join("cold.toml"), COLD).expect("the test folder can be written");
    let ended = pressfed(&folder, &["predict", "cold.toml", "--json", "--no-plots"]);
    assert_eq!(ended.code, 1, "{}", ended.stderr);
    let summary: serde_json::Value =
        serde_json::from_str(&ended.stdout).expect("the summary is JSON");
    let failure = &summary["failure"];
    assert_eq!(failure["component"], "vent");
    let message = failure["message"].as_str().unwrap_or_default();
    for part in ["nitrogen", "temperature", " °F", "range"] {
        assert!(message.contains(part), "{message} lacks {part}");
    }
    assert!(summary["balances"].is_null(), "{summary}");
    let history = fs::read_to_string(folder.join("cold-out/history.csv"));
    let history = history.expect("the history is on disk");
    let last = history.lines().last().unwrap_or_default();
    let last_s: f64 = last
        .split(',')
        .next()
        .unwrap_or_default()
        .parse()
        .expect("a time");
    let failed_s = failure["time_s"].as_f64().expect("a time");
    // The times of rows are rounded to nine digits.
    assert!((failed_s - last_s).abs() < 1e-8, "{last_s} {failed_s}");
    // What comes later is not judged.
    assert_eq!(summary["limits"][0]["judged_until_s"], failure["time_s"]);
    let told = pressfed(&folder, &["predict", "cold.toml", "--no-plots"]).stdout;
    let page = fs::read_to_string(folder.join("cold-out/report.html")).expect("it is there");
    for text in [told, page] {
        let kept = text.contains("kept up to ") && text.contains(" s, where the run ended");
        assert!(kept, "{text}");
    }
}

#[test]
fn a_wrong_stand_exits_2_and_leaves_nothing() {
    let folder = folder("wrong");
    let text = "[bottle.supply]\ngas = \"nitrogen\"\nvolume = 50\npressure = \"200 bar\"\n";
    fs::write(folder.join("wrong.toml"), text).expect("the test folder can be written");
    let ended = pressfed(&folder, &["predict", "wrong.toml"]);
    assert_eq!((ended.code, ended.stdout.as_str()), (2, ""));
    assert_eq!(files(&folder), ["wrong.toml"]);
    insta::assert_snapshot!("wrong_stand", ended.stderr);
    let as_json = pressfed(&folder, &["check", "wrong.toml", "--json"]);
    assert_eq!(as_json.code, 2);
    insta::assert_snapshot!("wrong_stand_json", as_json.stdout);
}

#[test]
fn a_wrong_override_is_shown_where_it_was_typed() {
    let folder = folder("override");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let set = "bottle.supply.volume=9 liters";
    let ended = pressfed(&folder, &["check", "bench.toml", "--set", set]);
    assert_eq!(ended.code, 2);
    insta::assert_snapshot!("wrong_override", ended.stderr);
}

#[test]
fn an_override_that_the_shell_cut_in_two_is_shown_whole() {
    let folder = folder("unquoted");
    let set = ["bottle.supply.volume=9.5", "L"];
    let ended = pressfed(&folder, &["check", "bench.toml", "--set", set[0], set[1]]);
    assert_eq!(ended.code, 2);
    let hint = "\"bottle.supply.volume=9.5 L\"";
    assert!(ended.stderr.contains(hint), "{}", ended.stderr);
}

#[test]
fn a_stand_that_is_not_there_exits_2_with_a_remedy() {
    let folder = folder("missing");
    let ended = pressfed(&folder, &["predict", "bench.toml"]);
    assert_eq!(ended.code, 2);
    assert!(
        ended.stderr.contains("cannot read bench.toml"),
        "{}",
        ended.stderr
    );
    assert!(
        ended.stderr.contains("pressfed new bench.toml"),
        "{}",
        ended.stderr
    );
}

#[test]
fn a_folder_that_cannot_be_written_exits_2_with_a_remedy() {
    let folder = folder("unwritable");
    // A file where the folder should be refuses every user, root included.
    fs::write(folder.join("taken"), "").expect("the test folder can be written");
    let ended = pressfed(&folder, &["demo", "-o", "taken"]);
    assert_eq!((ended.code, ended.stdout.as_str()), (2, ""));
    assert!(
        ended.stderr.contains("cannot write taken"),
        "{}",
        ended.stderr
    );
    assert!(ended.stderr.contains("-o"), "{}", ended.stderr);
}

/// The remedy is an option that the command has, and puts elsewhere what it could not write.
#[test]
fn a_file_that_cannot_be_written_names_an_option_of_its_command_or_none() {
    let folder = folder("unwritable-file");
    fs::write(folder.join("taken"), "").expect("the test folder can be written");
    let new = pressfed(&folder, &["new", "bench.toml"]);
    assert_eq!(new.code, 0, "{}", new.stderr);
    let card = [
        "card",
        "bench.toml",
        "--draws",
        "0",
        "-o",
        "taken/card.html",
    ];
    for (asked, option) in [
        (&card[..], Some("-o FILE")),
        (&["new", "taken/bench.toml"], None),
    ] {
        let ended = pressfed(&folder, asked);
        assert_eq!(ended.code, 2, "{}", ended.stderr);
        assert!(
            ended.stderr.contains("cannot write taken/"),
            "{}",
            ended.stderr
        );
        assert!(!ended.stderr.contains("DIR"), "{}", ended.stderr);
        let named = option.unwrap_or("may write to");
        assert!(ended.stderr.contains(named), "{}", ended.stderr);
        assert_eq!(
            ended.stderr.contains("-o"),
            option.is_some(),
            "{}",
            ended.stderr
        );
    }
}

/// A limit on the size of files stands for a disk that fills while the history is written.
#[cfg(unix)]
#[test]
fn a_disk_that_fills_exits_2_with_path_and_remedy_and_leaves_no_half_file() {
    let folder = folder("full-disk");
    let limited = "trap '' XFSZ; ulimit -f 16; exec \"$0\" demo -o out --draws 0 --no-plots";
    let output = std::process::Command::new("sh")
        .args(["-c", limited, env!("CARGO_BIN_EXE_pressfed")])
        .current_dir(&folder)
        .output()
        .expect("a shell");
    let stderr = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(2), "{stderr}");
    assert!(stderr.contains("cannot write out"), "{stderr}");
    assert!(stderr.contains("that has room"), "{stderr}");
    assert!(!stderr.contains("panicked"), "{stderr}");
    for name in files(&folder.join("out")) {
        assert!(!name.starts_with(".unfinished"), "{name}");
        assert_ne!(name, "history.csv");
    }
}

/// The kernel's own folder takes no files from anybody.
#[cfg(target_os = "linux")]
#[test]
fn a_folder_that_is_read_only_exits_2_with_path_and_remedy() {
    let folder = folder("read-only");
    let ended = pressfed(&folder, &["demo", "-o", "/proc/results", "--draws", "0"]);
    assert_eq!(ended.code, 2, "{}", ended.stderr);
    assert!(
        ended.stderr.contains("cannot write /proc/results"),
        "{}",
        ended.stderr
    );
    assert!(ended.stderr.contains("-o DIR"), "{}", ended.stderr);
}

#[test]
fn new_does_not_overwrite() {
    let folder = folder("new");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    fs::write(folder.join("bench.toml"), "mine").expect("the test folder can be written");
    let ended = pressfed(&folder, &["new", "bench.toml"]);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("exists already"), "{}", ended.stderr);
    let kept = fs::read_to_string(folder.join("bench.toml")).expect("the file is there");
    assert_eq!(kept, "mine");
}

#[test]
fn codes_are_explained_and_unknown_ones_refused() {
    let folder = folder("explain");
    let ended = pressfed(&folder, &["explain", "QUANTITY-5"]);
    assert_eq!(ended.code, 0);
    assert!(ended.stdout.starts_with("quantity-5: "), "{}", ended.stdout);
    let unknown = pressfed(&folder, &["explain", "quantity-99"]);
    assert_eq!(unknown.code, 2);
    assert!(unknown.stderr.contains("quantity-99"), "{}", unknown.stderr);
}

/// Every word of the trade leads to entries that are there: to the one, or to a list of all of them.
#[test]
fn words_of_the_trade_are_found() {
    let folder = folder("explain-trade");
    for (word, names) in cli::trade::WORDS {
        let told = pressfed(&folder, &["explain", word]);
        assert_eq!(told.code, 0, "{word}: {}", told.stderr);
        let begin = |line: &str| line.split_whitespace().next().map(str::to_owned);
        let begun: Vec<String> = told.stdout.lines().filter_map(begin).collect();
        for name in *names {
            let entry = pressfed(&folder, &["explain", name]);
            let is_all = entry.code == 0 && told.stdout == entry.stdout;
            assert!(is_all || begun.iter().any(|b| b == name), "{word}: {name}");
        }
    }
    let spelled = [
        &["explain", "Water", "hammer"][..],
        &["explain", "water-hammer"],
    ];
    for asked in spelled {
        let told = pressfed(&folder, asked).stdout;
        assert!(told.contains("liquid-3"), "{told}");
    }
}

/// What no word of the trade names is looked for in keys and titles, then among what is spelled like it.
#[test]
fn what_has_no_entry_of_its_own_is_looked_up() {
    let folder = folder("explain-looked-up");
    let told = |asked: &str| pressfed(&folder, &["explain", asked]);
    let key = told("wall_thickness").stdout;
    assert!(key.starts_with("[line.NAME]"), "{key}");
    let title = told("lock-up").stdout;
    assert!(title.contains("regulator-1"), "{title}");
    assert!(told("VENTURI").stdout.starts_with("[venturi.NAME]"));
    let unknown = told("sureg");
    assert_eq!(unknown.code, 2);
    assert!(
        unknown.stderr.contains("Did you mean surge?"),
        "{}",
        unknown.stderr
    );
}

#[test]
fn an_unknown_ready_made_stand_is_refused_with_the_names() {
    let folder = folder("unknown-demo");
    let ended = pressfed(&folder, &["demo", "nothing-like-it"]);
    assert_eq!(ended.code, 2);
    assert!(ended.stderr.contains("There are: "), "{}", ended.stderr);
}

#[test]
fn a_stand_that_is_no_text_file_is_not_answered_with_a_new_one() {
    let folder = folder("no-text");
    fs::write(folder.join("picture.png"), [0x89, 0x50, 0xff, 0xfe])
        .expect("the test folder can be written");
    fs::create_dir(folder.join("bench")).expect("the test folder can be written");
    for (name, remedy) in [("picture.png", "plain text"), ("bench", "not its folder")] {
        let ended = pressfed(&folder, &["check", name]);
        assert_eq!(ended.code, 2);
        assert!(ended.stderr.contains(remedy), "{}", ended.stderr);
        assert!(!ended.stderr.contains("pressfed new"), "{}", ended.stderr);
    }
}

#[test]
fn an_empty_file_is_named() {
    let folder = folder("empty");
    fs::write(folder.join("bench.toml"), "# later\n").expect("the test folder can be written");
    let ended = pressfed(&folder, &["check", "bench.toml"]);
    assert_eq!(ended.code, 2);
    insta::assert_snapshot!("empty_file", ended.stderr);
}

#[test]
fn every_table_of_a_stand_file_is_explained() {
    let folder = folder("explain-tables");
    for stand in scenarios::ready_made() {
        for heading in stand.text.lines().filter(|line| line.starts_with('[')) {
            let word = heading.trim_start_matches('[');
            let (word, _) = word.split_once(['.', ']']).expect("a heading ends");
            let told = pressfed(&folder, &["explain", word]);
            assert_eq!(told.code, 0, "{word}: {}", told.stderr);
            assert!(told.stdout.starts_with(&format!("[{word}")), "{word}");
        }
    }
}

/// A path can be copied from the screen: it stands whole in its line, however narrow that is.
#[test]
fn no_path_of_an_assumption_is_cut() {
    let folder = folder("narrow-screens");
    for stand in scenarios::ready_made() {
        fs::write(folder.join("stand.toml"), stand.text).expect("the folder can be written");
        let all = scenarios::load(stand.text).expect("it is ready made");
        for columns in [80, 96, 100] {
            let told = pressfed_on(columns, &folder, &["check", "stand.toml"]).stdout;
            let words: Vec<&str> = told.split_whitespace().collect();
            for assumption in &all.assumptions {
                let path = assumption.path.as_str();
                assert!(words.contains(&path), "{columns}: {path} in\n{told}");
            }
            let widest = told.lines().map(|line| line.chars().count()).max();
            assert!(widest <= Some(columns.into()), "{widest:?}\n{told}");
        }
    }
}

#[test]
fn a_kind_is_explained_by_its_keys() {
    let folder = folder("explain-kind");
    let told = pressfed(&folder, &["explain", "relief"]).stdout;
    let line = |key: &str| {
        let found = told.lines().find(|l| l.trim_start().starts_with(key));
        found
            .unwrap_or_else(|| panic!("no {key} in {told}"))
            .to_owned()
    };
    assert!(line("set_pressure").contains("\"38 bar(g)\""), "{told}");
    assert!(line("overpressure").contains("10 %"), "{told}");
}

#[test]
fn the_reliefs_of_the_file_to_begin_with_can_be_used() {
    let folder = folder("new-reliefs");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let path = folder.join("bench.toml");
    let text = fs::read_to_string(&path).expect("it is there");
    let start = text.find("# [relief.").expect("it shows one");
    let end = text.find("# A chain of liquid").expect("a chain follows");
    let plain = |line: &str| line.trim_start_matches('#').to_owned() + "\n";
    let used: String = text[start..end].lines().map(plain).collect();
    let (before, behind) = (&text[..start], &text[end..]);
    fs::write(&path, format!("{before}{used}{behind}")).expect("it can be written");
    let checked = pressfed(&folder, &["check", "bench.toml"]);
    assert_eq!(checked.code, 0, "{}", checked.stderr);
    let set = "relief valve, set 36.00 bar(g)";
    assert!(checked.stdout.contains(set), "{}", checked.stdout);
}
