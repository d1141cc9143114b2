//! `pressfed explain`: the catalogue of messages, or one entry of it.

use super::{Failure, Success};
use crate::args::ExplainArgs;
use crate::terminal::screen::{self, Screen};
use crate::terminal::table::aligned;
use scenarios::KeyHelp;
use shared::{Code, codes, nearest};

/// Prints what an id means, or all ids with their titles.
///
/// # Errors
/// If there is no such id.
pub fn run(args: &ExplainArgs) -> Result<Success, Failure> {
    let screen = Screen::stdout();
    match &args.id {
        None => screen::print(&catalogue(screen)),
        Some(id) if scenarios::keys_of(id.trim()).is_some() => {
            screen::print(&kind(id.trim(), screen));
        }
        Some(id) => {
            let code = codes::find(id.trim()).ok_or_else(|| unknown(id))?;
            let heading = screen.heading(&format!("{}: {}", code.id, code.title));
            screen::print(&format!("{heading}\n\n{}\n", code.explanation));
        }
    }
    Ok(Success::Done)
}

/// The keys of a kind of component.
fn kind(word: &str, screen: Screen) -> String {
    let keys = scenarios::keys_of(word).unwrap_or_default();
    let (cryogenic, plain): (Vec<_>, Vec<_>) = keys.into_iter().partition(|k| k.is_cryogenic);
    let colder = format!("[{word}.NAME] whose liquid boils below room temperature has also");
    let tables = [(format!("[{word}.NAME]"), plain), (colder, cryogenic)];
    let tables = tables.into_iter().filter(|(_, keys)| !keys.is_empty());
    let tables = tables.map(|(heading, keys)| {
        let mut rows = vec![["key", "holds", "if left out"].map(str::to_owned).to_vec()];
        let row = |k: KeyHelp| vec![k.name.to_owned(), k.holds, k.otherwise];
        rows.extend(keys.into_iter().map(row));
        format!("{}\n{}", screen.heading(&heading), aligned(rows, &[]))
    });
    tables.collect::<Vec<String>>().join("\n")
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
    topics.map(section).collect::<Vec<String>>().join("\n")
}

fn unknown(id: &str) -> Failure {
    let meant = nearest(id, codes::ALL.iter().map(|c| c.id));
    let meant = meant.map_or(String::new(), |id| format!(" Did you mean {id}?"));
    Failure::input(format!(
        "no message has the id \"{id}\".{meant} pressfed explain lists all of them; an id is the last \
         word of a message, as in quantity-5"
    ))
}
