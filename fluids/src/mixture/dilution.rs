//! The residual energy of a trace in a gas: what the first kilogram of a species adds to the
//! energy of another, tabled over that gas's density and temperature. It only serves to start the
//! search for the temperature of a mixture so near that one exact evaluation ends it.

use std::sync::OnceLock;

use super::balance::Balance;
use super::multi_fluid::MultiFluid;
use crate::spline::{Axis, Surfaces};
use crate::{MAX_SPECIES, PureFluid};

const INTERVALS: usize = 16;
/// Highest density, in reducing densities, and temperatures, K: an ullage.
const DENSEST: f64 = 1.0;
const TEMPERATURES_K: (f64, f64) = (180.0, 520.0);
/// Largest energy given, in R T of the gas: beside its critical point a gas makes far more of a trace than of a
/// mixture.
const MOST: f64 = 2.0;
/// Stands for none of a species, where its share is not to be zero.
const TRACE: f64 = 1e-9;

/// Tables of every species in every other, each filled when first asked for.
#[derive(Debug, Default)]
pub(super) struct Dilution {
    tables: [[OnceLock<Surfaces<1>>; MAX_SPECIES]; MAX_SPECIES],
}

impl Dilution {
    /// Residual energy (J/kg) of a trace of species k in species g, a gas of this density and
    /// temperature; zero outside the tables.
    pub fn energy_j_kg(
        &self,
        model: &MultiFluid,
        (g, gas): (usize, &PureFluid),
        k: usize,
        density: f64,
        t: f64,
    ) -> f64 {
        let densest = DENSEST * gas.equation().reducing_density_kg_m3;
        let (low, high) = TEMPERATURES_K;
        if !(0.0..=densest).contains(&density) || !(low..=high).contains(&t) {
            return 0.0;
        }
        let table = self.tables[g][k].get_or_init(|| fill(model, (g, gas), k, densest));
        let most = MOST * gas.equation().gas_constant_j_kg_k * t;
        table.at(density, t)[0][0].max(-most).min(most)
    }
}

fn fill(model: &MultiFluid, (g, gas): (usize, &PureFluid), k: usize, densest: f64) -> Surfaces<1> {
    let across = Axis::new(0.0, densest, INTERVALS);
    let along = Axis::new(TEMPERATURES_K.0, TEMPERATURES_K.1, INTERVALS);
    Surfaces::of(across, along, |density, t| {
        let mut moles = [0.0; MAX_SPECIES];
        moles[g] = density.max(TRACE * densest) / gas.molar_mass_kg_mol();
        moles[k] = TRACE * moles[g];
        let mut balance = Balance::default();
        model.add(&moles, t, &mut balance);
        [balance.energy_by_density[k]]
    })
}
