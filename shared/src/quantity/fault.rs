//! Why a text is no quantity.

use crate::codes::Code;
use crate::diagnostic::{Diagnostic, Span};
use std::fmt;
use std::ops::Range;

/// What is wrong with the text of a quantity, where, and what to write instead.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// Its code.
    pub code: &'static Code,
    /// Where it lies, in bytes of the text.
    pub at: Range<usize>,
    /// What is wrong.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// The word that was probably meant.
    pub did_you_mean: Option<&'static str>,
}

impl Fault {
    pub(super) fn new(
        code: &'static Code,
        at: &Range<usize>,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Self {
            code,
            at: at.clone(),
            message: message.into(),
            remedy: remedy.into(),
            did_you_mean: None,
        }
    }

    /// The diagnostic, with `span` as its place.
    #[must_use]
    pub fn diagnostic(&self, span: &Span) -> Diagnostic {
        Diagnostic::error(self.code, &*self.message)
            .at(span, "")
            .remedy(&*self.remedy)
            .meant(self.did_you_mean)
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.message, self.remedy)
    }
}

impl std::error::Error for Fault {}
