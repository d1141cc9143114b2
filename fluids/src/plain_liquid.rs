//! Liquids without an equation of state, by correlations over temperature (`data/LIQUIDS.md`).

use serde::Deserialize;
use std::sync::OnceLock;

use crate::FluidError;
use crate::spline::{Axis, Curves};

/// Pressure at which the correlations hold, Pa.
const ATMOSPHERE_PA: f64 = 101_325.0;
/// Gas constant, J/(mol K): exact since the 2019 definition of the SI.
const GAS_CONSTANT: f64 = 8.314_462_618;

/// Density, heat capacity, ln viscosity, conductivity, ln vapour pressure, speed of sound, surface
/// tension.
const COLUMNS: usize = 7;

/// Where one property comes from.
#[derive(Clone, Debug, Deserialize, PartialEq)]
pub struct PropertySource {
    /// The property.
    pub property: String,
    /// Its source.
    pub source: String,
    /// Its error, 95 % half-width.
    pub error: String,
}

#[derive(Debug, Deserialize)]
struct LiquidData {
    name: String,
    molar_mass_kg_mol: f64,
    t_min_k: f64,
    t_max_k: f64,
    about: Vec<PropertySource>,
    rows: Vec<[f64; COLUMNS]>,
}

/// One liquid.
#[derive(Debug)]
pub(crate) struct PlainLiquid {
    pub name: String,
    pub molar_mass_kg_mol: f64,
    /// Temperatures of the correlations, K.
    pub range_k: (f64, f64),
    pub about: Vec<PropertySource>,
    curves: Curves<COLUMNS>,
}

/// Properties at a pressure and a temperature.
pub(crate) struct PlainState {
    pub density_kg_m3: f64,
    pub viscosity_pa_s: f64,
    pub conductivity_w_m_k: f64,
    pub vapour_pressure_pa: f64,
    pub vapour_density_kg_m3: f64,
    pub sound_speed_m_s: f64,
    pub surface_tension_n_m: f64,
}

fn all() -> Result<&'static [PlainLiquid], FluidError> {
    static ALL: OnceLock<Result<Vec<PlainLiquid>, String>> = OnceLock::new();
    let read = || -> Result<Vec<PlainLiquid>, String> {
        let data: Vec<LiquidData> = serde_json::from_str(include_str!("../data/liquids.json"))
            .map_err(|error| error.to_string())?;
        Ok(data.into_iter().map(PlainLiquid::new).collect())
    };
    ALL.get_or_init(read)
        .as_deref()
        .map_err(|message| FluidError::Data {
            fluid: "liquids".to_owned(),
            message: message.clone(),
        })
}

impl PlainLiquid {
    /// The liquid of this name, if it is one of these.
    pub fn find(name: &str) -> Result<Option<&'static Self>, FluidError> {
        Ok(all()?.iter().find(|liquid| liquid.name == name))
    }

    fn new(data: LiquidData) -> Self {
        let axis = Axis::new(data.t_min_k, data.t_max_k, data.rows.len() - 1);
        let rows: Vec<_> = data
            .rows
            .iter()
            .map(|row| {
                let mut row = *row;
                row[2] = row[2].ln();
                row[4] = row[4].ln();
                row
            })
            .collect();
        PlainLiquid {
            name: data.name,
            molar_mass_kg_mol: data.molar_mass_kg_mol,
            range_k: (data.t_min_k, data.t_max_k),
            about: data.about,
            curves: Curves::new(axis, &rows),
        }
    }

    /// Properties at a pressure (Pa) and a temperature (K) inside the range.
    pub fn at(&self, pressure_pa: f64, t: f64) -> PlainState {
        let [density, _, viscosity, conductivity, vapour, sound, tension] =
            self.curves.at(t).map(|jet| jet.value);
        let modulus = density * sound * sound;
        let vapour_pressure_pa = vapour.exp();
        PlainState {
            density_kg_m3: density * (1.0 + (pressure_pa - ATMOSPHERE_PA) / modulus),
            viscosity_pa_s: viscosity.exp(),
            conductivity_w_m_k: conductivity,
            vapour_pressure_pa,
            vapour_density_kg_m3: vapour_pressure_pa * self.molar_mass_kg_mol / (GAS_CONSTANT * t),
            sound_speed_m_s: sound,
            surface_tension_n_m: tension,
        }
    }

    /// Hottest liquid at a pressure, K: where it boils, or the end of the correlations. `None` if it
    /// boils everywhere.
    pub fn hottest_k(&self, pressure_pa: f64) -> Option<f64> {
        let (low, high) = self.range_k;
        let gap = |t: f64| self.at(pressure_pa, t).vapour_pressure_pa - pressure_pa;
        if gap(high) <= 0.0 {
            return Some(high);
        }
        shared::bracketed(gap, low, high, 1e-9).ok()
    }

    /// Energy, J/kg, from one temperature to another: Simpson's rule, exact for a cubic.
    pub fn rise_j_kg(&self, from_k: f64, to_k: f64) -> f64 {
        let heat = |t: f64| self.curves.at(t)[1].value;
        (to_k - from_k) / 6.0 * (heat(from_k) + 4.0 * heat(0.5 * (from_k + to_k)) + heat(to_k))
    }
}
