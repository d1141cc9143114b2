//! `pressfed explain`: the catalogue of messages, one entry of it, or a table of the stand file. What is asked for by
//! another word is looked up among those of the trade, then in titles and keys.

use super::{Failure, Success};
use crate::args::ExplainArgs;
use crate::terminal::screen::{self, Screen};
use crate::terminal::table::aligned;
use crate::trade;
use scenarios::{KeyHelp, Observed, Part, TABLES, keys_of, kinds, observed_of, parts};
use shared::{Code, codes, nearest};

/// A table that stands once for each name and is no component.
const NAMED_TABLE: &str = "perfect_gas";

/// Tables that hold no keys of their own.
const WRITTEN: [(&str, &str); 3] = [
    (
        "requirement",
        "What the stand should do, one line each: \"run.mean_flow\" = \">= 1.05 kg/s\". A figure of \
         the run is held against its value. A quantity of the history is held against every \
         instant while liquid flows: from the command to the end of the flow; what is to stay \
         above a value in a liquid line, from twice the time to 90 % of steady flow. One that \
         is not met is printed. explain tank (or another kind) lists the names.",
    ),
    (
        "limit",
        "What must never be passed, one line each: \"fuel.pressure\" = \"<= 40 bar(g)\". It holds in \
         the whole run, at every step of it. A broken one makes the run a failure (exit code \
         1). explain tank (or another kind) lists the names.",
    ),
    (
        "sequence",
        "What is done when, one [[sequence]] each: at = \"5 s\", or when = \"fuel.liquid_mass < 0.5 \
         kg\" (once), or whenever = \"...\" (each time); with open = \"run\" or close = \"run\". \
         explain tank (or another kind) lists the names.",
    ),
];

/// Prints what an id means, what a table of the stand file may hold, or all ids with their titles.
///
/// # Errors
/// If nothing tells of what was asked for.
pub fn run(args: &ExplainArgs) -> Result<Success, Failure> {
    let screen = Screen::stdout();
    let asked = args.words.join(" ");
    let asked = asked.trim();
    if asked.is_empty() {
        screen::print(&catalogue(screen));
        return Ok(Success::Done);
    }
    let spelled = asked.to_lowercase().replace([' ', '-'], "_");
    let text = [asked, &spelled]
        .into_iter()
        .find_map(|name| entry(name, screen));
    let text = match text {
        Some(text) => text,
        None => looked_up(asked, screen).ok_or_else(|| unknown(asked))?,
    };
    screen::print(&text);
    Ok(Success::Done)
}

/// What an entry tells, by its name.
fn entry(name: &str, screen: Screen) -> Option<String> {
    if let Some(part) = parts().iter().find(|part| part.name == name) {
        return Some(piece(part, screen));
    }
    if let Some(keys) = keys_of(name) {
        return Some(table_of(name, keys, screen));
    }
    if let Some((_, text)) = WRITTEN.iter().find(|(table, _)| *table == name) {
        let text = aligned(vec![vec![(*text).to_owned()]], &[]);
        return Some(format!("{}\n{text}", screen.heading(&format!("[{name}]"))));
    }
    let code = codes::find(name)?;
    let heading = screen.heading(&format!("{}: {}", code.id, code.title));
    Some(format!("{heading}\n\n{}\n", code.explanation))
}

/// What tells of a word that is no entry's name: the one entry, or a list of them.
fn looked_up(asked: &str, screen: Screen) -> Option<String> {
    let of_name = |name: &&str| entries().find(|e| e.name == *name);
    let found: Vec<Entry> = match trade::meant(asked) {
        Some(names) => names.iter().filter_map(of_name).collect(),
        None => mentioned(asked),
    };
    if let [only] = &found[..] {
        return entry(only.name, screen);
    }
    let rows: Vec<Vec<String>> = found.into_iter().map(Entry::row).collect();
    let heading = screen.heading(&format!(
        "{asked}: pressfed explain NAME tells more of each"
    ));
    (!rows.is_empty()).then(|| format!("{heading}\n{}", aligned(rows, &[])))
}

/// The name of an entry and what it is about.
struct Entry {
    name: &'static str,
    about: String,
}

impl Entry {
    fn row(self) -> Vec<String> {
        vec![self.name.to_owned(), self.about]
    }
}

/// All entries: tables, messages, pieces.
fn entries() -> impl Iterator<Item = Entry> {
    let table = |name| Entry {
        name,
        about: format!("{}: its keys", heading_of(name)),
    };
    let codes = codes::ALL.iter().map(|c| Entry {
        name: c.id,
        about: c.title.to_owned(),
    });
    let pieces = parts().iter().map(|part| Entry {
        name: part.name,
        about: part.description.to_owned(),
    });
    let written = WRITTEN.iter().map(|(name, text)| Entry {
        name,
        about: text.split([',', ':']).next().unwrap_or_default().to_owned(),
    });
    let tables = tables().map(table).chain(written);
    tables.chain(codes).chain(pieces)
}

/// Tables of the stand file.
fn tables() -> impl Iterator<Item = &'static str> {
    kinds().chain(TABLES).chain([NAMED_TABLE])
}

