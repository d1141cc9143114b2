//! Values put in place of those of the file.

use super::{Entry, Node, Table, Value, toml};
use shared::{Diagnostic, Source, Span, codes, nearest};

/// Puts each `(path, value)` in its place; answers what does not fit.
///
/// A path is `kind.name.key` for a component, `table.key` for a table without name, and
/// `sequence.N.key` for the Nth step, counted from one.
#[must_use]
pub fn apply_overrides(root: &mut Table, overrides: &[(String, String)]) -> Vec<Diagnostic> {
    let mut diagnostics = Vec::new();
    for (index, (path, value)) in overrides.iter().enumerate() {
        let node = toml::value(value, Source::Override(index));
        let span = Span {
            source: Source::Override(index),
            bytes: 0..value.len(),
        };
        if let Err(diagnostic) = put(root, path, node, &span) {
            let known = paths(root, "");
            let meant = meant(path, &known);
            diagnostics.push(diagnostic.meant(meant).at(&span, ""));
        }
    }
    diagnostics
}

fn put(root: &mut Table, path: &str, node: Node, span: &Span) -> Result<(), Diagnostic> {
    let parts: Vec<&str> = path.split('.').map(str::trim).collect();
    let (way, key) = match parts[..] {
        ["title"] => (&parts[..0], parts[0].to_owned()),
        // Their keys are paths themselves: `limit.fuel.pressure`.
        ["requirement" | "limit", _, ..] => (&parts[..1], parts[1..].join(".")),
        [_, key] => (&parts[..1], key.to_owned()),
        [_, _, key] => (&parts[..2], key.to_owned()),
        _ => return Err(refusal(path)),
    };
    if key.is_empty() {
        return Err(refusal(path));
    }
    if let [table] = way {
        add_if_absent(root, table, span);
    }
    let place = way
        .iter()
        .try_fold(Place::Table(root), |place, part| enter(place, part, path))?;
    let Place::Table(table) = place else {
        return Err(refusal(path));
    };
    match table.get_mut(&key) {
        Some(entry) => entry.node = node,
        None => table.entries.push(Entry {
            key,
            key_span: span.clone(),
            node,
        }),
    }
    Ok(())
}

/// The paths of all values of a table.
fn paths(table: &Table, prefix: &str) -> Vec<String> {
    let of_entry = |entry: &Entry| {
        let path = format!("{prefix}{}", entry.key);
        match &entry.node.value {
            Value::Table(inner) => paths(inner, &format!("{path}.")),
            Value::List(nodes) if nodes.iter().any(|n| n.table().is_some()) => {
                let steps = nodes.iter().enumerate();
                let steps = steps.filter_map(|(i, n)| Some((i + 1, n.table()?)));
                steps
                    .flat_map(|(i, step)| paths(step, &format!("{path}.{i}.")))
                    .collect()
            }
            _ => vec![path],
        }
    };
    table.entries.iter().flat_map(of_entry).collect()
}

/// The path that a wrong one ends like, else the one that it is nearest to.
fn meant<'a>(path: &str, known: &'a [String]) -> Option<&'a str> {
    let ending = format!(".{path}");
    let mut alike = known.iter().filter(|k| k.ends_with(&ending));
    match (alike.next(), alike.next()) {
        (Some(only), None) => Some(only),
        _ => nearest(path, known.iter().map(String::as_str)),
    }
}

/// Tables that a stand may leave out, and that an override may bring in.
const OPTIONAL: [&str; 6] = ["ambient", "display", "model", "run", "requirement", "limit"];

fn add_if_absent(root: &mut Table, key: &str, span: &Span) {
    if OPTIONAL.contains(&key) && root.get(key).is_none() {
        root.entries.push(Entry {
            key: key.to_owned(),
            key_span: span.clone(),
            node: Node {
                span: span.clone(),
                value: Value::Table(Table::default()),
            },
        });
    }
}

/// Where a path has led so far.
enum Place<'a> {
    Table(&'a mut Table),
    /// A list of tables, counted from one.
    Steps(&'a mut [Node]),
}

fn enter<'a>(place: Place<'a>, part: &str, path: &str) -> Result<Place<'a>, Diagnostic> {
    let (known, found) = match place {
        Place::Table(table) => {
            let known: Vec<String> = table.entries.iter().map(|e| e.key.clone()).collect();
            (known, table.get_mut(part).map(|e| &mut e.node))
        }
        Place::Steps(nodes) => {
            let known = (1..=nodes.len()).map(|i| i.to_string()).collect();
            let index = part.parse::<usize>().ok().and_then(|i| i.checked_sub(1));
            (known, index.and_then(|i| nodes.get_mut(i)))
        }
    };
    match found.map(|node| &mut node.value) {
        Some(Value::Table(table)) => Ok(Place::Table(table)),
        Some(Value::List(nodes)) => Ok(Place::Steps(nodes)),
        _ => Err(no_such_table(part, path, &known)),
    }
}

fn no_such_table(part: &str, path: &str, known: &[String]) -> Diagnostic {
    Diagnostic::error(
        &codes::BAD_OVERRIDE,
        format!("\"{path}\": the file has no table \"{part}\" there"),
    )
    .remedy(format!("there is {}", listed(known)))
}

fn listed(known: &[String]) -> String {
    if known.is_empty() {
        "nothing".to_owned()
    } else {
        known.join(", ")
    }
}

fn refusal(path: &str) -> Diagnostic {
    Diagnostic::error(
        &codes::BAD_OVERRIDE,
        format!("\"{path}\" names no value of a stand file"),
    )
    .remedy("name kind, component and key, as in bottle.supply.volume, or table and key, as in run.until")
}
