//! Properties of a layer's gas, kept while what it holds is the same: the rates of a state and
//! each pass of their derivatives ask for them at the same numbers.

use fluids::{Derived, FilmProperties, FluidError, GasMixture, GasState, MAX_SPECIES};

/// Part by which contents and temperature may have changed for the slopes to lead to the new ones.
const NEAR: f64 = 0.05;

/// Properties with the contents at which they hold.
#[derive(Clone, Copy, Debug)]
pub struct LayerProperties {
    /// Species densities, kg/m3, and energy density, J/m3; not numbers where nothing is known.
    density: [f64; MAX_SPECIES],
    energy: f64,
    state: GasState,
    /// Film properties.
    pub film: FilmProperties,
    /// Heat-capacity ratio as of an ideal gas, by mass fraction and temperature.
    pub heat_capacity_ratio: Derived,
}

impl LayerProperties {
    /// Nothing known yet.
    #[must_use]
    pub fn none() -> Self {
        Self {
            density: [f64::NAN; MAX_SPECIES],
            energy: f64::NAN,
            state: GasState::default(),
            film: FilmProperties::default(),
            heat_capacity_ratio: Derived::default(),
        }
    }

    /// Looks up all properties at species densities (kg/m3) and energy density (J/m3), unless
    /// they are known; answers the state.
    ///
    /// # Errors
    /// When the gas is outside its valid range; nothing is known then.
    pub fn look_up(
        &mut self,
        mixture: &GasMixture,
        density: &[f64],
        energy: f64,
    ) -> Result<GasState, FluidError> {
        if self.energy == energy && self.density[..density.len()] == *density {
            return Ok(self.state);
        }
        let near = self.foreseen(density, energy);
        self.energy = f64::NAN;
        self.state = match near {
            Some(temperature_k) => mixture.state_near(density, energy, temperature_k)?,
            None => mixture.state(density, energy)?,
        };
        let t = self.state.temperature_k.value;
        self.film = mixture.film(density, t)?;
        let total: f64 = density.iter().sum();
        let mut fraction = [0.0; MAX_SPECIES];
        for (fraction, density) in fraction.iter_mut().zip(density) {
            *fraction = density / total;
        }
        self.heat_capacity_ratio = mixture.heat_capacity_ratio(&fraction[..density.len()], t);
        self.density[..density.len()].copy_from_slice(density);
        self.energy = energy;
        Ok(self.state)
    }

    /// Temperature by the slopes of what is known, K, unless the contents are far from that.
    fn foreseen(&self, density: &[f64], energy: f64) -> Option<f64> {
        let known = &self.state.temperature_k;
        let (mut total, mut apart) = (0.0, 0.0);
        let mut rise = known.by_energy * (energy - self.energy);
        for ((new, old), slope) in density.iter().zip(&self.density).zip(&known.by_density) {
            total += old;
            apart += (new - old).abs();
            rise += slope * (new - old);
        }
        let is_near = apart < NEAR * total && rise.abs() < NEAR * known.value;
        is_near.then_some(known.value + rise)
    }
}
