//! Files are written whole or not at all: beside their place first, then moved there.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// What is being written, beside its place.
static UNFINISHED: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// A file or folder could not be written.
#[derive(Debug)]
pub struct WriteError {
    /// Which.
    path: PathBuf,
    /// Why.
    reason: String,
}

impl std::fmt::Display for WriteError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let path = self.path.display();
        write!(
            f,
            "cannot write {path}: {}; choose a place that you may write to and that has room",
            self.reason
        )
    }
}

impl std::error::Error for WriteError {}

fn fault(path: &Path, reason: impl std::fmt::Display) -> WriteError {
    WriteError {
        path: path.to_owned(),
        reason: reason.to_string(),
    }
}

/// Makes a folder, with those above it.
///
/// # Errors
/// If it cannot be made.
pub fn make_folder(path: &Path) -> Result<(), WriteError> {
    fs::create_dir_all(path).map_err(|e| fault(path, e))
}

/// Writes a file whole.
///
/// # Errors
/// If it cannot be written; an older file of the name is then untouched.
pub fn write(path: &Path, contents: &[u8]) -> Result<(), WriteError> {
    write_by(path, |aside| {
        fs::write(aside, contents).map_err(|e: io::Error| e.to_string())
    })
}

/// Removes a file that an earlier run may have left and that no longer belongs to the rest.
///
/// # Errors
/// If it is there and cannot be removed.
pub fn remove(path: &Path) -> Result<(), WriteError> {
    match fs::remove_file(path) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(fault(path, e)),
        _ => Ok(()),
    }
}

/// Removes what is half written: the program ends here.
pub fn remove_unfinished() {
    for path in unfinished().drain(..) {
        // It may not even exist yet.
        let _ = fs::remove_file(path);
    }
}

fn unfinished() -> std::sync::MutexGuard<'static, Vec<PathBuf>> {
    UNFINISHED.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Lets `writer` write a file beside `path`, with the same extension, and moves it there.
///
/// # Errors
/// If it cannot be written or moved; an older file of the name is then untouched.
pub fn write_by(
    path: &Path,
    writer: impl FnOnce(&Path) -> Result<(), String>,
) -> Result<(), WriteError> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let aside = path.with_file_name(format!(".unfinished-{}-{name}", std::process::id()));
    unfinished().push(aside.clone());
    let done = writer(&aside).and_then(|()| fs::rename(&aside, path).map_err(|e| e.to_string()));
    unfinished().retain(|path| *path != aside);
    done.map_err(|reason| {
        // The unfinished file may not even exist; there is nothing more to report.
        let _ = fs::remove_file(&aside);
        fault(path, reason)
    })
}

#[cfg(test)]
mod tests {
    use super::write_by;
    use std::fs;

    /// The device takes nothing, as a full disk does.
    #[cfg(target_os = "linux")]
    #[test]
    fn a_full_disk_is_told_with_path_and_remedy_and_leaves_the_old_file() {
        let folder = std::env::temp_dir().join(format!("pressfed-full-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a folder for the test");
        let path = folder.join("history.csv");
        fs::write(&path, "old").expect("the old file");
        let full = |_: &std::path::Path| fs::write("/dev/full", "new").map_err(|e| e.to_string());
        let told = write_by(&path, full).expect_err("no room").to_string();
        assert!(told.contains(&path.display().to_string()), "{told}");
        assert!(told.contains("No space left on device"), "{told}");
        assert!(told.contains("that has room"), "{told}");
        assert_eq!(fs::read_to_string(&path).expect("it is still there"), "old");
        assert_eq!(fs::read_dir(&folder).expect("the folder").count(), 1);
        fs::remove_dir_all(&folder).expect("the test's own folder");
    }
}
