//! Fittings of a line, as they are counted off a drawing: `"2 elbow 90"`, `"1 ball valve of 12 mm"`,
//! `"1 contraction from 22 mm"`.

use crate::document::{Node, Value};
use crate::input::{InputId, Range, Values};
use crate::read::{Context, TableReader};
use shared::quantity::{Dimension, Quantity, significant};
use shared::{Diagnostic, codes, nearest};
use sim_core::components::fittings::Fitting;
use std::f64::consts::PI;

/// The fittings of one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Fittings {
    all: Vec<Counted>,
    /// The tables' own uncertainty.
    multiplier: InputId,
}

#[derive(Clone, Debug, PartialEq)]
struct Counted {
    count: f64,
    what: What,
    /// The other bore, where it has one.
    size: Option<InputId>,
    /// Whole angle of its cone; none where it is sudden.
    angle: Option<InputId>,
}

/// What a fitting is, before its sizes.
#[derive(Clone, Copy, Debug, PartialEq)]
enum What {
    /// Equivalent length in bores.
    Length(f64),
    /// Velocity heads.
    Loss(f64),
    /// A valve in which the flow turns, of so many bores.
    Turned(f64),
    /// A valve straight through, of so many bores.
    Straight(f64),
    Contraction,
    Expansion,
}

impl What {
    /// The word before its other bore, and whether that has to be there.
    fn size_word(self) -> Option<(&'static str, bool)> {
        match self {
            Self::Length(_) | Self::Loss(_) => None,
            Self::Turned(_) | Self::Straight(_) => Some(("of", false)),
            Self::Contraction => Some(("from", true)),
            Self::Expansion => Some(("to", true)),
        }
    }

    fn has_angle(self) -> bool {
        matches!(self, Self::Contraction | Self::Expansion)
    }
}

/// The key.
const KEY: &str = "fittings";
/// What it holds, for whoever looks it up.
const HOLDS: &str = "[\"1 entrance sharp\", \"2 elbow 90\"]; explain file-15 lists them";
/// What somebody might write.
const EXAMPLE: &str = "[\"1 entrance sharp\", \"2 elbow 90\", \"1 contraction from 22 mm\"]";

/// Equivalent lengths and losses of Crane TP-410 as the PyPI package `fluids` has them.
const NAMES: [(&str, What); 39] = [
    ("elbow 90", What::Length(30.0)),
    ("elbow 45", What::Length(16.0)),
    ("bend 1 bore", What::Length(20.0)),
    ("bend 1.5 bores", What::Length(14.0)),
    ("bend 2 bores", What::Length(12.0)),
    ("bend 3 bores", What::Length(12.0)),
    ("bend 4 bores", What::Length(14.0)),
    ("bend 6 bores", What::Length(17.0)),
    ("bend 8 bores", What::Length(24.0)),
    ("bend 10 bores", What::Length(30.0)),
    ("bend 12 bores", What::Length(34.0)),
    ("bend 14 bores", What::Length(38.0)),
    ("bend 16 bores", What::Length(42.0)),
    ("bend 20 bores", What::Length(50.0)),
    ("return bend", What::Length(50.0)),
    ("mitre 15", What::Length(4.0)),
    ("mitre 30", What::Length(8.0)),
    ("mitre 45", What::Length(15.0)),
    ("mitre 60", What::Length(25.0)),
    ("mitre 75", What::Length(40.0)),
    ("mitre 90", What::Length(60.0)),
    ("tee through", What::Length(20.0)),
    ("tee branch", What::Length(60.0)),
    ("swing check", What::Length(100.0)),
    ("hinged foot valve", What::Length(75.0)),
    ("diaphragm valve", What::Length(149.0)),
    ("butterfly valve", What::Length(45.0)),
    ("globe valve", What::Turned(340.0)),
    ("angle valve", What::Turned(150.0)),
    ("lift check", What::Turned(600.0)),
    ("angle lift check", What::Turned(55.0)),
    ("ball valve", What::Straight(3.0)),
    ("gate valve", What::Straight(8.0)),
    ("plug valve", What::Straight(18.0)),
    ("entrance sharp", What::Loss(0.5)),
    ("entrance rounded", What::Loss(0.04)),
    ("entrance inward", What::Loss(0.78)),
    ("contraction", What::Contraction),
    ("expansion", What::Expansion),
];

