//! The state at a given pressure, temperature and composition.

use super::Inner;
use super::balance::Balance;
use super::reducing::PerSpecies;
use super::species::{Model, Species};
use crate::{FluidError, GasPoint, MAX_SPECIES};

/// Newton's method needs some five steps in a gas.
const MAX_STEPS: usize = 60;

impl Inner {
    pub fn point(
        &self,
        pressure_pa: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<GasPoint, FluidError> {
        self.check_positive("pressure", "Pa", pressure_pa)?;
        self.check_positive("temperature", "K", temperature_k)?;
        let mass_fraction = self.mass_fractions(mole_fractions)?;
        let density = match self.only(&mass_fraction) {
            Some((_, Model::Real(fluid))) => {
                let point = fluid.by_pressure_temperature(pressure_pa, temperature_k)?;
                point.density_kg_m3
            }
            _ => self.density(pressure_pa, temperature_k, &mass_fraction)?,
        };
        self.point_of(&mass_fraction, density, temperature_k)
    }

    pub fn point_at_density(
        &self,
        density_kg_m3: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<GasPoint, FluidError> {
        self.check_positive("density", "kg/m3", density_kg_m3)?;
        self.check_positive("temperature", "K", temperature_k)?;
        let mass_fraction = self.mass_fractions(mole_fractions)?;
        if let Some((_, Model::Real(fluid))) = self.only(&mass_fraction) {
            let point = fluid.by_density_temperature(density_kg_m3, temperature_k)?;
            if point.quality.is_some() {
                return Err(self.no_gas(format!("{density_kg_m3} kg/m3 and {temperature_k} K")));
            }
        }
        self.point_of(&mass_fraction, density_kg_m3, temperature_k)
    }

    fn point_of(
        &self,
        mass_fraction: &PerSpecies,
        density: f64,
        temperature_k: f64,
    ) -> Result<GasPoint, FluidError> {
        let densities = mass_fraction.map(|w| w * density);
        let balance = self.balance(&densities, temperature_k);
        self.check_range(&densities, &balance, temperature_k)?;
        Ok(self.describe(&densities, density, temperature_k, &balance))
    }

    /// Total density from pressure, from the side of the thin gas.
    fn density(&self, p: f64, t: f64, mass_fraction: &PerSpecies) -> Result<f64, FluidError> {
        let constant: f64 = mass_fraction
            .iter()
            .zip(&self.species)
            .map(|(w, s)| w * s.gas_constant_j_kg_k)
            .sum();
        let mut density = p / (constant * t);
        for _ in 0..MAX_STEPS {
            let densities = mass_fraction.map(|w| w * density);
            let balance = self.balance(&densities, t);
            let slope = total(mass_fraction, &balance);
            if slope <= 0.0 {
                break;
            }
            let step = (p - balance.pressure) / slope;
            density += step.max(-0.5 * density).min(0.3 * density);
            // What is left is the square of the step.
            if step.abs() < 1e-9 * density {
                return Ok(density);
            }
        }
        Err(self.no_gas(format!("{p} Pa and {t} K")))
    }

    fn no_gas(&self, state: String) -> FluidError {
        FluidError::NoSolution {
            fluid: self.label.clone(),
            task: format!("a gas at {state}"),
        }
    }

    fn describe(&self, densities: &PerSpecies, density: f64, t: f64, at: &Balance) -> GasPoint {
        let w = densities.map(|rho| rho / density);
        let constant: f64 = w
            .iter()
            .zip(&self.species)
            .map(|(w, s)| w * s.gas_constant_j_kg_k)
            .sum();
        let slope = total(&w, at);
        // T (dp/dT)^2/rho^2, which both the heat capacity and the speed of sound contain.
        let thermal = t * (at.pressure_by_t / density).powi(2);
        let cv = at.energy_by_t / density;
        let perfect: f64 = self
            .species
            .iter()
            .zip(densities)
            .map(|(s, &rho)| perfect_entropy(s, rho, t))
            .sum();
        let real = self.real.entropy(&self.moles(densities), t);
        GasPoint {
            density_kg_m3: *densities,
            energy_j_m3: at.energy,
            enthalpy_j_kg: (at.energy + at.pressure) / density,
            entropy_j_kg_k: (perfect + real) / density,
            sound_speed_m_s: (slope + thermal / cv).sqrt(),
            compressibility: at.pressure / (density * constant * t),
            heat_capacity_j_kg_k: cv + thermal / slope,
        }
    }

    /// Mass fractions from mole fractions that need not be normalised.
    fn mass_fractions(&self, mole_fractions: &[f64]) -> Result<PerSpecies, FluidError> {
        let mut mass = [0.0; MAX_SPECIES];
        for ((mass, species), x) in mass.iter_mut().zip(&self.species).zip(mole_fractions) {
            *mass = species.molar_mass_kg_mol * x;
        }
        let sum: f64 = mass.iter().sum();
        self.check_positive("sum of the mole fractions", "", sum)?;
        Ok(mass.map(|m| m / sum))
    }
}

/// dp/d rho of the whole at constant composition and temperature.
pub(super) fn total(mass_fraction: &PerSpecies, at: &Balance) -> f64 {
    mass_fraction
        .iter()
        .zip(&at.pressure_by_density)
        .map(|(w, p)| w * p)
        .sum()
}

/// Entropy per volume of a species that is a perfect gas.
fn perfect_entropy(species: &Species, density: f64, t: f64) -> f64 {
    match &species.model {
        Model::Perfect(gas) if density > 0.0 => {
            density * gas.entropy_j_kg_k(t, density * gas.gas_constant_j_kg_k * t)
        }
        _ => 0.0,
    }
}
