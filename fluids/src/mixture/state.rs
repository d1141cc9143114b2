//! Pressure and temperature of what a volume holds.
//!
//! The temperature is the root of e(rho, T) = e, by Newton's method from a start that depends on
//! nothing but the input. The last step is not evaluated again but followed to first order, so
//! that what is left is its square. Partials follow from the implicit function theorem:
//! dT = (de - sum e_k d rho_k)/e_T, dp = sum p_k d rho_k + p_T dT.

use super::Inner;
use super::multi_fluid::Balance;
use super::reducing::PerSpecies;
use crate::{FluidError, GasState};

/// Steps below this share of T end the search: their square is below rounding.
const LAST_STEP: f64 = 1e-6;
/// From a start within a few per cent three steps do; this many is a failure.
const MAX_STEPS: usize = 30;
/// Where the search for the ideal-gas temperature starts, K.
const ROOM_K: f64 = 300.0;

impl Inner {
    pub fn mixed_state(&self, density: &PerSpecies, energy: f64) -> Result<GasState, FluidError> {
        let mut t = self.start_temperature(density, energy)?;
        for _ in 0..MAX_STEPS {
            let balance = self.balance(density, t);
            let step = (energy - balance.energy) / balance.energy_by_t;
            if step.abs() <= LAST_STEP * t {
                self.check_range(density, &balance, t + step)?;
                return Ok(self.followed(density, &balance, t, step));
            }
            t += step.clamp(-0.5 * t, t);
        }
        Err(FluidError::NoSolution {
            fluid: self.label.clone(),
            task: format!("densities {density:?} kg/m3 and energy {energy} J/m3"),
        })
    }

    /// The temperature at which ideal gases would hold this energy: two Newton steps.
    fn start_temperature(&self, density: &PerSpecies, energy: f64) -> Result<f64, FluidError> {
        let mut t = ROOM_K;
        for _ in 0..2 {
            let (mut held, mut capacity) = (0.0, 0.0);
            for (species, rho) in self.species.iter().zip(density) {
                if *rho != 0.0 {
                    let ideal = species.ideal(t);
                    held += rho * ideal.energy_j_kg;
                    capacity += rho * ideal.cv_j_kg_k;
                }
            }
            self.check_positive("heat capacity per volume", "J/(m3 K)", capacity)?;
            t += ((energy - held) / capacity).clamp(-0.8 * t, 10.0 * t);
        }
        Ok(t)
    }

    /// The state one small step away from an evaluated one.
    fn followed(&self, density: &PerSpecies, at: &Balance, t: f64, step: f64) -> GasState {
        let mut state = GasState::default();
        let (temperature, pressure) = (&mut state.temperature_k, &mut state.pressure_pa);
        temperature.value = t + step;
        temperature.by_energy = 1.0 / at.energy_by_t;
        pressure.value = at.pressure + at.pressure_by_t * step;
        pressure.by_energy = at.pressure_by_t / at.energy_by_t;
        for (k, species) in self.species.iter().enumerate() {
            let (by_pressure, by_energy) = if density[k] != 0.0 {
                (at.pressure_by_c[k], at.energy_by_c[k])
            } else {
                (
                    species.gas_constant_j_kg_k * t,
                    species.ideal(t).energy_j_kg,
                )
            };
            temperature.by_density[k] = -by_energy * temperature.by_energy;
            pressure.by_density[k] = by_pressure - by_energy * pressure.by_energy;
        }
        state
    }
}
