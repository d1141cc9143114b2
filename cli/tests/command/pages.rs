//! The report and the card: self-contained, always the same bytes, and their figures are those of
//! the summary.

use crate::bench::{folder, pressfed};
use shared::quantity::{Dimension, Quantity};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

/// Nothing is fetched: no script, style sheet, picture or frame from elsewhere.
fn assert_self_contained(page: &str) {
    for word in [
        " src=",
        "@import",
        "url(http",
        "url(\"",
        "<iframe",
        "<object",
        "fetch(",
        "import(",
        "XMLHttpRequest",
    ] {
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
    }
    assert!(report.contains("<svg") && report.contains("Schematic of "));
    assert_bounds(&report, &summary);
    assert_reads_the_history(&report, &read(&folder, "out/history.csv"));
}

/// What a reader of a page sees: neither its scripts and styles nor its marks.
fn visible(page: &str) -> String {
    let without = |page: String, (from, to): (&str, &str)| {
        let mut pieces = page.split(from);
        let first = pieces.next().unwrap_or_default().to_owned();
        let rest = pieces.map(|piece| piece.split_once(to).map_or("", |p| p.1));
        // A mark parts words.
        std::iter::once(first.as_str())
            .chain(rest)
            .collect::<Vec<_>>()
            .join(" ")
    };
    let kinds = [("<script", "</script>"), ("<style", "</style>"), ("<", ">")];
    kinds.into_iter().fold(page.to_owned(), without)
}

/// No prediction and no explanation may tell anybody that something is harmless.
fn assert_never_says_safe(text: &str, whose: &str) {
    let mut words = text.split(|c: char| !c.is_alphanumeric());
    let said = words.any(|word| word.eq_ignore_ascii_case("safe"));
    assert!(!said, "{whose} says it:\n{text}");
}

#[test]
fn visible_text_is_what_stands_between_the_marks() {
    let page = "<style>a{}</style><p title=\"x\">It is <b>Safe</b>.</p><script>let safe;</script>";
    let text = visible(page);
    let words: Vec<&str> = text.split_whitespace().collect();
    assert_eq!(words, ["It", "is", "Safe", "."]);
    assert!(std::panic::catch_unwind(|| assert_never_says_safe(&text, "the page")).is_err());
    assert_never_says_safe("relief.safety, unsafe", "a name");
}

#[test]
fn nothing_is_called_safe() {
    let folder = folder("never-safe");
    // With bands, and with the cautions of a cold tank.
    for (name, draws) in [("regulated-water", "64"), ("lox-helium", "0")] {
        let mut stands = scenarios::ready_made().iter();
        let stand = stands.find(|s| s.name == name).expect("it is ready made");
        fs::write(folder.join("bench.toml"), stand.text).expect("the folder can be written");
        let told = pressfed(
            &folder,
            &["predict", "bench.toml", "--draws", draws, "-o", "out"],
        );
        assert_eq!(told.code, 0, "{}", told.stderr);
        assert_never_says_safe(&told.stdout, name);
        assert_never_says_safe(&told.stderr, name);
        let card = pressfed(&folder, &["card", "bench.toml", "--draws", draws]);
        assert_eq!(card.code, 0, "{}", card.stderr);
        for page in ["out/report.html", "bench-card.html"] {
            let text = visible(&read(&folder, page));
            assert!(
                text.contains("regulator") || text.contains("Regulator"),
                "{text}"
            );
            assert_never_says_safe(&text, page);
        }
    }
}

#[test]
fn no_explanation_calls_anything_safe() {
    let folder = folder("never-safe-explained");
    let of_codes = shared::codes::ALL.iter().map(|code| code.id);
    let of_tables = scenarios::ready_made().iter().flat_map(|stand| {
        let headings = stand.text.lines().filter_map(|l| l.strip_prefix('['));
        headings.filter_map(|h| h.trim_start_matches('[').split(['.', ']']).next())
    });
    let words: BTreeSet<&str> = of_codes.chain(of_tables).collect();
    assert_never_says_safe(&pressfed(&folder, &["explain"]).stdout, "the catalogue");
    for word in words {
        let told = pressfed(&folder, &["explain", word]);
        assert_eq!(told.code, 0, "{word}: {}", told.stderr);
        assert_never_says_safe(&told.stdout, word);
    }
}

