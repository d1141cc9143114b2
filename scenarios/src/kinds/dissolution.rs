//! What a cryogenic liquid takes up of the gas above it.

use crate::input::{InputId, Range, Values};
use crate::read::{Context, Key, TableReader};
use fluids::{CompressedLiquid, GasMixture, LiquidState};
use shared::quantity::Dimension;
use sim_core::network as net;
use std::sync::Arc;

/// Whether gas goes into the liquid, and which.
#[derive(Clone, Debug)]
pub struct Dissolution {
    is_counted: bool,
    henry: Option<InputId>,
    solutes: Vec<Solute>,
}

/// A gas that goes into the liquid.
#[derive(Clone, Debug)]
struct Solute {
    species: usize,
    solubility: Solubility,
    /// Molar volume at its boiling point, cm3/mol.
    molar_cm3_mol: f64,
}

#[derive(Clone, Debug)]
enum Solubility {
    IdealSolution(Arc<CompressedLiquid>),
    Given(InputId),
    Assumed { pa: f64 },
}

const HENRY: Key = Key::new(
    "henry_constant",
    &[Dimension::Pressure],
    Range::Positive,
    "10000 bar(a)",
);

const ATMOSPHERE_PA: f64 = 101_325.0;

/// Critical volumes in cm3/mol, as handbooks list them; from memory.
const CRITICAL_CM3_MOL: [(&str, f64); 8] = [
    ("helium", 57.3),
    ("nitrogen", 89.2),
    ("oxygen", 73.4),
    ("methane", 98.6),
    ("argon", 74.6),
    ("carbon dioxide", 94.1),
    ("nitrous oxide", 97.4),
    ("propane", 200.0),
];

/// Pressure of helium over its mole fraction in a liquid near its boiling point, Pa: from memory,
/// good to a factor of two.
const HENRY_OF_HELIUM_PA: [(&str, f64); 4] = [
    ("oxygen", 1.0e9),
    ("nitrogen", 4.5e8),
    ("methane", 1.2e9),
    ("parahydrogen", 2.0e8),
];

impl Dissolution {
    /// Reads it.
    pub fn read(reader: &mut TableReader<'_>) -> Self {
        let words = [("diffusion", true), ("none", false)];
        let reason = "gas goes into the still surface layer of the liquid by diffusion";
        Self {
            is_counted: reader.word_or("dissolution", &words, words[0], reason),
            henry: reader.optional(HENRY),
            solutes: Vec::new(),
        }
    }

    /// Finds out which gases of the mixture above a liquid go into it.
    pub fn settle(
        &mut self,
        mixture: &GasMixture,
        vapour: Option<usize>,
        liquid: &CompressedLiquid,
        path: &str,
        context: &mut Context,
    ) {
        if !self.is_counted {
            return;
        }
        for species in (0..mixture.len()).filter(|&k| Some(k) != vapour) {
            let gas = mixture.name(species);
            match self.solute(species, gas, liquid) {
                Some((solute, words)) => {
                    let reason = "diffusivity by Wilke and Chang 1955 with molar volumes by Tyn and Calus 1975";
                    context.assume(&format!("{path}.dissolution"), words, reason);
                    self.solutes.push(solute);
                }
                None => {
                    let words = format!("no {gas} goes into the liquid");
                    let reason = "for want of data";
                    context.assume(&format!("{path}.dissolution"), words, reason);
                }
            }
        }
    }

    fn solute(
        &self,
        species: usize,
        gas: &str,
        liquid: &CompressedLiquid,
    ) -> Option<(Solute, String)> {
        let critical = CRITICAL_CM3_MOL.iter().find(|c| c.0 == gas)?;
        let (solubility, words) = if gas == "helium" {
            let liquid = liquid.fluid().name();
            let known = HENRY_OF_HELIUM_PA.iter().find(|h| h.0 == liquid);
            match (self.henry, known) {
                (Some(id), _) => (
                    Solubility::Given(id),
                    "helium by Henry's law as given".to_owned(),
                ),
                (None, Some(&(_, pa))) => (
                    Solubility::Assumed { pa },
                    format!(
                        "helium by Henry's law, {:.0} bar over its mole fraction, from memory, good to a factor of two",
                        pa * 1e-5
                    ),
                ),
                (None, None) => return None,
            }
        } else {
            let own = CompressedLiquid::new(gas).ok()?;
            // Where it freezes it is no part of a solution.
            if own.temperature_range_k().0 > liquid.boiling_temperature_k(ATMOSPHERE_PA).ok()? {
                return None;
            }
            let words = format!("{gas} as an ideal solution (Raoult)");
            (Solubility::IdealSolution(Arc::new(own)), words)
        };
        let solute = Solute {
            species,
            solubility,
            molar_cm3_mol: 0.285 * critical.1.powf(1.048),
        };
        Some((solute, words))
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(
        &self,
        values: &Values<'_>,
        liquid: &CompressedLiquid,
        state: Option<&LiquidState>,
    ) -> Vec<net::Dissolving> {
        let Some(state) = state else {
            return Vec::new();
        };
        let solutes = self.solutes.iter();
        let lowered = solutes.map(|solute| net::Dissolving {
            species: solute.species,
            solubility: match &solute.solubility {
                Solubility::IdealSolution(own) => net::Solubility::IdealSolution(own.clone()),
                Solubility::Given(id) => net::Solubility::Henry { pa: values.si(*id) },
                Solubility::Assumed { pa } => net::Solubility::Henry { pa: *pa },
            },
            diffusivity_m2_s: wilke_chang(liquid, state, solute.molar_cm3_mol),
            heat_of_solution_j_kg: solute.heat_j_kg(state.temperature_k),
        });
        lowered.collect()
    }
}

impl Solute {
    /// Heat of condensation of a part of an ideal solution; that of helium is left out.
    fn heat_j_kg(&self, temperature_k: f64) -> f64 {
        let Solubility::IdealSolution(own) = &self.solubility else {
            return 0.0;
        };
        let (low, high) = own.temperature_range_k();
        let at = own.saturation(temperature_k.clamp(low, high));
        at.map_or(0.0, |at| at.vaporisation_enthalpy_j_kg())
    }
}

/// Diffusivity of a dilute solute, m2/s: Wilke and Chang, AIChE J. 1 (1955) 264,
/// `7.4e-8 sqrt(M) T/(mu V^0.6)` in cm2/s with M in g/mol and mu in mPa s.
fn wilke_chang(liquid: &CompressedLiquid, state: &LiquidState, molar_cm3_mol: f64) -> f64 {
    let molar_g_mol = 1e3 * liquid.fluid().molar_mass_kg_mol();
    let viscosity_mpa_s = 1e3 * state.viscosity_pa_s;
    let root = molar_g_mol.sqrt();
    7.4e-12 * root * state.temperature_k / (viscosity_mpa_s * molar_cm3_mol.powf(0.6))
}
