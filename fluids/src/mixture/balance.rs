//! What a volume holds as a function of species densities and temperature: ideal gases, and on
//! top of them the residual of the real ones by the multi-fluid model.

use super::Inner;
use super::reducing::PerSpecies;
use crate::MAX_SPECIES;

/// Pressure and energy with their partials.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Balance {
    /// Pressure, Pa.
    pub pressure: f64,
    /// Energy per volume, J/m3.
    pub energy: f64,
    /// dp/dT, Pa/K.
    pub pressure_by_t: f64,
    /// Heat capacity per volume at constant volume, J/(m3 K).
    pub energy_by_t: f64,
    /// dp/d rho_k, J/kg; only of species that are present.
    pub pressure_by_density: PerSpecies,
    /// de/d rho_k, J/kg; only of species that are present.
    pub energy_by_density: PerSpecies,
}

impl Inner {
    /// Molar densities of the real gases; zero where a species is perfect.
    pub fn moles(&self, density: &PerSpecies) -> PerSpecies {
        let mut moles = [0.0; MAX_SPECIES];
        for (k, species) in self.species.iter().enumerate() {
            if species.fluid().is_some() {
                moles[k] = density[k] / species.molar_mass_kg_mol;
            }
        }
        moles
    }

    /// Pressure and energy at species densities (kg/m3) and T.
    pub fn balance(&self, density: &PerSpecies, t: f64) -> Balance {
        let mut balance = Balance::default();
        for (k, species) in self.species.iter().enumerate() {
            let (rho, r) = (density[k], species.gas_constant_j_kg_k);
            if rho == 0.0 {
                continue;
            }
            let ideal = species.ideal(t);
            balance.pressure += rho * r * t;
            balance.pressure_by_t += rho * r;
            balance.energy += rho * ideal.value;
            balance.energy_by_t += rho * ideal.slope;
            balance.pressure_by_density[k] = r * t;
            balance.energy_by_density[k] = ideal.value;
        }
        self.real.add(&self.moles(density), t, &mut balance);
        balance
    }
}
