//! The committed reference is what the command says of itself: help of every command, tables of
//! the stand file, schema. With `REFERENCE=write` in the environment it is written anew.

use crate::bench::{assert_fresh, pressfed};
use std::path::Path;

const COMMANDS: [&str; 14] = [
    "demo",
    "new",
    "check",
    "predict",
    "card",
    "size",
    "sweep",
    "gather",
    "sensitivity",
    "fluid",
    "explain",
    "schema",
    "completions",
    "manual",
];

/// Holds a page of `docs` against what it should be, or writes it.
fn assert_reference(name: &str, page: &str) {
    assert_fresh(name, page, ("REFERENCE", "reference"));
}

fn said(arguments: &[&str]) -> String {
    let ended = pressfed(Path::new(env!("CARGO_TARGET_TMPDIR")), arguments);
    assert_eq!(ended.code, 0, "{arguments:?}: {}", ended.stderr);
    ended.stdout
}

fn section(heading: &str, text: &str) -> String {
    format!("\n## {heading}\n\n```text\n{}\n```\n", text.trim_end())
}

#[test]
fn the_commands_are_those_of_the_reference_and_each_shows_an_example() {
    let mut page = "# The commands\n\nWhat `pressfed COMMAND --help` prints.\n".to_owned();
    let top = said(&["--help"]);
    // What is listed, less the help itself.
    let listed = top.lines().skip_while(|l| *l != "Commands:").skip(1);
    let listed = listed.take_while(|l| !l.is_empty());
    // A description that goes on stands further in.
    let listed = listed.filter(|l| !l.starts_with("   "));
    let listed: Vec<&str> = listed.filter_map(|l| l.split_whitespace().next()).collect();
    assert_eq!(listed[..listed.len() - 1], COMMANDS);
    page += &section("pressfed", &top);
    for command in COMMANDS {
        let help = said(&[command, "--help"]);
        assert!(help.contains("Example:"), "{help}");
        page += &section(&format!("pressfed {command}"), &help);
    }
    assert_reference("commands.md", &page);
}

#[test]
fn the_tables_of_the_stand_file_are_those_of_the_reference() {
    let mut page = "# The stand file\n\nIts tables and their keys, as `pressfed explain TABLE` shows them; \
                    in editors by [stand.schema.json](stand.schema.json), which is `pressfed schema`.\n"
        .to_owned();
    let once = scenarios::TABLES.into_iter();
    let others = ["sequence", "requirement", "limit", "perfect_gas"];
    for word in scenarios::kinds().chain(once).chain(others) {
        page += &section(word, &said(&["explain", word]));
    }
    assert_reference("stand-file.md", &page);
}

#[test]
fn the_schema_is_that_of_the_reference() {
    assert_reference("stand.schema.json", &said(&["schema"]));
}
