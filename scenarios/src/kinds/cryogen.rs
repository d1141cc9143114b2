//! What the file may say of a tank whose liquid boils below room temperature at one atmosphere: a
//! cryogen, or a liquefied gas under its own vapour.

use super::dissolution::Dissolution;
use super::inlet::Inlet;
use crate::input::{InputId, Range, Values};
use crate::kinds::heat::{Heat, OutsideDefault};
use crate::read::{Context, Key, TableReader};
use crate::tables::Ambient;
use fluids::{CompressedLiquid, GasMixture, LiquidState};
use shared::quantity::{Dimension, significant};
use shared::{Diagnostic, codes};
use sim_core::network as net;
use std::sync::Arc;

/// A liquid that boils below room temperature: what its tank has beside a plain one.
#[derive(Clone, Debug)]
pub struct Cryogen {
    /// Both phases in equilibrium.
    pub boiling: Arc<CompressedLiquid>,
    layers: InputId,
    leak: Option<InputId>,
    surface_layer: InputId,
    gas_mixing: InputId,
    liquid_mixing: InputId,
    wet_film: InputId,
    flash_time: InputId,
    inlet: Inlet,
    dissolution: Dissolution,
}

/// Temperature of a tank's liquid at the start.
#[derive(Clone, Debug)]
pub enum StartTemperature {
    /// As the file gives it.
    Given(InputId),
    /// At which it boils under a pressure.
    SaturatedAt(InputId, Arc<CompressedLiquid>),
}

const NUMBER: &[Dimension] = &[Dimension::Fraction];
const LAYERS: Key = Key::new("layers", NUMBER, Range::Positive, "12");
const LEAK: Key = Key::new("heat_leak", &[Dimension::Power], Range::NotNegative, "40 W");
const SURFACE: Key = Key::new(
    "surface_layer",
    &[Dimension::Length],
    Range::Positive,
    "12 mm",
);
const GAS_MIXING: Key = Key::new("gas_mixing", NUMBER, Range::Positive, "3");
const LIQUID_MIXING: Key = Key::new("liquid_mixing", NUMBER, Range::Positive, "2");
const WET_FILM: Key = Key::new(
    "wet_film",
    &[Dimension::HeatTransferCoefficient],
    Range::Positive,
    "500 W/m2K",
);
const FLASH: Key = Key::new("flash_time", &[Dimension::Time], Range::Positive, "1 s");
const TEMPERATURE: Key = Key::new(
    "temperature",
    &[Dimension::Temperature],
    Range::Positive,
    "90 K",
);
const SATURATED: Key = Key::new(
    "saturated_at",
    &[Dimension::Pressure],
    Range::Positive,
    "1.013 bar(a)",
);
const ULLAGE_TEMPERATURE: Key = Key::new(
    "ullage_temperature",
    &[Dimension::Temperature],
    Range::Positive,
    "95 K",
);

/// Most layers that are carried.
const MOST_LAYERS: f64 = 40.0;
/// Least number of nodes of the wall.
const WALL_NODES: usize = 12;
/// How much warmer than its liquid the gas is at the start if the file does not say.
const ULLAGE_RISE_K: f64 = 5.0;

impl Cryogen {
    /// Liquids that this is about: they boil below room temperature.
    pub const LIQUIDS: [&'static str; 8] = [
        "oxygen",
        "nitrogen",
        "argon",
        "methane",
        "propane",
        "parahydrogen",
        "nitrous oxide",
        "carbon dioxide",
    ];

    /// Keys that only its tank has.
    pub const KEYS: [&'static str; 14] = [
        "layers",
        "heat_leak",
        "surface_layer",
        "gas_mixing",
        "liquid_mixing",
        "wet_film",
        "flash_time",
        "inlet",
        "inlet_bore",
        "dissolution",
        "henry_constant",
        "saturated_at",
        "ullage_temperature",
        "insulation",
    ];

