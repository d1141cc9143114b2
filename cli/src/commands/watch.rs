//! A stand file that is watched: the work is done again whenever it is saved.

use super::{Failure, Success};
use crate::terminal::screen;
use std::path::Path;
use std::thread::sleep;
use std::time::Duration;

/// How often the file is looked at. Reading it is cheaper than to rely on its date, which some
/// shared folders keep to whole seconds.
const LOOK: Duration = Duration::from_millis(250);

/// Does the work now and after each change of the file. What fails is told and the file watched
/// on: it is being edited.
///
/// # Errors
/// If there is no such file to begin with.
pub fn run(file: &Path, work: impl Fn() -> Result<Success, Failure>) -> Result<Success, Failure> {
    let mut seen = std::fs::read(file).ok();
    if seen.is_none() {
        return work();
    }
    loop {
        if let Err(failure) = work() {
            failure.tell();
        }
        screen::say(&format!("\nwatching {}; Ctrl-C ends", file.display()));
        loop {
            sleep(LOOK);
            // An editor may take the file away for a moment.
            let now = std::fs::read(file).ok();
            if now.is_some() && now != seen {
                seen = now;
                break;
            }
        }
    }
}
