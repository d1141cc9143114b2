//! A stand file as it was typed: tables, keys and values in the order of the file, each with
//! its place.

mod overrides;
mod toml;

pub use overrides::apply_overrides;
pub use toml::parse;

use shared::Span;

/// Keys and values in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// The entries.
    pub entries: Vec<Entry>,
}

/// One key and its value.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// The value.
    pub node: Node,
}

/// A value and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Node {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub value: Value,
}

/// What a value is.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Text.
    Text(Text),
    /// A number.
    Number(f64),
    /// True or false.
    Flag(bool),
    /// A list.
    List(Vec<Node>),
    /// A table.
    Table(Table),
    /// A date or a time of day, which no key takes.
    Date,
}

/// A text and where its first letter stands, if it stands there letter by letter.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The text.
    pub text: String,
    /// Byte of its first letter in its source; none if the source spells it with escapes.
    pub begins: Option<usize>,
}

impl Table {
    /// The entry of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|e| e.key == key)
    }

    fn get_mut(&mut self, key: &str) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|e| e.key == key)
    }
}

impl Node {
    /// The table that it is, if it is one.
    #[must_use]
    pub fn table(&self) -> Option<&Table> {
        match &self.value {
            Value::Table(table) => Some(table),
            _ => None,
        }
    }

    /// The text that it is, if it is one.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(&text.text),
            _ => None,
        }
    }

    /// What it is, in words.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match &self.value {
            Value::Text(_) => "a text",
            Value::Number(_) => "a number",
            Value::Flag(_) => "true or false",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
            Value::Date => "a date",
        }
    }

    /// The span of a stretch of its text, or of the whole value.
    #[must_use]
    pub fn span_of(&self, part: &std::ops::Range<usize>) -> Span {
        match &self.value {
            Value::Text(Text {
                begins: Some(begins),
                ..
            }) => Span {
                source: self.span.source,
                bytes: begins + part.start..begins + part.end,
            },
            _ => self.span.clone(),
        }
    }
}
