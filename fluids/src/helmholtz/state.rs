//! Thermodynamic properties of one state, from the scaled derivatives of alpha.

use super::{Derivatives, Helmholtz};

/// One state (rho, T) of an equation of state with everything that its first and second
/// derivatives give. Extensive properties are per kilogram.
#[derive(Clone, Copy, Debug)]
pub struct State<'a> {
    equation: &'a Helmholtz,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    residual: Derivatives,
    ideal_t: f64,
    ideal_tt: f64,
}

impl<'a> State<'a> {
    pub(super) fn new(
        equation: &'a Helmholtz,
        density_kg_m3: f64,
        temperature_k: f64,
        residual: Derivatives,
    ) -> Self {
        let (ideal_t, ideal_tt) = equation
            .ideal
            .by_tau(equation.reducing_temperature_k / temperature_k);
        State {
            equation,
            density_kg_m3,
            temperature_k,
            residual,
            ideal_t,
            ideal_tt,
        }
    }

    fn r(&self) -> f64 {
        self.equation.gas_constant_j_kg_k
    }

    fn rt(&self) -> f64 {
        self.r() * self.temperature_k
    }

    /// Pressure, Pa.
    pub fn pressure_pa(&self) -> f64 {
        self.density_kg_m3 * self.rt() * (1.0 + self.residual.d)
    }

    /// dp/d rho at constant T, J/kg.
    pub fn pressure_by_density(&self) -> f64 {
        self.rt() * (1.0 + 2.0 * self.residual.d + self.residual.dd)
    }

    /// dp/dT at constant density, Pa/K.
    pub fn pressure_by_temperature(&self) -> f64 {
        self.density_kg_m3 * self.r() * (1.0 + self.residual.d - self.residual.dt)
    }

    /// Compressibility p/(rho R T).
    pub fn compressibility(&self) -> f64 {
        1.0 + self.residual.d
    }

    /// Internal energy, J/kg.
    pub fn internal_energy_j_kg(&self) -> f64 {
        self.rt() * (self.ideal_t + self.residual.t)
    }

    /// du/d rho at constant T, J m3/kg2.
    pub fn energy_by_density(&self) -> f64 {
        self.rt() * self.residual.dt / self.density_kg_m3
    }

    /// Enthalpy, J/kg.
    pub fn enthalpy_j_kg(&self) -> f64 {
        self.rt() * (1.0 + self.ideal_t + self.residual.t + self.residual.d)
    }

    /// Entropy, J/(kg K).
    pub fn entropy_j_kg_k(&self) -> f64 {
        self.r() * (self.ideal_t + self.residual.t - self.alpha())
    }

    /// Gibbs energy, J/kg.
    pub fn gibbs_j_kg(&self) -> f64 {
        self.rt() * (self.alpha() + 1.0 + self.residual.d)
    }

    /// Heat capacity at constant volume, J/(kg K).
    pub fn cv_j_kg_k(&self) -> f64 {
        -self.r() * (self.ideal_tt + self.residual.tt)
    }

    /// Heat capacity at constant pressure, J/(kg K).
    pub fn cp_j_kg_k(&self) -> f64 {
        let slope = self.pressure_by_temperature() / self.density_kg_m3;
        self.cv_j_kg_k() + self.temperature_k * slope * slope / self.pressure_by_density()
    }

    /// Speed of sound squared, m2/s2 (negative where the state is mechanically unstable).
    pub fn sound_speed_squared(&self) -> f64 {
        let slope = self.pressure_by_temperature() / self.density_kg_m3;
        self.pressure_by_density() + self.temperature_k * slope * slope / self.cv_j_kg_k()
    }

    fn alpha(&self) -> f64 {
        let delta = self.density_kg_m3 / self.equation.reducing_density_kg_m3;
        let tau = self.equation.reducing_temperature_k / self.temperature_k;
        self.equation.ideal.value(delta, tau) + self.residual.value
    }
}
