//! `[requirement]` and `[limit]`: what a run is held against.

use crate::document::{Entry, Node, Table};
use crate::read::Context;
use shared::{Diagnostic, Span, codes};

/// A bound as it was read; it is understood once the components are known.
#[derive(Clone, Debug)]
pub struct Judgement {
    /// Component and quantity: `fuel.pressure`.
    pub path: String,
    /// Where that stands.
    pub path_span: Span,
    /// Relation and value.
    pub bound: Node,
}

/// Reads a table of bounds. Keys may be quoted paths or tables within tables.
pub fn read(context: &mut Context, entry: &Entry) -> Vec<Judgement> {
    let mut judgements = Vec::new();
    match entry.node.table() {
        Some(table) => gather(table, "", &mut judgements),
        None => {
            let message = format!(
                "{} is {}, but a table is wanted",
                entry.key,
                entry.node.kind()
            );
            let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message).at(&entry.key_span, "");
            let remedy = format!(
                "write [{}] and below it \"fuel.pressure\" = \"<= 40 bar(g)\"",
                entry.key
            );
            context.report(diagnostic.remedy(remedy));
        }
    }
    judgements
}

fn gather(table: &Table, prefix: &str, judgements: &mut Vec<Judgement>) {
    for entry in &table.entries {
        let path = format!("{prefix}{}", entry.key);
        match entry.node.table() {
            Some(inner) => gather(inner, &format!("{path}."), judgements),
            None => judgements.push(Judgement {
                path,
                path_span: entry.key_span.clone(),
                bound: entry.node.clone(),
            }),
        }
    }
}
