//! Gas vessels: bottles, and plenums between branches.

use super::Surroundings;
use super::heat::{Heat, OutsideDefault, Size, Wall, WallDefaults};
use super::overwrap::Overwrap;
use super::tank_shape::read_posture;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, Scaled, TableReader};
use crate::tables::GasName;
use shared::quantity::Dimension;
use sim_core::network as net;
use std::f64::consts::PI;

/// A bottle or a plenum.
#[derive(Clone, Debug)]
pub struct Vessel {
    /// Inner volume.
    pub volume: InputId,
    /// Its gas at the start; none: that of its gas network.
    pub gas: Option<GasName>,
    /// Pressure at the start.
    pub pressure: InputId,
    /// Temperature at the start.
    pub temperature: InputId,
    /// Its wall, and its inner diameter.
    pub wall: Option<(Wall, InputId)>,
    posture: net::Posture,
    overwrap: Option<Overwrap>,
}

const VOLUME: Key = Key::new("volume", &[Dimension::Volume], Range::Positive, "50 L");
const PLENUM_VOLUME: Key = Key::new("volume", &[Dimension::Volume], Range::Positive, "50 mL");
const PRESSURE: Key = Key::new(
    "pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "180 bar(g)",
);
const TEMPERATURE: Key = Key::new(
    "temperature",
    &[Dimension::Temperature],
    Range::Positive,
    "18 degC",
);
const DIAMETER: Key = Key::new("diameter", &[Dimension::Length], Range::Positive, "200 mm");

/// Length over diameter of a bottle.
const SLENDERNESS: f64 = 4.0;

const STEEL_BOTTLE: WallDefaults = WallDefaults {
    kg_per_l: 1.1,
    material: "carbon steel",
    reason: "steel bottle, 1.1 kg per litre: common practice, no source",
};

/// As half an inch of outside by 1.2 mm of wall.
const TUBE: WallDefaults = WallDefaults {
    kg_per_l: 4.3,
    material: "stainless steel",
    reason: "half-inch steel tube, 4.3 kg per litre: common practice, no source",
};

const ALUMINIUM_LINER: WallDefaults = WallDefaults {
    kg_per_l: 0.35,
    material: "aluminium",
    reason: "aluminium liner, 0.35 kg per litre: common practice, no source",
};

impl Vessel {
    /// Reads a bottle.
    pub fn read_bottle(reader: &mut TableReader<'_>, around: &Surroundings<'_>) -> Option<Self> {
        let gas = around.gases.read(reader, "gas", true);
        let volume = reader.required(VOLUME);
        let pressure = reader.required(PRESSURE);
        let temperature = around.ambient.temperature_or(reader, TEMPERATURE);
        let heat = Heat::read_or(
            reader,
            "heat_transfer",
            "film",
            "free convection inside, by published correlations",
        );
        let overwrap = Overwrap::read(reader, heat);
        let usual = match reader.has(Overwrap::KEY) {
            true => ALUMINIUM_LINER,
            false => STEEL_BOTTLE,
        };
        let wall = Self::read_wall(reader, around, volume, (heat, usual));
        // Without a wall no film hangs on it.
        let posture = read_posture(reader, wall.is_some());
        Some(Self {
            volume: volume?,
            gas: Some(gas?),
            pressure: pressure?,
            temperature,
            wall,
            posture,
            overwrap,
        })
    }

    /// Reads a plenum.
    pub fn read_plenum(reader: &mut TableReader<'_>, around: &Surroundings<'_>) -> Option<Self> {
        let gas = around.gases.read(reader, "gas", false);
        let volume = reader.required(PLENUM_VOLUME);
        let pressure = around.ambient.pressure_or(reader, PRESSURE);
        let temperature = around.ambient.temperature_or(reader, TEMPERATURE);
        let heat = Heat::read_or(
            reader,
            "heat_transfer",
            "film",
            "free convection inside, which counts while no gas passes: one that passes stays a moment only",
        );
        let wall = Self::read_wall(reader, around, volume, (heat, TUBE));
        // Without a wall no film hangs on it.
        let posture = read_posture(reader, wall.is_some());
        Some(Self {
            volume: volume?,
            gas,
            pressure,
            temperature,
            wall,
            posture,
            overwrap: None,
        })
    }

    /// True if its wall is a liner with a lump about it.
    #[must_use]
    pub fn has_overwrap(&self) -> bool {
        self.overwrap.is_some()
    }

    fn read_wall(
        reader: &mut TableReader<'_>,
        around: &Surroundings<'_>,
        volume: Option<InputId>,
        (heat, defaults): (Heat, WallDefaults),
    ) -> Option<(Wall, InputId)> {
        // Any volume serves to read on after an error.
        let volume_m3 = volume.map_or(1e-3, |id| reader.context.inputs.nominal().si(id));
        let air = OutsideDefault::AIR;
        let wall = Wall::read(reader, heat, around.model.film, volume_m3, defaults, air);
        if wall.is_none() {
            reader.optional(DIAMETER);
        }
        let wall = wall?;
        let usual_diameter = Scaled {
            si: (4.0 * volume_m3 / (PI * SLENDERNESS)).cbrt(),
            unit: ("mm", 1e-3),
            percent: 20.0,
        };
        let diameter = reader.or_scaled(
            DIAMETER,
            usual_diameter,
            "inner length of four diameters: common practice, no source",
        );
        Some((wall, diameter))
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, gas: net::GasFill) -> net::Vessel {
        let volume_m3 = values.si(self.volume);
        let wall = self.wall.as_ref().map(|(wall, diameter)| {
            let size = Size::of_cylinder(volume_m3, values.si(*diameter), self.posture);
            wall.lower(values, size, gas.temperature_k)
        });
        let overwrap = self.overwrap.as_ref().zip(wall.as_ref());
        let overwrap =
            overwrap.map(|(overwrap, liner)| overwrap.lower(values, liner.inner_area_m2));
        net::Vessel {
            volume_m3,
            gas,
            wall,
            overwrap,
        }
    }
}
