//! The keys of a kind, read off the reader of an empty table, so that they are those that a stand
//! file may have.

use super::meanings::meaning;
use super::{Cryogen, Kind, Surroundings, ends, read_body};
use crate::document::{Entry, Node, Table, Text, Value};
use crate::observables::{Observable, figures, of_kind};
use crate::read::{Context, Holds, TableReader};
use crate::tables::{Ambient, Gases, Model, Run, read_display};
use shared::Span;

/// One key of a kind, in words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeyHelp {
    /// How it is spelled.
    pub name: &'static str,
    /// What it is, in a few words.
    pub meaning: &'static str,
    /// What it may hold: an example and its units, or words.
    pub holds: String,
    /// The words that it may hold, where these are few.
    pub choices: Vec<&'static str>,
    /// What stands for it where it is left out; empty where it only adds something.
    pub otherwise: String,
    /// Whether only a tank has it whose liquid boils below room temperature.
    pub is_cryogenic: bool,
}

/// Tables that stand once in a file and have keys of their own.
pub const TABLES: [&str; 4] = ["ambient", "display", "model", "run"];

/// The keys of a kind, or of a table without a name, by its word; none if there is no such.
#[must_use]
pub fn keys_of(word: &str) -> Option<Vec<KeyHelp>> {
    let Some(kind) = kind_of(word) else {
        return keys_of_table(word);
    };
    let mut keys = keys(kind, &Table::default());
    if kind == Kind::Tank {
        let [liquid, ..] = Cryogen::LIQUIDS;
        for key in self::keys(kind, &saying("liquid", liquid)) {
            if keys.iter().all(|k| k.name != key.name) {
                let is_cryogenic = true;
                keys.push(KeyHelp {
                    is_cryogenic,
                    ..key
                });
            }
        }
    }
    Some(keys)
}

/// A quantity of a component to which a condition, a requirement or a limit may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Observed {
    /// Its name behind the component's: `mean_flow`.
    pub name: &'static str,
    /// Whether it is a line of the history; else it is one figure of the whole run.
    pub is_history: bool,
}

/// What is observed of a kind by its word; none if there is no such kind.
#[must_use]
pub fn observed_of(word: &str) -> Option<Vec<Observed>> {
    let kind = kind_of(word)?;
    let observed = |&(name, _): &Observable, is_history| Observed { name, is_history };
    let columns = of_kind(kind, None);
    let columns = columns.iter().map(|o| observed(o, true));
    let figures = figures(kind).iter().map(|o| observed(o, false));
    Some(columns.chain(figures).collect())
}

/// The words of all kinds.
pub fn kinds() -> impl Iterator<Item = &'static str> {
    Kind::ALL.into_iter().map(Kind::word)
}

fn kind_of(word: &str) -> Option<Kind> {
    Kind::ALL.into_iter().find(|k| k.word() == word)
}

/// Keys of the tables that stand once in a file.
fn keys_of_table(word: &str) -> Option<Vec<KeyHelp>> {
    let (mut context, empty) = (Context::default(), Table::default());
    let mut table = reader(&mut context, word, &empty);
    match word {
        "ambient" => drop(Ambient::read(&mut table)),
        "model" => drop(Model::read(&mut table)),
        "display" => drop(read_display(&mut table, 0.0)),
        "run" => drop(Run::read(&mut table, 1)),
        "perfect_gas" => drop(Gases::read_one(&mut table)),
        _ => return None,
    }
    Some(help(word, table.keys(), &context))
}

/// A table with one text.
fn saying(key: &str, text: &str) -> Table {
    let nowhere = Span::file(0..0);
    let text = Text {
        text: text.to_owned(),
        begins: None,
    };
    Table {
        entries: vec![Entry {
            key: key.to_owned(),
            key_span: nowhere.clone(),
            node: Node {
                span: nowhere,
                value: Value::Text(text),
            },
        }],
    }
}

