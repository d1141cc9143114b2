//! How a gas exchanges heat, and the wall with which it does.

use crate::input::{InputId, Range, Values};
use crate::read::{Key, Scaled, TableReader};
use fluids::Solid;
use shared::codes;
use shared::quantity::{Dimension, Quantity};
use sim_core::network as net;
use std::f64::consts::PI;
use std::sync::Arc;

/// How a gas exchanges heat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Heat {
    /// Not at all.
    None,
    /// At the wall's start temperature.
    Isothermal,
    /// By published free-convection correlations.
    Film,
    /// By a given coefficient.
    Coefficient(InputId),
    /// By a given conductance.
    Conductance(InputId),
}

const WORDS: [(&str, Heat); 3] = [
    ("none", Heat::None),
    ("isothermal", Heat::Isothermal),
    ("film", Heat::Film),
];
const DIMENSIONS: &[Dimension] = &[
    Dimension::HeatTransferCoefficient,
    Dimension::ThermalConductance,
];

impl Heat {
    /// Reads a word or a coefficient under a key.
    pub fn read(reader: &mut TableReader<'_>, key: &'static str) -> Option<Self> {
        reader.describe(
            key,
            "\"none\" or \"isothermal\" or \"film\"; or \"12 W/m2K\", in W/m2K, W/K",
        );
        let (node, text) = reader.text(key)?;
        if let Some((_, heat)) = WORDS.iter().find(|(word, _)| *word == text) {
            return Some(*heat);
        }
        let is_word =
            Quantity::parse(text, DIMENSIONS).is_err_and(|fault| fault.code == &codes::NO_QUANTITY);
        if is_word {
            let choices = WORDS.iter().map(|w| w.0).chain(["12 W/m2K", "10 W/K"]);
            reader.unknown_word(key, node, text, choices);
            return None;
        }
        let key = Key::new(key, DIMENSIONS, Range::NotNegative, "12 W/m2K");
        let quantity = reader.context.quantity(node, DIMENSIONS)?;
        let id = reader.input(key, node, &quantity)?;
        Some(match quantity.dimension {
            Dimension::ThermalConductance => Self::Conductance(id),
            _ => Self::Coefficient(id),
        })
    }

    /// Reads it with a default that is taken for granted.
    pub fn read_or(
        reader: &mut TableReader<'_>,
        key: &'static str,
        default: &str,
        reason: &str,
    ) -> Self {
        if !reader.has(key) {
            let path = reader.path_of(key);
            reader.context.assume(&path, default, reason);
        }
        let fallback = WORDS.iter().find(|(word, _)| *word == default);
        Self::read(reader, key).unwrap_or(fallback.map_or(Self::None, |w| w.1))
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(self, values: &Values<'_>) -> net::HeatTransfer {
        match self {
            Self::None => net::HeatTransfer::None,
            Self::Isothermal => net::HeatTransfer::Isothermal,
            Self::Film => net::HeatTransfer::Film,
            Self::Coefficient(id) => net::HeatTransfer::Coefficient {
                w_m2_k: values.si(id),
            },
            Self::Conductance(id) => net::HeatTransfer::Conductance { w_k: values.si(id) },
        }
    }
}

/// A wall as the file gives it.
#[derive(Clone, Debug)]
pub struct Wall {
    /// How the gas exchanges heat with it; never [`Heat::None`].
    pub inside: Heat,
    /// Multiplier on the film inside.
    pub multiplier: InputId,
    /// Mass.
    pub mass: InputId,
    /// Material.
    pub material: Arc<Solid>,
    /// Film outside.
    pub outside: InputId,
}

/// What a wall is taken to be when the file does not say.
#[derive(Clone, Copy, Debug)]
pub struct WallDefaults {
    /// Mass for each volume enclosed.
    pub kg_per_l: f64,
    /// Material.
    pub material: &'static str,
    /// On what ground.
    pub reason: &'static str,
}

/// What stands outside of a wall when the file does not say.
#[derive(Clone, Copy, Debug)]
pub struct OutsideDefault {
    /// The coefficient.
    pub text: &'static str,
    /// On what ground.
    pub reason: &'static str,
}

impl OutsideDefault {
    /// Still air.
    pub const AIR: Self = Self {
        text: "5 .. 15 W/m2K",
        reason: "still air around, convection and radiation: common practice, no source",
    };
}

/// Wall materials that are known.
pub const MATERIALS: [&str; 4] = ["carbon steel", "stainless steel", "aluminium", "composite"];

const MASS: Key = Key::new("wall_mass", &[Dimension::Mass], Range::Positive, "9 kg");
const OUTSIDE: Key = Key::new(
    "outside_film",
    &[Dimension::HeatTransferCoefficient],
    Range::NotNegative,
    "10 W/m2K",
);

impl Wall {
    /// Reads the wall of a vessel of a volume; none if no heat is exchanged.
    pub fn read(
        reader: &mut TableReader<'_>,
        inside: Heat,
        multiplier: InputId,
        volume_m3: f64,
        defaults: WallDefaults,
        around: OutsideDefault,
    ) -> Option<Self> {
        let material = material(reader, inside, defaults);
        if inside == Heat::None {
            // The keys are known, even where nothing comes of them.
            reader.optional(MASS);
            reader.optional(OUTSIDE);
            return None;
        }
        let usual_mass = Scaled {
            si: defaults.kg_per_l * volume_m3 * 1e3,
            unit: ("kg", 1.0),
            percent: 30.0,
        };
        let mass = reader.or_scaled(MASS, usual_mass, defaults.reason);
        let outside = reader.or_default(OUTSIDE, around.text, around.reason);
        Some(Self {
            inside,
            multiplier,
            mass,
            material: material?,
            outside,
        })
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, size: Size, temperature_k: f64) -> net::Wall {
        net::Wall {
            mass_kg: values.si(self.mass),
            material: self.material.clone(),
            inner_area_m2: size.inner_area_m2,
            posture: size.posture,
            height_m: size.height_m,
            temperature_k,
            inside: self.inside.lower(values),
            inside_multiplier: values.si(self.multiplier),
            outside_w_m2_k: values.si(self.outside),
        }
    }
}

fn material(
    reader: &mut TableReader<'_>,
    inside: Heat,
    defaults: WallDefaults,
) -> Option<Arc<Solid>> {
    let words = MATERIALS.map(|m| (m, m));
    let name = if inside == Heat::None {
        reader.word("wall_material", &words)?
    } else {
        let default = (defaults.material, defaults.material);
        reader.word_or("wall_material", &words, default, defaults.reason)
    };
    Solid::named(name).ok().map(Arc::new)
}

/// Area and length of a closed cylinder with flat ends.
#[must_use]
pub fn cylinder(volume_m3: f64, diameter_m: f64) -> (f64, f64) {
    let end = PI * diameter_m * diameter_m / 4.0;
    let length = volume_m3 / end;
    (PI * diameter_m * length + 2.0 * end, length)
}

/// What a wall encloses.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Inner area.
    pub inner_area_m2: f64,
    /// How it stands.
    pub posture: net::Posture,
    /// Height as it stands.
    pub height_m: f64,
}

impl Size {
    /// Of a closed cylinder with flat ends.
    #[must_use]
    pub fn of_cylinder(volume_m3: f64, diameter_m: f64, posture: net::Posture) -> Self {
        let (inner_area_m2, length_m) = cylinder(volume_m3, diameter_m);
        Self {
            inner_area_m2,
            posture,
            height_m: match posture {
                net::Posture::Upright => length_m,
                net::Posture::Lying | net::Posture::Sphere => diameter_m,
            },
        }
    }
}