impl Fittings {
    /// Reads the list of a line of so much bore; none if there is none, or none that can be read.
    pub fn read(reader: &mut TableReader<'_>, bore: Option<InputId>) -> Option<Self> {
        reader.describe(KEY, HOLDS);
        let node = &reader.entry(KEY)?.node;
        let Value::List(rows) = &node.value else {
            let message = format!("{KEY} is {}, but a list of texts is wanted", node.kind());
            refuse(reader.context, node, message, None);
            return None;
        };
        let path = reader.path_of(KEY);
        let all: Vec<Option<Counted>> = rows
            .iter()
            .enumerate()
            .map(|(i, row)| read_one(reader.context, &format!("{path}.{}", i + 1), row))
            .collect();
        let all = all.into_iter().collect::<Option<Vec<Counted>>>()?;
        let name = reader.path.rsplit('.').next().unwrap_or(&reader.path);
        let multiplier = doubt(name, reader.context);
        let fittings = Self { all, multiplier };
        let bore_m = reader.context.inputs.nominal().si(bore?);
        fittings.check_sizes(rows, bore_m, reader.context)?;
        let loss = fittings.loss(&reader.context.inputs.nominal(), bore_m);
        let value = format!("loss coefficient {}", significant(loss, 3, 3));
        let reason = "equivalent lengths of Crane TP-410, each times the friction factor of clean steel pipe in complete turbulence";
        reader.context.assume(&path, value, reason);
        Some(fittings)
    }

    /// Refuses a contraction that widens, and a valve's port wider than its line.
    fn check_sizes(&self, rows: &[Node], bore_m: f64, context: &mut Context) -> Option<()> {
        let mut is_right = true;
        for (counted, node) in self.all.iter().zip(rows) {
            let Some(size) = counted.size else { continue };
            let size_m = context.inputs.nominal().si(size);
            let (is_wrong, wanted) = match counted.what {
                What::Contraction | What::Expansion => (size_m < bore_m, "above"),
                _ => (size_m > bore_m, "below"),
            };
            if is_wrong {
                let message = format!("its other bore has to be {wanted} that of the line");
                refuse(context, node, message, None);
                is_right = false;
            }
        }
        is_right.then_some(())
    }

    /// Their loss coefficient on a bore.
    pub fn loss(&self, values: &Values<'_>, bore_m: f64) -> f64 {
        let losses = self
            .all
            .iter()
            .map(|c| c.count * c.lower(values).loss(bore_m));
        values.si(self.multiplier) * losses.sum::<f64>()
    }
}

impl Counted {
    fn lower(&self, values: &Values<'_>) -> Fitting {
        let angle_rad = self.angle.map_or(PI, |id| values.si(id));
        match (self.what, self.size.map(|id| values.si(id))) {
            (What::Loss(heads), _) => Fitting::Loss { heads },
            (What::Turned(bores), Some(seat_m)) => Fitting::TurnedSeat { bores, seat_m },
            (What::Straight(bores), Some(port_m)) => Fitting::ReducedPort { bores, port_m },
            (What::Contraction, Some(from_m)) => Fitting::Contraction { from_m, angle_rad },
            (What::Expansion, Some(to_m)) => Fitting::Expansion { to_m, angle_rad },
            (What::Length(bores) | What::Turned(bores) | What::Straight(bores), _) => {
                Fitting::Length { bores }
            }
            (What::Contraction | What::Expansion, None) => Fitting::Loss { heads: 0.0 },
        }
    }
}

