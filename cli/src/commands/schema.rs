//! `pressfed schema`: the stand file as a JSON schema (draft 2020-12, json-schema.org). Keys and
//! words come from the readers of the tables, so that the schema is what the program reads.

use super::Success;
use crate::terminal::screen;
use scenarios::{KeyHelp, TABLES, keys_of, kinds};
use serde_json::{Map, Value, json};

/// Prints the schema.
#[must_use]
pub fn run() -> Success {
    screen::print(&format!("{:#}\n", schema()));
    Success::Done
}

fn schema() -> Value {
    let mut tables = Map::new();
    tables.insert("title".to_owned(), json!({"type": "string"}));
    for word in TABLES {
        tables.insert(word.to_owned(), table(word));
    }
    for kind in kinds() {
        let named = json!({"type": "object", "additionalProperties": table(kind)});
        tables.insert(kind.to_owned(), named);
    }
    for (word, value) in [
        (
            "perfect_gas",
            json!({"type": "object", "additionalProperties": table("perfect_gas")}),
        ),
        ("sequence", json!({"type": "array", "items": step()})),
        ("requirement", bounds()),
        ("limit", bounds()),
    ] {
        tables.insert(word.to_owned(), value);
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Stand file of pressfed",
        "type": "object",
        "properties": tables,
        "additionalProperties": false,
    })
}

fn table(word: &str) -> Value {
    let keys = keys_of(word).unwrap_or_default();
    let properties = keys.into_iter().map(|k| (k.name.to_owned(), key(&k)));
    json!({
        "type": "object",
        "properties": properties.collect::<Map<String, Value>>(),
        "additionalProperties": false,
    })
}

fn key(key: &KeyHelp) -> Value {
    let otherwise = match key.otherwise.as_str() {
        "" => String::new(),
        otherwise => format!("; if left out: {otherwise}"),
    };
    let description = format!("{}: {}{otherwise}", key.meaning, key.holds);
    let mut schema = json!({"type": ["string", "number", "boolean", "array"]});
    if !key.choices.is_empty() {
        // The words come up in an editor; what else may stand is left to the program.
        schema = json!({"anyOf": [{"enum": key.choices}, schema]});
    }
    schema["description"] = json!(description);
    schema
}

fn step() -> Value {
    let text = json!({"type": "string"});
    let valves = json!({"type": ["string", "array"], "items": text});
    json!({
        "type": "object",
        "properties": {
            "at": text, "when": text, "whenever": text, "open": valves, "close": valves,
        },
        "additionalProperties": false,
    })
}

fn bounds() -> Value {
    json!({"type": "object", "additionalProperties": {"type": ["string", "object"]}})
}
