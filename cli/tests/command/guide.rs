//! Every command of `docs/guide.md` is run, and every output that it shows is what they print.
//!
//! A block ```` ```toml NAME ```` is a file, ```` ```sh ```` is run, ```` ```text ```` is what was
//! printed since; words behind `text` name the parts of it that are shown, divided by `;`. With
//! `GUIDE=write` in the environment the outputs are written anew.

use crate::bench::{assert_fresh, docs, folder};
use std::fs;
use std::path::Path;
use std::process::Command;

const PAGE: &str = "guide.md";
/// As wide as a page shows without scrolling.
const COLUMNS: &str = "96";

#[test]
fn the_guide_shows_what_its_commands_print() {
    let found = fs::read_to_string(docs(PAGE)).expect("the guide is there");
    let written = carried_out(&found, &folder("guide"));
    assert_fresh(PAGE, &written, ("GUIDE", "guide"));
}

/// The page with what its commands print today.
fn carried_out(page: &str, folder: &Path) -> String {
    let mut written = String::new();
    let mut printed = String::new();
    // Between two fences stands text, code, text and so on.
    for (place, part) in page.split("```").enumerate() {
        if place > 0 {
            written.push_str("```");
        }
        if place % 2 == 0 {
            written.push_str(part);
            continue;
        }
        let (head, body) = part.split_once('\n').expect("a fence ends its line");
        let (language, words) = head.split_once(' ').unwrap_or((head, ""));
        written.push_str(&format!("{head}\n"));
        match language {
            "text" => written.push_str(&excerpt(&printed, words)),
            "toml" if !words.is_empty() => {
                fs::write(folder.join(words), body).expect("a file can be written");
                written.push_str(body);
            }
            "sh" => {
                printed = run(body, folder);
                written.push_str(body);
            }
            _ => written.push_str(body),
        }
    }
    written
}

/// What the commands print on standard output; they have to succeed.
fn run(commands: &str, folder: &Path) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_pressfed"));
    let mut search = vec![program.parent().expect("a folder").to_owned()];
    search.extend(std::env::split_paths(
        &std::env::var_os("PATH").unwrap_or_default(),
    ));
    let output = Command::new("sh")
        .args(["-e", "-c", commands])
        .current_dir(folder)
        .env("PATH", std::env::join_paths(search).expect("plain paths"))
        .env("COLUMNS", COLUMNS)
        .output()
        .expect("the shell starts");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{commands}{told}");
    String::from_utf8(output.stdout).expect("the command prints UTF-8")
}

/// The parts of an output that begin with these words, or the whole.
fn excerpt(printed: &str, words: &str) -> String {
    if words.is_empty() {
        return printed.to_owned();
    }
    let parts = words.split(';').map(str::trim).map(|word| {
        let mut parts = printed.split("\n\n").map(|part| part.trim_matches('\n'));
        let part = parts.find(|part| part.starts_with(word));
        part.unwrap_or_else(|| panic!("nothing printed begins with {word}:\n{printed}"))
    });
    parts.collect::<Vec<_>>().join("\n\n") + "\n"
}
