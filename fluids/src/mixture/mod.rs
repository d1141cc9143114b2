//! A mixture of gases: the one face through which the network sees what its volumes hold.

mod species;

use std::sync::Arc;

use shared::Scalar;

pub use species::SpeciesSpec;
use species::{Model, Species};

use crate::nozzle::{self, Operation, ideal_gas_flux};
use crate::{Derived, FilmProperties, FluidError, GasPoint, GasState, NozzleFlux, PureFluid};
use crate::{MAX_SPECIES, PropertyMode};

/// A fixed list of species. Cheap to clone.
#[derive(Clone, Debug)]
pub struct GasMixture {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    species: Vec<Species>,
    /// Names joined, for messages.
    label: String,
    gas_constant_j_kg_k: [f64; MAX_SPECIES],
}

impl GasMixture {
    /// A mixture of one to [`MAX_SPECIES`] different species.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`]; [`FluidError::InvalidMixture`] for none, too many or the
    /// same species twice; [`FluidError::OutOfRange`] for an impossible perfect gas.
    pub fn new(species: &[SpeciesSpec], _mode: PropertyMode) -> Result<Self, FluidError> {
        let species = species
            .iter()
            .map(Species::new)
            .collect::<Result<Vec<_>, _>>()?;
        check_list(&species)?;
        let mut gas_constant_j_kg_k = [0.0; MAX_SPECIES];
        for (r, species) in gas_constant_j_kg_k.iter_mut().zip(&species) {
            *r = species.gas_constant_j_kg_k();
        }
        let names: Vec<&str> = species.iter().map(|s| s.name.as_str()).collect();
        Ok(GasMixture {
            inner: Arc::new(Inner {
                label: names.join(" + "),
                species,
                gas_constant_j_kg_k,
            }),
        })
    }

    fn species(&self) -> &[Species] {
        &self.inner.species
    }

    /// Number of species.
    #[must_use]
    #[allow(clippy::len_without_is_empty)] // a mixture of nothing cannot be built
    pub fn len(&self) -> usize {
        self.species().len()
    }

    /// Name of a species; empty beyond the list.
    #[must_use]
    pub fn name(&self, k: usize) -> &str {
        self.species().get(k).map_or("", |s| &s.name)
    }

