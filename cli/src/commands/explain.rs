//! `pressfed explain`: the catalogue of messages, one entry of it, or a table of the stand file.

use super::{Failure, Success};
use crate::args::ExplainArgs;
use crate::terminal::screen::{self, Screen};
use crate::terminal::table::aligned;
use scenarios::{KeyHelp, Observed, Part, keys_of, observed_of, parts};
use shared::{Code, codes, nearest};

/// A table that stands once for each name and is no component.
const NAMED_TABLE: &str = "perfect_gas";

/// Prints what an id means, what a table of the stand file may hold, or all ids with their titles.
///
/// # Errors
/// If there is no such id.
pub fn run(args: &ExplainArgs) -> Result<Success, Failure> {
    let screen = Screen::stdout();
    let Some(id) = args.id.as_deref().map(str::trim) else {
        screen::print(&catalogue(screen));
        return Ok(Success::Done);
    };
    if let Some(part) = parts().iter().find(|part| part.name == id) {
        screen::print(&piece(part, screen));
        return Ok(Success::Done);
    }
    let text = match (keys_of(id), written(id)) {
        (Some(keys), _) => table_of(id, keys, screen),
        (None, Some(text)) => {
            let text = aligned(vec![vec![text.to_owned()]], &[]);
            format!("{}\n{text}", screen.heading(&format!("[{id}]")))
        }
        (None, None) => {
            let code = codes::find(id).ok_or_else(|| unknown(id))?;
            let heading = screen.heading(&format!("{}: {}", code.id, code.title));
            format!("{heading}\n\n{}\n", code.explanation)
        }
    };
    screen::print(&text);
    Ok(Success::Done)
}

/// A piece of a stand file, to be copied as it stands.
fn piece(part: &Part, screen: Screen) -> String {
    let heading = screen.heading(&format!("{}: {}", part.name, part.description));
    format!("{heading}\n\n{}", part.text)
}

/// The keys of a table of the stand file, and what is observed of a component.
fn table_of(word: &str, keys: Vec<KeyHelp>, screen: Screen) -> String {
    let observed = observed_of(word);
    let named = observed.is_some();
    let (cryogenic, plain): (Vec<_>, Vec<_>) = keys.into_iter().partition(|k| k.is_cryogenic);
    let table = if named || word == NAMED_TABLE {
        format!("[{word}.NAME]")
    } else {
        format!("[{word}]")
    };
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
    let rows = lines.map(|(when, names)| vec![when.to_owned(), names]);
    format!("{heading}\n{}", aligned(rows.collect(), &[]))
}

/// Tables that hold no keys of their own.
fn written(word: &str) -> Option<&'static str> {
    Some(match word {
        "requirement" => {
            "What the stand should do, one line each: \"run.mean_flow\" = \">= 1.05 kg/s\". A figure of \
             the run is held against its value. A quantity of the history is held against every \
             instant while liquid flows: from the command to the end of the flow; what is to stay \
             above a value in a liquid line, from twice the time to 90 % of steady flow. One that \
             is not met is printed. explain tank (or another kind) lists the names."
        }
        "limit" => {
            "What must never be passed, one line each: \"fuel.pressure\" = \"<= 40 bar(g)\". It holds in \
             the whole run, at every step of it. A broken one makes the run a failure (exit code \
             1). explain tank (or another kind) lists the names."
        }
        "sequence" => {
            "What is done when, one [[sequence]] each: at = \"5 s\", or when = \"fuel.liquid_mass < 0.5 \
             kg\" (once), or whenever = \"...\" (each time); with open = \"run\" or close = \"run\". \
             explain tank (or another kind) lists the names."
        }
        _ => return None,
    })
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

fn unknown(id: &str) -> Failure {
    let meant = nearest(id, codes::ALL.iter().map(|c| c.id));
    let meant = meant.map_or(String::new(), |id| format!(" Did you mean {id}?"));
    Failure::input(format!(
        "no message has the id \"{id}\".{meant} pressfed explain lists all of them; an id is the last \
         word of an error, as in quantity-5, and the first of a warning"
    ))
}
