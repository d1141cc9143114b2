//! `[[sequence]]`: when which valve is told to move.

use crate::document::{Entry, Node, Value};
use crate::input::{InputId, Range};
use crate::read::{Context, Key, TableReader};
use shared::quantity::{Dimension, Quantity};
use shared::{Diagnostic, Span, codes};

/// A step of the sequence as it was read.
#[derive(Clone, Debug)]
pub struct Step {
    /// When it is taken.
    pub moment: Moment,
    /// What it does.
    pub actions: Vec<Action>,
}

/// When a step is taken.
#[derive(Clone, Debug)]
pub enum Moment {
    /// At a time.
    At {
        /// The time.
        time: InputId,
        /// Where it stands.
        span: Span,
    },
    /// On a condition, which is read once the components are known.
    When {
        /// The condition.
        condition: Node,
        /// Each time it comes true, not only the first.
        repeats: bool,
    },
}

/// An order to a valve, by name.
#[derive(Clone, Debug, PartialEq)]
pub struct Action {
    /// The valve.
    pub valve: String,
    /// Where it is named.
    pub span: Span,
    /// Travel wanted: 0 shut, 1 open.
    pub travel: f64,
}

/// The ways to say when a step is taken.
const MOMENTS: [&str; 3] = ["at", "when", "whenever"];

// Negative times get words of their own.
const AT: Key = Key::new("at", &[Dimension::Time], Range::Any, "5 s");

/// Reads all steps.
pub fn read(context: &mut Context, entry: &Entry) -> Vec<Step> {
    let Value::List(nodes) = &entry.node.value else {
        let message = format!(
            "sequence is {}, but a list of steps is wanted",
            entry.node.kind()
        );
        let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message).at(&entry.key_span, "");
        context.report(diagnostic.remedy("head each step with [[sequence]]"));
        return Vec::new();
    };
    let steps = nodes.iter().enumerate();
    steps
        .filter_map(|(i, node)| read_step(context, i, node))
        .collect()
}

fn read_step(context: &mut Context, index: usize, node: &Node) -> Option<Step> {
    let path = format!("sequence.{}", index + 1);
    let Some(table) = node.table() else {
        let message = format!("{path} is {}, but a table is wanted", node.kind());
        let diagnostic = Diagnostic::error(&codes::WRONG_TYPE, message).at(&node.span, "");
        context.report(diagnostic.remedy("head each step with [[sequence]]"));
        return None;
    };
    let first = table.entries.first().map(|e| e.key_span.clone());
    let span = first.unwrap_or_else(|| node.span.clone());
    let mut reader = TableReader::new(context, path, Some(&span), table);
    let moment = read_moment(&mut reader);
    let mut actions = read_actions(&mut reader, "open", 1.0);
    actions.extend(read_actions(&mut reader, "close", 0.0));
    if !(reader.has("open") || reader.has("close")) {
        let message = format!("{} opens and closes nothing", reader.path);
        let remedy = "add open = \"VALVE\" or close = \"VALVE\"".to_owned();
        reader.missing_any(&codes::IDLE_STEP, &["open", "close"], message, remedy);
    }
    reader.finish();
    Some(Step {
        moment: moment?,
        actions,
    })
}

fn read_moment(reader: &mut TableReader<'_>) -> Option<Moment> {
    let given: Vec<_> = MOMENTS
        .into_iter()
        .filter_map(|key| Some((key, reader.entry(key)?.node.clone())))
        .collect();
    let remedy = "write one of at = \"5 s\", when = \"fuel.liquid_mass < 0.3 kg\" (the first time), and whenever = \"fuel.pressure < 30 bar(g)\" (each time)".to_owned();
    match given.as_slice() {
        [("at", node)] => read_time(reader, node),
        [(key, node)] => Some(Moment::When {
            condition: node.clone(),
            repeats: *key == "whenever",
        }),
        [] => {
            let message = format!("{} does not say when", reader.path);
            reader.missing_any(&codes::BAD_TRIGGER, &MOMENTS, message, remedy);
            None
        }
        [.., (last, _)] => {
            let message = format!("{} has more than one moment", reader.path);
            reader.error_at(last, &codes::BAD_TRIGGER, message, remedy);
            None
        }
    }
}

fn read_time(reader: &mut TableReader<'_>, node: &Node) -> Option<Moment> {
    let quantity: Quantity = reader.context.quantity(node, AT.dimensions)?;
    let time = reader.input(AT, node, &quantity)?;
    if quantity.value < 0.0 {
        let message = format!("{} comes before the start of the run", reader.path);
        let remedy = "write a time of zero or later".to_owned();
        reader.error_at(AT.name, &codes::BAD_TIME, message, remedy);
        return None;
    }
    let span = node.span.clone();
    Some(Moment::At { time, span })
}

/// The valves under a key: one name or a list of names.
fn read_actions(reader: &mut TableReader<'_>, key: &'static str, travel: f64) -> Vec<Action> {
    let Some(entry) = reader.entry(key) else {
        return Vec::new();
    };
    let nodes = match &entry.node.value {
        Value::List(nodes) => nodes.as_slice(),
        _ => std::slice::from_ref(&entry.node),
    };
    let mut actions = Vec::new();
    for node in nodes {
        match node.text() {
            Some(valve) => actions.push(Action {
                valve: valve.to_owned(),
                span: node.span.clone(),
                travel,
            }),
            None => reader.wrong_type(key, node, "the name of a valve in quotes"),
        }
    }
    actions
}
