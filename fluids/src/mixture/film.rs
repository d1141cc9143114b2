//! Film properties of a mixture.
//!
//! Every species is taken at the temperature and molar density n of the whole. Conductivity,
//! viscosity and beta T are means by mole fraction, cp by mass fraction: good to some per cent
//! where heavy and light gases mix, and exact for one gas.

use super::Inner;
use super::species::{Model, Species};
use crate::transport::Transport;
use crate::{Derived, FilmProperties, FluidError, MAX_SPECIES, PureFluid};

/// A value with its derivatives by molar density and by temperature.
type Value = [f64; 3];

/// What each species contributes: conductivity, viscosity, cp, beta T.
type Parts = [Value; 4];

const CONSTANT: fn(f64) -> Value = |value| [value, 0.0, 0.0];

impl Inner {
    pub fn film(&self, density_kg_m3: &[f64], t: f64) -> Result<FilmProperties, FluidError> {
        self.check_positive("temperature", "K", t)?;
        let mut density = [0.0; MAX_SPECIES];
        for (slot, &rho) in density
            .iter_mut()
            .zip(density_kg_m3)
            .take(self.species.len())
        {
            *slot = rho;
        }
        let total: f64 = density.iter().sum();
        self.check_positive("density", "kg/m3", total)?;
        if let Some((k, Model::Real(fluid))) = self.only(&density) {
            return pure_film(fluid, k, total, t);
        }
        let moles: f64 = self.moles_of(&density);
        let mut means = Means::default();
        for (k, species) in self.species.iter().enumerate() {
            if density[k] != 0.0 {
                let parts = species.film_parts(moles, t)?;
                means.add(
                    density[k] / (species.molar_mass_kg_mol * moles),
                    density[k] / total,
                    &parts,
                );
                means.of_species[k] = parts.map(|part| part[0]);
            }
        }
        Ok(self.film_of(&density, total, moles, t, &means))
    }

    /// Molar density of the whole.
    fn moles_of(&self, density: &[f64; MAX_SPECIES]) -> f64 {
        let species = self.species.iter().zip(density);
        species.map(|(s, rho)| rho / s.molar_mass_kg_mol).sum()
    }

    /// Conductivity, Rayleigh group and Prandtl number from the means. By a species' density the
    /// means change with its share, (own - mean)/(M n) or (own - mean)/rho, and with n.
    fn film_of(
        &self,
        density: &[f64; MAX_SPECIES],
        total: f64,
        moles: f64,
        t: f64,
        means: &Means,
    ) -> FilmProperties {
        let [k, mu, cp, beta] = means.sum;
        let group = beta[0] * total * total * cp[0] / (t * mu[0] * k[0]);
        let prandtl = mu[0] * cp[0] / k[0];
        let log = |by: [f64; 4]| [by[0] / k[0], by[1] / mu[0], by[2] / cp[0], by[3] / beta[0]];
        let [lk, lmu, lcp, lbeta] = log([k[2], mu[2], cp[2], beta[2]]);
        let mut film = FilmProperties {
            conductivity: of(k[0], k[2]),
            viscosity: of(mu[0], mu[2]),
            rayleigh_group: of(group, group * (lbeta + lcp - lmu - lk - 1.0 / t)),
            prandtl: of(prandtl, prandtl * (lmu + lcp - lk)),
        };
        for (i, species) in self
            .species
            .iter()
            .enumerate()
            .filter(|(i, _)| density[*i] != 0.0)
        {
            let own = &means.of_species[i];
            let per_mole = 1.0 / (species.molar_mass_kg_mol * moles);
            let by_share = [per_mole, per_mole, 1.0 / total, per_mole];
            let by = [0, 1, 2, 3].map(|j: usize| {
                by_share[j] * (own[j] - means.sum[j][0])
                    + means.sum[j][1] / species.molar_mass_kg_mol
            });
            let [lk, lmu, lcp, lbeta] = log(by);
            film.conductivity.by_density[i] = by[0];
            film.viscosity.by_density[i] = by[1];
            film.rayleigh_group.by_density[i] = group * (lbeta + 2.0 / total + lcp - lmu - lk);
            film.prandtl.by_density[i] = prandtl * (lmu + lcp - lk);
        }
        film
    }
}

