//! The inside of a tank.

use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;

/// The inside of a tank as the file gives it.
#[derive(Clone, Debug)]
pub enum TankShape {
    /// Cylinder with a pair of equal ends.
    Cylinder {
        /// Inner volume.
        volume: InputId,
        /// Inner diameter.
        diameter: InputId,
        /// Both ends.
        ends: net::TankEnds,
        /// Axis level.
        lying: bool,
    },
    /// Sphere.
    Sphere {
        /// Inner volume.
        volume: InputId,
    },
    /// Measured volume against level.
    LevelTable {
        /// Level in m, volume in m3.
        points: Vec<(f64, f64)>,
    },
}

#[derive(Clone, Copy)]
enum Form {
    Cylinder,
    Sphere,
    LevelTable,
}

const FORMS: [(&str, Form); 3] = [
    ("cylinder", Form::Cylinder),
    ("sphere", Form::Sphere),
    ("level_table", Form::LevelTable),
];

const ENDS: [(&str, net::TankEnds); 4] = [
    ("flat", net::TankEnds::Flat),
    ("elliptical", net::TankEnds::Elliptical),
    ("hemispherical", net::TankEnds::Hemispherical),
    ("torispherical", net::TankEnds::Torispherical),
];

const VOLUME: Key = Key::new("volume", &[Dimension::Volume], Range::Positive, "19 L");
const DIAMETER: Key = Key::new("diameter", &[Dimension::Length], Range::Positive, "230 mm");
const LEVELS: &str = "levels";
const LEVELS_EXAMPLE: &str =
    "[[\"0 mm\", \"0 L\"], [\"200 mm\", \"7.1 L\"], [\"520 mm\", \"19 L\"]]";

impl TankShape {
    /// Reads the shape.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let form = if reader.has(LEVELS) {
            reader.word("shape", &FORMS).unwrap_or(Form::LevelTable)
        } else {
            reader.word_or("shape", &FORMS, FORMS[0], "the commonest shape")
        };
        let ends = read_ends(reader, form);
        let is_cylinder = matches!(form, Form::Cylinder);
        let lying = read_posture(reader, is_cylinder) == net::Posture::Lying;
        let points = read_levels(reader, form);
        match form {
            Form::LevelTable => {
                reader.optional(DIAMETER);
                if reader.has(VOLUME.name) {
                    reader.either_or(LEVELS, VOLUME.name);
                }
                reader.optional(VOLUME);
                Some(Self::LevelTable { points: points? })
            }
            Form::Sphere => {
                reader.optional(DIAMETER);
                let volume = reader.required(VOLUME)?;
                Some(Self::Sphere { volume })
            }
            Form::Cylinder => {
                let (volume, diameter) = (reader.required(VOLUME), reader.required(DIAMETER));
                Some(Self::Cylinder {
                    volume: volume?,
                    diameter: diameter?,
                    ends,
                    lying,
                })
            }
        }
    }

    /// Inner volume.
    #[must_use]
    pub fn volume_m3(&self, values: &Values<'_>) -> f64 {
        match self {
            Self::Cylinder { volume, .. } | Self::Sphere { volume } => values.si(*volume),
            Self::LevelTable { points } => points.last().map_or(0.0, |p| p.1),
        }
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::TankShape {
        match self {
            Self::Cylinder {
                volume,
                diameter,
                ends,
                lying,
            } => net::TankShape::Cylinder {
                volume_m3: values.si(*volume),
                diameter_m: values.si(*diameter),
                ends: *ends,
                lying: *lying,
            },
            Self::Sphere { volume } => net::TankShape::Sphere {
                volume_m3: values.si(*volume),
            },
            Self::LevelTable { points } => net::TankShape::LevelTable {
                points: points.clone(),
            },
        }
    }
}

/// Reads how a cylinder stands, where that counts for anything.
pub fn read_posture(reader: &mut TableReader<'_>, counts: bool) -> net::Posture {
    let words = [
        ("upright", net::Posture::Upright),
        ("lying", net::Posture::Lying),
    ];
    let usual = words[0];
    if counts {
        let reason = "as most vessels of a stand: common practice, no source";
        return reader.word_or("orientation", &words, usual, reason);
    }
    reader.word("orientation", &words).unwrap_or(usual.1)
}

fn read_ends(reader: &mut TableReader<'_>, form: Form) -> net::TankEnds {
    if matches!(form, Form::Cylinder) {
        let reason = "2:1 elliptical heads are the commonest: common practice, no source";
        return reader.word_or("ends", &ENDS, ENDS[1], reason);
    }
    reader.word("ends", &ENDS).unwrap_or(net::TankEnds::Flat)
}

fn read_levels(reader: &mut TableReader<'_>, form: Form) -> Option<Vec<(f64, f64)>> {
    if matches!(form, Form::LevelTable) && !reader.has(LEVELS) {
        let message = format!("[{}] is a level table, but lacks {LEVELS}", reader.path);
        let remedy = format!("add {LEVELS} = {LEVELS_EXAMPLE}");
        reader.missing_any(&codes::MISSING_KEY, &[LEVELS], message, remedy);
    }
    let pairs = reader.pairs(
        LEVELS,
        &[Dimension::Length],
        &[Dimension::Volume],
        LEVELS_EXAMPLE,
    )?;
    let points: Vec<(f64, f64)> = pairs
        .iter()
        .map(|p| (p.first.value, p.second.value))
        .collect();
    let rises = points
        .windows(2)
        .all(|p| p[1].0 > p[0].0 && p[1].1 > p[0].1);
    if rises && points[0] == (0.0, 0.0) {
        return Some(points);
    }
    let message = format!("{LEVELS} do not rise from level 0 and volume 0");
    let remedy = "begin with [\"0 mm\", \"0 L\"] and let both columns rise";
    reader.error_at(LEVELS, &codes::BAD_CURVE, message, remedy.to_owned());
    None
}
