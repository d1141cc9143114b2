//! From TOML text to a [`Table`].

use super::{Entry, Node, Table, Text, Value};
use shared::{Diagnostic, Source, Span, codes};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Reads a text as far as it can be read, and everything that is wrong with its form.
#[must_use]
pub fn parse(text: &str) -> (Table, Vec<Diagnostic>) {
    let (root, errors) = DeTable::parse_recoverable(text);
    // The parser takes all that follows for a part of a list that is not closed.
    if !errors.is_empty()
        && let Some(list) = unclosed_list(text)
    {
        return (Table::default(), vec![list]);
    }
    let reader = Reader {
        text,
        source: Source::File,
    };
    let diagnostics = errors.iter().map(|e| syntax(e, text)).collect();
    (reader.table(root.get_ref()), diagnostics)
}

/// A list that is still open where another key or heading begins, or at the end.
fn unclosed_list(text: &str) -> Option<Diagnostic> {
    let mut open: Vec<usize> = Vec::new();
    let mut begins = 0;
    for line in text.split_inclusive('\n') {
        let value = if open.is_empty() {
            line.find('=').map(|i| i + 1)
        } else if begins_anew(line) {
            break;
        } else {
            Some(0)
        };
        let value = value.unwrap_or(line.len());
        for (at, bracket) in brackets(&line[value..]) {
            if bracket == '[' {
                open.push(begins + value + at);
            } else {
                open.pop();
            }
        }
        begins += line.len();
    }
    let &first = open.first()?;
    let message = "the list that begins here is not closed".to_owned();
    let remedy = format!(
        "write {} at its end: each [ has a ] of its own",
        "]".repeat(open.len())
    );
    let diagnostic = Diagnostic::error(&codes::SYNTAX, message);
    Some(
        diagnostic
            .at(&Span::file(first..first + 1), "")
            .remedy(remedy),
    )
}

/// Whether a line begins another key or heading.
fn begins_anew(line: &str) -> bool {
    let line = line.trim_start();
    let heading = line.trim_start_matches('[');
    let is_name = |c: char| c.is_ascii_alphabetic() || c == '_';
    let rest = heading.trim_start_matches(|c: char| is_name(c) || c.is_ascii_digit() || c == '.');
    let has_name = heading.starts_with(is_name);
    let is_heading = line.len() > heading.len() && rest.starts_with(']');
    has_name && (is_heading || (line == heading && rest.trim_start().starts_with('=')))
}

/// The square brackets of a line, outside of texts and comments.
fn brackets(line: &str) -> Vec<(usize, char)> {
    let mut found = Vec::new();
    let mut quote = None;
    let mut escaped = false;
    for (at, c) in line.char_indices() {
        match quote {
            Some('"') if escaped => escaped = false,
            Some('"') if c == '\\' => escaped = true,
            Some(q) if c == q => quote = None,
            Some(_) => {}
            None if c == '#' => break,
            None if c == '"' || c == '\'' => quote = Some(c),
            None if c == '[' || c == ']' => found.push((at, c)),
            None => {}
        }
    }
    found
}

/// Reads the value of an override: TOML if it is that, else the text as it stands.
pub(super) fn value(text: &str, source: Source) -> Node {
    let line = format!("value = {text}");
    let (root, errors) = DeTable::parse_recoverable(&line);
    let reader = Reader {
        text: &line,
        source,
    };
    let mut nodes = reader.table(root.get_ref()).entries;
    match nodes.pop() {
        Some(entry) if errors.is_empty() && nodes.is_empty() => {
            shifted(entry.node, line.len() - text.len())
        }
        _ => Node {
            span: Span {
                source,
                bytes: 0..text.len(),
            },
            value: Value::Text(Text {
                text: text.to_owned(),
                begins: Some(0),
            }),
        },
    }
}

