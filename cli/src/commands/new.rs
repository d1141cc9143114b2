//! `pressfed new`: a commented stand file to start from.

use super::{Failure, Success};
use crate::args::NewArgs;
use crate::export::whole;
use crate::terminal::screen;

/// Writes the file, unless something of its name is there.
///
/// # Errors
/// If the file exists or cannot be written.
pub fn run(args: &NewArgs) -> Result<Success, Failure> {
    let file = &args.file;
    let shown = file.display();
    if file.exists() {
        let message = format!("{shown} exists already and is left as it is; choose another name");
        return Err(Failure::input(message));
    }
    whole::write(file, scenarios::new_file().as_bytes())
        .map_err(|e| Failure::input(e.to_string()))?;
    screen::say(&format!(
        "wrote {shown}; change it, then: pressfed check {shown}"
    ));
    Ok(Success::Done)
}