/// How far a fitting of the trade may be from its table.
fn doubt(name: &str, context: &mut Context) -> InputId {
    let path = format!("model.{name}.{KEY}");
    let reason = "fittings of one size and kind differ by make: common practice, no source";
    context.doubt(path, 25.0, reason)
}

/// One row: a count, a name, perhaps another bore and an angle.
fn read_one(context: &mut Context, path: &str, node: &Node) -> Option<Counted> {
    let Some(text) = node.text() else {
        let message = format!("{} stands where a fitting is wanted", node.kind());
        refuse(context, node, message, None);
        return None;
    };
    let (count, rest) = counted(text);
    let (rest, angle) = split_at_word(rest, "at");
    let found = ["of", "from", "to"]
        .into_iter()
        .find_map(|word| Some((word, split_at_word(rest, word).1?)));
    let name = found.map_or(rest, |(word, _)| split_at_word(rest, word).0);
    let Some(&(_, what)) = NAMES.iter().find(|(known, _)| *known == name) else {
        let message = match name {
            "exit" => "where a line ends in a volume its velocity head is counted already: leave out the exit".to_owned(),
            _ => format!("there is no fitting \"{name}\""),
        };
        refuse(
            context,
            node,
            message,
            nearest(name, NAMES.iter().map(|n| n.0)),
        );
        return None;
    };
    let size = match (what.size_word(), found) {
        (None | Some((_, false)), None) => None,
        (Some((wanted, _)), Some((word, size))) if wanted == word => {
            Some(input(context, path, node, size, Dimension::Length)?)
        }
        (Some((wanted, _)), _) => {
            let message = format!("a {name} is written \"{name} {wanted}\" and the other bore");
            refuse(context, node, message, None);
            return None;
        }
        (None, Some(_)) => {
            refuse(
                context,
                node,
                format!("{name} has the line's own bore"),
                None,
            );
            return None;
        }
    };
    let angle = match angle {
        None => None,
        Some(angle) if what.has_angle() => {
            let path = format!("{path}.angle");
            let angle = input(context, &path, node, angle, Dimension::Angle)?;
            if context.inputs.get(angle).nominal > PI {
                let message = "an angle between the sides of a cone is at most 180 deg";
                refuse(context, node, message.to_owned(), None);
                return None;
            }
            Some(angle)
        }
        Some(_) => {
            refuse(context, node, format!("{name} has no angle"), None);
            return None;
        }
    };
    Some(Counted {
        count,
        what,
        size,
        angle,
    })
}

/// A whole number in front; one where there is none.
fn counted(text: &str) -> (f64, &str) {
    let text = text.trim();
    match text.split_once(' ') {
        Some((first, rest)) => match first.parse::<u16>() {
            Ok(count) => (f64::from(count), rest.trim()),
            Err(_) => (1.0, text),
        },
        None => (1.0, text),
    }
}

/// What stands before and behind a word, if it is there.
fn split_at_word<'a>(text: &'a str, word: &str) -> (&'a str, Option<&'a str>) {
    match text.split_once(&format!(" {word} ")) {
        Some((before, behind)) => (before.trim(), Some(behind.trim())),
        None => (text, None),
    }
}

fn input(
    context: &mut Context,
    path: &str,
    node: &Node,
    text: &str,
    dimension: Dimension,
) -> Option<InputId> {
    match Quantity::parse(text, &[dimension]) {
        Ok(quantity) => context.input(path.to_owned(), node, &quantity, Range::Positive),
        Err(fault) => {
            context.report(fault.diagnostic(&node.span));
            None
        }
    }
}

fn refuse(context: &mut Context, node: &Node, message: String, meant: Option<&str>) {
    let remedy = format!("write {KEY} = {EXAMPLE}; pressfed explain file-15 lists what there is");
    context.report(
        Diagnostic::error(&codes::BAD_FITTING, message)
            .at(&node.span, "")
            .remedy(remedy)
            .meant(meant),
    );
}
