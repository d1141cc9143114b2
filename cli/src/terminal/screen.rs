//! Where text goes and whether it may be coloured.

use std::io::{IsTerminal, Write};

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
            colour: std::io::stdout().is_terminal() && colour_wanted(),
        }
    }

    /// Standard error: talk.
    #[must_use]
    pub fn stderr() -> Self {
        Self {
            colour: std::io::stderr().is_terminal() && colour_wanted(),
        }
    }

    /// Whether colours are used.
    #[must_use]
    pub fn is_coloured(self) -> bool {
        self.colour
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

    /// Something wrong.
    #[must_use]
    pub fn wrong(self, text: &str) -> String {
        self.marked("1;31", text)
    }

    /// Something to look at.
    #[must_use]
    pub fn caution(self, text: &str) -> String {
        self.marked("33", text)
    }

    /// Something in the background.
    #[must_use]
    pub fn quiet(self, text: &str) -> String {
        self.marked("2", text)
    }
}

/// `NO_COLOR` (no-color.org: set and not empty) and dumb terminals are respected.
fn colour_wanted() -> bool {
    let set = |name| std::env::var_os(name).is_some_and(|v| !v.is_empty());
    !set("NO_COLOR") && std::env::var_os("TERM").is_none_or(|t| t != "dumb")
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
