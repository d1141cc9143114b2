//! The house stands as drawn: a crate uses only what stands left of it.

use std::path::Path;

/// The crates from left to right; `validation` stands at the end and uses all but `cli`.
const ORDER: [&str; 6] = [
    "shared",
    "fluids",
    "sim-core",
    "scenarios",
    "cli",
    "validation",
];

/// Names in the `[dependencies]` table of a crate's manifest. The tests' own dependencies may
/// look anywhere.
fn dependencies(name: &str) -> Vec<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let path = root.join(name).join("Cargo.toml");
    let text = std::fs::read_to_string(&path).expect("every crate has a manifest");
    text.lines()
        .skip_while(|line| line.trim() != "[dependencies]")
        .skip(1)
        .take_while(|line| !line.starts_with('['))
        .filter_map(|line| line.split(['.', '=', ' ']).next())
        .filter(|word| !word.is_empty() && !word.starts_with('#'))
        .map(str::to_owned)
        .collect()
}

#[test]
fn a_crate_uses_only_what_stands_left_of_it() {
    for (place, name) in ORDER.iter().enumerate() {
        let own = dependencies(name);
        assert!(
            place == 0 || !own.is_empty(),
            "{name} seems to depend on nothing"
        );
        for other in ORDER.iter().filter(|other| own.iter().any(|d| d == *other)) {
            let left = ORDER.iter().position(|n| n == other) < Some(place);
            let allowed = left && !(*name == "validation" && *other == "cli");
            assert!(allowed, "{name} must not use {other}");
        }
    }
}

/// Below the command nobody prints, reads the clock or opens files.
#[test]
fn nothing_below_the_command_touches_the_world() {
    let forbidden = [
        "println!",
        "eprintln!",
        "std::fs",
        "std::env::",
        "SystemTime",
        "Instant::now",
    ];
    for name in &ORDER[..4] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("..")
            .join(name)
            .join("src");
        visit(&folder, &mut |path, text| {
            for word in forbidden {
                assert!(!text.contains(word), "{} contains {word}", path.display());
            }
        });
    }
}

fn visit(folder: &Path, look: &mut impl FnMut(&Path, &str)) {
    for entry in std::fs::read_dir(folder).expect("a folder of the house") {
        let path = entry.expect("a readable entry").path();
        if path.is_dir() {
            visit(&path, look);
        } else if path.extension().is_some_and(|e| e == "rs") {
            look(
                &path,
                &std::fs::read_to_string(&path).expect("a source file is text"),
            );
        }
    }
}
