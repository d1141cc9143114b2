//! Help of every command: its words, and that each shows an example.

use crate::bench::{folder, pressfed};

#[test]
fn every_help_shows_an_example() {
    let folder = folder("help");
    for command in [
        "",
        "demo",
        "new",
        "check",
        "predict",
        "card",
        "sensitivity",
        "size",
        "sweep",
        "gather",
        "fluid",
        "explain",
        "schema",
        "completions",
        "manual",
    ] {
        let mut arguments: Vec<&str> = command.split_whitespace().collect();
        arguments.push("--help");
        let ended = pressfed(&folder, &arguments);
        assert_eq!(ended.code, 0);
        assert!(ended.stdout.contains("Example:"), "{}", ended.stdout);
        let name = if command.is_empty() {
            "pressfed"
        } else {
            command
        };
        insta::assert_snapshot!(format!("help_{name}"), ended.stdout);
    }
}
