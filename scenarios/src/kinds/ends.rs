//! `from` and `to`: what a branch is plumbed to.

use super::Kind;
use crate::read::TableReader;
use shared::{Span, codes};
use sim_core::network::Phase;

/// One end of a branch as it was written: `supply`, `fuel.gas`.
#[derive(Clone, Debug, PartialEq)]
pub struct End {
    /// The component named.
    pub name: String,
    /// The port named.
    pub port: Option<Phase>,
    /// Where it stands.
    pub span: Span,
}

/// Reads both ends.
pub fn read(reader: &mut TableReader<'_>) -> (Option<End>, Option<End>) {
    if !reader.has("from") {
        let message = format!("[{}] does not say what it comes from", reader.path);
        let remedy = "add from = \"NAME\" with the volume or the branch upstream of it";
        reader.missing_any(&codes::MISSING_KEY, &["from"], message, remedy.to_owned());
    }
    for key in ["from", "to"] {
        reader.describe(
            key,
            "a name, as \"supply\"; at a tank \"fuel.gas\" or \"fuel.liquid\"",
        );
    }
    (end(reader, "from"), end(reader, "to"))
}

fn end(reader: &mut TableReader<'_>, key: &'static str) -> Option<End> {
    let (node, text) = reader.text(key)?;
    let span = node.span.clone();
    let (name, port) = match text.split_once('.') {
        None => (text, None),
        Some((name, "gas")) => (name, Some(Phase::Gas)),
        Some((name, "liquid")) => (name, Some(Phase::Liquid)),
        // As in the heading of its table: kind and name.
        Some((kind, name)) if Kind::ALL.iter().any(|k| k.word() == kind) => {
            let message = format!("{key} names a component by its name alone, without its kind");
            let remedy = format!("write {key} = \"{name}\"");
            reader.error_at(key, &codes::UNKNOWN_COMPONENT, message, remedy);
            return None;
        }
        Some((name, port)) => {
            let message = format!("\"{name}\" has no port \"{port}\"");
            let remedy = format!("a tank has the ports \"{name}.gas\" and \"{name}.liquid\"");
            reader.error_at(key, &codes::WRONG_PORT, message, remedy);
            return None;
        }
    };
    Some(End {
        name: name.to_owned(),
        port,
        span,
    })
}
