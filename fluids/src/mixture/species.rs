//! One species of a mixture.

use crate::FluidError;
use crate::perfect_gas::PerfectGas;

/// What a species is asked for as.
#[derive(Clone, Debug, PartialEq)]
pub enum SpeciesSpec {
    /// A fluid with an equation of state, by its name.
    Named(String),
    /// A perfect gas.
    Perfect {
        /// Its name.
        name: String,
        /// Heat capacity ratio k.
        heat_capacity_ratio: f64,
        /// Molar mass, kg/mol.
        molar_mass_kg_mol: f64,
    },
}

/// One species.
#[derive(Clone, Debug)]
pub(super) struct Species {
    pub name: String,
    pub molar_mass_kg_mol: f64,
    pub model: Model,
}

/// How a species behaves.
#[derive(Clone, Debug)]
pub(super) enum Model {
    Perfect(PerfectGas),
}

impl Species {
    /// Specific gas constant, J/(kg K).
    pub fn gas_constant_j_kg_k(&self) -> f64 {
        let Model::Perfect(gas) = &self.model;
        gas.gas_constant_j_kg_k
    }

    pub fn new(spec: &SpeciesSpec) -> Result<Self, FluidError> {
        match spec {
            SpeciesSpec::Named(name) => Err(FluidError::NotAvailable {
                fluid: name.clone(),
                question: "a gas mixture",
                reason: "only perfect gases can be mixed; ask for a perfect gas",
            }),
            SpeciesSpec::Perfect {
                name,
                heat_capacity_ratio,
                molar_mass_kg_mol,
            } => Ok(Species {
                name: name.clone(),
                molar_mass_kg_mol: *molar_mass_kg_mol,
                model: Model::Perfect(PerfectGas::new(
                    name,
                    *heat_capacity_ratio,
                    *molar_mass_kg_mol,
                )?),
            }),
        }
    }
}
