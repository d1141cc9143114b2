//! The report and the card: self-contained, always the same bytes, and their figures are those of
//! the summary.

use crate::bench::{folder, pressfed};
use std::fs;
use std::path::Path;

/// Nothing is fetched: no script, style sheet, picture or frame from elsewhere.
fn assert_self_contained(page: &str) {
    for word in [" src=", "@import", "url(", "<script", "<iframe", "<object"] {
        assert!(!page.contains(word), "the page has {word}");
    }
    for link in page.split("href=\"").skip(1) {
        let inner = link.starts_with('#') || link.starts_with("data:,");
        assert!(inner, "a link leads out: {}", &link[..link.len().min(40)]);
    }
}

/// The cells of the row of a figure.
fn cells(page: &str, figure: &str) -> Vec<String> {
    let mark = format!("data-figure=\"{figure}\"");
    let row = page.split(&mark).nth(1).expect("the figure has a row");
    let row = row.split("</tr>").next().unwrap_or_default();
    let cells = row.split("<td").skip(1);
    let text = |cell: &str| {
        let inner = cell.split_once('>').map_or("", |c| c.1);
        inner.split('<').next().unwrap_or_default().to_owned()
    };
    cells.map(text).collect()
}

/// A page shows four digits of a mass flow in kg/s, the unit of the summary: half of the last one
/// of 1.xxx is 5e-4.
fn assert_shows(page: &str, summary: &serde_json::Value) {
    let shown = cells(page, "run.mean_flow_kg_s");
    let figure = &summary["figures"]["run.mean_flow_kg_s"];
    assert_eq!(shown[3], "kg/s");
    for (cell, end) in shown.iter().zip(["low", "nominal", "high"]) {
        let cell: f64 = cell.parse().expect("a number is shown");
        let value = figure[end].as_f64().expect("the summary has a band");
        assert!((cell - value).abs() <= 5.1e-4, "{end}: {cell} for {value}");
    }
}

fn read(folder: &Path, name: &str) -> String {
    fs::read_to_string(folder.join(name)).expect("the page was written")
}

#[test]
fn report_and_card_hold_the_figures_of_the_summary_and_nothing_from_outside() {
    let folder = folder("pages");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let predict = ["predict", "bench.toml", "--draws", "64", "-o", "out"];
    assert_eq!(pressfed(&folder, &predict).code, 0);
    let summary = read(&folder, "out/summary.json");
    let summary: serde_json::Value = serde_json::from_str(&summary).expect("it is JSON");
    let report = read(&folder, "out/report.html");
    let card_args = ["card", "bench.toml", "--draws", "64"];
    assert_eq!(pressfed(&folder, &card_args).code, 0);
    let card = read(&folder, "bench-card.html");
    assert_eq!(pressfed(&folder, &card_args).code, 0);
    assert_eq!(card, read(&folder, "bench-card.html"));
    for page in [&report, &card] {
        assert_self_contained(page);
        assert_shows(page, &summary);
        let hash = summary["input_hash"].as_str().expect("there is a hash");
        assert!(page.contains(hash));
        assert!(!page.to_lowercase().contains(">safe"));
    }
    assert!(report.contains("<svg") && report.contains("Schematic of "));
}

/// The section of a card under a heading.
fn section<'a>(card: &'a str, heading: &str) -> &'a str {
    let after = card
        .split(heading)
        .nth(1)
        .expect("the card has the heading");
    after.split("<h2>").next().unwrap_or_default()
}

fn card_of(folder: &Path, stand: &str, draws: &str) -> String {
    let args = ["card", stand, "--draws", draws, "-o", "card.html"];
    let ended = pressfed(folder, &args);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    read(folder, "card.html")
}

/// The path of a ready-made stand.
fn ready_made(name: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../scenarios/stands");
    root.join(name).with_extension("toml").display().to_string()
}

const ABORT: &str = "Abort, in this order (proposed; your procedure decides)";

/// Gas first, so that nothing pushes; then the liquid; then what is left is let out. Common
/// practice, no source.
#[test]
fn the_abort_of_a_stand_with_all_valves_shuts_gas_then_liquid_and_vents_last() {
    let folder = folder("card-abort");
    let card = card_of(&folder, &ready_made("lox-helium"), "0");
    let steps: Vec<&str> = section(&card, ABORT).split("<li>").skip(1).collect();
    let ordered = ["shut press_valve<", "shut run<", "open vent<"];
    assert_eq!(steps.len(), ordered.len());
    for (step, words) in steps.iter().zip(ordered) {
        assert!(step.starts_with(words), "{step} for {words}");
    }
    let go = section(&card, "Go / no-go");
    assert!(go.contains("works on command: vent<"));
}

/// Nothing is asked of what a stand does not have, and what it has stands among the redlines.
#[test]
fn checks_and_redlines_are_of_what_the_stand_has() {
    let folder = folder("card-redlines");
    let card = card_of(&folder, &ready_made("blowdown-water"), "0");
    let go = section(&card, "Go / no-go");
    assert!(!go.contains("works on command") && !go.contains("locked up"));

    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let stand = read(&folder, "bench.toml");
    let relief = "\n[relief.top]\nfrom = \"fuel.gas\"\nto = \"ambient\"\nset_pressure = \"36 bar(g)\"\n\
                  overpressure = \"10 %\"\nreseat = \"90 %\"\neffective_area = \"40 mm2\"\n";
    fs::write(folder.join("guarded.toml"), stand + relief).expect("the folder takes files");
    let card = card_of(&folder, "guarded.toml", "64");
    let redlines = section(&card, "Redlines");
    assert!(
        redlines.contains("top relief set 36.00 bar(g)"),
        "{redlines}"
    );
    assert!(section(&card, "Go / no-go").contains("in date, outlet clear: top<"));
}
