//! Messages as text: how grave and where, the line with carets, what to do, where to read on.

use super::excerpt::{Excerpt, excerpt};
use super::screen::Screen;
use shared::diagnostic::{Diagnostic, Label, Severity, Source};
use shared::line_column;

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

    /// Where a label points, in words.
    fn place(&self, label: &Label) -> String {
        let (name, text) = self.of(label.span.source);
        match label.span.source {
            Source::File => {
                let (line, _) = line_column(text, label.span.bytes.start);
                format!("{name}, line {line}")
            }
            Source::Override(_) => format!("--set {name}"),
        }
    }

    fn excerpt(&self, label: &Label) -> Excerpt {
        let (_, text) = self.of(label.span.source);
        excerpt(text, &label.span.bytes, &one_line(&label.text))
    }
}

/// All diagnostics, a blank line between them.
#[must_use]
pub fn drawn(diagnostics: &[Diagnostic], texts: Texts, screen: Screen) -> String {
    let each = diagnostics.iter().map(|d| message(d, texts, screen));
    each.collect::<Vec<String>>().join("\n")
}

/// The first line of every message, that of a failure without a place too.
#[must_use]
pub fn headline(severity: Severity, place: Option<&str>, what: &str, screen: Screen) -> String {
    let word = match severity {
        Severity::Error => "Error",
        Severity::Warning => "Warning",
    };
    let place = place.map_or(String::new(), |place| format!(" in {place}"));
    format!("{}{place}: {what}", screen.alert(word))
}

fn message(diagnostic: &Diagnostic, texts: Texts, screen: Screen) -> String {
    let labels = diagnostic.labels.first();
    let place = labels.map_or(texts.path.to_owned(), |label| texts.place(label));
    let what = one_line(&diagnostic.message);
    let mut rows = vec![headline(diagnostic.severity, Some(&place), &what, screen)];
    rows.extend(places(&diagnostic.labels, texts));
    rows.extend(advice(diagnostic).into_iter().map(|row| format!("  {row}")));
    rows.join("\n") + "\n"
}

/// The excerpts. A line that two labels share is shown once, with carets for each.
fn places(labels: &[Label], texts: Texts) -> Vec<String> {
    let mut rows = Vec::new();
    let mut before: Option<(String, String)> = None;
    for label in labels {
        let shown = texts.excerpt(label);
        let here = (texts.place(label), shown.line);
        if before.as_ref() != Some(&here) {
            if before.as_ref().is_some_and(|b| b.0 != here.0) {
                rows.push(format!("  and in {}:", here.0));
            }
            rows.push(format!("    {}", here.1));
        }
        rows.push(format!("    {}", shown.carets));
        if here.1.is_empty() {
            // Carets below a blank line show nothing that its number does not say.
            rows.truncate(rows.len() - 2);
        }
        before = Some(here);
    }
    rows
}

fn advice(diagnostic: &Diagnostic) -> Vec<String> {
    let meant = diagnostic.did_you_mean.iter();
    let meant = meant.map(|word| format!("Did you mean \"{word}\"?"));
    let remedies = diagnostic.remedies.iter().map(|text| sentence(text));
    let more = format!("More: pressfed explain {}", diagnostic.code);
    meant.chain(remedies).chain([more]).collect()
}

/// With a capital and a full stop.
fn sentence(text: &str) -> String {
    let text = one_line(text);
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => text,
    }
}

fn one_line(text: &str) -> String {
    text.replace(['\n', '\r', '\t'], " ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use shared::{Span, codes};

    const FILE: &str = "[bottle.a]\n[tank.a]\nfill = 5 # and more\n\n";

    fn at(diagnostic: Diagnostic, part: &str, note: &str) -> Diagnostic {
        let start = FILE.find(part).expect("the part stands in the text");
        diagnostic.at(&Span::file(start..start + part.len()), note)
    }

    fn plain(diagnostics: &[Diagnostic], file: &str) -> String {
        let overrides = [("run.until".to_owned(), "30 liters".to_owned())];
        let texts = Texts {
            path: "stand.toml",
            file,
            overrides: &overrides,
        };
        drawn(diagnostics, texts, Screen::plain())
    }

    #[test]
    fn places_in_several_lines_are_shown_one_after_the_other() {
        let twice = Diagnostic::error(&codes::NAME_TAKEN, "a is used twice")
            .remedy("give one of them another name");
        let twice = at(at(twice, "tank.a", ""), "bottle.a", "first here");
        let expected = "Error in stand.toml, line 2: a is used twice\n    \
                        [tank.a]\n     ^^^^^^\n  and in stand.toml, line 1:\n    \
                        [bottle.a]\n     ^^^^^^^^ first here\n  \
                        Give one of them another name.\n  More: pressfed explain file-7\n";
        assert_eq!(plain(&[twice], FILE), expected);
    }

    #[test]
    fn places_in_one_line_share_it() {
        let warning = Diagnostic::warning(&codes::EITHER_OR, "these\ndo not fit");
        let warning = at(at(warning, "fill", "this"), "5", "and this");
        let expected = "Warning in stand.toml, line 3: these do not fit\n    \
                        fill = 5 # and more\n    ^^^^ this\n           ^ and this\n  \
                        More: pressfed explain file-10\n";
        assert_eq!(plain(&[warning], FILE), expected);
    }

    #[test]
    fn a_blank_line_is_named_but_not_shown() {
        let end = Diagnostic::error(&codes::SYNTAX, "a bracket is missing");
        let end = end.at(&Span::file(FILE.len()..FILE.len()), "");
        let expected = "Error in stand.toml, line 5: a bracket is missing\n  \
                        More: pressfed explain file-1\n";
        assert_eq!(plain(&[end], FILE), expected);
        let empty = Diagnostic::error(&codes::EMPTY, "nothing").at(&Span::file(0..0), "");
        let expected = "Error in stand.toml, line 1: nothing\n  More: pressfed explain file-2\n";
        assert_eq!(plain(&[empty], ""), expected);
    }

    #[test]
    fn an_override_and_the_whole_file_are_places() {
        let span = Span {
            source: Source::Override(0),
            bytes: 3..9,
        };
        let unit = Diagnostic::error(&codes::UNKNOWN_UNIT, "not a unit").at(&span, "");
        let unit = unit.meant(Some("s"));
        let lacking = Diagnostic::error(&codes::MISSING_KEY, "[run] lacks until");
        let expected = "Error in --set run.until: not a unit\n    30 liters\n       ^^^^^^\n  \
                        Did you mean \"s\"?\n  More: pressfed explain quantity-3\n\n\
                        Error in stand.toml: [run] lacks until\n  More: pressfed explain file-5\n";
        assert_eq!(plain(&[unit, lacking], FILE), expected);
    }

    #[test]
    fn colour_is_on_the_first_word_alone() {
        let words = headline(Severity::Error, None, "it failed", Screen::coloured());
        assert!(words.ends_with("Error\u{1b}[0m: it failed"), "{words:?}");
        let words = headline(Severity::Error, None, "it failed", Screen::plain());
        assert_eq!(words, "Error: it failed");
    }
}
