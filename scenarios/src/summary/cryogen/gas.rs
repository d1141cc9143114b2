//! The gas that feeds a cryogenic tank, as it comes.

use super::super::Run;
use super::super::trace::Trace;
use fluids::GasMixture;
use sim_core::network::{Branch, Phase, VolumeId, VolumeKind};

/// Properties of a gas at a pressure and a temperature.
pub(super) struct Gas {
    pub density_kg_m3: f64,
    pub heat_capacity_j_kg_k: f64,
    pub heat_capacity_ratio: f64,
    pub molar_mass_kg_mol: f64,
}

impl Gas {
    /// Where its equations have no answer.
    pub const UNKNOWN: Self = Self {
        density_kg_m3: f64::NAN,
        heat_capacity_j_kg_k: f64::NAN,
        heat_capacity_ratio: f64::NAN,
        molar_mass_kg_mol: f64::NAN,
    };

    pub fn at(mixture: &GasMixture, p: f64, t: f64, mole_fractions: &[f64]) -> Option<Self> {
        let point = mixture.at(p, t, mole_fractions).ok()?;
        let density: f64 = point.density_kg_m3.iter().sum();
        let fractions = point.density_kg_m3.map(|d| d / density);
        let ratio = mixture.heat_capacity_ratio(&fractions[..mixture.len()], t);
        let moles = |k: usize| fractions[k] / mixture.molar_mass_kg_mol(k);
        Some(Self {
            density_kg_m3: density,
            heat_capacity_j_kg_k: point.heat_capacity_j_kg_k,
            heat_capacity_ratio: ratio.value,
            molar_mass_kg_mol: (0..mixture.len()).map(moles).sum::<f64>().recip(),
        })
    }
}

/// The vessel that feeds a tank's gas.
pub(super) struct Source {
    pub temperature: Trace,
    pub mole_fractions: Vec<f64>,
}

impl Source {
    /// Of a tank, if a vessel feeds it.
    pub fn of(run: &Run, tank: VolumeId) -> Option<Self> {
        let feeds = |b: &&Branch| {
            b.to.volume == tank && b.to.phase == Phase::Gas && b.from.phase == Phase::Gas
        };
        let branch = run.network.branches.iter().find(feeds)?;
        let VolumeKind::Vessel(vessel) = &run.network.volumes[branch.from.volume].kind else {
            return None;
        };
        Some(Self {
            temperature: run.trace(run.volume_name(branch.from.volume), "temperature_k")?,
            mole_fractions: vessel.gas.mole_fractions.clone(),
        })
    }

    /// Enthalpy of its gas as a dilute one, J/kg.
    pub fn enthalpy(&self, mixture: &GasMixture, temperature_k: f64) -> f64 {
        let (mut enthalpy, mut mass) = (0.0, 0.0);
        for (k, x) in self.mole_fractions.iter().enumerate() {
            let kg = x * mixture.molar_mass_kg_mol(k);
            enthalpy += kg * mixture.vapour_enthalpy(k, temperature_k).0;
            mass += kg;
        }
        enthalpy / mass
    }
}
