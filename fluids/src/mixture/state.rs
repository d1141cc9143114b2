//! Pressure and temperature of what a volume holds.
//!
//! One real gas is looked up in its table. Otherwise the temperature is the root of e(rho, T) =
//! e, by Newton's method from a start that depends on nothing but the input, unless one is given.
//! The last step is not evaluated again but followed to first order, so that what is left is its
//! square. Partials follow from the implicit function theorem: dT = (de - sum e_k d rho_k)/e_T,
//! dp = sum p_k d rho_k + p_T dT.

use super::Inner;
use super::balance::Balance;
use super::reducing::PerSpecies;
use super::species::Model;
use crate::{FluidError, GasState, PropertyMode, PureFluid};

/// Steps below this share of T end the search: what is left is their square, 4e-10. The partials
/// are those before the step, good to 4e-5.
const LAST_STEP: f64 = 2e-5;
/// Two or three steps do; this many is a failure.
const MAX_STEPS: usize = 30;
/// Where the search for the ideal-gas temperature starts, K.
const ROOM_K: f64 = 300.0;

impl Inner {
    /// Of a volume; of mixed gases, all above their critical temperatures, the temperature is looked for from
    /// one that is close by, if it is known.
    pub fn state(
        &self,
        density: &PerSpecies,
        energy: f64,
        near_k: Option<f64>,
    ) -> Result<GasState, FluidError> {
        if let Some((k, Model::Real(fluid))) = self.only(density) {
            let mut state = self.pure_state(k, fluid, density[k], energy)?;
            self.add_absent(|other| other != k, &mut state);
            follow_traces(|other| other != k, density, &mut state);
            return Ok(state);
        }
        let mut state = self.mixed_state(density, energy, near_k)?;
        self.add_absent(|k| density[k] == 0.0, &mut state);
        Ok(state)
    }

    /// One real gas. With u = e/rho, d/d rho at constant e is d/d rho at constant u less u/rho
    /// d/du.
    fn pure_state(
        &self,
        k: usize,
        fluid: &PureFluid,
        density: f64,
        energy: f64,
    ) -> Result<GasState, FluidError> {
        let specific = energy / density;
        let found = fluid.lookup(density, specific, self.mode)?;
        let mut state = GasState::default();
        let (p, t) = (&mut state.pressure_pa, &mut state.temperature_k);
        p.value = found.pressure_pa;
        p.by_energy = found.pressure_by_energy / density;
        p.by_density[k] = found.pressure_by_density - specific * p.by_energy;
        t.value = found.temperature_k;
        t.by_energy = found.temperature_by_energy / density;
        t.by_density[k] = found.temperature_by_density - specific * t.by_energy;
        Ok(state)
    }

    fn mixed_state(
        &self,
        density: &PerSpecies,
        energy: f64,
        near_k: Option<f64>,
    ) -> Result<GasState, FluidError> {
        self.check_finite("internal energy per volume", energy)?;
        let mut t = match near_k.filter(|&t| self.is_above_critical(density, t)) {
            Some(t) => t,
            None => self.start_temperature(density, energy)?,
        };
        for _ in 0..MAX_STEPS {
            let balance = self.balance(density, t);
            let step = (energy - balance.energy) / balance.energy_by_t;
            // A trial state may lie so far out that nothing there is a number.
            if !step.is_finite() {
                break;
            }
            if step.abs() <= LAST_STEP * t {
                self.check_range(density, &balance, t + step)?;
                return Ok(followed(&balance, t, step));
            }
            // Not `clamp`, which panics where a bound is no number.
            t += step.max(-0.5 * t).min(t);
        }
        Err(FluidError::NoGas {
            fluid: self.label.clone(),
            density_kg_m3: density.iter().sum(),
        })
    }

    /// Whether no real gas of the mixture has a liquid at T. Below that a search from nearby may follow a
    /// vapour past its dew line, where equations of state are no more than polynomials.
    fn is_above_critical(&self, density: &PerSpecies, t: f64) -> bool {
        let present = self.species.iter().zip(density);
        present
            .filter(|(_, density)| **density != 0.0)
            .all(|(species, _)| match &species.model {
                Model::Real(fluid) => t > fluid.critical_temperature_k(),
                Model::Perfect(_) | Model::Vapour(_) => true,
            })
    }