fn of(value: f64, by_temperature: f64) -> Derived {
    Derived {
        value,
        by_temperature,
        ..Derived::default()
    }
}

/// Means over the species present.
#[derive(Default)]
struct Means {
    sum: Parts,
    of_species: [[f64; 4]; MAX_SPECIES],
}

impl Means {
    fn add(&mut self, mole_fraction: f64, mass_fraction: f64, parts: &Parts) {
        let weights = [mole_fraction, mole_fraction, mass_fraction, mole_fraction];
        for ((sum, part), weight) in self.sum.iter_mut().zip(parts).zip(weights) {
            for (sum, part) in sum.iter_mut().zip(part) {
                *sum += weight * part;
            }
        }
    }
}

impl Species {
    /// Contributions at the molar density of the whole.
    fn film_parts(&self, moles: f64, t: f64) -> Result<Parts, FluidError> {
        match &self.model {
            Model::Perfect(gas) => Ok([
                CONSTANT(gas.conductivity_w_m_k()),
                CONSTANT(gas.viscosity_pa_s()),
                CONSTANT(gas.cp_j_kg_k()),
                CONSTANT(1.0),
            ]),
            Model::Real(fluid) => {
                let molar_mass = self.molar_mass_kg_mol;
                let rows = fluid.film()?.among_others(moles * molar_mass, t)?;
                Ok(rows.map(|[log, by_density, by_t]| {
                    let value = log.exp();
                    [value, value * by_density * molar_mass, value * by_t]
                }))
            }
            Model::Vapour(fluid) => self.dilute_parts(fluid, t),
        }
    }

    /// Of a vapour, which is dilute.
    fn dilute_parts(&self, fluid: &PureFluid, t: f64) -> Result<Parts, FluidError> {
        let Transport::Liquid(transport) = Transport::named(fluid.name())? else {
            return Err(FluidError::NotAvailable {
                fluid: self.name.clone(),
                question: "the film of its vapour",
                reason: "no transport table of a dilute vapour is there",
            });
        };
        let [viscosity, conductivity] = transport.minor_vapour(t)?;
        let ideal = self.ideal(t);
        Ok([
            [conductivity.value, 0.0, conductivity.slope],
            [viscosity.value, 0.0, viscosity.slope],
            [ideal.slope + self.gas_constant_j_kg_k, 0.0, ideal.curvature],
            CONSTANT(1.0),
        ])
    }
}

/// One real gas: the logarithms of the table add up.
fn pure_film(
    fluid: &PureFluid,
    k: usize,
    density: f64,
    t: f64,
) -> Result<FilmProperties, FluidError> {
    let [conductivity, viscosity, cp, beta] = fluid.film()?.at(density, t)?;
    // A product of powers of tabled values, times a factor with its derivatives of the logarithm.
    let product = |signs: [f64; 4], [factor, by_density, by_t]: Value| {
        let sum = |j: usize| {
            signs[0] * conductivity[j]
                + signs[1] * viscosity[j]
                + signs[2] * cp[j]
                + signs[3] * beta[j]
        };
        let value = factor * sum(0).exp();
        let mut derived = of(value, value * (sum(2) + by_t));
        derived.by_density[k] = value * (sum(1) + by_density);
        derived
    };
    let own = [density * density / t, 2.0 / density, -1.0 / t];
    Ok(FilmProperties {
        conductivity: product([1.0, 0.0, 0.0, 0.0], CONSTANT(1.0)),
        viscosity: product([0.0, 1.0, 0.0, 0.0], CONSTANT(1.0)),
        rayleigh_group: product([-1.0, -1.0, 1.0, 1.0], own),
        prandtl: product([-1.0, 1.0, 1.0, 0.0], CONSTANT(1.0)),
    })
}
