//! The report and the card: self-contained, always the same bytes, and their figures are those of
//! the summary.

use crate::bench::{folder, pressfed};
use shared::quantity::{Dimension, Quantity};
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

/// Ambient pressure of the ready-made stands that are compared, Pa.
const AMBIENT_PA: f64 = 101_300.0;

/// A shown number read as a stand file would read it, in SI, and half of its last digit: how far it
/// may lie from what it was rounded from.
fn read_back(number: &str, unit: &str, dimension: Dimension) -> (f64, f64) {
    let accepted = match dimension {
        Dimension::Pressure => vec![Dimension::Pressure, Dimension::PressureDifference],
        other => vec![other],
    };
    let text = format!("{number} {unit}");
    let quantity = Quantity::parse(&text, &accepted).expect("what is shown can be read");
    let decimals = number.split_once('.').map_or(0, |(_, d)| d.len());
    let half = 0.5 * 0.1_f64.powi(i32::try_from(decimals).expect("few digits"));
    // A part in 1e6 more, for a value that lies half way.
    (
        quantity.absolute(AMBIENT_PA),
        half * quantity.unit.factor * (1.0 + 1e-6),
    )
}

fn assert_same(shown: &str, unit: &str, dimension: Dimension, si: &serde_json::Value, what: &str) {
    let (value, half) = read_back(shown, unit, dimension);
    let si = si.as_f64().expect("the summary has a number");
    assert!(
        (value - si).abs() <= half,
        "{what}: {shown} {unit} for {si}"
    );
}

/// A number and its unit at the start of a text, up to what ends them.
fn quantity(text: &str) -> (&str, &str) {
    let end = text.find([',', ';', '<']).unwrap_or(text.len());
    let (number, unit) = text[..end].split_once(' ').expect("a number and a unit");
    (number, unit.split(' ').next().unwrap_or_default())
}

fn figure_rows(card: &str) -> Vec<&str> {
    let rows = card.split("data-figure=\"").skip(1);
    rows.filter_map(|row| row.split('"').next()).collect()
}

fn card_and_summary(name: &str) -> (String, serde_json::Value) {
    let folder = folder(&format!("card-{name}"));
    let stand = ready_made(name);
    let args = ["card", &stand, "--draws", "40", "--json", "-o", "card.html"];
    let ended = pressfed(&folder, &args);
    assert_eq!(ended.code, 0, "{}", ended.stderr);
    let summary = serde_json::from_str(&ended.stdout).expect("it is JSON");
    (read(&folder, "card.html"), summary)
}

/// What is held beside the test is what was computed: each low, nominal and high, in its unit.
fn assert_figures(card: &str, summary: &serde_json::Value) {
    let names = figure_rows(card);
    assert!(names.len() > 10, "{names:?}");
    for name in names {
        let (_, dimension) = scenarios::spelled(name).expect("a figure has a unit");
        let shown = cells(card, name);
        for (cell, end) in shown.iter().zip(["low", "nominal", "high"]) {
            let si = &summary["figures"][name][end];
            assert_same(cell, &shown[3], dimension, si, name);
        }
    }
}

/// A limit has its threshold, what is expected and the worst of the draws; where none is stated the
/// end of the band stands. Gives how many of the latter there are.
fn assert_redlines(card: &str, summary: &serde_json::Value) -> usize {
    let lines: Vec<&str> = section(card, "Redlines").split("<li>").skip(1).collect();
    let limits = summary["limits"].as_array().expect("there are limits");
    let same = |text: &str, si: &serde_json::Value| {
        let (number, unit) = quantity(text);
        assert_same(number, unit, Dimension::Pressure, si, text);
    };
    let peak = |volume: &str| &summary["figures"][format!("{volume}.peak_pressure_pa")]["high"];
    for (line, limit) in lines.iter().zip(limits) {
        let behind = |words: &str| line.split(words).nth(1).expect("the words are there");
        same(behind("= "), &limit["threshold"]);
        same(behind("expected "), &limit["observed"]);
        // Of the lowest pressure there is no figure; its band is that of the history.
        if limit["relation"] == "<=" {
            let (volume, _) = line.split_once('.').expect("a path");
            same(behind(", high "), peak(volume));
        }
    }
    let unlimited = &lines[limits.len()..];
    for line in unlimited {
        let (volume, above) = line.split_once(" above ").expect("no limit is stated");
        same(above, peak(volume));
    }
    unlimited.len()
}

#[test]
fn figures_and_redlines_of_a_card_are_those_of_the_summary() {
    let unlimited = ["two-sides-water", "regulated-water"].map(|stand| {
        let (card, summary) = card_and_summary(stand);
        let limits = summary["limits"].as_array().expect("there are limits");
        assert!(!limits.is_empty(), "{stand}");
        assert_figures(&card, &summary);
        assert_redlines(&card, &summary)
    });
    assert!(unlimited[0] > 0);
}

/// The key of the expected figure has the unit of its name, which is 1 for a pure number.
#[test]
fn the_card_of_a_cryogenic_stand_expects_a_collapse_factor() {
    let folder = folder("card-collapse");
    let card = card_of(&folder, &ready_made("lox-nitrogen"), "0");
    assert!(!cells(&card, "lox.collapse_factor_1")[1].is_empty());
}

/// Nothing on the card is set smaller than 7.5 pt, what a reader at a bench can make out: common
/// practice, no source.
#[test]
fn nothing_on_the_card_is_too_small_to_read() {
    let folder = folder("card-size");
    let card = card_of(&folder, &ready_made("blowdown-water"), "0");
    let (_, style) = card
        .split_once("@page")
        .expect("the card has a style of its own");
    let style = style.split("</style>").next().unwrap_or_default();
    let number = |before: &str| {
        let digits = before.rsplit(|c: char| !(c.is_ascii_digit() || c == '.'));
        digits.into_iter().next()?.parse::<f64>().ok()
    };
    let sizes: Vec<f64> = style.split("pt").filter_map(number).collect();
    assert!(sizes.len() >= 4, "{sizes:?}");
    for size in sizes {
        assert!(size >= 7.5, "{size} pt");
    }
}
