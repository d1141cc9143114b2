//! The multi-fluid model of a mixture of real gases (Kunz and Wagner, J. Chem. Eng. Data 57
//! (2012) 3032): alpha = alpha0 + sum x_k alphar_k(delta, tau) + sum x_i x_j F_ij alphar_ij(delta,
//! tau), with delta = n/n_r(x), tau = T_r(x)/T. The pure fluids' own gas constants are kept, mixed
//! by mole fraction, so that a mixture passes into its pure components without a step.

use std::sync::Arc;

use super::balance::Balance;
use super::pairs;
use super::reducing::{PerSpecies, Reducing};
use crate::helmholtz::{Derivatives, Residual};
use crate::{FluidError, MAX_SPECIES, PureFluid};

/// The real gases of a mixture, each at its place in the list.
#[derive(Clone, Debug)]
pub(super) struct MultiFluid {
    fluids: [Option<Arc<PureFluid>>; MAX_SPECIES],
    temperature: Reducing,
    volume: Reducing,
    departures: Vec<Departure>,
}

#[derive(Clone, Debug)]
struct Departure {
    i: usize,
    j: usize,
    factor: f64,
    residual: Residual,
}

/// The residual energy and how it depends on composition.
struct Residuals {
    sum: Derivatives,
    by_x: [Derivatives; MAX_SPECIES],
    /// d ln(delta)/dc and d ln(tau)/dc, m3/mol.
    delta_by_c: PerSpecies,
    tau_by_c: PerSpecies,
    x: PerSpecies,
    moles: f64,
}

impl MultiFluid {
    /// # Errors
    /// [`FluidError::Data`] if the constants of a pair are damaged.
    pub fn new(fluids: [Option<Arc<PureFluid>>; MAX_SPECIES]) -> Result<Self, FluidError> {
        let of = |value: fn(&PureFluid) -> f64| {
            let mut row = [0.0; MAX_SPECIES];
            for (slot, fluid) in row.iter_mut().zip(&fluids) {
                *slot = fluid.as_deref().map_or(0.0, value);
            }
            row
        };
        let critical_k = of(|fluid| fluid.equation().reducing_temperature_k);
        let volume =
            of(|fluid| fluid.molar_mass_kg_mol() / fluid.equation().reducing_density_kg_m3);
        let mut model = MultiFluid {
            temperature: Reducing::new(critical_k),
            volume: Reducing::new(volume),
            departures: Vec::new(),
            fluids,
        };
        for j in 0..MAX_SPECIES {
            for i in 0..j {
                let mean_k = (critical_k[i] * critical_k[j]).sqrt();
                let mean_v = (0.5 * (volume[i].cbrt() + volume[j].cbrt())).powi(3);
                model.add_pair((i, j), mean_k, mean_v)?;
            }
        }
        Ok(model)
    }

    fn add_pair(
        &mut self,
        (i, j): (usize, usize),
        mean_k: f64,
        mean_v: f64,
    ) -> Result<(), FluidError> {
        let (Some(one), Some(two)) = (&self.fluids[i], &self.fluids[j]) else {
            return Ok(());
        };
        let Some(pair) = pairs::find(one.name(), two.name())? else {
            self.temperature.add((i, j), 1.0, 1.0, mean_k);
            self.volume.add((i, j), 1.0, 1.0, mean_v);
            return Ok(());
        };
        let order = if pair.species[0] == one.name() {
            (i, j)
        } else {
            (j, i)
        };
        self.temperature
            .add(order, pair.beta_t, pair.gamma_t, mean_k);
        self.volume.add(order, pair.beta_v, pair.gamma_v, mean_v);
        if let Some(data) = pair.departure()? {
            let residual = Residual::new(data).ok_or_else(|| FluidError::Data {
                fluid: pair.species.join(" + "),
                message: "a departure term has an exponent out of bounds".to_owned(),
            })?;
            self.departures.push(Departure {
                i,
                j,
                factor: pair.factor,
                residual,
            });
        }
        Ok(())
    }

    /// Pairs without constants of their own.
    pub fn assumptions(&self) -> impl Iterator<Item = String> {
        let names: Vec<&str> = self
            .fluids
            .iter()
            .flatten()
            .map(|fluid| fluid.name())
            .collect();
        let mut found = Vec::new();
        for (j, two) in names.iter().enumerate() {
            for one in &names[..j] {
                match pairs::find(one, two).map(|pair| pair.map(|p| p.stand_in.as_deref())) {
                    Ok(Some(None)) | Err(_) => {}
                    Ok(Some(Some(stand_in))) => found.push(format!(
                        "{one} + {two}: no published mixture constants, those of {stand_in} are used"
                    )),
                    Ok(None) => found.push(format!(
                        "{one} + {two}: no published mixture constants, ideal mixing"
                    )),
                }
            }
        }
        found.into_iter()
    }

