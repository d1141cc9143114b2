//! The keys of a kind, read off the reader of an empty table, so that they are those that a stand
//! file may have.

use super::{Kind, Surroundings, ends, read_body};
use crate::document::Table;
use crate::read::{Context, Holds, TableReader};
use crate::tables::{Ambient, Gases, Model};

/// One key of a kind, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyHelp {
    /// How it is spelled.
    pub name: &'static str,
    /// What it may hold: an example and its units, or words.
    pub holds: String,
    /// What stands for it where it is left out; empty where it only adds something.
    pub otherwise: String,
}

/// The keys of a kind by its word; none if there is no such kind.
#[must_use]
pub fn keys_of(word: &str) -> Option<Vec<KeyHelp>> {
    let kind = Kind::ALL.into_iter().find(|k| k.word() == word)?;
    let (mut context, empty) = (Context::default(), Table::default());
    let (ambient, model) = (
        Ambient::read(&mut reader(&mut context, "ambient", &empty)),
        Model::read(&mut reader(&mut context, "model", &empty)),
    );
    let around = Surroundings {
        ambient: &ambient,
        model: &model,
        gases: &Gases::default(),
    };
    let mut table = reader(&mut context, word, &empty);
    if !kind.is_volume() {
        ends::read(&mut table);
    }
    // An empty table is no component; what it asks for is all that is wanted.
    let _ = read_body(kind, &mut table, &around);
    let keys = table.keys();
    let help = |(name, holds, is_missing): (&'static str, Option<Holds>, bool)| {
        let path = format!("{word}.{name}");
        let assumed = context.assumptions.iter().find(|a| a.path == path);
        let otherwise = match (assumed, &holds) {
            (Some(assumption), Some(Holds::Scaled(_))) => assumption.reason.clone(),
            (Some(assumption), _) => assumption.value.clone(),
            (None, _) if is_missing => "must be there, or another in its place".to_owned(),
            (None, _) => String::new(),
        };
        KeyHelp {
            name,
            holds: holds.map_or(String::new(), in_words),
            otherwise,
        }
    };
    Some(keys.into_iter().map(help).collect())
}

fn reader<'a>(context: &'a mut Context, path: &str, table: &'a Table) -> TableReader<'a> {
    TableReader::new(context, path.to_owned(), None, table)
}

fn in_words(holds: Holds) -> String {
    match holds {
        Holds::Quantity(key) | Holds::Scaled(key) => {
            let units = key.dimensions.iter().flat_map(|d| d.usual_units());
            let units: Vec<&str> = units.copied().filter(|u| !u.is_empty()).collect();
            match units[..] {
                [] => format!("\"{}\"", key.example),
                _ => format!("\"{}\", in {}", key.example, units.join(", ")),
            }
        }
        Holds::Words(words) => {
            let quoted: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
            quoted.join(" or ")
        }
    }
}