/// Entries in whose title or keys each word stands, or one that begins with it.
fn mentioned(asked: &str) -> Vec<Entry> {
    let asked: Vec<String> = words(asked).collect();
    let holds = |text: &str| {
        let held: Vec<String> = words(text).collect();
        let stands = |word: &String| held.iter().any(|h| h.starts_with(word));
        !asked.is_empty() && asked.iter().all(stands)
    };
    let with_keys = tables().filter_map(|name| {
        let keys = keys_of(name).unwrap_or_default().into_iter();
        let keys = keys.filter(|k| holds(k.name) || holds(k.meaning));
        let keys: Vec<&str> = keys.map(|k| k.name).collect();
        let about = format!("{}: {}", heading_of(name), keys.join(", "));
        (!keys.is_empty()).then_some(Entry { name, about })
    });
    let others = entries().filter(|e| keys_of(e.name).is_none() && holds(&e.about));
    with_keys.chain(others).collect()
}

/// Words of a text in small letters.
fn words(text: &str) -> impl Iterator<Item = String> {
    let parts = text.split(|c: char| !c.is_alphanumeric());
    parts.filter(|w| !w.is_empty()).map(str::to_lowercase)
}

/// How the heading of a table is written.
fn heading_of(table: &str) -> String {
    match observed_of(table).is_some() || table == NAMED_TABLE {
        true => format!("[{table}.NAME]"),
        false => format!("[{table}]"),
    }
}

/// A piece of a stand file, to be copied as it stands.
fn piece(part: &Part, screen: Screen) -> String {
    let heading = screen.heading(&format!("{}: {}", part.name, part.description));
    format!("{heading}\n\n{}", part.text)
}

/// The keys of a table of the stand file, and what is observed of a component.
fn table_of(word: &str, keys: Vec<KeyHelp>, screen: Screen) -> String {
    let observed = observed_of(word);
    let (cryogenic, plain): (Vec<_>, Vec<_>) = keys.into_iter().partition(|k| k.is_cryogenic);
    let table = heading_of(word);
    let colder = format!("{table} whose liquid boils below room temperature has also");
    let tables = [(table, plain), (colder, cryogenic)];
    let tables = tables.into_iter().filter(|(_, keys)| !keys.is_empty());
    let tables = tables.map(|(heading, keys)| {
        let mut rows = vec![
            ["key", "what it is", "holds", "if left out"]
                .map(str::to_owned)
                .to_vec(),
        ];
        let row = |k: KeyHelp| {
            vec![
                k.name.to_owned(),
                k.meaning.to_owned(),
                k.holds,
                k.otherwise,
            ]
        };
        rows.extend(keys.into_iter().map(row));
        format!("{}\n{}", screen.heading(&heading), aligned(rows, &[]))
    });
    let watched = observed.map(|observed| watched(&observed, screen));
    tables.chain(watched).collect::<Vec<String>>().join("\n")
}

/// Which column the pressures are of while a valve stops the liquid.
const STOPPED: &str = "inlet_pressure and outlet_pressure, in history.csv too, are those of a rigid column; the highest ones, \
                       by which limits are judged, are those of an elastic one where a valve shuts fast";

/// The names that a condition, a requirement or a limit can use.
fn watched(observed: &[Observed], screen: Screen) -> String {
    let names = |is_history| {
        let those = observed.iter().filter(|o| o.is_history == is_history);
        let mut names: Vec<&str> = those.map(|o| o.name).collect();
        // A flow is told as a mass and as a standard volume.
        names.dedup();
        names.join(", ")
    };
    let heading = screen.heading(
        "Behind NAME and a point, a requirement or a limit can name (a condition the first of these)",
    );
    let lines = [
        ("at all times", names(true)),
        ("of the whole run", names(false)),
    ];
    let lines = lines.into_iter().filter(|(_, names)| !names.is_empty());
    let flows = observed.iter().any(|o| o.name == "inlet_pressure");
    let lines = lines.chain(flows.then(|| ("in liquid", STOPPED.to_owned())));
    let rows = lines.map(|(when, names)| vec![when.to_owned(), names]);
    format!("{heading}\n{}", aligned(rows.collect(), &[]))
}

/// The titles under their topics.
fn catalogue(screen: Screen) -> String {
    let topics = codes::ALL.chunk_by(|a, b| a.topic() == b.topic());
    let section = |of_topic: &[&Code]| {
        let rows = of_topic
            .iter()
            .map(|c| vec![c.id.to_owned(), c.title.to_owned()]);
        let heading = screen.heading(of_topic.first().map_or("", |c| c.topic()));
        format!("{heading}\n{}", aligned(rows.collect(), &[]))
    };
    let pieces = parts().iter();
    let rows = pieces.map(|part| vec![part.name.to_owned(), part.description.to_owned()]);
    let heading = screen.heading("pieces of a stand file");
    let pieces = format!("{heading}\n{}", aligned(rows.collect(), &[]));
    let sections = topics.map(section).chain([pieces]);
    sections.collect::<Vec<String>>().join("\n")
}

fn unknown(asked: &str) -> Failure {
    let trade = trade::WORDS.iter().map(|(word, _)| *word);
    let meant = nearest(asked, entries().map(|e| e.name).chain(trade));
    let meant = meant.map_or(String::new(), |name| format!(" Did you mean {name}?"));
    Failure::input(format!(
        "nothing here tells of \"{asked}\".{meant} pressfed explain lists all messages and pieces; the id of a message \
         is the last word of an error, as in quantity-5, and the first of a warning"
    ))
}
