//! One species of a mixture and what it is as an ideal gas.

use std::sync::Arc;

use crate::perfect_gas::PerfectGas;
use crate::spline::{Axis, Curves, Jet};
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
    /// Internal energy of the ideal gas over T, J/kg. Its steps leave 1e-10 of the energy.
    energy: Curves<1>,
}

/// The curve of energy. Below its start only helium is a gas, whose energy is a straight line.
const ENERGY_START_K: f64 = 20.0;
const ENERGY_STEP_K: f64 = 2.0;
const ENERGY_END_K: f64 = 2000.0;

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

impl Species {
    pub fn new(spec: &SpeciesSpec) -> Result<Self, FluidError> {
        match spec {
            SpeciesSpec::Named(name) => Ok(Self::real(PureFluid::named(name)?)),
            SpeciesSpec::Perfect {
                name,
                heat_capacity_ratio,
                molar_mass_kg_mol,
            } => Self::perfect(name, *heat_capacity_ratio, *molar_mass_kg_mol),
        }
    }

    fn real(fluid: Arc<PureFluid>) -> Self {
        let equation = fluid.equation();
        let (r, critical_k) = (
            equation.gas_constant_j_kg_k,
            equation.reducing_temperature_k,
        );
        let energy = curve(|t| r * t * equation.ideal.by_tau(critical_k / t).0);
        Species {
            name: fluid.name().to_owned(),
            molar_mass_kg_mol: fluid.molar_mass_kg_mol(),
            gas_constant_j_kg_k: r,
            energy,
            model: if fluid.data.table.is_some() {
                Model::Real(fluid)
            } else {
                Model::Vapour(fluid)
            },
        }
    }

    fn perfect(name: &str, ratio: f64, molar_mass_kg_mol: f64) -> Result<Self, FluidError> {
        let gas = PerfectGas::new(name, ratio, molar_mass_kg_mol)?;
        Ok(Species {
            name: name.to_owned(),
            molar_mass_kg_mol,
            gas_constant_j_kg_k: gas.gas_constant_j_kg_k,
            energy: curve(|t| gas.cv_j_kg_k() * t),
            model: Model::Perfect(gas),
        })
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

    /// Energy as an ideal gas, J/kg, its slope cv and the slope of cv.
    #[inline]
    pub fn ideal(&self, t: f64) -> Jet {
        self.energy.at(t)[0]
    }
}

fn curve(energy: impl Fn(f64) -> f64) -> Curves<1> {
    let intervals = ((ENERGY_END_K - ENERGY_START_K) / ENERGY_STEP_K) as usize;
    let axis = Axis::new(ENERGY_START_K, ENERGY_END_K, intervals);
    let values: Vec<_> = axis.nodes().map(|t| [energy(t)]).collect();
    Curves::new(axis, &values)
}
