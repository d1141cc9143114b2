//! One pure (or pseudo-pure) fluid.

use std::sync::{Arc, OnceLock};

use crate::FluidError;
use crate::data::{self, FluidData, Limits};
use crate::helmholtz::{Helmholtz, State};

/// A fluid with its published equation of state.
#[derive(Debug)]
pub struct PureFluid {
    pub(crate) data: FluidData,
    pub(crate) equation: Helmholtz,
}

/// Properties of one equilibrium state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Internal energy, J/kg.
    pub internal_energy_j_kg: f64,
    /// Enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Heat capacity at constant volume, J/(kg K); not a number in a two-phase state.
    pub cv_j_kg_k: f64,
    /// Heat capacity at constant pressure, J/(kg K); not a number in a two-phase state.
    pub cp_j_kg_k: f64,
    /// Speed of sound, m/s; not a number in a two-phase state.
    pub sound_speed_m_s: f64,
    /// Mass fraction of vapour where two phases are in equilibrium.
    pub quality: Option<f64>,
}

impl From<State<'_>> for Point {
    fn from(state: State<'_>) -> Self {
        Point {
            pressure_pa: state.pressure_pa(),
            temperature_k: state.temperature_k,
            density_kg_m3: state.density_kg_m3,
            internal_energy_j_kg: state.internal_energy_j_kg(),
            enthalpy_j_kg: state.enthalpy_j_kg(),
            entropy_j_kg_k: state.entropy_j_kg_k(),
            cv_j_kg_k: state.cv_j_kg_k(),
            cp_j_kg_k: state.cp_j_kg_k(),
            sound_speed_m_s: state.sound_speed_squared().sqrt(),
            quality: None,
        }
    }
}

/// Fluids already read, by their place in the list: nothing is parsed before it is asked for.
static FLUIDS: [OnceLock<Arc<PureFluid>>; data::COUNT] = [const { OnceLock::new() }; data::COUNT];

impl PureFluid {
    /// The fluid of this name, read on first use and shared afterwards.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], which lists the known names.
    pub fn named(name: &str) -> Result<Arc<Self>, FluidError> {
        let index = data::index(name)?;
        if let Some(fluid) = FLUIDS[index].get() {
            return Ok(Arc::clone(fluid));
        }
        let data = FluidData::read(index)?;
        let fluid = Arc::new(PureFluid {
            equation: data.equation()?,
            data,
        });
        Ok(Arc::clone(FLUIDS[index].get_or_init(|| fluid)))
    }

    /// Name, as in the stand file.
    pub fn name(&self) -> &str {
        &self.data.name
    }

    /// Molar mass, kg/mol.
    pub fn molar_mass_kg_mol(&self) -> f64 {
        self.data.molar_mass_kg_mol
    }

    /// Valid range of the equation of state.
    pub fn limits(&self) -> Limits {
        self.data.limits
    }

    /// The equation of state itself.
    pub fn equation(&self) -> &Helmholtz {
        &self.equation
    }
}