    /// Place of the species of this name.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.species().iter().position(|s| s.name == name)
    }

    /// Molar mass of a species, kg/mol; not a number beyond the list.
    #[must_use]
    pub fn molar_mass_kg_mol(&self, k: usize) -> f64 {
        self.species()
            .get(k)
            .map_or(f64::NAN, |s| s.molar_mass_kg_mol)
    }

    /// The equation of state of a species that has one.
    #[must_use]
    pub fn pure(&self, _k: usize) -> Option<&Arc<PureFluid>> {
        None
    }

    /// What was assumed for want of data, one sentence each.
    #[must_use]
    pub fn assumptions(&self) -> Vec<String> {
        let perfect = self.species().iter().map(|s| {
            format!(
                "{}: perfect gas, viscosity of nitrogen at 300 K, conductivity by Eucken's formula",
                s.name
            )
        });
        perfect.collect()
    }

    /// Pressure and temperature of a volume from its species densities (kg/m3) and internal
    /// energy per volume (J/m3). The same input gives the same bytes; the result is smooth. A
    /// species of density zero is skipped: its partials are those of an ideal gas. Densities
    /// may be negative by rounding.
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`].
    pub fn state(&self, density_kg_m3: &[f64], energy_j_m3: f64) -> Result<GasState, FluidError> {
        let (mut capacity, mut constant) = (0.0, 0.0);
        for (species, &rho) in self.species().iter().zip(density_kg_m3) {
            let Model::Perfect(gas) = &species.model;
            capacity += rho * gas.cv_j_kg_k();
            constant += rho * gas.gas_constant_j_kg_k;
        }
        let t = energy_j_m3 / capacity;
        self.check_positive("temperature", "K", t)?;
        let mut state = GasState::default();
        state.temperature_k.value = t;
        state.temperature_k.by_energy = 1.0 / capacity;
        state.pressure_pa.value = constant * t;
        state.pressure_pa.by_energy = constant / capacity;
        for (k, species) in self.species().iter().enumerate() {
            let Model::Perfect(gas) = &species.model;
            let by_density = -t * gas.cv_j_kg_k() / capacity;
            state.temperature_k.by_density[k] = by_density;
            state.pressure_pa.by_density[k] = gas.gas_constant_j_kg_k * t + constant * by_density;
        }
        Ok(state)
    }

    /// The state at a pressure, temperature and mole fractions (scaled to sum to one).
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`].
    pub fn at(
        &self,
        pressure_pa: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<GasPoint, FluidError> {
        self.check_positive("pressure", "Pa", pressure_pa)?;
        self.check_positive("temperature", "K", temperature_k)?;
        let mass_fraction = self.mass_fractions(mole_fractions)?;
        let mut point = GasPoint {
            compressibility: 1.0,
            ..GasPoint::default()
        };
        let constant = self.gas_constant(&mass_fraction);
        let density = pressure_pa / (constant * temperature_k);
        for (k, species) in self.species().iter().enumerate() {
            let Model::Perfect(gas) = &species.model;
            let w = mass_fraction[k];
            point.density_kg_m3[k] = w * density;
            point.energy_j_m3 += w * density * gas.cv_j_kg_k() * temperature_k;
            point.heat_capacity_j_kg_k += w * gas.cp_j_kg_k();
            if w > 0.0 {
                let partial_pa = w * density * gas.gas_constant_j_kg_k * temperature_k;
                point.entropy_j_kg_k += w * gas.entropy_j_kg_k(temperature_k, partial_pa);
            }
        }
        point.enthalpy_j_kg = point.heat_capacity_j_kg_k * temperature_k;
        let ratio = point.heat_capacity_j_kg_k / (point.heat_capacity_j_kg_k - constant);
        point.sound_speed_m_s = (ratio * constant * temperature_k).sqrt();
        Ok(point)
    }

    /// Mass fractions from mole fractions that need not be normalised.
    fn mass_fractions(&self, mole_fractions: &[f64]) -> Result<[f64; MAX_SPECIES], FluidError> {
        let mut mass = [0.0; MAX_SPECIES];
        for (k, species) in self.species().iter().enumerate() {
            mass[k] = species.molar_mass_kg_mol * mole_fractions.get(k).copied().unwrap_or(0.0);
        }
        let total: f64 = mass.iter().sum();
        self.check_positive("sum of the mole fractions", "", total)?;
        Ok(mass.map(|m| m / total))
    }

    fn gas_constant(&self, mass_fraction: &[f64]) -> f64 {
        let constants = &self.inner.gas_constant_j_kg_k;
        mass_fraction
            .iter()
            .zip(constants)
            .map(|(w, r)| w * r)
            .sum()
    }

    /// Film properties at species densities (kg/m3) and a temperature (K).
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`].
    pub fn film(
        &self,
        density_kg_m3: &[f64],
        temperature_k: f64,
    ) -> Result<FilmProperties, FluidError> {
        self.check_positive("temperature", "K", temperature_k)?;
        let moles = |k: usize| density_kg_m3[k] / self.species()[k].molar_mass_kg_mol;
        let present = 0..self.len().min(density_kg_m3.len());
        let total_moles: f64 = present.clone().map(moles).sum();
        let density: f64 = density_kg_m3.iter().sum();
        self.check_positive("density", "kg/m3", density)?;
        let (mut k_mean, mut mu, mut cp) = (0.0, 0.0, 0.0);
        for k in present.clone() {
            let Model::Perfect(gas) = &self.species()[k].model;
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
            let Model::Perfect(gas) = &self.species()[k].model;
            let x_by = 1.0 / (self.species()[k].molar_mass_kg_mol * total_moles);
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

    /// Isentropic nozzle mass flux from stagnation pressure, temperature and mass fractions to
    /// a back pressure not above p0. See [`NozzleFlux`].
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`].
    pub fn nozzle_flux(
        &self,
        mass_fraction: &[f64],
        p0_pa: f64,
        t0_k: f64,
        p_back_pa: f64,
    ) -> Result<NozzleFlux, FluidError> {
        self.check_positive("stagnation pressure", "Pa", p0_pa)?;
        self.check_positive("stagnation temperature", "K", t0_k)?;
        self.check_positive("sum of the mass fractions", "", mass_fraction.iter().sum())?;
        if !(0.0..=p0_pa).contains(&p_back_pa) {
            return Err(self.out_of_range("back pressure", p_back_pa, "Pa", 0.0, p0_pa));
        }
        let operation = Operation::new(p0_pa, t0_k, p_back_pa);
        let mut fluxes = [None; MAX_SPECIES];
        for (k, species) in self.species().iter().enumerate() {
            if mass_fraction.get(k).is_some_and(|&w| w != 0.0) {
                let Model::Perfect(gas) = &species.model;
                let ratio = Scalar::constant(gas.heat_capacity_ratio);
                fluxes[k] = Some(ideal_gas_flux(&operation, gas.gas_constant_j_kg_k, ratio));
            }
        }
        let constants = &self.inner.gas_constant_j_kg_k;
        Ok(nozzle::join(&operation, mass_fraction, &fluxes, constants))
    }

    /// Ideal-gas heat capacity ratio; the partials by species are by mass fraction.
    #[must_use]
    pub fn heat_capacity_ratio(&self, mass_fraction: &[f64], _temperature_k: f64) -> Derived {
        let constant = self.gas_constant(mass_fraction);
        let mut cp = 0.0;
        for (species, w) in self.species().iter().zip(mass_fraction) {
            let Model::Perfect(gas) = &species.model;
            cp += w * gas.cp_j_kg_k();
        }
        let cv = cp - constant;
        let mut ratio = Derived {
            value: cp / cv,
            ..Derived::default()
        };
        for (k, species) in self.species().iter().enumerate() {
            let Model::Perfect(gas) = &species.model;
            ratio.by_density[k] =
                (cp * gas.gas_constant_j_kg_k - constant * gas.cp_j_kg_k()) / (cv * cv);
        }
        ratio
    }

    /// Enthalpy (J/kg) of a species as a dilute gas, and its slope by temperature; not numbers
    /// beyond the list.
    #[must_use]
    pub fn vapour_enthalpy(&self, k: usize, temperature_k: f64) -> (f64, f64) {
        let Some(species) = self.species().get(k) else {
            return (f64::NAN, f64::NAN);
        };
        let Model::Perfect(gas) = &species.model;
        (gas.cp_j_kg_k() * temperature_k, gas.cp_j_kg_k())
    }

    fn check_positive(
        &self,
        what: &'static str,
        unit: &'static str,
        value: f64,
    ) -> Result<(), FluidError> {
        if !value.is_finite() {
            return Err(FluidError::NotFinite {
                fluid: self.inner.label.clone(),
                what,
                value,
            });
        }
        if value <= 0.0 {
            return Err(self.out_of_range(what, value, unit, 0.0, f64::INFINITY));
        }
        Ok(())
    }

    fn out_of_range(
        &self,
        what: &'static str,
        value: f64,
        unit: &'static str,
        low: f64,
        high: f64,
    ) -> FluidError {
        FluidError::OutOfRange {
            fluid: self.inner.label.clone(),
            what,
            value,
            unit,
            low,
            high,
        }
    }
}

fn check_list(species: &[Species]) -> Result<(), FluidError> {
    let refuse = |message| Err(FluidError::InvalidMixture { message });
    if species.is_empty() || species.len() > MAX_SPECIES {
        return refuse(format!(
            "it lists {} species; list 1 to {MAX_SPECIES}",
            species.len()
        ));
    }
    for (k, one) in species.iter().enumerate() {
        if species[..k].iter().any(|other| other.name == one.name) {
            return refuse(format!("\"{}\" is listed twice; list it once", one.name));
        }
    }
    Ok(())
}
