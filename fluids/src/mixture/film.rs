//! Film properties of a mixture.

use super::Inner;
use super::species::Model;
use crate::{FilmProperties, FluidError};

impl Inner {
    pub fn film(
        &self,
        density_kg_m3: &[f64],
        temperature_k: f64,
    ) -> Result<FilmProperties, FluidError> {
        self.check_positive("temperature", "K", temperature_k)?;
        if let Some(real) = self.species.iter().find(|s| s.fluid().is_some()) {
            return Err(FluidError::NotAvailable {
                fluid: real.name.clone(),
                question: "a film coefficient",
                reason: "no transport data are read yet; give a coefficient in W/m2K",
            });
        }
        let moles = |k: usize| density_kg_m3[k] / self.species[k].molar_mass_kg_mol;
        let present = 0..self.species.len().min(density_kg_m3.len());
        let total_moles: f64 = present.clone().map(moles).sum();
        let density: f64 = density_kg_m3.iter().sum();
        self.check_positive("density", "kg/m3", density)?;
        let (mut k_mean, mut mu, mut cp) = (0.0, 0.0, 0.0);
        for k in present.clone() {
            let Model::Perfect(gas) = &self.species[k].model else {
                continue;
            };
            let x = moles(k) / total_moles;
            k_mean += x * gas.conductivity_w_m_k();
            mu += x * gas.viscosity_pa_s();
            cp += density_kg_m3[k] / density * gas.cp_j_kg_k();
        }
        let group = density * density * cp / (temperature_k * mu * k_mean);
        let prandtl = mu * cp / k_mean;
        let mut film = FilmProperties::default();
        film.conductivity.value = k_mean;
        film.rayleigh_group.value = group;
        film.rayleigh_group.by_temperature = -group / temperature_k;
        film.prandtl.value = prandtl;
        for k in present {
            let Model::Perfect(gas) = &self.species[k].model else {
                continue;
            };
            let x_by = 1.0 / (self.species[k].molar_mass_kg_mol * total_moles);
            let by_k = x_by * (gas.conductivity_w_m_k() - k_mean);
            let by_mu = x_by * (gas.viscosity_pa_s() - mu);
            let by_cp = (gas.cp_j_kg_k() - cp) / density;
            film.conductivity.by_density[k] = by_k;
            film.prandtl.by_density[k] = prandtl * (by_mu / mu + by_cp / cp - by_k / k_mean);
            film.rayleigh_group.by_density[k] =
                group * (2.0 / density + by_cp / cp - by_mu / mu - by_k / k_mean);
        }
        Ok(film)
    }
}
