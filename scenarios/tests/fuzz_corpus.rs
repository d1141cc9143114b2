//! What the fuzzer kept is replayed: every file of `fuzz/corpus` reached code that none before it did.

#[path = "support/attacks.rs"]
mod attacks;

use std::fs;
use std::path::Path;

fn replayed(target: &str, attack: fn(&[u8])) {
    let corpus = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fuzz/corpus");
    let entries = fs::read_dir(corpus.join(target)).expect("the corpus is there");
    let mut count = 0;
    for entry in entries {
        let path = entry.expect("the folder can be read").path();
        attack(&fs::read(&path).expect("the file can be read"));
        count += 1;
    }
    assert!(count > 0, "{target} has no corpus");
}

#[test]
fn quantities() {
    replayed("quantity", attacks::quantity);
}

#[test]
fn stand_files() {
    replayed("stand_file", attacks::stand_file);
}

#[test]
fn short_runs() {
    replayed("short_run", attacks::short_run);
}