/// Each bound has the ends of its band and in how many of the draws it holds, as the summary has.
fn assert_bounds(report: &str, summary: &serde_json::Value) {
    let row = report.split("data-bound=\"fuel.pressure\"").nth(1);
    let row = row.and_then(|r| r.split("</tr>").next());
    let row = row.expect("the stand has a limit on its tank");
    let peak = &summary["figures"]["fuel.peak_pressure_pa"];
    let numbers: Vec<&str> = row.split("<td class=\"n\">").skip(1).collect();
    for (cell, end) in numbers.iter().zip(["low", "nominal", "high"]) {
        let (number, unit) = quantity(cell);
        assert_same(number, unit, Dimension::Pressure, &peak[end], end);
    }
    assert!(row.contains("of the draws (") && row.contains("with 95 % confidence"));
}

/// The JSON in a figure, from which the script reads out the plot.
fn readout(report: &str, figure: &str) -> serde_json::Value {
    let figure = report.split(&format!("<figure id=\"{figure}\"")).nth(1);
    let data = figure.and_then(|f| f.split("<script type=\"application/json\">").nth(1));
    let data = data.and_then(|d| d.split("</script>").next());
    serde_json::from_str(data.expect("the figure has data")).expect("it is JSON")
}

/// Where on its line a pointer at an instant is, found on the unbroken pieces of x, y, x, y, ...
fn height_at(line: &serde_json::Value, x: f64) -> Option<f64> {
    let runs = line["runs"].as_array()?.iter();
    runs.filter_map(|run| {
        let numbers: Vec<f64> = run.as_array()?.iter().filter_map(|v| v.as_f64()).collect();
        let points: Vec<&[f64]> = numbers.chunks_exact(2).collect();
        let holds = |pair: &&[&[f64]]| pair[0][0] <= x && x < pair[1][0];
        let pair = points.windows(2).find(holds)?;
        let part = (x - pair[0][0]) / (pair[1][0] - pair[0][0]);
        Some(pair[0][1] + part * (pair[1][1] - pair[0][1]))
    })
    .next()
}

/// What a pointer reads off a plot is what the history has, to a fifth of a pixel: lines are thinned
/// to a fiftieth across, which counts for more where they are steep, so quiet instants are taken.
fn assert_reads_the_history(report: &str, history: &str) {
    let data = readout(report, "contents");
    let panel = &data["panels"][0];
    let number = |v: &serde_json::Value| v.as_f64().expect("a number");
    let [left, top, right, bottom] = [0, 1, 2, 3].map(|i| number(&panel["frame"][i]));
    let [x, y] = ["x", "y"].map(|axis| [0, 1].map(|i| number(&panel[axis][i])));
    let line = &panel["lines"][0];
    let mut rows = history.lines().map(|l| l.split(',').collect::<Vec<_>>());
    let header = rows.next().expect("the history has columns");
    let column = header.iter().position(|c| *c == "fuel.liquid_mass_kg");
    let column = column.expect("the tank has liquid");
    let mut seen = 0;
    for row in rows.step_by(97) {
        let [at_s, mass_kg] = [0, column].map(|i| row[i].parse::<f64>().expect("a number"));
        let at = left + (at_s - x[0]) / (x[1] - x[0]) * (right - left);
        let Some(height) = height_at(line, at) else {
            continue;
        };
        let read = y[0] + (bottom - height) / (bottom - top) * (y[1] - y[0]);
        let pixel = (y[1] - y[0]) / (bottom - top);
        assert!(
            (read - mass_kg).abs() < 0.2 * pixel,
            "{read} for {mass_kg} kg at {at_s} s"
        );
        seen += 1;
    }
    assert!(seen > 10, "{seen} instants");
}

#[test]
fn the_loss_budget_stands_in_the_report_or_the_command_that_draws_it_up() {
    let folder = folder("pages-losses");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let predict = ["predict", "bench.toml", "--no-plots", "-o", "out"];
    assert_eq!(pressfed(&folder, &predict).code, 0);
    assert!(read(&folder, "out/report.html").contains("pressfed predict STAND --why"));
    assert_eq!(
        pressfed(&folder, &[&predict[..], &["--why"]].concat()).code,
        0
    );
    let report = read(&folder, "out/report.html");
    let table = section(&report, "id=\"losses\"");
    let csv = read(&folder, "out/loss_budget.csv");
    // Without what is lost from and what is left.
    let rows = table.split("<th scope=\"row\">").skip(1);
    let mut rows = rows.filter(|row| !row.starts_with("set ") && !row.starts_with("fuel "));
    for line in csv.lines().skip(1) {
        let row = rows.next().expect("each cause has a row");
        let (cause, loss_pa) = line.rsplit_once(',').expect("the table has columns");
        let words = row.split('<').next().unwrap_or_default();
        assert!(
            cause.trim_matches('"').ends_with(words),
            "{words} for {cause}"
        );
        let value = row.split("<td class=\"n\">").nth(1);
        let (number, unit) = quantity(value.expect("a value"));
        let taken = -loss_pa.parse::<f64>().expect("a number");
        assert_same_difference(number, unit, taken, words);
    }
}

