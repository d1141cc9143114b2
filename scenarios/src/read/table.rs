//! One table of the file: each key is asked for once; what nobody asked for is unknown.

use super::context::Context;
use super::key::{Key, Scaled, Word};
use crate::document::{Entry, Node, Table};
use crate::input::InputId;
use shared::quantity::{Dimension, Quantity};
use shared::{Code, Diagnostic, Source, Span, codes, nearest};
use std::collections::BTreeSet;

/// Reads one table.
#[derive(Debug)]
pub struct TableReader<'a> {
    /// What is gathered.
    pub context: &'a mut Context,
    /// Kind and name: `bottle.supply`.
    pub path: String,
    /// Where the table's heading stands; none if the file leaves the table out.
    header: Option<Span>,
    table: &'a Table,
    asked: Vec<&'static str>,
    described: Vec<(&'static str, Holds)>,
    missing: Vec<Missing>,
}

/// What a key holds.
#[derive(Clone, Debug)]
pub enum Holds {
    /// A quantity.
    Quantity(Key),
    /// A quantity whose default follows from another number of the file.
    Scaled(Key),
    /// One of a few words.
    Words(Vec<&'static str>),
    /// A unit of a dimension.
    Unit(Dimension),
    /// Something else, as it may be written.
    Written(&'static str),
}

/// Keys one of which should be there, and what is said if none is.
#[derive(Debug)]
struct Missing {
    keys: Vec<&'static str>,
    diagnostic: Diagnostic,
}

impl<'a> TableReader<'a> {
    /// Begins to read.
    pub fn new(
        context: &'a mut Context,
        path: String,
        header: Option<&Span>,
        table: &'a Table,
    ) -> Self {
        Self {
            context,
            path,
            header: header.cloned(),
            table,
            asked: Vec::new(),
            described: Vec::new(),
            missing: Vec::new(),
        }
    }

    /// Path of a key of this table.
    #[must_use]
    pub fn path_of(&self, key: &str) -> String {
        format!("{}.{key}", self.path)
    }

    /// The entry of a key.
    pub fn entry(&mut self, key: &'static str) -> Option<&'a Entry> {
        self.asked.push(key);
        self.table.get(key)
    }

    /// Lets keys stand that cannot be judged, because what they depend on is wrong.
    pub fn pass_over(&mut self, keys: &[&'static str]) {
        self.asked.extend(keys);
    }

    /// Says what a key holds, as it may be written.
    pub fn describe(&mut self, key: &'static str, written: &'static str) {
        self.described.push((key, Holds::Written(written)));
    }

    /// Says that a key holds a quantity.
    pub fn describe_quantity(&mut self, key: Key) {
        self.described.push((key.name, Holds::Quantity(key)));
    }

    /// Says that a key holds a unit.
    pub fn describe_unit(&mut self, key: &'static str, dimension: Dimension) {
        self.described.push((key, Holds::Unit(dimension)));
    }

    /// True if the key stands in the table.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.table.get(key).is_some()
    }

    /// Reports an error at the value of a key, or at the heading if the key is not there.
    pub fn error_at(&mut self, key: &str, code: &Code, message: String, remedy: String) {
        let value = self.table.get(key).map(|e| &e.node.span);
        let diagnostic = Diagnostic::error(code, message).remedy(remedy);
        let diagnostic = match value.or(self.header.as_ref()) {
            Some(span) => diagnostic.at(span, ""),
            None => diagnostic,
        };
        self.context.report(diagnostic);
    }

    /// Notes that a key is missing.
    pub fn missing(&mut self, key: &'static str, example: &str) {
        let message = format!("[{}] lacks {key}", self.path);
        let remedy = format!("add {key} = \"{example}\"");
        self.missing_any(&codes::MISSING_KEY, &[key], message, remedy);
    }

    /// Notes that one of several keys should be there. It is reported at the end of the table,
    /// unless one of them turns up misspelled.
    pub fn missing_any(
        &mut self,
        code: &Code,
        keys: &[&'static str],
        message: String,
        remedy: String,
    ) {
        let diagnostic = Diagnostic::error(code, message).remedy(remedy);
        let diagnostic = match &self.header {
            Some(span) => diagnostic.at(span, ""),
            None => diagnostic,
        };
        self.missing.push(Missing {
            keys: keys.to_vec(),
            diagnostic,
        });
    }

    /// A quantity that may be left out.
    pub fn optional(&mut self, key: Key) -> Option<InputId> {
        self.describe_quantity(key);
        let entry = self.entry(key.name)?;
        let quantity = self.context.quantity(&entry.node, key.dimensions)?;
        self.input(key, &entry.node, &quantity)
    }

    /// A quantity that must be there.
    pub fn required(&mut self, key: Key) -> Option<InputId> {
        if !self.has(key.name) {
            self.missing(key.name, key.example);
        }
        self.optional(key)
    }

    /// A quantity with a default, which is written like a value of the file.
    pub fn or_default(&mut self, key: Key, default: &'static str, reason: &str) -> InputId {
        if let Some(id) = self.optional(key) {
            return id;
        }
        let path = self.path_of(key.name);
        self.context
            .default_input(&path, key.dimensions[0], key.range, default, reason)
    }

    /// A quantity with a default that follows from another number of the file.
    pub fn or_scaled(&mut self, key: Key, default: Scaled, reason: &str) -> InputId {
        self.described.push((key.name, Holds::Scaled(key)));
        if let Some(id) = self.optional(key) {
            return id;
        }
        let path = self.path_of(key.name);
        self.context
            .scaled_input(&path, key.dimensions[0], key.range, default, reason)
    }

    /// Makes an input of a quantity that stands under a key.
    pub fn input(&mut self, key: Key, node: &Node, quantity: &Quantity) -> Option<InputId> {
        let path = self.path_of(key.name);
        self.context.input(path, node, quantity, key.range)
    }

    /// A text that may be left out.
    pub fn text(&mut self, key: &'static str) -> Option<(&'a Node, &'a str)> {
        let node = &self.entry(key)?.node;
        match node.text() {
            Some(text) => Some((node, text)),
            None => {
                self.wrong_type(key, node, "a text in quotes");
                None
            }
        }
    }

    /// A text that must be there.
    pub fn required_text(
        &mut self,
        key: &'static str,
        example: &str,
    ) -> Option<(&'a Node, &'a str)> {
        if !self.has(key) {
            self.missing(key, example);
        }
        self.text(key)
    }

    /// One of a few words; none if the key is left out or holds another.
    pub fn word<T: Copy>(&mut self, key: &'static str, words: &[Word<T>]) -> Option<T> {
        let choices = words.iter().map(|w| w.0).collect();
        self.described.push((key, Holds::Words(choices)));
        let (node, text) = self.text(key)?;
        let found = words.iter().find(|(word, _)| *word == text);
        if found.is_none() {
            self.unknown_word(key, node, text, words.iter().map(|w| w.0));
        }
        found.map(|w| w.1)
    }

    /// One of a few words, with a default that is taken for granted.
    pub fn word_or<T: Copy>(
        &mut self,
        key: &'static str,
        words: &[Word<T>],
        default: Word<T>,
        reason: &str,
    ) -> T {
        if !self.has(key) {
            let path = self.path_of(key);
            self.context.assume(&path, default.0, reason);
        }
        self.word(key, words).unwrap_or(default.1)
    }

    /// Reports a word that is none of the choices.
    pub fn unknown_word<'w>(
        &mut self,
        key: &str,
        node: &Node,
        text: &str,
        words: impl Iterator<Item = &'w str> + Clone,
    ) {
        let message = format!("{key} = \"{text}\" is none of the choices");
        let choices: Vec<String> = words.clone().map(|w| format!("\"{w}\"")).collect();
        self.context.report(
            Diagnostic::error(&codes::UNKNOWN_WORD, message)
                .at(&node.span, "")
                .remedy(format!("write one of {}", choices.join(", ")))
                .meant(nearest(text, words)),
        );
    }

    /// Reports a value of another type than wanted.
    pub fn wrong_type(&mut self, key: &str, node: &Node, wanted: &str) {
        let message = format!("{key} is {}, but {wanted} is wanted", node.kind());
        let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message);
        self.context.report(
            diagnostic
                .at(&node.span, "")
                .remedy(format!("write {wanted}")),
        );
    }

    /// Which one of several keys stands in the table; more than one are an error.
    pub fn one_of(&mut self, keys: &[&'static str]) -> Option<&'static str> {
        let mut there = keys.iter().copied().filter(|k| self.has(k));
        let first = there.next()?;
        if let Some(second) = there.next() {
            self.either_or(first, second);
        }
        Some(first)
    }

    /// Reports two keys that exclude each other.
    pub fn either_or(&mut self, one: &'static str, other: &'static str) {
        let message = format!(
            "[{}] has both {one} and {other}, which say the same thing",
            self.path
        );
        let mut diagnostic = Diagnostic::error(&codes::EITHER_OR, message)
            .remedy(format!("leave out {one} or {other}"));
        for key in [other, one] {
            if let Some(entry) = self.table.get(key) {
                diagnostic = diagnostic.at(&entry.key_span, "");
            }
        }
        self.context.report(diagnostic);
    }

    /// The keys that were asked for, each once, with what they hold where that was said, and
    /// which of them has to be there, if that is so.
    #[must_use]
    pub fn keys(&self) -> Vec<(&'static str, Option<Holds>, Vec<&'static str>)> {
        let mut names = self.asked.clone();
        let mut seen = BTreeSet::new();
        names.retain(|name| seen.insert(*name));
        let key = |name: &'static str| {
            let holds = self.described.iter().find(|(n, _)| *n == name);
            let missing = self.missing.iter().find(|m| m.keys.contains(&name));
            let one_of = missing.map_or(Vec::new(), |m| m.keys.clone());
            (name, holds.map(|h| h.1.clone()), one_of)
        };
        names.into_iter().map(key).collect()
    }

    /// Ends reading: reports the keys that nobody asked for, and those that are missing.
    pub fn finish(mut self) {
        let entries = self.table.entries.iter();
        let unknown = entries.filter(|e| !self.asked.contains(&e.key.as_str()));
        for entry in unknown.collect::<Vec<_>>() {
            self.report_unknown(entry);
        }
        for missing in self.missing {
            self.context.report(missing.diagnostic);
        }
    }

    /// Reports an unknown key. If it is a missing one misspelled, that is all there is to say.
    fn report_unknown(&mut self, entry: &Entry) {
        let absent = self.missing.iter().flat_map(|m| &m.keys).copied();
        let meant = nearest(&entry.key, absent.chain(self.asked.iter().copied()));
        // Who typed a path looks for a path.
        let of_override = matches!(entry.key_span.source, Source::Override(_));
        let full = meant.filter(|_| of_override).map(|key| self.path_of(key));
        self.missing
            .retain(|m| !m.keys.iter().any(|k| Some(*k) == meant));
        let mut listed = self.asked.clone();
        listed.sort_unstable();
        listed.dedup();
        let message = format!("[{}] has no key \"{}\"", self.path, entry.key);
        self.context.report(
            Diagnostic::error(&codes::UNKNOWN_KEY, message)
                .at(&entry.key_span, "")
                .remedy(format!("its keys are {}", listed.join(", ")))
                .meant(full.as_deref().or(meant)),
        );
    }
}
