//! Where text goes and whether it may be coloured.

use std::ffi::OsString;
use std::io::{IsTerminal, Write};

/// The orange of the pictures' lines ([`crate::plot::look::LINES`]), the nearest to it of the 256
/// colours that terminals have.
const ALERT: &str = "1;38;5;172";

/// How text is marked on one of the two streams.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Screen {
    colour: bool,
}

impl Screen {
    /// Standard output: data.
    #[must_use]
    pub fn stdout() -> Self {
        Self {
            colour: std::io::stdout().is_terminal()
                && colour_wanted(&|name| std::env::var_os(name)),
        }
    }

    /// Standard error: talk.
    #[must_use]
    pub fn stderr() -> Self {
        Self {
            colour: std::io::stderr().is_terminal()
                && colour_wanted(&|name| std::env::var_os(name)),
        }
    }

    /// Without colours.
    #[must_use]
    pub fn plain() -> Self {
        Self { colour: false }
    }

    /// With colours.
    #[must_use]
    pub fn coloured() -> Self {
        Self { colour: true }
    }

    fn marked(self, code: &str, text: &str) -> String {
        if self.colour {
            format!("\u{1b}[{code}m{text}\u{1b}[0m")
        } else {
            text.to_owned()
        }
    }

    /// A heading.
    #[must_use]
    pub fn heading(self, text: &str) -> String {
        self.marked("1", text)
    }

    /// Something wrong, or to look at.
    #[must_use]
    pub fn alert(self, text: &str) -> String {
        self.marked(ALERT, text)
    }

    /// Something in the background.
    #[must_use]
    pub fn quiet(self, text: &str) -> String {
        self.marked("2", text)
    }
}

/// `NO_COLOR` (no-color.org: set and not empty) and dumb terminals are respected.
fn colour_wanted(variable: &dyn Fn(&str) -> Option<OsString>) -> bool {
    let refused = variable("NO_COLOR").is_some_and(|v| !v.is_empty());
    !refused && variable("TERM").is_none_or(|t| t != "dumb")
}

/// Prints data. A reader that has gone away (a closed pipe) ends nothing.
pub fn print(text: &str) {
    let mut stdout = std::io::stdout().lock();
    let _ = stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush());
}

/// Talks to the user.
pub fn say(text: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{text}");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_color_and_dumb_terminals_are_respected() {
        let wanted = |set: &[(&str, &str)]| {
            colour_wanted(&|name| {
                let of_name = set.iter().find(|s| s.0 == name);
                of_name.map(|s| OsString::from(s.1))
            })
        };
        assert!(wanted(&[]));
        assert!(wanted(&[("TERM", "xterm"), ("NO_COLOR", "")]));
        assert!(!wanted(&[("TERM", "xterm"), ("NO_COLOR", "1")]));
        assert!(!wanted(&[("TERM", "dumb")]));
    }
}
