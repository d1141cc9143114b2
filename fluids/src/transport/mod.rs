//! Viscosity and thermal conductivity, from tables of published correlations
//! (`data/transport/TRANSPORT.md`).

mod critical;
mod gas;
mod liquid;

pub(crate) use gas::GasTransport;
pub(crate) use liquid::LiquidTransport;

use serde::Deserialize;
use std::sync::OnceLock;

use crate::FluidError;
use crate::catalogue::TransportSource;
use crate::pure::{Point, PureFluid};

const FILES: [(&str, &str); 15] = [
    (
        "nitrogen",
        include_str!("../../data/transport/nitrogen.json"),
    ),
    ("helium", include_str!("../../data/transport/helium.json")),
    ("argon", include_str!("../../data/transport/argon.json")),
    ("oxygen", include_str!("../../data/transport/oxygen.json")),
    ("air", include_str!("../../data/transport/air.json")),
    ("water", include_str!("../../data/transport/water.json")),
    ("ethanol", include_str!("../../data/transport/ethanol.json")),
    (
        "carbon dioxide",
        include_str!("../../data/transport/carbon_dioxide.json"),
    ),
    ("methane", include_str!("../../data/transport/methane.json")),
    (
        "nitrous oxide",
        include_str!("../../data/transport/nitrous_oxide.json"),
    ),
    (
        "parahydrogen",
        include_str!("../../data/transport/parahydrogen.json"),
    ),
    (
        "hydrogen",
        include_str!("../../data/transport/hydrogen.json"),
    ),
    ("propane", include_str!("../../data/transport/propane.json")),
    (
        "methanol",
        include_str!("../../data/transport/methanol.json"),
    ),
    (
        "n-dodecane",
        include_str!("../../data/transport/n-dodecane.json"),
    ),
];

/// Liquids up to this pressure, Pa, are no denser than the tables of the gases reach.
const GAS_TABLE_MAX_PA: f64 = 50e6;

/// Viscosity (Pa s) and conductivity (W/(m K)), as they stand in the files.
type Pair = [f64; 2];

#[derive(Deserialize)]
struct File {
    source: TransportSource,
    gas: Option<gas::GasData>,
    liquid: Option<liquid::LiquidData>,
    vapour: Option<liquid::VapourData>,
}

/// Transport properties of one fluid.
#[derive(Debug)]
pub(crate) enum Transport {
    /// A gas at any density.
    Gas(GasTransport),
    /// A liquid and its dilute vapour.
    Liquid(LiquidTransport),
}

impl Transport {
    /// Of the fluid of this name, read on first use.
    pub fn named(name: &str) -> Result<&'static Self, FluidError> {
        static READ: [OnceLock<Result<Transport, FluidError>>; FILES.len()] =
            [const { OnceLock::new() }; FILES.len()];
        let place = Self::place(name)?;
        READ[place]
            .get_or_init(|| Self::read(place))
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Lowest and highest temperature of the liquid, K.
    pub fn liquid_temperatures_k(&self) -> (f64, f64) {
        match self {
            Transport::Gas(gas) => gas.temperatures_k,
            Transport::Liquid(liquid) => liquid.liquid_k,
        }
    }

    /// Lowest and highest temperature of the gas, K.
    pub fn gas_temperatures_k(&self) -> (f64, f64) {
        match self {
            Transport::Gas(gas) => gas.temperatures_k,
            Transport::Liquid(liquid) => liquid.vapour_k,
        }
    }

    /// Highest pressure of the liquid above saturation, Pa.
    pub fn liquid_excess_max_pa(&self) -> f64 {
        match self {
            Transport::Gas(_) => GAS_TABLE_MAX_PA,
            Transport::Liquid(liquid) => liquid.excess_max_pa,
        }
    }

    /// Viscosity and conductivity of a liquid whose saturation pressure is known.
    pub fn of_liquid(
        &self,
        fluid: &PureFluid,
        point: &Point,
        saturation_pa: f64,
    ) -> Result<Pair, FluidError> {
        let t = point.temperature_k;
        match self {
            Transport::Gas(gas) => gas.at(fluid, point.density_kg_m3, t),
            Transport::Liquid(liquid) => liquid.liquid(t, point.pressure_pa - saturation_pa),
        }
    }

    /// Where the properties of a fluid come from.
    pub fn source(name: &str) -> Result<TransportSource, FluidError> {
        Ok(Self::parse(Self::place(name)?)?.source)
    }

    fn place(name: &str) -> Result<usize, FluidError> {
        let place = FILES.iter().position(|(known, _)| *known == name);
        place.ok_or(FluidError::NotAvailable {
            fluid: name.to_owned(),
            question: "viscosity and conductivity",
            reason: "no correlation is tabled for it",
        })
    }

    fn parse(place: usize) -> Result<File, FluidError> {
        let (name, text) = FILES[place];
        serde_json::from_str(text).map_err(|error| damaged(name, error.to_string()))
    }

    fn read(place: usize) -> Result<Self, FluidError> {
        let name = FILES[place].0;
        let file = Self::parse(place)?;
        match (file.gas, file.liquid, file.vapour) {
            (Some(gas), None, None) => Ok(Transport::Gas(GasTransport::new(name, gas))),
            (None, Some(liquid), Some(vapour)) => Ok(Transport::Liquid(LiquidTransport::new(
                name, &liquid, &vapour,
            ))),
            _ => Err(damaged(
                name,
                "it holds neither a gas nor a liquid and its vapour".to_owned(),
            )),
        }
    }
}

impl PureFluid {
    /// Viscosity, Pa s, at a density (kg/m3) and a temperature (K).
    ///
    /// # Errors
    /// Outside the table; for a vapour of water or ethanol that is not dilute.
    pub fn viscosity_pa_s(
        &self,
        density_kg_m3: f64,
        temperature_k: f64,
    ) -> Result<f64, FluidError> {
        Ok(self.transport(density_kg_m3, temperature_k)?[0])
    }

    /// Thermal conductivity, W/(m K), at a density (kg/m3) and a temperature (K).
    ///
    /// # Errors
    /// As for the viscosity.
    pub fn conductivity_w_m_k(
        &self,
        density_kg_m3: f64,
        temperature_k: f64,
    ) -> Result<f64, FluidError> {
        Ok(self.transport(density_kg_m3, temperature_k)?[1])
    }

    fn transport(&self, density: f64, t: f64) -> Result<Pair, FluidError> {
        match Transport::named(self.name())? {
            Transport::Gas(gas) => gas.at(self, density, t),
            Transport::Liquid(liquid) => liquid.at(self, density, t),
        }
    }
}

fn damaged(name: &str, message: String) -> FluidError {
    FluidError::Data {
        fluid: name.to_owned(),
        message,
    }
}

/// Refuses a value outside a table.
fn check(
    fluid: &str,
    what: &'static str,
    unit: &'static str,
    value: f64,
    range: (f64, f64),
) -> Result<(), FluidError> {
    // A grid's own end may miss its rounding.
    let slack = 1e-9 * (range.1 - range.0);
    if value >= range.0 - slack && value <= range.1 + slack {
        Ok(())
    } else {
        Err(FluidError::out_of_range(fluid, what, unit, value, range))
    }
}

/// Logarithms of a pair: both properties span decades.
fn logarithms(pair: &Pair) -> Pair {
    pair.map(f64::ln)
}
