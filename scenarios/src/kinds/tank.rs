//! A propellant tank: liquid under gas.

use super::Surroundings;
use super::cryogen::{self, Cryogen, StartTemperature};
use super::heat::{Heat, OutsideDefault, Size, Wall, WallDefaults};
use super::tank_shape::TankShape;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, Scaled, TableReader};
use crate::tables::{GasName, meant};
use fluids::Liquid;
use shared::quantity::{Dimension, Quantity, Unit};
use shared::{Diagnostic, Span, codes};
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network as net;
use std::sync::Arc;

/// A tank.
#[derive(Clone, Debug)]
pub struct Tank {
    /// Its inside.
    pub shape: TankShape,
    /// Its liquid.
    pub liquid: LiquidName,
    /// How much of it.
    pub fill: Fill,
    /// The unit in which that is written.
    pub fill_unit: Option<&'static Unit>,
    /// Gas in the ullage at the start, beside the vapour.
    pub gas: GasName,
    /// Total pressure at the start.
    pub pressure: InputId,
    /// Temperature of the liquid at the start.
    pub temperature: StartTemperature,
    /// What it has beside, if the liquid boils below room temperature.
    pub cryogen: Option<Cryogen>,
    /// How many layers its ullage has.
    pub layers: Option<usize>,
    ullage_temperature: Option<InputId>,
    /// True if the liquid's vapour is carried in the ullage.
    pub has_vapour: bool,
    wall: Option<Wall>,
    interface: Heat,
    interface_multiplier: InputId,
    residual: InputId,
    dips: bool,
}

/// A liquid that the file names.
#[derive(Clone, Debug, PartialEq)]
pub struct LiquidName {
    /// Its name.
    pub name: String,
    /// Where it stands.
    pub span: Span,
}

/// How much liquid there is at the start, as the file says it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// Its volume.
    Volume(InputId),
    /// Its mass.
    Mass(InputId),
    /// Part of the volume that is gas.
    UllageFraction(InputId),
    /// Volume that is gas.
    UllageVolume(InputId),
}

const FILL: Key = Key::new(
    "fill",
    &[Dimension::Volume, Dimension::Mass],
    Range::Positive,
    "14 L",
);
const ULLAGE: Key = Key::new(
    "ullage",
    &[Dimension::Fraction, Dimension::Volume],
    Range::Positive,
    "25 %",
);
const PRESSURE: Key = Key::new(
    "pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "0 bar(g)",
);
const RESIDUAL: Key = Key::new(
    "residual",
    &[Dimension::Volume],
    Range::NotNegative,
    "100 mL",
);

/// Whether gas is drawn in before the outlet uncovers.
const INGESTION: [(&str, bool); 2] = [("none", false), ("dip", true)];

const STEEL_TANK: WallDefaults = WallDefaults {
    kg_per_l: 0.8,
    material: "stainless steel",
    reason: "welded pressure tank, 0.8 kg per litre: common practice, no source",
};

impl Tank {
    /// Reads a tank.
    pub fn read(reader: &mut TableReader<'_>, around: &Surroundings<'_>) -> Option<Self> {
        let shape = TankShape::read(reader);
        // Any volume serves to read on after an error.
        let volume_m3 = shape
            .as_ref()
            .map_or(1e-2, |s| s.volume_m3(&reader.context.inputs.nominal()));
        let liquid = LiquidName::read(reader);
        if liquid.is_none() && reader.has("liquid") {
            reader.pass_over(&Cryogen::KEYS);
        }
        let fill_unit = Fill::unit(reader);
        let fill = Fill::read(reader);
        let gas = around.gases.read(reader, "gas", true);
        let pressure = around.ambient.pressure_or(reader, PRESSURE);
        let cryogen = liquid.as_ref().and_then(|l| Cryogen::read(reader, &l.name));
        let temperature = StartTemperature::read(reader, around.ambient, cryogen.as_ref());
        let ullage_temperature = cryogen::read_ullage_temperature(reader, cryogen.as_ref());
        let has_vapour = read_vapour(reader, liquid.as_ref(), cryogen.is_some());
        let heat = Heat::read_or(
            reader,
            "heat_transfer",
            "film",
            "free convection at the dry wall, by published correlations",
        );
        let outside = if cryogen.is_some() {
            cryogen::check_heat(reader, heat);
            cryogen::read_insulation(reader)
        } else {
            OutsideDefault::AIR
        };
        let film = around.model.film;
        let wall = Wall::read(reader, heat, film, volume_m3, STEEL_TANK, outside);
        let interface = read_interface(reader, heat);
        let left_behind = Scaled {
            si: volume_m3 * RESIDUAL_FRACTION,
            unit: match volume_m3 * RESIDUAL_FRACTION < 1e-3 {
                true => ("mL", 1e-6),
                false => ("L", 1e-3),
            },
            percent: 50.0,
        };
        let reason = "0.5 % of the volume stays behind: common practice, no source";
        let residual = reader.or_scaled(RESIDUAL, left_behind, reason);
        let dips = reader.word("ingestion", &INGESTION).unwrap_or(false);
        if dips {
            let path = reader.path_of("ingestion");
            let reason = "A. Lubin and G. S. Springer (1967; from memory): still liquid over an outlet in the middle";
            let value = "gas follows when the dip over the outlet reaches it";
            reader.context.assume(&path, value, reason);
        }
        Some(Self {
            shape: shape?,
            liquid: liquid?,
            fill: fill?,
            fill_unit,
            gas: gas?,
            pressure,
            temperature,
            layers: cryogen
                .as_ref()
                .map(|c| c.layer_count(&reader.context.inputs.nominal())),
            cryogen,
            ullage_temperature,
            has_vapour,
            wall,
            interface,
            interface_multiplier: around.model.interface,
            residual,
            dips,
        })
    }

