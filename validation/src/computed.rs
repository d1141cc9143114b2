//! End states computed with CoolProp by `peers/gas_states.py`.

use serde::Deserialize;
use std::sync::OnceLock;

/// All of them.
#[derive(Debug, Deserialize)]
pub struct GasStates {
    /// A vessel that falls from 200 to 20 bar(a), 300 K at first.
    pub discharge: Vec<Discharge>,
    /// An evacuated vessel filled from a line at 293.15 K.
    pub filling: Vec<Filling>,
    /// The same with steam of 1 MPa and 573.15 K.
    pub steam: Filling,
    /// From 200 bar(a) and 300 K to 30 bar(a).
    pub throttling: Vec<Throttling>,
    /// Isentropic nozzle at 300 K.
    pub nozzle: Vec<Nozzle>,
}

/// An emptied vessel.
#[derive(Debug, Deserialize)]
pub struct Discharge {
    /// Gas.
    pub gas: String,
    /// End temperature, K.
    pub temperature_k: f64,
    /// Mass left in it over mass at the start.
    pub mass_fraction_left: f64,
}

/// A filled vessel.
#[derive(Debug, Deserialize)]
pub struct Filling {
    /// Gas.
    pub gas: String,
    /// Pressure of the line, Pa.
    pub pressure_pa: f64,
    /// End temperature, K.
    pub temperature_k: f64,
}

/// A throttled gas.
#[derive(Debug, Deserialize)]
pub struct Throttling {
    /// Gas.
    pub gas: String,
    /// Temperature behind the throttle, K.
    pub temperature_k: f64,
}

/// A nozzle.
#[derive(Debug, Deserialize)]
pub struct Nozzle {
    /// Gas.
    pub gas: String,
    /// Stagnation pressure, Pa.
    pub pressure_pa: f64,
    /// Stagnation temperature, K.
    pub temperature_k: f64,
    /// Critical-flow function.
    pub critical_flow_function: f64,
    /// Critical pressure ratio.
    pub critical_ratio: f64,
    /// Below choking.
    pub subsonic: Vec<Subsonic>,
}

/// An unchoked nozzle.
#[derive(Debug, Deserialize)]
pub struct Subsonic {
    /// Back pressure over stagnation pressure.
    pub back_ratio: f64,
    /// Mass flux, kg/(m2 s).
    pub flux_kg_m2_s: f64,
}

/// Reads them.
///
/// # Errors
/// When the file is damaged.
pub fn gas_states() -> Result<&'static GasStates, String> {
    static STATES: OnceLock<Result<GasStates, String>> = OnceLock::new();
    let text = include_str!("../peers/gas_states.json");
    STATES
        .get_or_init(|| serde_json::from_str(text).map_err(|e| e.to_string()))
        .as_ref()
        .map_err(Clone::clone)
}
