//! A line, of liquid or of gas.

use super::fittings::Fittings;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;
use std::f64::consts::PI;

/// A line.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    length: InputId,
    bore: InputId,
    friction: Friction,
    minor_loss: Option<InputId>,
    fittings: Option<Fittings>,
    rise: InputId,
    wall: Option<Wall>,
    /// True if it is full of liquid at the start; none: by where it stands.
    pub is_full: Option<bool>,
}

/// A wall that gives way to pressure.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wall {
    thickness: InputId,
    modulus: InputId,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Friction {
    Roughness(InputId),
    Factor(InputId),
}

const METRES: &[Dimension] = &[Dimension::Length];
const STRESS: &[Dimension] = &[Dimension::PressureDifference];
const NUMBER: &[Dimension] = &[Dimension::Fraction];
const LENGTH: Key = Key::new("length", METRES, Range::Positive, "1.2 m");
const BORE: Key = Key::new("bore", METRES, Range::Positive, "15.5 mm");
const ROUGHNESS: Key = Key::new("roughness", METRES, Range::NotNegative, "1.5 um");
const FACTOR: Key = Key::new("friction_factor", NUMBER, Range::NotNegative, "0.02");
const MINOR_LOSS: Key = Key::new("minor_loss", NUMBER, Range::NotNegative, "2.4");
const WALL_THICKNESS: Key = Key::new("wall_thickness", METRES, Range::Positive, "1.2 mm");
const MODULUS: Key = Key::new("elastic_modulus", STRESS, Range::Positive, "193 GPa");
const RISE: Key = Key::new("rise", METRES, Range::Any, "-0.8 m");

/// What somebody might count under another name.
const COUNTED: [&str; 2] = ["bends", "elbows"];

/// Refuses a number of fittings, which says nothing of what each of them loses.
fn refuse_count(reader: &mut TableReader<'_>, word: &'static str) {
    if reader.has(word) {
        reader.entry(word);
        let message = format!("[{}] has no key \"{word}\"", reader.path);
        let remedy = "write fittings = [\"2 elbow 90\"], or minor_loss, the sum of the loss coefficients: \
                      a smooth long bend has about 0.2, a sharp elbow about 1 (common practice, no source)";
        reader.error_at(word, &codes::UNKNOWN_KEY, message, remedy.to_owned());
    }
}

impl Line {
    /// Reads a line.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let length = reader.required(LENGTH);
        let bore = reader.required(BORE);
        let friction = Friction::read(reader);
        let has_fittings = reader.has("fittings");
        let fittings = Fittings::read(reader, bore);
        let minor_loss = match has_fittings {
            true => reader.optional(MINOR_LOSS),
            false => Some(reader.or_default(MINOR_LOSS, "0", "no bends or fittings are named")),
        };
        for word in COUNTED {
            refuse_count(reader, word);
        }
        let rise = reader.or_default(RISE, "0 m", "level from inlet to outlet");
        let wall = Wall::read(reader);
        let words = [("full", true), ("dry", false)];
        let is_full = reader.word("at_start", &words);
        Some(Self {
            length: length?,
            bore: bore?,
            friction,
            minor_loss,
            fittings,
            rise,
            wall,
            is_full,
        })
    }

    /// Volume inside.
    #[must_use]
    pub fn volume_m3(&self, values: &Values<'_>) -> f64 {
        PI / 4.0 * values.si(self.bore).powi(2) * values.si(self.length)
    }

    /// The sum of what the file gives and of its fittings.
    fn minor_loss(&self, values: &Values<'_>) -> f64 {
        let given = self.minor_loss.map_or(0.0, |id| values.si(id));
        let bore_m = values.si(self.bore);
        let fittings = self.fittings.as_ref();
        given + fittings.map_or(0.0, |fittings| fittings.loss(values, bore_m))
    }

    /// What the equations run on, in liquid.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::ElementKind {
        net::ElementKind::Line(self.pipe(values))
    }

    /// In gas.
    #[must_use]
    pub fn lower_gas(&self, values: &Values<'_>) -> net::BranchKind {
        net::BranchKind::GasRestriction(net::GasRestriction {
            capacity: net::Capacity::Line(self.pipe(values)),
            valve: None,
        })
    }

    fn pipe(&self, values: &Values<'_>) -> net::Line {
        net::Line {
            length_m: values.si(self.length),
            bore_m: values.si(self.bore),
            friction: match self.friction {
                Friction::Roughness(id) => net::Friction::Roughness { m: values.si(id) },
                Friction::Factor(id) => net::Friction::Factor(values.si(id)),
            },
            minor_loss: self.minor_loss(values),
            rise_m: values.si(self.rise),
            softness_per_pa: self.wall.map_or(0.0, |wall| {
                values.si(self.bore) / (values.si(wall.thickness) * values.si(wall.modulus))
            }),
        }
    }
}

impl Wall {
    /// None, a rigid wall, unless a thickness is given.
    fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let thickness = reader.optional(WALL_THICKNESS);
        let modulus = match reader.has(WALL_THICKNESS.name) {
            true => {
                let reason =
                    "stainless steel; aluminium has about 70 GPa, copper 120 GPa (from memory)";
                Some(reader.or_default(MODULUS, "193 GPa ± 5 %", reason))
            }
            false => {
                if reader.has(MODULUS.name) {
                    reader.entry(MODULUS.name);
                    let message = format!(
                        "[{}] has an elastic_modulus without a wall_thickness",
                        reader.path
                    );
                    let remedy = "write wall_thickness too, for example \"1.2 mm\"; without it the wall is rigid";
                    reader.error_at(MODULUS.name, &codes::EITHER_OR, message, remedy.to_owned());
                }
                None
            }
        };
        Some(Self {
            thickness: thickness?,
            modulus: modulus?,
        })
    }
}

impl Friction {
    fn read(reader: &mut TableReader<'_>) -> Self {
        let way = reader.one_of(&[ROUGHNESS.name, FACTOR.name]);
        let factor = reader.optional(FACTOR);
        if let (Some("friction_factor"), Some(factor)) = (way, factor) {
            reader.optional(ROUGHNESS);
            return Self::Factor(factor);
        }
        let reason = "drawn tubing (L. F. Moody, Trans. ASME 66 (1944) 671; from memory)";
        Self::Roughness(reader.or_default(ROUGHNESS, "1.5 um ± 50 %", reason))
    }
}