    /// True if it exchanges heat with a wall.
    #[must_use]
    pub fn has_wall(&self) -> bool {
        self.wall.is_some()
    }

    /// Temperatures of liquid and ullage at the start, K.
    #[must_use]
    pub fn temperatures_k(&self, values: &Values<'_>) -> (f64, f64) {
        let liquid = self.temperature.k(values);
        let (given, cryogen) = (self.ullage_temperature, self.cryogen.as_ref());
        let ullage = cryogen::ullage_temperature_k(given, cryogen, liquid, values);
        (liquid, ullage)
    }

    /// Volume of liquid at the start; the liquid's density only serves a fill given as a mass.
    #[must_use]
    pub fn liquid_volume_m3(&self, values: &Values<'_>, density_kg_m3: f64) -> f64 {
        let whole = self.shape.volume_m3(values);
        match self.fill {
            Fill::Volume(id) => values.si(id),
            Fill::Mass(id) => values.si(id) / density_kg_m3,
            Fill::UllageFraction(id) => whole * (1.0 - values.si(id)),
            Fill::UllageVolume(id) => whole - values.si(id),
        }
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(
        &self,
        values: &Values<'_>,
        liquid: &Arc<Liquid>,
        vapour: Option<usize>,
        gas: net::GasFill,
    ) -> net::Tank {
        let shape = self.shape.lower(values);
        let geometry = TankGeometry::new(&shape);
        let (inner_area_m2, height_m) =
            geometry.map_or((0.0, 0.0), |g| (g.wall_m2(), g.height_m()));
        let size = Size {
            inner_area_m2,
            posture: shape.posture(),
            height_m,
        };
        let temperature_k = self.temperature.k(values);
        let state = liquid.at(temperature_k).ok();
        let density = state.as_ref().map_or(f64::NAN, |s| s.density_kg_m3);
        net::Tank {
            shape,
            liquid: liquid.clone(),
            vapour,
            liquid_volume_m3: self.liquid_volume_m3(values, density),
            liquid_temperature_k: temperature_k,
            gas,
            wall: self
                .wall
                .as_ref()
                .map(|wall| wall.lower(values, size, temperature_k)),
            interface: self.interface.lower(values),
            interface_multiplier: values.si(self.interface_multiplier),
            residual_m3: values.si(self.residual),
            dips: self.dips,
            cryogen: (self.cryogen.as_ref()).map(|c| Box::new(c.lower(values, state.as_ref()))),
        }
    }
}

/// What somebody might write for a liquid.
const LIQUID_EXAMPLE: &str = "a name, as \"water\" or \"oxygen\": pressfed fluid --list";

/// Part of a tank's volume that its outlet leaves behind.
const RESIDUAL_FRACTION: f64 = 0.005;

impl LiquidName {
    fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        reader.describe("liquid", LIQUID_EXAMPLE);
        let (node, text) = reader.required_text("liquid", "water")?;
        let Some(name) = fluids::canonical_liquid(text) else {
            let message = format!("there is no liquid \"{text}\" here");
            let known = Liquid::names();
            let listed: Vec<String> = known.iter().map(|l| format!("\"{l}\"")).collect();
            let remedy = format!("write one of {}", listed.join(", "));
            reader.context.report(
                Diagnostic::error(&codes::UNKNOWN_FLUID, message)
                    .at(&node.span, "")
                    .remedy(remedy)
                    .meant(meant(text, known)),
            );
            return None;
        };
        Some(Self {
            name: name.to_owned(),
            span: node.span.clone(),
        })
    }

    /// False if nothing but a vapour pressure is known of its vapour.
    #[must_use]
    pub fn has_vapour(&self) -> bool {
        Liquid::has_vapour(&self.name)
    }
}

