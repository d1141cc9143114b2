//! The whole file, read: phase one of three. Everything that can be said of a table by
//! itself has been said; how the tables fit together has not.

use crate::document::{Entry, Table};
use crate::kinds::{self, Component, Ghost, Kind, Surroundings};
use crate::observables;
use crate::read::{Context, TableReader};
use crate::tables::{self, Ambient, Gases, Judgement, Model, Run, Step};
use shared::quantity::Display;
use shared::{Diagnostic, Span, codes, nearest};
use std::collections::BTreeMap;

/// A stand as it was typed.
#[derive(Debug)]
pub struct Stand {
    /// Title.
    pub title: String,
    /// The air around.
    pub ambient: Ambient,
    /// Perfect gases.
    pub gases: Gases,
    /// Components in the order of the file.
    pub components: Vec<Component>,
    /// Components of unknown kinds.
    pub ghosts: Vec<Ghost>,
    /// Units to show.
    pub display: Display,
    /// Length of the run.
    pub run: Run,
    /// Steps in the order of the file.
    pub sequence: Vec<Step>,
    /// Requirements.
    pub requirements: Vec<Judgement>,
    /// Limits.
    pub limits: Vec<Judgement>,
}

/// Kinds that have a name but no equations yet.
const NOT_MODELLED: [&str; 2] = ["chamber", "injector"];
/// What people call the kinds, for the question "did you mean".
const NAMES_OF_KINDS: [(&str, Kind); 12] = [
    ("relief_valve", Kind::Relief),
    ("safety_valve", Kind::Relief),
    ("pressure_relief_valve", Kind::Relief),
    ("rupture_disc", Kind::BurstDisc),
    ("rupture_disk", Kind::BurstDisc),
    ("nonreturn_valve", Kind::CheckValve),
    ("non_return_valve", Kind::CheckValve),
    ("cylinder", Kind::Bottle),
    ("pipe", Kind::Line),
    ("tube", Kind::Line),
    ("hose", Kind::Line),
    ("run_valve", Kind::Valve),
];
/// Tables that are no components.
const TABLES: [&str; 9] = [
    "title",
    "ambient",
    "display",
    "model",
    "perfect_gas",
    "run",
    "sequence",
    "requirement",
    "limit",
];
/// Names that no component may have.
const RESERVED: [&str; 2] = ["ambient", "time"];

impl Stand {
    /// Reads a document; what is wrong with it goes into the context.
    pub fn read(document: &Table, context: &mut Context) -> Self {
        let title = read_title(document, context);
        let ambient = in_table(document, "ambient", context, Ambient::read);
        let model = in_table(document, "model", context, Model::read);
        let gases = read_gases(document, context);
        let around = Surroundings {
            ambient: &ambient,
            model: &model,
            gases: &gases,
        };
        let components = read_components(document, &around, context);
        let ambient_pa = context.inputs.nominal().si(ambient.pressure);
        let display = in_table(document, "display", context, |reader| {
            tables::read_display(reader, ambient_pa)
        });
        let columns = 1 + components
            .iter()
            .map(|c| observables::columns(c, None).len())
            .sum::<usize>();
        let run = in_table(document, "run", context, |reader| {
            Run::read(reader, columns)
        });
        let sequence = document
            .get("sequence")
            .map_or_else(Vec::new, |e| tables::read_sequence(context, e));
        let mut judgements = |key| {
            let entry = document.get(key);
            entry.map_or_else(Vec::new, |e| tables::read_judgements(context, e))
        };
        Self {
            title,
            ambient,
            components,
            ghosts: read_ghosts(document),
            display,
            run,
            sequence,
            requirements: judgements("requirement"),
            limits: judgements("limit"),
            gases,
        }
    }
}

/// Reads a table without name; one that is left out is read as empty.
fn in_table<T>(
    document: &Table,
    key: &'static str,
    context: &mut Context,
    read: impl FnOnce(&mut TableReader<'_>) -> T,
) -> T {
    let empty = Table::default();
    let entry = document.get(key);
    let table = entry.and_then(|e| table_or_report(e, context));
    let header = entry.map(|e| &e.key_span);
    let mut reader = TableReader::new(context, key.to_owned(), header, table.unwrap_or(&empty));
    let value = read(&mut reader);
    reader.finish();
    value
}

fn table_or_report<'a>(entry: &'a Entry, context: &mut Context) -> Option<&'a Table> {
    let table = entry.node.table();
    if table.is_none() {
        let key = &entry.key;
        let message = format!("{key} is {}, but a table is wanted", entry.node.kind());
        let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message).at(&entry.key_span, "");
        context.report(diagnostic.remedy(format!("write [{key}] and its keys below it")));
    }
    table
}

fn read_title(document: &Table, context: &mut Context) -> String {
    let Some(entry) = document.get("title") else {
        return "Untitled stand".to_owned();
    };
    let title = entry.node.text();
    if title.is_none() {
        let message = format!("title is {}, but a text is wanted", entry.node.kind());
        let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message).at(&entry.node.span, "");
        context.report(diagnostic.remedy("write title = \"...\""));
    }
    title.unwrap_or_default().to_owned()
}

