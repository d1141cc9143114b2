//! The isentropic expansion of a real gas from stagnation, by its equation of state:
//! G = rho sqrt(2 (h0 - h(rho, s0))), greatest where 2 (h0 - h) is the speed of sound squared.
//!
//! The fluid is kept in one phase: a vapour that would condense in the nozzle does not find the
//! time to.

use crate::helmholtz::{Helmholtz, State};

/// An expansion at constant entropy.
pub(crate) struct Isentrope<'a> {
    equation: &'a Helmholtz,
    stagnation: State<'a>,
    enthalpy: f64,
    entropy: f64,
}

/// A place on an isentrope.
#[derive(Clone, Copy)]
pub(crate) struct Station<'a> {
    state: State<'a>,
    /// Velocity squared.
    square: f64,
}

impl Station<'_> {
    /// Mass flux, kg/(m2 s).
    pub fn flux(&self) -> f64 {
        self.state.density_kg_m3 * self.square.sqrt()
    }

    pub fn pressure_pa(&self) -> f64 {
        self.state.pressure_pa()
    }

    pub fn density_kg_m3(&self) -> f64 {
        self.state.density_kg_m3
    }

    /// Velocity squared less speed of sound squared: rises through zero as the gas expands
    /// through the throat.
    fn excess(&self) -> f64 {
        self.square - self.state.sound_speed_squared()
    }
}

/// Newton steps for the temperature at (rho, s).
const TEMPERATURE_STEPS: usize = 20;
/// Secant steps for the throat.
const THROAT_STEPS: usize = 40;

impl<'a> Isentrope<'a> {
    /// From a density (kg/m3) and temperature (K) at rest.
    pub fn new(equation: &'a Helmholtz, density: f64, t: f64) -> Self {
        let stagnation = equation.state(density, t);
        Isentrope {
            equation,
            enthalpy: stagnation.enthalpy_j_kg(),
            entropy: stagnation.entropy_j_kg_k(),
            stagnation,
        }
    }

    /// Where the gas has expanded to a density; `None` where the equation gives no stable state.
    /// The search for T starts from a neighbour, along dT/d rho = T (dp/dT)/(rho^2 cv).
    pub fn at(&self, density: f64, from: Option<&Station<'a>>) -> Option<Station<'a>> {
        let near = from.map_or(&self.stagnation, |station| &station.state);
        let exponent = near.pressure_by_temperature() / (near.density_kg_m3 * near.cv_j_kg_k());
        let mut t = near.temperature_k * (density / near.density_kg_m3).powf(exponent);
        for _ in 0..TEMPERATURE_STEPS {
            let state = self.equation.state(density, t);
            let step = (self.entropy - state.entropy_j_kg_k()) * t / state.cv_j_kg_k();
            if step.abs() < 1e-7 * t {
                // Enthalpy and pressure move with the small last step.
                let state = self.equation.state(density, t + step);
                let square = 2.0 * (self.enthalpy - state.enthalpy_j_kg());
                return (state.pressure_by_density() > 0.0).then_some(Station { state, square });
            }
            t += step.clamp(-0.3 * t, 0.3 * t);
        }
        None
    }

    /// The throat of choked flow, by the secant method in ln rho.
    pub fn throat(&self) -> Option<Station<'a>> {
        let rest = &self.stagnation;
        // An ideal gas of k = 1.4 reaches its throat at 0.634 of the density.
        let mut here = self.at(0.66 * rest.density_kg_m3, None)?;
        let mut last = (rest.density_kg_m3.ln(), -rest.sound_speed_squared());
        for _ in 0..THROAT_STEPS {
            let (log, excess) = (here.density_kg_m3().ln(), here.excess());
            let step = -excess * (log - last.0) / (excess - last.1);
            if step.abs() < 1e-7 {
                return Some(here);
            }
            last = (log, excess);
            let next = (log + step.clamp(-0.25, 0.25)).exp();
            here = self.at(next.min(0.999 * rest.density_kg_m3), Some(&here))?;
        }
        None
    }
}

/// Density (kg/m3) of a gas at p and T, from a guess on the side of the thin gas or near by.
pub(crate) fn gas_density(equation: &Helmholtz, p: f64, t: f64, guess: f64) -> Option<f64> {
    let mut density = guess;
    for _ in 0..50 {
        let state = equation.state(density, t);
        let slope = state.pressure_by_density();
        if slope <= 0.0 {
            return None;
        }
        let step = (p - state.pressure_pa()) / slope;
        density += step.clamp(-0.3 * density, 0.2 * density);
        // What is left is the square of the step.
        if step.abs() < 1e-7 * density {
            return Some(density);
        }
    }
    None
}
