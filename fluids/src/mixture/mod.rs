//! A mixture of gases: the one face through which the network sees what its volumes hold.

mod balance;
mod dilution;
mod film;
mod flux;
mod minor;
mod multi_fluid;
mod pairs;
mod point;
mod reducing;
mod species;
mod state;

use std::sync::Arc;

use balance::Balance;
use dilution::Dilution;
pub(crate) use minor::MinorTable;
use multi_fluid::MultiFluid;
use reducing::PerSpecies;
pub use species::SpeciesSpec;
use species::{Model, Species};

use crate::transport::Transport;
use crate::{Derived, FilmProperties, FluidError, GasPoint, GasState, NozzleFlux, PureFluid};
use crate::{MAX_SPECIES, PropertyMode};

/// A fixed list of species. Cheap to clone.
#[derive(Clone, Debug)]
pub struct GasMixture {
    inner: Arc<Inner>,
    /// Part of the upstream pressure below which the square root of a drop is regularised, where
    /// that is more than the usual 100 Pa.
    smoothing: f64,
}

#[derive(Debug)]
struct Inner {
    species: Vec<Species>,
    real: MultiFluid,
    dilution: Dilution,
    mode: PropertyMode,
    /// Names joined, for messages.
    label: String,
}

impl GasMixture {
    /// A mixture of one to [`MAX_SPECIES`] different species. The mode says how a volume that
    /// holds one real gas is looked up; several are always solved from the equations of state.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`]; [`FluidError::InvalidMixture`] for none, too many or the
    /// same species twice; [`FluidError::OutOfRange`] for an impossible perfect gas.
    pub fn new(species: &[SpeciesSpec], mode: PropertyMode) -> Result<Self, FluidError> {
        let species = species
            .iter()
            .map(Species::new)
            .collect::<Result<Vec<_>, _>>()?;
        check_list(&species)?;
        let mut fluids = [const { None }; MAX_SPECIES];
        for (slot, species) in fluids.iter_mut().zip(&species) {
            *slot = species.fluid().cloned();
        }
        let names: Vec<&str> = species.iter().map(|s| s.name.as_str()).collect();
        Ok(GasMixture {
            inner: Arc::new(Inner {
                label: names.join(" + "),
                real: MultiFluid::new(fluids)?,
                dilution: Dilution::default(),
                species,
                mode,
            }),
            smoothing: 0.0,
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

    /// The fluid behind a species that has an equation of state.
    #[must_use]
    pub fn pure(&self, k: usize) -> Option<&Arc<PureFluid>> {
        self.species().get(k)?.fluid()
    }

    /// Highest temperature of a species' viscosity and conductivity, K, from which on
    /// [`film`](Self::film) leads them on; none if it has constant ones.
    #[must_use]
    pub fn film_up_to_k(&self, k: usize) -> Option<f64> {
        let transport = Transport::named(self.pure(k)?.name()).ok()?;
        Some(transport.gas_temperatures_k().1)
    }

    /// What was assumed for want of data, one sentence each.
    #[must_use]
    pub fn assumptions(&self) -> Vec<String> {
        let perfect = self.species().iter().filter_map(Species::assumption);
        perfect.chain(self.inner.real.assumptions()).collect()
    }

    /// Pressure and temperature of a volume from its species densities (kg/m3) and internal
    /// energy per volume (J/m3). The same input gives the same bytes; the result is smooth. A
    /// species of density zero is skipped: its partials are those of an ideal gas. Densities
    /// may be negative by rounding.
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`]; [`FluidError::NoGas`] where a part would condense.
    pub fn state(&self, density_kg_m3: &[f64], energy_j_m3: f64) -> Result<GasState, FluidError> {
        let density = self.per_species(density_kg_m3);
        self.inner.state(&density, energy_j_m3, None)
    }

    /// As [`GasMixture::state`], given a temperature (K) close by, as that of a moment ago: half the work
    /// where gases are mixed above their critical temperatures, below which it is not made use of.
    ///
    /// # Errors
    /// As [`GasMixture::state`].
    pub fn state_near(
        &self,
        density_kg_m3: &[f64],
        energy_j_m3: f64,
        temperature_k: f64,
    ) -> Result<GasState, FluidError> {
        let density = self.per_species(density_kg_m3);
        self.inner.state(&density, energy_j_m3, Some(temperature_k))
    }

    fn per_species(&self, density_kg_m3: &[f64]) -> PerSpecies {
        let mut density = [0.0; MAX_SPECIES];
        for (slot, &rho) in density.iter_mut().zip(density_kg_m3).take(self.len()) {
            *slot = rho;
        }
        density
    }

    /// The state at a pressure, temperature and mole fractions (scaled to sum to one).
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`], [`FluidError::NoSolution`].
    pub fn at(
        &self,
        pressure_pa: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<GasPoint, FluidError> {
        self.inner.point(pressure_pa, temperature_k, mole_fractions)
    }

    /// The state at a density of the whole, temperature and mole fractions (scaled to sum to one).
    ///
    /// # Errors
    /// [`FluidError::NotFinite`], [`FluidError::OutOfRange`]; [`FluidError::NoSolution`] where a
    /// part of a pure gas is liquid.
    pub fn at_density(
        &self,
        density_kg_m3: f64,
        temperature_k: f64,
        mole_fractions: &[f64],
    ) -> Result<GasPoint, FluidError> {
        self.inner
            .point_at_density(density_kg_m3, temperature_k, mole_fractions)
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
        self.inner.film(density_kg_m3, temperature_k)
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
        self.inner
            .flux(mass_fraction, p0_pa, t0_k, p_back_pa, self.smoothing)
    }

    /// The same gas, its square roots of a vanishing pressure drop regularised below this part of the
    /// upstream pressure (below 100 Pa if that is more). A drop that a solver knows only to that part
    /// changes its sign from step to step, and the slope of the root with it.
    #[must_use]
    pub fn smoothed(&self, part: f64) -> Self {
        Self {
            inner: self.inner.clone(),
            smoothing: part,
        }
    }

    /// That part.
    #[must_use]
    pub fn smoothing(&self) -> f64 {
        self.smoothing
    }

    /// Ideal-gas heat capacity ratio; the partials by species are by mass fraction.
    #[must_use]
    pub fn heat_capacity_ratio(&self, mass_fraction: &[f64], temperature_k: f64) -> Derived {
        self.inner.heat_capacity_ratio(mass_fraction, temperature_k)
    }

    /// Enthalpy (J/kg) of a species as a dilute gas, and its slope by temperature; not numbers
    /// beyond the list.
    #[must_use]
    pub fn vapour_enthalpy(&self, k: usize, temperature_k: f64) -> (f64, f64) {
        let Some(species) = self.species().get(k) else {
            return (f64::NAN, f64::NAN);
        };
        let (ideal, r) = (species.ideal(temperature_k), species.gas_constant_j_kg_k);
        (ideal.value + r * temperature_k, ideal.slope + r)
    }
}

/// What a mixture is refused for that is no longer one phase.
pub const STABILITY: &str = "dp/d rho at constant temperature";

/// Less of a species than this share of the whole mass is a trace: an ideal gas among the one
/// real gas that there is, to first order. What that neglects, its interaction, is a tenth of it
/// or so, as little as the lookup of the real gas is good to.
const TRACE: f64 = 1e-8;

impl Inner {
    /// The only species of which there is more than a trace, if there is only one, and its model.
    fn only(&self, shares: &PerSpecies) -> Option<(usize, &Model)> {
        let least = TRACE * shares.iter().sum::<f64>();
        let mut present = (0..self.species.len()).filter(|&k| shares[k].abs() > least);
        let alone = present.next().filter(|_| present.next().is_none());
        alone.map(|k| (k, &self.species[k].model))
    }

    /// Whether a state is one that the equations hold for: stable, and not colder than the
    /// coldest gas of which there is most.
    fn check_range(&self, density: &PerSpecies, at: &Balance, t: f64) -> Result<(), FluidError> {
        self.check_positive("temperature", "K", t)?;
        let most = (0..self.species.len()).max_by(|&a, &b| {
            let moles = |k: usize| density[k] / self.species[k].molar_mass_kg_mol;
            moles(a).total_cmp(&moles(b))
        });
        if let Some(Model::Real(fluid)) = most.map(|k| &self.species[k].model) {
            let limits = fluid.limits();
            if !(limits.t_min_k..=limits.t_max_k).contains(&t) {
                return Err(self.out_of_range(
                    "temperature",
                    "K",
                    t,
                    limits.t_min_k,
                    limits.t_max_k,
                ));
            }
        }
        self.check_positive(STABILITY, "J/kg", point::total(density, at))
    }

    fn check_finite(&self, what: &'static str, value: f64) -> Result<(), FluidError> {
        if value.is_finite() {
            return Ok(());
        }
        Err(FluidError::NotFinite {
            fluid: self.label.clone(),
            what,
            value,
        })
    }

    fn check_positive(
        &self,
        what: &'static str,
        unit: &'static str,
        value: f64,
    ) -> Result<(), FluidError> {
        self.check_finite(what, value)?;
        if value <= 0.0 {
            return Err(self.out_of_range(what, unit, value, 0.0, f64::INFINITY));
        }
        Ok(())
    }

    fn out_of_range(
        &self,
        what: &'static str,
        unit: &'static str,
        value: f64,
        low: f64,
        high: f64,
    ) -> FluidError {
        FluidError::out_of_range(&self.label, what, unit, value, (low, high))
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