fn assert_same_difference(shown: &str, unit: &str, pa: f64, what: &str) {
    let si = serde_json::Value::from(pa);
    assert_same(shown, unit, Dimension::PressureDifference, &si, what);
}

/// Headings go down one step at a time, and each picture says what it shows.
#[test]
fn the_report_can_be_heard() {
    let folder = folder("pages-heard");
    assert_eq!(pressfed(&folder, &["new", "bench.toml"]).code, 0);
    let predict = ["predict", "bench.toml", "--draws", "40", "-o", "out"];
    assert_eq!(pressfed(&folder, &predict).code, 0);
    let report = read(&folder, "out/report.html");
    let levels = report
        .split("<h")
        .skip(1)
        .filter_map(|h| h.chars().next()?.to_digit(10));
    let levels: Vec<u32> = levels.collect();
    assert_eq!(levels.iter().filter(|&&level| level == 1).count(), 1);
    assert!(
        levels.windows(2).all(|pair| pair[1] <= pair[0] + 1),
        "{levels:?}"
    );
    for picture in report.split("<svg").skip(1) {
        let picture = picture.split("</svg>").next().unwrap_or_default();
        assert!(picture.contains("role=\"img\"") && picture.contains("<title>"));
    }
    let figures = report.matches("<script type=\"application/json\">").count();
    assert_eq!(report.matches("<desc>").count(), figures);
    for head in report
        .split("<th")
        .skip(1)
        .filter(|h| !h.starts_with("ead"))
    {
        let tag = head.split('>').next().unwrap_or_default();
        assert!(
            tag.contains("scope="),
            "a table header without scope: <th{tag}>"
        );
    }
    // A pure number says that it is one.
    assert!(report.contains("<td>ratio</td>") && !report.contains("<td></td>"));
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
    let ordered = [
        "shut press_valve<",
        "shut run<",
        "open vent<",
        "isolate and vent what stays pressed: supply, press_line<",
    ];
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

/// A limit has its threshold, what is expected and the worst of the draws; a relief what it sees; where
/// none is stated the end of the band stands, and so does the lower end while liquid flows. Gives how
/// many ends there are.
fn assert_redlines(card: &str, summary: &serde_json::Value) -> usize {
    let lines: Vec<&str> = section(card, "Redlines").split("<li>").skip(1).collect();
    let limits = summary["limits"].as_array().expect("there are limits");
    let same = |text: &str, si: &serde_json::Value| {
        let (number, unit) = quantity(text);
        assert_same(number, unit, Dimension::Pressure, si, text);
    };
    let peak = |place: &str| {
        let name = match place.strip_suffix(" inlet") {
            Some(element) => format!("{element}.peak_inlet_pressure_pa"),
            None => format!("{place}.peak_pressure_pa"),
        };
        &summary["figures"][name]["high"]
    };
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
    let mut places = 0;
    for line in &lines[limits.len()..] {
        let Some((_, edges)) = line.split_once(": ") else {
            let (_, expected) = line.split_once("; ").expect("a relief and what it sees");
            let (volume, up_to) = expected.split_once(" expected up to ").expect("a peak");
            same(up_to, peak(volume));
            continue;
        };
        for edge in edges.split(", ") {
            places += 1;
            match edge.split_once(" above ") {
                Some((volume, above)) => same(above, peak(volume)),
                None => {
                    let (tank, below) = edge.split_once(" below ").expect("an edge");
                    same(below, &least_while_it_flows(summary, tank));
                }
            }
        }
    }
    places
}

/// The lowest end of the bands of a tank's pressure 0.5 s after the command, in the middle and at
/// the end of the flow.
fn least_while_it_flows(summary: &serde_json::Value, tank: &str) -> serde_json::Value {
    let places = ["0_5_s", "middle", "end"].into_iter();
    let figure = |place| &summary["figures"][format!("{tank}.pressure_{place}_pa")];
    let low = places.filter_map(|place| figure(place)["low"].as_f64());
    low.fold(f64::INFINITY, f64::min).into()
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
    assert!(
        unlimited[0] > unlimited[1] && unlimited[1] > 0,
        "{unlimited:?}"
    );
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