/// Moves a value `by` bytes towards the start of its source.
fn shifted(mut node: Node, by: usize) -> Node {
    let bytes = &node.span.bytes;
    node.span.bytes = bytes.start.saturating_sub(by)..bytes.end.saturating_sub(by);
    node.value = match node.value {
        Value::Text(text) => Value::Text(Text {
            begins: text.begins.map(|b| b.saturating_sub(by)),
            ..text
        }),
        Value::List(nodes) => Value::List(nodes.into_iter().map(|n| shifted(n, by)).collect()),
        other => other,
    };
    node
}

fn syntax(error: &toml::de::Error, text: &str) -> Diagnostic {
    let bytes = error.span().unwrap_or(0..0);
    let end = bytes.end.min(text.len());
    let message = error.message().replace('\n', "; ");
    let bytes = bytes.start.min(end)..end;
    if let Some((comma, point)) = decimal_comma(text, bytes.start) {
        return Diagnostic::error(&codes::SYNTAX, format!("{comma} is not a decimal number"))
            .at(&Span::file(bytes), "")
            .remedy(format!("write it with a decimal point: {point}"));
    }
    if message.contains("duplicate key") {
        let remedy = "the name stands there already: choose another; a step of the sequence has two brackets on each side, [[sequence]]";
        return Diagnostic::error(&codes::SYNTAX, message)
            .at(&Span::file(bytes), "")
            .remedy(remedy);
    }
    let remedy = "look at this line and the one before it: text stands in double quotes, headings in square brackets, lists in square brackets with commas";
    Diagnostic::error(&codes::SYNTAX, message)
        .at(&Span::file(bytes), "")
        .remedy(remedy)
}

/// The value of the line at a byte if it is a number with a decimal comma, and the same with a
/// point.
fn decimal_comma(text: &str, at: usize) -> Option<(&str, String)> {
    let before = text.get(..at)?;
    let line = text
        .get(before.rfind('\n').map_or(0, |i| i + 1)..)?
        .lines()
        .next()?;
    let value = line.split_once('=')?.1.split('#').next()?.trim();
    let (whole, part) = value.split_once(',')?;
    let point = format!("{whole}.{part}");
    let is_number = part.bytes().all(|b| b.is_ascii_digit()) && point.parse::<f64>().is_ok();
    is_number.then_some((value, point))
}

struct Reader<'a> {
    text: &'a str,
    source: Source,
}

impl Reader<'_> {
    fn span(&self, bytes: Range<usize>) -> Span {
        Span {
            source: self.source,
            bytes,
        }
    }

    fn table(&self, table: &DeTable<'_>) -> Table {
        let mut entries: Vec<Entry> = table
            .iter()
            .map(|(key, value)| Entry {
                key: key.get_ref().to_string(),
                key_span: self.span(key.span()),
                node: self.node(value),
            })
            .collect();
        entries.sort_by_key(|e| e.key_span.bytes.start);
        Table { entries }
    }

    fn node(&self, value: &Spanned<DeValue<'_>>) -> Node {
        let bytes = value.span();
        let read = match value.get_ref() {
            DeValue::String(text) => Value::Text(self.string(text, &bytes)),
            DeValue::Integer(digits) => Value::Number(integer(digits.as_str(), digits.radix())),
            DeValue::Float(digits) => Value::Number(digits.as_str().parse().unwrap_or(f64::NAN)),
            DeValue::Boolean(flag) => Value::Flag(*flag),
            DeValue::Datetime(_) => Value::Date,
            DeValue::Array(nodes) => Value::List(nodes.iter().map(|n| self.node(n)).collect()),
            DeValue::Table(table) => Value::Table(self.table(table)),
        };
        Node {
            span: self.span(bytes),
            value: read,
        }
    }

    fn string(&self, text: &str, bytes: &Range<usize>) -> Text {
        let raw = self.text.get(bytes.clone()).unwrap_or("");
        let plain = raw.len() == text.len() + 2 && raw.get(1..raw.len() - 1) == Some(text);
        Text {
            text: text.to_owned(),
            begins: plain.then_some(bytes.start + 1),
        }
    }
}

fn integer(digits: &str, radix: u32) -> f64 {
    i64::from_str_radix(digits, radix).map_or(f64::NAN, |i| i as f64)
}