    /// Reads what it is about; none for a plain liquid.
    pub fn read(reader: &mut TableReader<'_>, liquid: &str) -> Option<Self> {
        let boils_cold = Self::LIQUIDS.contains(&liquid);
        let boiling = boils_cold.then(|| CompressedLiquid::new(liquid))?.ok()?;
        let layers = reader.or_default(
            LAYERS,
            "12",
            "layers of the ullage that move with the liquid; 1 is a mixed zone",
        );
        check_layers(reader, layers);
        Some(Self {
            boiling: Arc::new(boiling),
            layers,
            leak: reader.optional(LEAK),
            surface_layer: reader.or_default(
                SURFACE,
                "12 mm",
                "deeper than heat goes in a few minutes of still liquid",
            ),
            gas_mixing: reader.or_default(
                GAS_MIXING,
                "2 .. 6",
                "conduction between layers over that of still gas, stirred by the inlet: \
                 no source",
            ),
            liquid_mixing: reader.or_default(
                LIQUID_MIXING,
                "1 .. 4",
                "conduction below the surface over that of still liquid: no source",
            ),
            wet_film: reader.or_default(
                WET_FILM,
                "500 W/m2K ± 50 %",
                "free convection and boiling of a cryogen at its wall: common practice, no source",
            ),
            flash_time: reader.or_default(
                FLASH,
                "0.1 .. 0.9 s",
                "time in which a superheated liquid boils down to saturation: no source",
            ),
            inlet: Inlet::read(reader),
            dissolution: Dissolution::read(reader),
        })
    }

    /// Says between which pressures it is known as it boils.
    fn report_no_boiling(&self, pressure_pa: f64, reader: &mut TableReader<'_>) {
        let bar = |pa: f64| format!("{} bar(a)", significant(pa / 1e5, 4, 6));
        let (low_k, high_k) = self.boiling.temperature_range_k();
        let ends = [low_k, high_k].map(|k| {
            let end = self.boiling.saturation(k);
            end.map_or(f64::NAN, |both| both.pressure_pa.0)
        });
        let [low, high] = ends.map(bar);
        let message = format!(
            "{} that boils is known from {low} to {high}, not at {}",
            self.boiling.fluid().name(),
            bar(pressure_pa),
        );
        let remedy = format!(
            "write {} with a pressure in between, and a pressure of the tank that is as high",
            SATURATED.name
        );
        reader.error_at(SATURATED.name, &codes::FLUID_RANGE, message, remedy);
    }

    /// How many layers its ullage has.
    #[must_use]
    pub fn layer_count(&self, values: &Values<'_>) -> usize {
        values.si(self.layers).round().max(1.0) as usize
    }

    /// Finds out which gases of its mixture go into the liquid.
    pub fn settle(
        &mut self,
        mixture: &GasMixture,
        vapour: Option<usize>,
        path: &str,
        context: &mut Context,
    ) {
        if self.inlet.is_bubbled() && mixture.len() == usize::from(vapour.is_some()) {
            let liquid = mixture.name(0);
            let message = format!(
                "[{path}] lets {liquid} in by bubbles through {liquid}: they would condense on their way"
            );
            let remedy = "choose another inlet, or push with helium";
            let diagnostic = Diagnostic::error(&codes::NOT_MODELLED, message);
            context.report(diagnostic.remedy(remedy));
        }
        let liquid = self.boiling.clone();
        self.dissolution
            .settle(mixture, vapour, &liquid, path, context);
    }

    /// What the equations run on; the liquid at its start.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, liquid: Option<&LiquidState>) -> net::Cryogen {
        let layers = self.layer_count(values);
        net::Cryogen {
            boiling: self.boiling.clone(),
            layers,
            wall_nodes: layers.max(WALL_NODES),
            wet_w_m2_k: values.si(self.wet_film),
            leak_w: self.leak.map(|id| values.si(id)),
            surface_layer_m: values.si(self.surface_layer),
            gas_mixing: values.si(self.gas_mixing),
            liquid_mixing: values.si(self.liquid_mixing),
            flash_s: values.si(self.flash_time),
            inlet: self.inlet.lower(values),
            dissolving: self.dissolution.lower(values, &self.boiling, liquid),
        }
    }
}

fn check_layers(reader: &mut TableReader<'_>, layers: InputId) {
    let count = reader.context.inputs.nominal().si(layers);
    if !(1.0..=MOST_LAYERS).contains(&count) || count.fract() != 0.0 {
        let message = format!("layers = {count} is no whole number from 1 to {MOST_LAYERS}");
        let remedy = "write layers = 12; more of them change little".to_owned();
        reader.error_at(LAYERS.name, &codes::OUT_OF_RANGE, message, remedy);
    }
}

