//! What a volume holds as a function of species densities and temperature: real gases by the
//! multi-fluid model, perfect gases beside them at their own partial pressure.

use super::Inner;
use super::multi_fluid::Balance;
use super::reducing::PerSpecies;
use super::species::Model;
use crate::MAX_SPECIES;

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

    /// Pressure and energy with their partials, those by composition turned to densities (kg/m3).
    pub fn balance(&self, density: &PerSpecies, t: f64) -> Balance {
        let mut balance = self.real.at(&self.moles(density), t);
        for (k, species) in self.species.iter().enumerate() {
            let Model::Perfect(gas) = &species.model else {
                balance.pressure_by_c[k] /= species.molar_mass_kg_mol;
                balance.energy_by_c[k] /= species.molar_mass_kg_mol;
                continue;
            };
            let (r, cv) = (gas.gas_constant_j_kg_k, gas.cv_j_kg_k());
            balance.pressure += density[k] * r * t;
            balance.pressure_by_t += density[k] * r;
            balance.energy += density[k] * cv * t;
            balance.energy_by_t += density[k] * cv;
            balance.pressure_by_c[k] = r * t;
            balance.energy_by_c[k] = cv * t;
        }
        balance
    }
}
