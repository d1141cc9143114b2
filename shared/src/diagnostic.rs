//! What is to be told to the user, as data: a code, words, places in a text, remedies.
//! Drawing it is the business of whoever prints.

use crate::codes::Code;
use std::ops::Range;

/// How grave a diagnostic is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing can be run.
    Error,
    /// It can be run, but look at this.
    Warning,
}

/// The text that a span points into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// The file.
    File,
    /// The value text of an override, by its place in the order in which they were given.
    Override(usize),
}

/// A stretch of a text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// Which text.
    pub source: Source,
    /// Its bytes.
    pub bytes: Range<usize>,
}

impl Span {
    /// A stretch of the file.
    #[must_use]
    pub fn file(bytes: Range<usize>) -> Self {
        Self {
            source: Source::File,
            bytes,
        }
    }
}

/// A place and what is to be said about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What; may be empty.
    pub text: String,
}

/// One error or warning.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Stable id, for example `quantity-5`; every code has an entry in [`crate::codes`].
    pub code: &'static str,
    /// How grave.
    pub severity: Severity,
    /// What is wrong, with the value that is wrong.
    pub message: String,
    /// Where; the first is the main place. None if the whole text is meant.
    pub labels: Vec<Label>,
    /// What to do about it.
    pub remedies: Vec<String>,
    /// The word that was probably meant.
    pub did_you_mean: Option<String>,
}

impl Diagnostic {
    /// An error.
    #[must_use]
    pub fn error(code: &Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, message.into())
    }

    /// A warning.
    #[must_use]
    pub fn warning(code: &Code, message: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, message.into())
    }

    fn new(code: &Code, severity: Severity, message: String) -> Self {
        Self {
            code: code.id,
            severity,
            message,
            labels: Vec::new(),
            remedies: Vec::new(),
            did_you_mean: None,
        }
    }

    /// Adds a place.
    #[must_use]
    pub fn at(mut self, span: &Span, text: impl Into<String>) -> Self {
        self.labels.push(Label {
            span: span.clone(),
            text: text.into(),
        });
        self
    }

    /// Adds a remedy.
    #[must_use]
    pub fn remedy(mut self, remedy: impl Into<String>) -> Self {
        self.remedies.push(remedy.into());
        self
    }

    /// Says which word was probably meant, if there is one.
    #[must_use]
    pub fn meant(mut self, word: Option<&str>) -> Self {
        self.did_you_mean = word.map(str::to_owned);
        self
    }
}

/// Line and column of a byte, both from one; the column counts characters.
///
/// A place beyond the end, or inside a character, counts as the end of what lies before it.
#[must_use]
pub fn line_column(text: &str, byte: usize) -> (usize, usize) {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = &text[..end];
    let line_start = before.rfind('\n').map_or(0, |i| i + 1);
    let line = before.matches('\n').count() + 1;
    (line, before[line_start..].chars().count() + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let text = "a\nbé±c\n";
        assert_eq!(line_column(text, 0), (1, 1));
        assert_eq!(line_column(text, 2), (2, 1));
        let c = text.find('c').expect("there is a c");
        assert_eq!(line_column(text, c), (2, 4));
        assert_eq!(line_column(text, 4), (2, 2));
        assert_eq!(line_column(text, 999), (3, 1));
    }
}