/// How a cryogenic tank is insulated, if the file says it: what the outside film is then.
pub fn read_insulation(reader: &mut TableReader<'_>) -> OutsideDefault {
    let words = [
        ("bare", OutsideDefault::AIR),
        (
            "foam",
            OutsideDefault {
                text: "1.0 W/m2K ± 40 %",
                reason: "25 mm of closed-cell foam of 0.025 W/(m K): common practice, no source",
            },
        ),
        (
            "vacuum jacket",
            OutsideDefault {
                text: "0.02 .. 0.2 W/m2K",
                reason: "vacuum with some layers of foil, supports and neck: common practice, \
                         no source",
            },
        ),
    ];
    let reason = "a bare tank frosts over; frost insulates and changes this by the hour";
    reader.word_or("insulation", &words, words[0], reason)
}

/// Refuses what a cryogenic tank cannot have.
pub fn check_heat(reader: &mut TableReader<'_>, heat: Heat) {
    if heat == Heat::Isothermal {
        let message = "the wall of a cryogenic tank cannot stay at one temperature".to_owned();
        let remedy = "write heat_transfer = \"film\", a coefficient, or \"none\"".to_owned();
        reader.error_at("heat_transfer", &codes::NOT_MODELLED, message, remedy);
    }
}

impl StartTemperature {
    /// Reads it: as it is given, or as the liquid boils under a pressure.
    pub fn read(
        reader: &mut TableReader<'_>,
        ambient: &Ambient,
        cryogen: Option<&Cryogen>,
    ) -> Self {
        let Some(cryogen) = cryogen else {
            return Self::Given(ambient.temperature_or(reader, TEMPERATURE));
        };
        reader.one_of(&[TEMPERATURE.name, SATURATED.name]);
        let given = reader.optional(TEMPERATURE);
        let saturated = ambient_or(reader, ambient, given.is_some());
        match (given, saturated) {
            (Some(id), _) => Self::Given(id),
            (None, id) => {
                let pressure_pa = reader.context.inputs.nominal().si(id);
                if cryogen.boiling.boiling_temperature_k(pressure_pa).is_err() {
                    cryogen.report_no_boiling(pressure_pa, reader);
                }
                Self::SaturatedAt(id, cryogen.boiling.clone())
            }
        }
    }

    /// The temperature, K; not a number where the liquid does not boil under the pressure.
    #[must_use]
    pub fn k(&self, values: &Values<'_>) -> f64 {
        match self {
            Self::Given(id) => values.si(*id),
            Self::SaturatedAt(id, boiling) => boiling
                .boiling_temperature_k(values.si(*id))
                .unwrap_or(f64::NAN),
        }
    }

    /// The number that says it.
    #[must_use]
    pub fn input(&self) -> InputId {
        match self {
            Self::Given(id) | Self::SaturatedAt(id, _) => *id,
        }
    }
}

fn ambient_or(reader: &mut TableReader<'_>, ambient: &Ambient, is_given: bool) -> InputId {
    match (is_given, reader.optional(SATURATED)) {
        (_, Some(id)) => id,
        (true, None) => ambient.pressure,
        (false, None) => ambient.pressure_or(reader, SATURATED),
    }
}

/// Temperature of the gas over a cryogen at the start, if the file gives it.
pub fn read_ullage_temperature(
    reader: &mut TableReader<'_>,
    cryogen: Option<&Cryogen>,
) -> Option<InputId> {
    cryogen?;
    let given = reader.optional(ULLAGE_TEMPERATURE);
    if given.is_none() {
        let path = reader.path_of(ULLAGE_TEMPERATURE.name);
        let value = format!("{ULLAGE_RISE_K} K above the liquid");
        let reason = "gas over a boiling liquid is a little warmer: common practice, no source";
        reader.context.assume(&path, value, reason);
    }
    given
}

/// Temperature of the gas at the start over a liquid of a temperature, K.
#[must_use]
pub fn ullage_temperature_k(
    given: Option<InputId>,
    cryogen: Option<&Cryogen>,
    liquid_k: f64,
    values: &Values<'_>,
) -> f64 {
    match (given, cryogen) {
        (Some(id), _) => values.si(id),
        (None, Some(_)) => liquid_k + ULLAGE_RISE_K,
        (None, None) => liquid_k,
    }
}