impl Fill {
    /// The number that says it.
    #[must_use]
    pub fn input(self) -> InputId {
        match self {
            Self::Volume(id)
            | Self::Mass(id)
            | Self::UllageFraction(id)
            | Self::UllageVolume(id) => id,
        }
    }

    fn unit(reader: &mut TableReader<'_>) -> Option<&'static Unit> {
        let written = [FILL, ULLAGE].into_iter().find_map(|key| {
            let text = reader.entry(key.name)?.node.text()?;
            Quantity::parse(text, key.dimensions).ok()
        });
        written.map(|quantity| quantity.unit)
    }

    fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let way = reader.one_of(&[FILL.name, ULLAGE.name]);
        if way.is_none() {
            let message = format!("[{}] does not say how much liquid it holds", reader.path);
            let remedy = "add fill = \"14 L\" (or a mass), or ullage = \"25 %\"";
            let keys = [FILL.name, ULLAGE.name];
            reader.missing_any(&codes::MISSING_KEY, &keys, message, remedy.to_owned());
        }
        let fill = match Self::filled_part(reader) {
            Some(percent) => Self::refuse_part(reader, percent),
            None => Self::read_key(reader, FILL),
        };
        let ullage = Self::read_key(reader, ULLAGE);
        if way? == FILL.name { fill } else { ullage }
    }

    /// A fill in per cent, which of a tank may mean its volume or what it is filled to at most.
    fn filled_part(reader: &mut TableReader<'_>) -> Option<f64> {
        let text = reader.entry(FILL.name)?.node.text()?;
        let part = Quantity::parse(text, &[Dimension::Fraction]).ok()?;
        (part.unit.symbol == "%").then_some(100.0 * part.value)
    }

    fn refuse_part(reader: &mut TableReader<'_>, percent: f64) -> Option<Self> {
        let message = format!(
            "{} is a part of the tank; a volume or a mass is wanted",
            FILL.name
        );
        let remedy = format!(
            "write ullage = \"{} %\" in its place, the part that is gas, or {} = \"{}\"",
            (100.0 * (100.0 - percent)).round() / 100.0,
            FILL.name,
            FILL.example
        );
        reader.error_at(FILL.name, &codes::WRONG_DIMENSION, message, remedy);
        None
    }

    fn read_key(reader: &mut TableReader<'_>, key: Key) -> Option<Self> {
        let id = reader.optional(key)?;
        Some(match reader.context.inputs.get(id).dimension {
            Dimension::Mass => Self::Mass(id),
            Dimension::Fraction => Self::UllageFraction(id),
            _ if key.name == ULLAGE.name => Self::UllageVolume(id),
            _ => Self::Volume(id),
        })
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Vapour {
    None,
    Equilibrium,
    Interface,
}

fn read_vapour(
    reader: &mut TableReader<'_>,
    liquid: Option<&LiquidName>,
    is_cryogen: bool,
) -> bool {
    let words = [
        ("none", Vapour::None),
        ("equilibrium", Vapour::Equilibrium),
        ("interface", Vapour::Interface),
    ];
    let reason = "saturated at the start, and at the liquid's surface";
    if is_cryogen {
        let reason = "heat and mass balance of the liquid's surface";
        let vapour = reader.word_or("vapour", &words, words[2], reason);
        if vapour != Vapour::Interface {
            let message = "a boiling liquid always has its vapour above it".to_owned();
            let remedy = "write vapour = \"interface\" or leave it out".to_owned();
            reader.error_at("vapour", &codes::NOT_MODELLED, message, remedy);
        }
        return true;
    }
    if let Some(liquid) = liquid.filter(|l| !l.has_vapour()) {
        let reason = "no equation of state describes its vapour, which is left out of the ullage";
        if reader.word_or("vapour", &words, words[0], reason) != Vapour::None {
            let message = format!(
                "the vapour of {} is known by its pressure alone",
                liquid.name
            );
            let remedy = "write vapour = \"none\" or leave it out".to_owned();
            reader.error_at("vapour", &codes::NOT_MODELLED, message, remedy);
        }
        return false;
    }
    let vapour = reader.word_or("vapour", &words, words[1], reason);
    if vapour == Vapour::Interface {
        let message = "the full heat and mass balance of the interface is not modelled yet";
        let remedy = "write vapour = \"equilibrium\"".to_owned();
        reader.error_at("vapour", &codes::NOT_MODELLED, message.to_owned(), remedy);
    }
    vapour != Vapour::None
}

/// The surface follows the wall where nothing is said: a tank without heat transfer has none.
fn read_interface(reader: &mut TableReader<'_>, wall: Heat) -> Heat {
    match wall {
        Heat::None | Heat::Isothermal => {
            Heat::read(reader, "interface_heat_transfer").unwrap_or(Heat::None)
        }
        _ => Heat::read_or(
            reader,
            "interface_heat_transfer",
            "film",
            "free convection at the liquid's surface, by published correlations",
        ),
    }
}
