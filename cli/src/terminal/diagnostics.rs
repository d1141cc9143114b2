//! Diagnostics drawn: file, line, the place underlined, code, remedy, the word probably meant.

use super::screen::Screen;
use annotate_snippets::{AnnotationKind, Group, Level, Message, Origin, Renderer, Snippet};
use shared::diagnostic::{Diagnostic, Label, Severity, Source, Span};
use std::ops::Range;

/// The texts that diagnostics point into.
#[derive(Clone, Copy, Debug)]
pub struct Texts<'a> {
    /// Where the stand file came from, as the user wrote it.
    pub path: &'a str,
    /// Its text.
    pub file: &'a str,
    /// The overrides as typed, path and value.
    pub overrides: &'a [(String, String)],
}

impl<'a> Texts<'a> {
    /// The name and the text that a span points into.
    #[must_use]
    pub fn of(&self, source: Source) -> (&'a str, &'a str) {
        match source {
            Source::File => (self.path, self.file),
            Source::Override(i) => match self.overrides.get(i) {
                Some((path, value)) => (path, value),
                None => ("--set", ""),
            },
        }
    }
}

/// All diagnostics as text, one below the other.
#[must_use]
pub fn drawn(diagnostics: &[Diagnostic], texts: Texts, screen: Screen) -> String {
    let renderer = if screen.is_coloured() {
        Renderer::styled()
    } else {
        Renderer::plain()
    };
    let each = diagnostics
        .iter()
        .map(|d| renderer.render(&[group(d, texts)]));
    each.map(|text| text + "\n\n").collect()
}

fn group<'a>(diagnostic: &'a Diagnostic, texts: Texts<'a>) -> Group<'a> {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
    };
    let title = level
        .primary_title(one_line(&diagnostic.message))
        .id(diagnostic.code);
    let whole_file = diagnostic.labels.is_empty();
    let whole_file = whole_file.then(|| Origin::path(texts.path));
    let title = title.elements(whole_file);
    let title = title.elements(snippets(diagnostic, texts));
    title.elements(advice(diagnostic))
}

/// One excerpt for each text that the labels point into.
fn snippets<'a>(
    diagnostic: &'a Diagnostic,
    texts: Texts<'a>,
) -> Vec<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let mut sources: Vec<Source> = Vec::new();
    for label in &diagnostic.labels {
        if !sources.contains(&label.span.source) {
            sources.push(label.span.source);
        }
    }
    let excerpt = |source: Source| {
        let (name, text) = texts.of(source);
        let labels = diagnostic.labels.iter().enumerate();
        let labels = labels.filter(move |(_, l)| l.span.source == source);
        let annotations = labels.map(move |(i, label)| annotation(label, i == 0, text));
        Snippet::source(text).path(name).annotations(annotations)
    };
    sources.into_iter().map(excerpt).collect()
}

fn annotation<'a>(label: &'a Label, main: bool, text: &str) -> annotate_snippets::Annotation<'a> {
    let kind = if main {
        AnnotationKind::Primary
    } else {
        AnnotationKind::Context
    };
    let annotation = kind.span(within(&label.span, text));
    if label.text.is_empty() {
        annotation
    } else {
        annotation.label(label.text.as_str())
    }
}

/// The bytes of a span, brought inside the text and onto whole characters.
fn within(span: &Span, text: &str) -> Range<usize> {
    let whole = |byte: usize| {
        let byte = byte.min(text.len());
        (0..=byte)
            .rev()
            .find(|&b| text.is_char_boundary(b))
            .unwrap_or(0)
    };
    let start = whole(span.bytes.start);
    start..whole(span.bytes.end).max(start)
}

fn advice(diagnostic: &Diagnostic) -> Vec<Message<'_>> {
    let meant = diagnostic
        .did_you_mean
        .iter()
        .map(|word| format!("did you mean \"{word}\"?"));
    let remedies = diagnostic.remedies.iter().cloned();
    meant
        .chain(remedies)
        .map(|text| Level::HELP.message(text))
        .collect()
}

/// A title stands on one line.
fn one_line(text: &str) -> String {
    text.replace(['\n', '\r', '\t'], " ")
}
