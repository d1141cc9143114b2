//! The stand that a command is about: read, checked, its errors told.

use super::Failure;
use crate::export::json;
use crate::terminal::diagnostics::{self, Texts};
use crate::terminal::screen::{self, Screen};
use scenarios::CheckedStand;
use serde::Serialize;
use shared::{Diagnostic, Severity, line_column};
use std::io::ErrorKind;
use std::path::Path;

/// What was typed: the text of a stand and values in place of its own.
#[derive(Debug)]
pub struct Input<'a> {
    /// Where the text came from, as the user wrote it.
    pub path: String,
    /// The text.
    pub text: String,
    /// The overrides, path and value.
    pub overrides: &'a [(String, String)],
}

impl<'a> Input<'a> {
    /// Reads a stand file.
    ///
    /// # Errors
    /// If it cannot be read or is no text.
    pub fn from_file(path: &Path, overrides: &'a [(String, String)]) -> Result<Self, Failure> {
        let shown = path.display().to_string();
        let text = std::fs::read_to_string(path).map_err(|error| {
            let remedy = remedy(error.kind(), &shown);
            Failure::input(format!("cannot read {shown}: {error}; {remedy}"))
        })?;
        Ok(Self {
            path: shown,
            text,
            overrides,
        })
    }

    /// Checks the stand. Errors and warnings are told on standard error; errors go to
    /// standard output instead as JSON, if that is wanted.
    ///
    /// # Errors
    /// If the stand has errors; all of them have then been told.
    pub fn checked(&self, as_json: bool) -> Result<CheckedStand, Failure> {
        match scenarios::load_with(&self.text, self.overrides) {
            Ok(stand) => {
                self.tell(&stand.warnings);
                Ok(stand)
            }
            Err(errors) => {
                if as_json {
                    screen::print(&self.as_json(&errors));
                } else {
                    self.tell(&errors);
                }
                Err(Failure::told())
            }
        }
    }

    /// Checks a stand of which everything has been told before.
    ///
    /// # Errors
    /// If the stand has errors.
    pub fn silently_checked(&self) -> Result<CheckedStand, Failure> {
        scenarios::load_with(&self.text, self.overrides).map_err(|_| Failure::told())
    }

    fn texts(&self) -> Texts<'_> {
        Texts {
            path: &self.path,
            file: &self.text,
            overrides: self.overrides,
        }
    }

    /// Tells what is wrong, or may be, on standard error.
    pub fn tell(&self, diagnostics: &[Diagnostic]) {
        if !diagnostics.is_empty() {
            let drawn = diagnostics::drawn(diagnostics, self.texts(), Screen::stderr());
            screen::say(drawn.trim_end_matches('\n'));
        }
    }

    fn as_json(&self, errors: &[Diagnostic]) -> String {
        #[derive(Serialize)]
        struct Document<'a> {
            schema: &'static str,
            diagnostics: Vec<Told<'a>>,
        }
        json::pretty(&Document {
            schema: "pressfed-diagnostics/1",
            diagnostics: self.told(errors),
        })
    }

    /// Diagnostics for machines.
    #[must_use]
    pub fn told<'d>(&'d self, diagnostics: &'d [Diagnostic]) -> Vec<Told<'d>> {
        diagnostics
            .iter()
            .map(|d| Told::of(d, self.texts()))
            .collect()
    }
}

/// What to do about a file that cannot be read.
fn remedy(kind: ErrorKind, shown: &str) -> String {
    match kind {
        ErrorKind::NotFound => format!("pressfed new {shown} writes a stand file to begin with"),
        ErrorKind::IsADirectory => "name the stand file itself, not its folder".to_owned(),
        ErrorKind::InvalidData => {
            "a stand file is plain text in UTF-8; name another file, or save it as that".to_owned()
        }
        _ => "check its name and that you may read it".to_owned(),
    }
}

/// A diagnostic for machines; line and column count from one.
#[derive(Debug, Serialize)]
pub struct Told<'a> {
    code: &'static str,
    severity: &'static str,
    message: &'a str,
    file: &'a str,
    line: Option<usize>,
    column: Option<usize>,
    remedies: &'a [String],
    did_you_mean: Option<&'a str>,
}

impl<'a> Told<'a> {
    fn of(diagnostic: &'a Diagnostic, texts: Texts<'a>) -> Self {
        let main = diagnostic.labels.first().map(|label| {
            let (name, text) = texts.of(label.span.source);
            (name, line_column(text, label.span.bytes.start))
        });
        Self {
            code: diagnostic.code,
            severity: match diagnostic.severity {
                Severity::Error => "error",
                Severity::Warning => "warning",
            },
            message: &diagnostic.message,
            // What has no place is said of the whole file.
            file: main.map_or(texts.path, |m| m.0),
            line: main.map(|m| m.1.0),
            column: main.map(|m| m.1.1),
            remedies: &diagnostic.remedies,
            did_you_mean: diagnostic.did_you_mean.as_deref(),
        }
    }
}