fn read_gases(document: &Table, context: &mut Context) -> Gases {
    let mut gases = Gases::default();
    let Some(entry) = document.get("perfect_gas") else {
        return gases;
    };
    for (name, named, table) in named_tables(entry, context) {
        gases.define(context, name, named, table);
    }
    gases
}

/// The tables within a kind's table, by name.
fn named_tables<'a>(
    entry: &'a Entry,
    context: &mut Context,
) -> Vec<(&'a str, &'a Span, &'a Table)> {
    let kind = &entry.key;
    let Some(table) = entry.node.table() else {
        let message = format!("{kind} is {}, but components are wanted", entry.node.kind());
        let diagnostic = Diagnostic::error(&codes::NO_NAME, message).at(&entry.key_span, "");
        context.report(diagnostic.remedy(format!("head each with its name, as in [{kind}.NAME]")));
        return Vec::new();
    };
    let named: Vec<_> = table
        .entries
        .iter()
        .filter_map(|e| Some((e.key.as_str(), &e.key_span, e.node.table()?)))
        .collect();
    if named.len() < table.entries.len() || named.is_empty() {
        let message = format!("[{kind}] gives no name to its component");
        let diagnostic = Diagnostic::error(&codes::NO_NAME, message).at(&entry.key_span, "");
        context.report(diagnostic.remedy(format!("head it with its name, as in [{kind}.NAME]")));
    }
    named
}

fn read_components(
    document: &Table,
    around: &Surroundings<'_>,
    context: &mut Context,
) -> Vec<Component> {
    let mut components = Vec::new();
    for entry in &document.entries {
        match Kind::ALL.into_iter().find(|k| k.word() == entry.key) {
            Some(kind) => {
                for (name, span, table) in named_tables(entry, context) {
                    check_name(name, span, context);
                    components.push(kinds::read(kind, name, span, table, around, context));
                }
            }
            None if TABLES.contains(&entry.key.as_str()) => {}
            None => report_unknown_kind(entry, context),
        }
    }
    components.sort_by_key(|c| c.span.bytes.start);
    check_names_differ(&components, context);
    components
}

/// What can be known of components of unknown kinds.
fn read_ghosts(document: &Table) -> Vec<Ghost> {
    let is_known =
        |word: &str| TABLES.contains(&word) || Kind::ALL.iter().any(|k| k.word() == word);
    let unknown = document.entries.iter().filter(|e| !is_known(&e.key));
    let named = unknown
        .filter_map(|e| e.node.table())
        .flat_map(|t| &t.entries);
    let ghosts = named.filter_map(|entry| {
        let table = entry.node.table()?;
        let ends = ["from", "to"].into_iter().filter_map(|key| {
            let text = table.get(key)?.node.text()?;
            Some(text.split('.').next().unwrap_or(text).to_owned())
        });
        Some(Ghost {
            name: entry.key.clone(),
            ends: ends.collect(),
        })
    });
    ghosts.collect()
}

fn report_unknown_kind(entry: &Entry, context: &mut Context) {
    let word = entry.key.as_str();
    if NOT_MODELLED.contains(&word) {
        let message = format!("{word} is not modelled yet");
        let remedy = match word {
            "chamber" => "end the chain in the ambient",
            _ => "put an orifice of the same effective area in its place",
        };
        let diagnostic = Diagnostic::error(&codes::NOT_MODELLED, message);
        context.report(diagnostic.at(&entry.key_span, "").remedy(remedy));
        return;
    }
    let known = Kind::ALL.map(Kind::word).into_iter().chain(TABLES);
    let message = format!("there is no kind \"{word}\"");
    let kinds = Kind::ALL.map(Kind::word).join(", ");
    context.report(
        Diagnostic::error(&codes::UNKNOWN_KIND, message)
            .at(&entry.key_span, "")
            .remedy(format!(
                "the kinds are {kinds}; further tables are {}",
                TABLES[1..].join(", ")
            ))
            .meant(kind_of_the_trade(word).or_else(|| nearest(word, known))),
    );
}

/// The kind that goes by another name in the trade.
fn kind_of_the_trade(word: &str) -> Option<&'static str> {
    let named = NAMES_OF_KINDS.iter().find(|(name, _)| *name == word);
    named.map(|(_, kind)| kind.word())
}

fn check_name(name: &str, span: &Span, context: &mut Context) {
    let usable = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    if RESERVED.contains(&name) {
        let message = format!("no component may be called \"{name}\"");
        let diagnostic = Diagnostic::error(&codes::NAME_TAKEN, message).at(span, "");
        context.report(diagnostic.remedy("choose another name"));
    } else if name.is_empty() || !name.chars().all(usable) {
        let message = format!("\"{name}\" cannot be the name of a component");
        let diagnostic = Diagnostic::error(&codes::BAD_NAME, message).at(span, "");
        context.report(diagnostic.remedy("use letters, digits, _ and - only"));
    }
}

fn check_names_differ(components: &[Component], context: &mut Context) {
    let mut first: BTreeMap<&str, &Component> = BTreeMap::new();
    for component in components {
        let Some(other) = first.insert(&component.name, component) else {
            continue;
        };
        let message = format!("two components are called \"{}\"", component.name);
        context.report(
            Diagnostic::error(&codes::NAME_TAKEN, message)
                .at(&component.span, "")
                .at(&other.span, "")
                .remedy("give one of them another name"),
        );
    }
}