    /// Temperature from ideal mixing: ideal gases first, then the most abundant real gas by its
    /// table with the others as traces in it.
    fn start_temperature(&self, density: &PerSpecies, energy: f64) -> Result<f64, FluidError> {
        let ideal = self.ideal_temperature(density, energy)?;
        let real = (0..self.species.len())
            .filter(|&k| density[k] > 0.0)
            .filter_map(|k| match &self.species[k].model {
                Model::Real(fluid) => Some((k, fluid)),
                _ => None,
            });
        let Some((most, fluid)) = real.max_by(|(a, _), (b, _)| density[*a].total_cmp(&density[*b]))
        else {
            return Ok(ideal);
        };
        let (mut rest, mut capacity) = (energy, 0.0);
        for (k, species) in self.species.iter().enumerate() {
            if k != most && density[k] != 0.0 {
                let other = species.ideal(ideal);
                rest -= density[k] * other.value;
                capacity += density[k] * other.slope;
            }
        }
        // One Newton step on T = T_table((e - sum rho_k u_k(T))/rho), one for the residuals.
        let tabled = fluid.lookup(density[most], rest / density[most], PropertyMode::Table);
        Ok(tabled.map_or(ideal, |found| {
            let by_energy = found.temperature_by_energy / density[most];
            let weight = 1.0 / (1.0 + capacity * by_energy);
            let t = ideal + (found.temperature_k - ideal) * weight;
            t - self.residual_of_others(density, (most, fluid), t) * by_energy * weight
        }))
    }

    /// Residual energy per volume of the minor species, each as a trace in the major one.
    fn residual_of_others(&self, density: &PerSpecies, major: (usize, &PureFluid), t: f64) -> f64 {
        let others = (0..self.species.len())
            .filter(|&k| k != major.0 && density[k] != 0.0 && self.species[k].fluid().is_some());
        let residual = |k| {
            let own = self
                .dilution
                .energy_j_kg(&self.real, major, k, density[major.0], t);
            density[k] * own
        };
        others.map(residual).sum()
    }

    /// The temperature at which ideal gases would hold this energy: two Newton steps.
    fn ideal_temperature(&self, density: &PerSpecies, energy: f64) -> Result<f64, FluidError> {
        let mut t = ROOM_K;
        for _ in 0..2 {
            let (mut held, mut capacity) = (0.0, 0.0);
            for (species, rho) in self.species.iter().zip(density) {
                if *rho != 0.0 {
                    let ideal = species.ideal(t);
                    held += rho * ideal.value;
                    capacity += rho * ideal.slope;
                }
            }
            self.check_positive("heat capacity per volume", "J/(m3 K)", capacity)?;
            t += ((energy - held) / capacity).max(-0.8 * t).min(10.0 * t);
        }
        Ok(t)
    }

    /// Partials by species that are not there: the first of it would be an ideal gas.
    fn add_absent(&self, is_absent: impl Fn(usize) -> bool, state: &mut GasState) {
        let (p, t) = (&mut state.pressure_pa, &mut state.temperature_k);
        for (k, species) in self.species.iter().enumerate() {
            if is_absent(k) {
                let energy = species.ideal(t.value).value;
                t.by_density[k] = -energy * t.by_energy;
                p.by_density[k] = species.gas_constant_j_kg_k * t.value - energy * p.by_energy;
            }
        }
    }
}

/// Adds species of which there is next to nothing, to first order.
fn follow_traces(is_trace: impl Fn(usize) -> bool, density: &PerSpecies, state: &mut GasState) {
    for property in [&mut state.pressure_pa, &mut state.temperature_k] {
        let traces = property.by_density.iter().zip(density).enumerate();
        let traces = traces.filter(|&(k, _)| is_trace(k));
        property.value += traces.map(|(_, (by, rho))| by * rho).sum::<f64>();
    }
}

/// The state one small step away from an evaluated one.
fn followed(at: &Balance, t: f64, step: f64) -> GasState {
    let mut state = GasState::default();
    let (temperature, pressure) = (&mut state.temperature_k, &mut state.pressure_pa);
    temperature.value = t + step;
    temperature.by_energy = 1.0 / at.energy_by_t;
    temperature.by_density = at.energy_by_density.map(|by| -by * temperature.by_energy);
    pressure.value = at.pressure + at.pressure_by_t * step;
    pressure.by_energy = at.pressure_by_t / at.energy_by_t;
    for (k, by) in pressure.by_density.iter_mut().enumerate() {
        *by = at.pressure_by_density[k] - at.energy_by_density[k] * pressure.by_energy;
    }
    state
}
