//! The gas of a volume as branches and walls see it.
//!
//! State: species masses m_k and internal energy U in a volume V; pressure and temperature
//! follow from the densities m_k/V and U/V without iteration of ours (theory 1.1).

use crate::network::Surroundings;
use fluids::{Derived, FluidError, GasMixture, GasState, MAX_SPECIES, Partials};
use shared::Scalar;

/// Potentials of a gas.
#[derive(Clone, Copy, Debug)]
pub struct GasSide<S> {
    /// Absolute pressure, Pa.
    pub pressure: S,
    /// Temperature, K.
    pub temperature: S,
    /// Density, kg/m3.
    pub density: S,
    /// Specific enthalpy, J/kg.
    pub enthalpy: S,
    /// Density of each species, kg/m3.
    pub partial_density: [S; MAX_SPECIES],
    /// Mass fraction of each species.
    pub fraction: [S; MAX_SPECIES],
}

impl<S: Scalar> GasSide<S> {
    /// The open air as a gas of a mixture: its air if it lists air, else its first species.
    ///
    /// # Errors
    /// When the surroundings are outside the fluids' valid range.
    pub fn open_air(mixture: &GasMixture, around: &Surroundings) -> Result<Self, FluidError> {
        let mut fractions = vec![0.0; mixture.len()];
        fractions[mixture.index_of("air").unwrap_or(0)] = 1.0;
        let (pressure_pa, kelvin) = (around.pressure_pa, around.temperature_k);
        Self::constant(mixture, pressure_pa, kelvin, &fractions)
    }

    /// From what a volume holds.
    ///
    /// # Errors
    /// When the state is outside the fluids' valid range.
    pub fn from_contents(
        mixture: &GasMixture,
        mass: &[S],
        energy: S,
        volume: S,
    ) -> Result<Self, FluidError> {
        Self::looked_up(mixture.len(), mass, energy, volume, |density, energy| {
            mixture.state(density, energy)
        })
    }

    /// The same with the state from a lookup by species densities (kg/m3) and energy density
    /// (J/m3).
    ///
    /// # Errors
    /// Those of the lookup.
    pub fn looked_up(
        species: usize,
        mass: &[S],
        energy: S,
        volume: S,
        state: impl FnOnce(&[f64], f64) -> Result<GasState, FluidError>,
    ) -> Result<Self, FluidError> {
        let mut partial_density = [S::zero(); MAX_SPECIES];
        let mut density = S::zero();
        for (d, &m) in partial_density.iter_mut().zip(mass) {
            *d = m / volume;
            density += *d;
        }
        let energy_density = energy / volume;
        let state = state(&values(&partial_density)[..species], energy_density.value())?;
        let pressure = lift_state(&state.pressure_pa, &partial_density, energy_density);
        let temperature = lift_state(&state.temperature_k, &partial_density, energy_density);
        let mut fraction = [S::zero(); MAX_SPECIES];
        for (w, &d) in fraction.iter_mut().zip(&partial_density[..species]) {
            *w = d / density;
        }
        Ok(Self {
            pressure,
            temperature,
            density,
            enthalpy: (energy_density + pressure) / density,
            fraction,
            partial_density,
        })
    }

    /// A gas of constant state.
    ///
    /// # Errors
    /// When the state is outside the fluids' valid range.
    pub fn constant(
        mixture: &GasMixture,
        pressure_pa: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<Self, FluidError> {
        let point = mixture.at(pressure_pa, temperature_k, mole_fractions)?;
        let total: f64 = point.density_kg_m3.iter().sum();
        Ok(Self {
            pressure: S::constant(pressure_pa),
            temperature: S::constant(temperature_k),
            density: S::constant(total),
            enthalpy: S::constant(point.enthalpy_j_kg),
            partial_density: point.density_kg_m3.map(S::constant),
            fraction: point.density_kg_m3.map(|d| S::constant(d / total)),
        })
    }

    /// Values of the species densities, kg/m3.
    #[must_use]
    pub fn partial_density_values(&self) -> [f64; MAX_SPECIES] {
        values(&self.partial_density)
    }

    /// Values of the mass fractions.
    #[must_use]
    pub fn fraction_values(&self) -> [f64; MAX_SPECIES] {
        values(&self.fraction)
    }

    /// Lifts a property that depends on the mass fractions and the temperature.
    #[must_use]
    pub fn lift_by_fraction(&self, property: &Derived) -> S {
        lift(
            property.value,
            &property.by_density,
            &self.fraction,
            [(&self.temperature, property.by_temperature)],
        )
    }

    /// Lifts a property that depends on the species densities and the temperature.
    #[must_use]
    pub fn lift(&self, property: &Derived) -> S {
        lift(
            property.value,
            &property.by_density,
            &self.partial_density,
            [(&self.temperature, property.by_temperature)],
        )
    }
}

/// Heat-capacity ratio as of an ideal gas.
pub fn heat_capacity_ratio<S: Scalar>(mixture: &GasMixture, gas: &GasSide<S>) -> S {
    let k = mixture.heat_capacity_ratio(
        &gas.fraction_values()[..mixture.len()],
        gas.temperature.value(),
    );
    gas.lift_by_fraction(&k)
}

/// Viscosity in Pa s.
///
/// # Errors
/// When the gas is outside the range of the transport data.
pub fn viscosity<S: Scalar>(mixture: &GasMixture, gas: &GasSide<S>) -> Result<S, FluidError> {
    let densities = gas.partial_density_values();
    let film = mixture.film(&densities[..mixture.len()], gas.temperature.value())?;
    Ok(gas.lift(&film.viscosity))
}

/// Volume of gas, m3/s, that a conductance in W/K exchanges as it does heat (Lewis number 1): over
/// rho cp of an ideal gas.
pub fn volume_flow<S: Scalar>(mixture: &GasMixture, gas: &GasSide<S>, conductance: S) -> S {
    let k = heat_capacity_ratio(mixture, gas);
    conductance * gas.temperature * (k - 1.0) / (k * gas.pressure)
}

/// Values of a row of scalars.
pub fn values<S: Scalar>(row: &[S; MAX_SPECIES]) -> [f64; MAX_SPECIES] {
    row.map(Scalar::value)
}

/// Lifts a value with partials by species and by other inputs.
pub fn lift<'a, S: Scalar + 'a>(
    value: f64,
    by_species: &[f64; MAX_SPECIES],
    species: &'a [S; MAX_SPECIES],
    others: impl IntoIterator<Item = (&'a S, f64)>,
) -> S {
    let by_species = species.iter().zip(by_species.iter().copied());
    let partials = by_species.chain(others);
    S::chain(value, partials.filter(|(_, partial)| *partial != 0.0))
}

fn lift_state<S: Scalar>(
    property: &Partials,
    partial_density: &[S; MAX_SPECIES],
    energy_density: S,
) -> S {
    lift(
        property.value,
        &property.by_density,
        partial_density,
        [(&energy_density, property.by_energy)],
    )
}
