//! Runs the command in a folder of its own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A fresh folder of this name below the build's own.
pub fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        fs::remove_dir_all(&folder).expect("an earlier test folder can be removed");
    }
    fs::create_dir_all(&folder).expect("a test folder can be made");
    folder
}

/// A page of `docs`.
pub fn docs(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../docs")
        .join(name)
}

/// Holds a page of `docs` against what it should be; with "write" in the variable of the
/// environment it is written anew. `test` is where that is done.
pub fn assert_fresh(name: &str, page: &str, (variable, test): (&str, &str)) {
    if std::env::var_os(variable).is_some_and(|how| how == "write") {
        fs::write(docs(name), page).expect("the page can be written");
        return;
    }
    let found = fs::read_to_string(docs(name)).unwrap_or_default();
    let stale = found.lines().zip(page.lines()).find(|(a, b)| a != b);
    assert!(
        found == page,
        "docs/{name} is stale from {stale:?} on; write it by: \
         {variable}=write cargo test -p cli --test command {test}"
    );
}

/// What a command printed and how it ended.
pub struct Ended {
    /// Exit code.
    pub code: i32,
    /// Standard output.
    pub stdout: String,
    /// Standard error.
    pub stderr: String,
}

impl Ended {
    /// What was printed, whatever the width at which lines were broken.
    pub fn said(&self) -> String {
        let words: Vec<&str> = self.stdout.split_whitespace().collect();
        words.join(" ")
    }
}

/// Runs `pressfed` with `arguments` in `folder`.
pub fn pressfed(folder: &Path, arguments: &[&str]) -> Ended {
    ended(command(folder, arguments).env_remove("COLUMNS"))
}

/// The same on a screen of so many columns.
pub fn pressfed_on(columns: u16, folder: &Path, arguments: &[&str]) -> Ended {
    ended(command(folder, arguments).env("COLUMNS", columns.to_string()))
}

fn command(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_pressfed"));
    command.args(arguments).current_dir(folder);
    command
}

fn ended(command: &mut Command) -> Ended {
    let output: Output = command.output().expect("the command starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the command prints UTF-8");
    Ended {
        code: output.status.code().expect("the command ends by itself"),
        stdout: text(output.stdout),
        stderr: text(output.stderr),
    }
}

/// Names of the files of a folder, sorted.
pub fn files(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("the folder exists");
    let names = entries.map(|e| e.expect("the folder can be read").file_name());
    let mut names: Vec<String> = names.map(|n| n.to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Presses Ctrl-C for a program that runs, and waits for its end: its exit code and what it said.
#[cfg(unix)]
pub fn interrupted(running: std::process::Child) -> (Option<i32>, String) {
    let id = running.id().to_string();
    let sent = Command::new("kill").args(["-INT", &id]).status();
    assert!(sent.expect("there is a kill").success());
    let output = running.wait_with_output().expect("it ends");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    (output.status.code(), said)
}
