//! Diagnostics as plain text, for snapshots.

use shared::{Diagnostic, Severity, Source, Span, line_column};
use std::fmt::Write;

/// All diagnostics, each with the lines that it points at.
pub fn plain(text: &str, overrides: &[(String, String)], diagnostics: &[Diagnostic]) -> String {
    let mut out = String::new();
    for diagnostic in diagnostics {
        let severity = match diagnostic.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        writeln!(
            out,
            "{severity} {}: {}",
            diagnostic.code, diagnostic.message
        )
        .expect("a string takes text");
        for label in &diagnostic.labels {
            let source = match label.span.source {
                Source::File => text,
                Source::Override(i) => &overrides[i].1,
            };
            out.push_str(&place(source, &label.span, &label.text));
        }
        if let Some(word) = &diagnostic.did_you_mean {
            writeln!(out, "  did you mean \"{word}\"?").expect("a string takes text");
        }
        for remedy in &diagnostic.remedies {
            writeln!(out, "  remedy: {remedy}").expect("a string takes text");
        }
        out.push('\n');
    }
    out
}

/// The line of a span with its place underlined.
fn place(source: &str, span: &Span, label: &str) -> String {
    let (line, column) = line_column(source, span.bytes.start);
    let shown = source.lines().nth(line - 1).unwrap_or("");
    let marked = source
        .get(span.bytes.clone())
        .expect("spans lie in their text");
    let width = marked.lines().next().unwrap_or("").chars().count().max(1);
    let from = match span.source {
        Source::File => String::new(),
        Source::Override(_) => "--set ".to_owned(),
    };
    let (blanks, carets) = (" ".repeat(column - 1), "^".repeat(width));
    let caret_line = format!("{blanks}{carets} {label}");
    format!(
        "  {from}{line}:{column}\n    {shown}\n    {}\n",
        caret_line.trim_end()
    )
}