/// The keys that are asked for while a table is read.
fn keys(kind: Kind, table: &Table) -> Vec<KeyHelp> {
    let word = kind.word();
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
    let mut table = reader(&mut context, word, table);
    if !kind.is_volume() {
        ends::read(&mut table);
    }
    // Such a table is no component; what is asked for is all that is wanted.
    let _ = read_body(kind, &mut table, &around);
    let keys = table.keys();
    help(word, keys, &context)
}

/// Keys with what stands for those that are left out.
fn help(
    word: &str,
    keys: Vec<(&'static str, Option<Holds>, Vec<&'static str>)>,
    context: &Context,
) -> Vec<KeyHelp> {
    let help = |(name, holds, one_of): (&'static str, Option<Holds>, Vec<&'static str>)| {
        let path = format!("{word}.{name}");
        let assumed = context.assumptions.iter().find(|a| a.path == path);
        let otherwise = match (assumed, &holds) {
            (Some(assumption), Some(Holds::Scaled(_))) => assumption.reason.clone(),
            (Some(assumption), _) => assumption.value.clone(),
            (None, _) => match one_of[..] {
                [] if name == "to" => "the part whose from names this one".to_owned(),
                [] => String::new(),
                [_] => "must be there".to_owned(),
                _ => {
                    let others = one_of.iter().filter(|&&other| other != name);
                    let others: Vec<&str> = others.copied().collect();
                    format!("must be there, or else {}", others.join(" or "))
                }
            },
        };
        let choices = match &holds {
            Some(Holds::Words(words)) => words.clone(),
            _ => Vec::new(),
        };
        KeyHelp {
            name,
            meaning: meaning(word, name).unwrap_or_default(),
            choices,
            holds: holds.map_or(String::new(), in_words),
            otherwise,
            is_cryogenic: false,
        }
    };
    keys.into_iter().map(help).collect()
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
        Holds::Words(words) => any_of(&words),
        Holds::Unit(dimension) => format!("a unit: {}, ...", any_of(dimension.usual_units())),
        Holds::Written(written) => written.to_owned(),
    }
}

fn any_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|w| format!("\"{w}\"")).collect();
    quoted.join(" or ")
}

#[cfg(test)]
mod tests {
    use super::{Cryogen, TABLES, keys_of, kinds};
    use std::collections::BTreeSet;

    #[test]
    fn every_key_of_every_kind_and_table_says_what_it_holds() {
        for word in kinds().chain(TABLES).chain(["perfect_gas"]) {
            let keys = keys_of(word).expect("it has keys");
            assert!(!keys.is_empty());
            for key in keys {
                let name = format!("{word}.{}", key.name);
                assert!(!key.holds.is_empty(), "{name} is blank");
            }
        }
    }

    #[test]
    fn every_key_is_said_what_it_is() {
        let tables = TABLES
            .into_iter()
            .chain(super::kinds())
            .chain(["perfect_gas"]);
        for table in tables {
            for key in keys_of(table).expect("a table has keys") {
                assert_ne!(key.meaning, "", "{table}.{}", key.name);
            }
        }
    }

    #[test]
    fn a_tank_has_the_keys_of_a_cryogen_beside_those_of_a_plain_liquid() {
        let keys = keys_of("tank").expect("a kind has keys");
        for (name, is_cryogenic) in [
            ("fill", false),
            ("heat_leak", true),
            ("insulation", true),
            ("inlet_bore", true),
            ("henry_constant", true),
            ("saturated_at", true),
        ] {
            let key = keys.iter().find(|k| k.name == name);
            assert_eq!(key.map(|k| k.is_cryogenic), Some(is_cryogenic), "{name}");
        }
        let cryogenic = keys.iter().filter(|k| k.is_cryogenic).map(|k| k.name);
        let listed = BTreeSet::from(Cryogen::KEYS);
        assert_eq!(cryogenic.collect::<BTreeSet<_>>(), listed);
    }
}
