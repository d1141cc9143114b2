//! What helps editors, shells and readers of manuals.

use crate::bench::{folder, pressfed};
use serde_json::Value;

/// The keys of a table, as `[kind.name]` or `[table]` heads it, that a schema does not know.
fn unknown_keys(schema: &Value, text: &str) -> Vec<String> {
    let mut known = &Value::Null;
    let mut unknown = Vec::new();
    for line in text.lines() {
        if let Some(heading) = line.strip_prefix('[') {
            let path = heading.trim_start_matches('[');
            let path = path.split(']').next().unwrap_or_default();
            known = &schema["properties"][path.split('.').next().unwrap_or_default()];
            if path.contains('.') {
                known = &known["additionalProperties"];
            } else if heading.starts_with('[') {
                known = &known["items"];
            }
            assert!(known.is_object(), "{path}");
        } else if let Some((key, _)) = line.split_once(" = ")
            && !line.starts_with(['#', '"', ' '])
            && known.is_object()
            && known["properties"][key].is_null()
        {
            unknown.push(key.to_owned());
        }
    }
    unknown
}

#[test]
fn the_schema_knows_every_key_of_the_ready_made_stands_and_no_other() {
    let told = pressfed(&folder("schema"), &["schema"]);
    let schema: Value = serde_json::from_str(&told.stdout).expect("it is JSON");
    for stand in scenarios::ready_made() {
        assert_eq!(unknown_keys(&schema, stand.text), [""; 0], "{}", stand.name);
        let typo = stand.text.replace("stroke_time", "stroke_tme");
        assert!(unknown_keys(&schema, &typo).contains(&"stroke_tme".to_owned()));
    }
    let words = &schema["properties"]["tank"]["additionalProperties"]["properties"]["inlet"];
    assert_eq!(words["anyOf"][0]["enum"][0], "diffuser");
}

#[test]
fn every_shell_has_its_completions() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let told = pressfed(&folder("completions"), &["completions", shell]);
        assert_eq!(told.code, 0);
        assert!(told.stdout.contains("sensitivity"), "{shell}");
    }
}

#[test]
fn every_command_has_a_manual_page() {
    let folder = folder("manual");
    assert_eq!(pressfed(&folder, &["manual"]).code, 0);
    let page = |name: &str| std::fs::read_to_string(folder.join("man1").join(name));
    let page = page("pressfed-predict.1").expect("it is written");
    assert!(
        page.contains("Example") && page.contains("\\-\\-draws"),
        "{page}"
    );
}