    /// Entropy per volume, J/(m3 K).
    pub fn entropy(&self, c: &PerSpecies, t: f64) -> f64 {
        let residual = self.residuals(c, t).sum;
        let entropy = |(k, fluid): (usize, &PureFluid)| {
            let equation = fluid.equation();
            let tau = equation.reducing_temperature_k / t;
            let delta = c[k] * fluid.molar_mass_kg_mol() / equation.reducing_density_kg_m3;
            let ideal = equation.ideal.by_tau(tau).0 - equation.ideal.value(delta, tau);
            c[k] * molar_constant(fluid) * (ideal + residual.t - residual.value)
        };
        self.present(c).map(entropy).sum()
    }

    /// The fluids that are present, with their places.
    fn present<'a>(
        &'a self,
        moles: &'a PerSpecies,
    ) -> impl Iterator<Item = (usize, &'a PureFluid)> {
        let all = self.fluids.iter().enumerate();
        all.filter_map(|(k, fluid)| Some((k, fluid.as_deref()?)).filter(|_| moles[k] != 0.0))
    }

    /// Adds the residual part at molar densities (mol/m3, zero where a species is no real gas).
    pub fn add(&self, c: &PerSpecies, t: f64, balance: &mut Balance) {
        let constant: f64 = self
            .present(c)
            .map(|(k, fluid)| c[k] * molar_constant(fluid))
            .sum();
        if constant == 0.0 {
            return;
        }
        let r = self.residuals(c, t);
        let rt = constant * t;
        balance.pressure += rt * r.sum.d;
        balance.pressure_by_t += constant * (r.sum.d - r.sum.dt);
        balance.energy += rt * r.sum.t;
        balance.energy_by_t -= constant * r.sum.tt;
        let mean = r.mean_by_x();
        for (k, fluid) in self.present(c) {
            let (by_pressure, by_energy) = r.by_c(k, &mean);
            let own = fluid.equation().gas_constant_j_kg_k * t;
            let per_kg = rt / fluid.molar_mass_kg_mol();
            balance.pressure_by_density[k] += own * r.sum.d + per_kg * by_pressure;
            balance.energy_by_density[k] += own * r.sum.t + per_kg * by_energy;
        }
    }

    fn residuals(&self, c: &PerSpecies, t: f64) -> Residuals {
        let moles: f64 = c.iter().sum();
        let x = c.map(|c| c / moles);
        let (volume, volume_by_x) = self.volume.at(&x);
        let (reducing_k, temperature_by_x) = self.temperature.at(&x);
        let (delta, tau) = (moles * volume, reducing_k / t);
        let mut r = Residuals {
            sum: Derivatives::default(),
            by_x: [Derivatives::default(); MAX_SPECIES],
            delta_by_c: projected(&x, &volume_by_x, volume, moles),
            tau_by_c: projected(&x, &temperature_by_x, reducing_k, moles),
            x,
            moles,
        };
        for slope in &mut r.delta_by_c {
            *slope += 1.0 / moles;
        }
        for (k, fluid) in self.present(c) {
            r.by_x[k] = fluid.residual_in_mixture(delta, tau);
            r.sum.add_scaled(x[k], &r.by_x[k]);
        }
        for Departure {
            i,
            j,
            factor,
            residual,
        } in &self.departures
        {
            let (xi, xj) = (x[*i], x[*j]);
            if xi == 0.0 || xj == 0.0 {
                continue;
            }
            let departure = residual.at(delta, tau);
            r.sum.add_scaled(factor * xi * xj, &departure);
            r.by_x[*i].add_scaled(factor * xj, &departure);
            r.by_x[*j].add_scaled(factor * xi, &departure);
        }
        r
    }
}

/// Gas constant as published with the equation, J/(mol K).
fn molar_constant(fluid: &PureFluid) -> f64 {
    fluid.molar_mass_kg_mol() * fluid.equation().gas_constant_j_kg_k
}

/// Partials of ln Y_r by molar densities: ((dY/dx_k) - sum x_i dY/dx_i)/(n Y).
fn projected(x: &PerSpecies, by_x: &PerSpecies, value: f64, moles: f64) -> PerSpecies {
    let mean: f64 = x.iter().zip(by_x).map(|(x, by)| x * by).sum();
    by_x.map(|by| (by - mean) / (moles * value))
}

impl Residuals {
    /// sum x_i d/dx_i of the d and t derivatives.
    fn mean_by_x(&self) -> (f64, f64) {
        let terms = self.x.iter().zip(&self.by_x);
        terms.fold((0.0, 0.0), |(d, t), (x, by)| (d + x * by.d, t + x * by.t))
    }

    /// Partials of delta alphar_delta and tau alphar_tau by the molar density of species k.
    fn by_c(&self, k: usize, mean: &(f64, f64)) -> (f64, f64) {
        let (delta, tau, sum) = (self.delta_by_c[k], self.tau_by_c[k], &self.sum);
        (
            (sum.d + sum.dd) * delta + sum.dt * tau + (self.by_x[k].d - mean.0) / self.moles,
            sum.dt * delta + (sum.t + sum.tt) * tau + (self.by_x[k].t - mean.1) / self.moles,
        )
    }
}
