//! Writes `VALIDATION.md`, its quotation in `README.md` and the numbers that the SciPy peer
//! runs on; with `--check` compares them with what is there.

#![allow(clippy::print_stdout, clippy::print_stderr)]

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use validation::{cases, page, peer};

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let is_check = match arguments.as_slice() {
        [] => false,
        [flag] if flag == "--check" => true,
        _ => {
            eprintln!("usage: cargo run --release -p validation [-- --check]");
            return ExitCode::from(2);
        }
    };
    match pages() {
        Ok(pages) if is_check => check(&pages),
        Ok(pages) => write(&pages),
        Err(why) => {
            eprintln!("error: {why}");
            ExitCode::FAILURE
        }
    }
}

/// Every generated file with what belongs into it.
fn pages() -> Result<Vec<(PathBuf, String)>, String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let readme_path = root.join("README.md");
    let readme = read(&readme_path)?;
    let sections = cases::all();
    let quoted = page::quoted(&readme, &sections).ok_or(
        "README.md lost the markers <!-- validation:begin --> and <!-- validation:end -->",
    )?;
    Ok(vec![
        (root.join("VALIDATION.md"), page::page(&sections)),
        (readme_path, quoted),
        (
            root.join("validation/peers/demonstration.json"),
            peer::parameters()?,
        ),
    ])
}

fn read(path: &Path) -> Result<String, String> {
    std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))
}

fn check(pages: &[(PathBuf, String)]) -> ExitCode {
    let mut code = ExitCode::SUCCESS;
    for (path, text) in pages {
        if read(path).is_ok_and(|found| found == *text) {
            continue;
        }
        let name = path.display();
        eprintln!("error: {name} is stale; write it by: cargo run --release -p validation");
        code = ExitCode::FAILURE;
    }
    code
}

fn write(pages: &[(PathBuf, String)]) -> ExitCode {
    for (path, text) in pages {
        if let Err(e) = std::fs::write(path, text) {
            eprintln!("error: {}: {e}", path.display());
            return ExitCode::FAILURE;
        }
        println!("{}", path.display());
    }
    ExitCode::SUCCESS
}
