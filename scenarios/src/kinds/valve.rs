//! A valve on an actuator, in gas or in liquid.

use super::capacity::{Capacity, Recovery};
use crate::document::Value;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, Pair, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;
use std::f64::consts::PI;

/// A valve.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// How much it passes wide open.
    pub capacity: Capacity,
    characteristic: Shape,
    delay: InputId,
    opening: InputId,
    closing: InputId,
    law: net::PositionLaw,
    is_open: bool,
}

/// Fraction of the capacity against travel.
#[derive(Clone, Debug, PartialEq)]
enum Shape {
    /// The same whatever the valve passes.
    Own(net::Characteristic),
    /// A cock, whose open loss follows from what it passes and from its bore.
    Cock { bore: InputId },
}

const NUMBER: &[Dimension] = &[Dimension::Fraction];
const SECONDS: &[Dimension] = &[Dimension::Time];
const DELAY: Key = Key::new("delay", SECONDS, Range::NotNegative, "20 ms");
const STROKE: Key = Key::new("stroke_time", SECONDS, Range::NotNegative, "140 ms");
const OPENING: Key = Key::new("opening_time", SECONDS, Range::NotNegative, "140 ms");
const CLOSING: Key = Key::new("closing_time", SECONDS, Range::NotNegative, "200 ms");
const RANGEABILITY: Key = Key::new("rangeability", NUMBER, Range::AboveOne, "50");

const CHARACTERISTICS: [(&str, Trim); 5] = [
    ("ball", Trim::Ball),
    ("cock", Trim::Cock),
    ("linear", Trim::Linear),
    ("equal_percentage", Trim::EqualPercentage),
    ("quick_opening", Trim::QuickOpening),
];

#[derive(Clone, Copy)]
enum Trim {
    Ball,
    Cock,
    Linear,
    EqualPercentage,
    QuickOpening,
}

#[derive(Clone, Copy)]
enum Law {
    Linear,
    SCurve,
    FirstOrder,
}

const LAWS: [(&str, Law); 3] = [
    ("linear", Law::Linear),
    ("s_curve", Law::SCurve),
    ("first_order", Law::FirstOrder),
];

impl Valve {
    /// Reads a valve.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let capacity = Capacity::read_for_either(reader);
        let bore = capacity.and_then(|capacity| capacity.bore());
        let characteristic = read_characteristic(reader, bore);
        let delay = reader.or_default(
            DELAY,
            "0 .. 40 ms",
            "pilot valve and tubing: common practice, no source",
        );
        let strokes = read_strokes(reader);
        let law = read_law(reader);
        let positions = [("shut", false), ("open", true)];
        let reason = "until its first command";
        let is_open = reader.word_or("at_start", &positions, positions[0], reason);
        let (opening, closing) = strokes?;
        Some(Self {
            capacity: capacity?,
            characteristic: characteristic?,
            delay,
            opening,
            closing,
            law: law?,
            is_open,
        })
    }

    /// True if it stands open at the start.
    #[must_use]
    pub fn is_open_at_start(&self) -> bool {
        self.is_open
    }

    /// What turns it.
    #[must_use]
    pub fn lower_actuator(&self, name: &str, values: &Values<'_>) -> net::Actuator {
        net::Actuator {
            name: name.to_owned(),
            delay_s: values.si(self.delay),
            opening_s: values.si(self.opening),
            closing_s: values.si(self.closing),
            law: self.law.clone(),
            initial: if self.is_open { 1.0 } else { 0.0 },
        }
    }

    fn stem(&self, values: &Values<'_>, actuator: net::ActuatorId) -> net::Valve {
        net::Valve {
            actuator,
            characteristic: match &self.characteristic {
                Shape::Own(characteristic) => characteristic.clone(),
                Shape::Cock { bore } => {
                    let bore_m2 = PI / 4.0 * values.si(*bore).powi(2);
                    let passed_m2 = self.capacity.lower(values).liquid_area_m2();
                    let open_loss = (bore_m2 / passed_m2).powi(2);
                    net::Characteristic::Cock { open_loss }
                }
            },
        }
    }

    /// In gas.
    #[must_use]
    pub fn lower_gas(&self, values: &Values<'_>, actuator: net::ActuatorId) -> net::BranchKind {
        net::BranchKind::GasRestriction(net::GasRestriction {
            capacity: self.capacity.lower(values),
            valve: Some(self.stem(values, actuator)),
        })
    }

    /// In liquid.
    #[must_use]
    pub fn lower_liquid(&self, values: &Values<'_>, actuator: net::ActuatorId) -> net::ElementKind {
        net::ElementKind::Valve {
            capacity: self.capacity.lower(values),
            recovery: self.capacity.recovery(values),
            valve: self.stem(values, actuator),
        }
    }

    /// Recovery of a valve of this characteristic.
    #[must_use]
    pub fn usual_recovery(&self) -> Recovery {
        use net::Characteristic::{Ball, Table};
        match self.characteristic {
            Shape::Cock { .. } | Shape::Own(Ball | Table { .. }) => Recovery {
                value: "0.64 .. 0.84",
                reason: "full-bore ball 0.74 (IEC 60534-2-1, typical values; from memory)",
            },
            _ => Recovery {
                value: "0.85 .. 0.95",
                reason: "globe 0.90 (IEC 60534-2-1, typical values; from memory)",
            },
        }
    }
}

