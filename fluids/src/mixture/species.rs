//! One species of a mixture and what it is as an ideal gas.

use std::sync::Arc;

use crate::perfect_gas::PerfectGas;
use crate::{FluidError, PureFluid};

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
    pub gas_constant_j_kg_k: f64,
    pub model: Model,
}

/// How a species behaves.
#[derive(Clone, Debug)]
pub(super) enum Model {
    /// p = rho R T at constant heat capacity.
    Perfect(PerfectGas),
    /// A gas by its equation of state, and by its table of (rho, u).
    Real(Arc<PureFluid>),
    /// The vapour of a liquid, met as a minor part of a gas: its own phase boundary is not
    /// looked at, because the surface of its liquid decides how much of it there is.
    Vapour(Arc<PureFluid>),
}

/// Ideal-gas properties at one temperature, per kilogram.
#[derive(Clone, Copy, Debug)]
pub(super) struct IdealState {
    pub energy_j_kg: f64,
    pub cv_j_kg_k: f64,
    /// d cv/dT, J/(kg K2).
    pub cv_by_t: f64,
}

impl Species {
    pub fn new(spec: &SpeciesSpec) -> Result<Self, FluidError> {
        match spec {
            SpeciesSpec::Named(name) => {
                let fluid = PureFluid::named(name)?;
                Ok(Species {
                    name: name.clone(),
                    molar_mass_kg_mol: fluid.molar_mass_kg_mol(),
                    gas_constant_j_kg_k: fluid.equation().gas_constant_j_kg_k,
                    model: if fluid.data.table.is_some() {
                        Model::Real(fluid)
                    } else {
                        Model::Vapour(fluid)
                    },
                })
            }
            SpeciesSpec::Perfect {
                name,
                heat_capacity_ratio,
                molar_mass_kg_mol,
            } => {
                let gas = PerfectGas::new(name, *heat_capacity_ratio, *molar_mass_kg_mol)?;
                Ok(Species {
                    name: name.clone(),
                    molar_mass_kg_mol: *molar_mass_kg_mol,
                    gas_constant_j_kg_k: gas.gas_constant_j_kg_k,
                    model: Model::Perfect(gas),
                })
            }
        }
    }

    /// What stands in for data that a perfect gas has not.
    pub fn assumption(&self) -> Option<String> {
        matches!(self.model, Model::Perfect(_)).then(|| {
            format!(
                "{}: perfect gas, viscosity of nitrogen at 300 K, conductivity by Eucken's formula",
                self.name
            )
        })
    }

    /// The fluid behind a species that has an equation of state.
    pub fn fluid(&self) -> Option<&Arc<PureFluid>> {
        match &self.model {
            Model::Perfect(_) => None,
            Model::Real(fluid) | Model::Vapour(fluid) => Some(fluid),
        }
    }

    /// Energy and heat capacity as an ideal gas.
    pub fn ideal(&self, t: f64) -> IdealState {
        let r = self.gas_constant_j_kg_k;
        match &self.model {
            Model::Perfect(gas) => IdealState {
                energy_j_kg: gas.cv_j_kg_k() * t,
                cv_j_kg_k: gas.cv_j_kg_k(),
                cv_by_t: 0.0,
            },
            Model::Real(fluid) | Model::Vapour(fluid) => {
                let equation = fluid.equation();
                let tau = equation.reducing_temperature_k / t;
                let (first, second) = equation.ideal.by_tau(tau);
                IdealState {
                    energy_j_kg: r * t * first,
                    cv_j_kg_k: -r * second,
                    cv_by_t: r / t * (2.0 * second + equation.ideal.third_by_tau(tau)),
                }
            }
        }
    }
}
