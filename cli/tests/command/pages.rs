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