/// Times of both strokes: one for both, or one for each.
fn read_strokes(reader: &mut TableReader<'_>) -> Option<(InputId, InputId)> {
    let apart = [OPENING, CLOSING].into_iter().find(|k| reader.has(k.name));
    match apart {
        Some(key) if reader.has(STROKE.name) => reader.either_or(STROKE.name, key.name),
        None if !reader.has(STROKE.name) => reader.missing(STROKE.name, STROKE.example),
        _ => {}
    }
    let stroke = reader.optional(STROKE);
    if apart.is_none() {
        reader.describe_quantity(OPENING);
        reader.describe_quantity(CLOSING);
        return Some((stroke?, stroke?));
    }
    let opening = reader.required(OPENING);
    let closing = reader.required(CLOSING);
    Some((opening?, closing?))
}

fn read_characteristic(reader: &mut TableReader<'_>, bore: Option<InputId>) -> Option<Shape> {
    if let Some(points) = read_travel_curve(reader, "characteristic") {
        reader.optional(RANGEABILITY);
        return points.map(|points| Shape::Own(net::Characteristic::Table { points }));
    }
    let reason = "full-port ball: the commonest run valve";
    let default = ("ball", Trim::Ball);
    let trim = reader.word_or("characteristic", &CHARACTERISTICS, default, reason);
    if let Trim::EqualPercentage = trim {
        let reason = "usual for equal-percentage trim: common practice, no source";
        let id = reader.or_default(RANGEABILITY, "50", reason);
        let rangeability = reader.context.inputs.nominal().si(id);
        let characteristic = net::Characteristic::EqualPercentage { rangeability };
        return Some(Shape::Own(characteristic));
    }
    reader.optional(RANGEABILITY);
    if let Trim::Cock = trim {
        let path = reader.path_of("characteristic");
        let reason = "J. Weisbach's loss of a cock against angle (1855; from memory), added to that of the open bore";
        reader.context.assume(&path, "cock", reason);
        if !reader.has("bore") {
            reader.missing("bore", "22 mm");
        }
        return Some(Shape::Cock { bore: bore? });
    }
    Some(Shape::Own(match trim {
        Trim::Linear => net::Characteristic::Linear,
        Trim::QuickOpening => net::Characteristic::QuickOpening,
        _ => net::Characteristic::Ball,
    }))
}

fn read_law(reader: &mut TableReader<'_>) -> Option<net::PositionLaw> {
    if let Some(points) = read_travel_curve(reader, "position_law") {
        return points.map(|points| net::PositionLaw::Table { points });
    }
    let reason = "constant speed over the stroke";
    let law = reader.word_or("position_law", &LAWS, ("linear", Law::Linear), reason);
    Some(match law {
        Law::Linear => net::PositionLaw::Linear,
        Law::SCurve => net::PositionLaw::SCurve,
        Law::FirstOrder => net::PositionLaw::FirstOrder,
    })
}

/// A curve from (0, 0) to (1, 1), if the key holds a list; the inner option is none if the
/// list is no such curve.
fn read_travel_curve(
    reader: &mut TableReader<'_>,
    key: &'static str,
) -> Option<Option<Vec<(f64, f64)>>> {
    let node = &reader.entry(key)?.node;
    if !matches!(node.value, Value::List(_)) {
        return None;
    }
    let pairs = reader.pairs(key, NUMBER, NUMBER, "[[0, 0], [0.5, 0.2], [1, 1]]");
    let points: Option<Vec<(f64, f64)>> = pairs.map(|p| p.iter().map(numbers).collect());
    Some(points.filter(|points| {
        let rises = points
            .windows(2)
            .all(|p| p[1].0 > p[0].0 && p[1].1 >= p[0].1);
        let spans = points.first() == Some(&(0.0, 0.0)) && points.last() == Some(&(1.0, 1.0));
        if !(rises && spans) {
            let message = format!("{key} does not rise from [0, 0] to [1, 1]");
            let remedy = "begin with [0, 0], end with [1, 1], and let both numbers rise";
            reader.error_at(key, &codes::BAD_CURVE, message, remedy.to_owned());
        }
        rises && spans
    }))
}

fn numbers(pair: &Pair) -> (f64, f64) {
    (pair.first.value, pair.second.value)
}
