//! Values with partial derivatives, as they cross the border of this crate.

use crate::MAX_SPECIES;

/// A value with its partials with respect to each species' density (kg/m3) and to the
/// internal energy per volume (J/m3).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Partials {
    /// The value.
    pub value: f64,
    /// With respect to each species' density.
    pub by_density: [f64; MAX_SPECIES],
    /// With respect to the energy density.
    pub by_energy: f64,
}

/// State of a gas given what a volume holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GasState {
    /// Pressure, Pa.
    pub pressure_pa: Partials,
    /// Temperature, K.
    pub temperature_k: Partials,
}

/// A value with its partials with respect to each species' share (density in kg/m3 or mass
/// fraction, as the function that returns it says) and to temperature (K).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Derived {
    /// The value.
    pub value: f64,
    /// With respect to each species' density or mass fraction.
    pub by_density: [f64; MAX_SPECIES],
    /// With respect to temperature.
    pub by_temperature: f64,
}

/// What free convection asks of a gas, as functions of species densities and temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct FilmProperties {
    /// Thermal conductivity k, W/(m K).
    pub conductivity: Derived,
    /// Dynamic viscosity mu, Pa s.
    pub viscosity: Derived,
    /// beta rho^2 cp/(mu k), s2/(m4 K): the Rayleigh number is this times g dT L^3.
    pub rayleigh_group: Derived,
    /// Prandtl number mu cp/k.
    pub prandtl: Derived,
}

/// Mass flux through an isentropic nozzle with its partials.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NozzleFlux {
    /// Mass flux in the throat, kg/(m2 s).
    pub value: f64,
    /// With respect to the stagnation pressure, kg/(m2 s Pa).
    pub by_p0: f64,
    /// With respect to the stagnation temperature, kg/(m2 s K).
    pub by_t0: f64,
    /// With respect to the back pressure, kg/(m2 s Pa).
    pub by_p_back: f64,
    /// With respect to each species' mass fraction, kg/(m2 s).
    pub by_mass_fraction: [f64; MAX_SPECIES],
    /// Whether the flux no longer depends on the back pressure.
    pub choked: bool,
    /// Ratio p_back/p0 below which it is choked.
    pub critical_ratio: f64,
}

/// Equilibrium properties of a gas at given pressure, temperature and composition.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GasPoint {
    /// Density of each species, kg/m3.
    pub density_kg_m3: [f64; MAX_SPECIES],
    /// Internal energy per volume, J/m3.
    pub energy_j_m3: f64,
    /// Specific enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Specific entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Speed of sound, m/s.
    pub sound_speed_m_s: f64,
    /// Compressibility p/(rho R T).
    pub compressibility: f64,
    /// Heat capacity at constant pressure, J/(kg K).
    pub heat_capacity_j_kg_k: f64,
}
