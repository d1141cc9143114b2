//! States of every fluid computed with CoolProp by `peers/fluid_states.py`.

use serde::Deserialize;
use std::sync::OnceLock;

/// All fluids.
#[derive(Debug, Deserialize)]
struct File {
    fluids: Vec<FluidStates>,
}

/// States of one fluid.
#[derive(Debug, Deserialize)]
pub struct FluidStates {
    /// Its name.
    pub name: String,
    /// Lowest and highest temperature (K) and pressure (Pa) of the states.
    pub range: [f64; 4],
    /// Single-phase states.
    pub states: Vec<StateRow>,
    /// Liquid and vapour in equilibrium.
    pub saturation: Vec<PairRow>,
}

/// One single-phase state, in SI per kilogram.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(from = "[Option<f64>; 11]")]
pub struct StateRow {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Internal energy, J/kg.
    pub energy_j_kg: f64,
    /// Enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Heat capacity at constant volume, J/(kg K).
    pub cv_j_kg_k: f64,
    /// Heat capacity at constant pressure, J/(kg K).
    pub cp_j_kg_k: f64,
    /// Speed of sound, m/s.
    pub sound_speed_m_s: f64,
    /// Viscosity, Pa s, where the library has it.
    pub viscosity_pa_s: Option<f64>,
    /// Conductivity, W/(m K), where the library has it.
    pub conductivity_w_m_k: Option<f64>,
}

/// One equilibrium.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(from = "[f64; 6]")]
pub struct PairRow {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Density of the liquid, kg/m3.
    pub liquid_kg_m3: f64,
    /// Density of the vapour, kg/m3.
    pub vapour_kg_m3: f64,
    /// Heat of vaporisation, J/kg.
    pub heat_j_kg: f64,
    /// Surface tension, N/m.
    pub tension_n_m: f64,
}

impl From<[Option<f64>; 11]> for StateRow {
    fn from(row: [Option<f64>; 11]) -> Self {
        let [
            p,
            t,
            rho,
            u,
            h,
            s,
            cv,
            cp,
            w,
            viscosity_pa_s,
            conductivity_w_m_k,
        ] = row;
        let number = |value: Option<f64>| value.unwrap_or(f64::NAN);
        Self {
            pressure_pa: number(p),
            temperature_k: number(t),
            density_kg_m3: number(rho),
            energy_j_kg: number(u),
            enthalpy_j_kg: number(h),
            entropy_j_kg_k: number(s),
            cv_j_kg_k: number(cv),
            cp_j_kg_k: number(cp),
            sound_speed_m_s: number(w),
            viscosity_pa_s,
            conductivity_w_m_k,
        }
    }
}

impl From<[f64; 6]> for PairRow {
    fn from(row: [f64; 6]) -> Self {
        let [
            temperature_k,
            pressure_pa,
            liquid_kg_m3,
            vapour_kg_m3,
            heat_j_kg,
            tension_n_m,
        ] = row;
        Self {
            temperature_k,
            pressure_pa,
            liquid_kg_m3,
            vapour_kg_m3,
            heat_j_kg,
            tension_n_m,
        }
    }
}

/// Reads them.
///
/// # Errors
/// When the file is damaged.
pub fn fluid_states() -> Result<&'static [FluidStates], String> {
    static STATES: OnceLock<Result<File, String>> = OnceLock::new();
    let text = include_str!("../peers/fluid_states.json");
    STATES
        .get_or_init(|| serde_json::from_str(text).map_err(|e| e.to_string()))
        .as_ref()
        .map(|file| &*file.fluids)
        .map_err(Clone::clone)
}
