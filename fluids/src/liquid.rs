//! A liquid that does not give way to pressure: curves over temperature along one isobar.

use crate::FluidError;

/// A liquid along an isobar. Cheap to evaluate.
#[derive(Clone, Debug)]
pub struct Liquid {
    name: String,
}

/// Properties of a liquid at one temperature. Slopes are the exact derivatives of the curves.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiquidState {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Its slope, kg/(m3 K).
    pub density_by_t: f64,
    /// Internal energy, J/kg, from the reference state of the vapour in a mixture.
    pub internal_energy_j_kg: f64,
    /// Its slope along the isobar, J/(kg K).
    pub heat_capacity_j_kg_k: f64,
    /// Viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Its slope, Pa s/K.
    pub viscosity_by_t: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_m_k: f64,
    /// Thermal expansivity -(d rho/dT)/rho, 1/K.
    pub expansivity_1_k: f64,
    /// Vapour pressure, Pa.
    pub vapour_pressure_pa: f64,
    /// Its slope, Pa/K.
    pub vapour_pressure_by_t: f64,
    /// Density of the saturated vapour, kg/m3.
    pub saturated_vapour_density_kg_m3: f64,
    /// Its slope, kg/(m3 K).
    pub saturated_vapour_density_by_t: f64,
    /// Speed of sound, m/s.
    pub sound_speed_m_s: f64,
    /// Isentropic bulk modulus rho c^2, Pa.
    pub bulk_modulus_pa: f64,
}

impl Liquid {
    /// The liquid of this name ("water", "ethanol") along an isobar.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], [`FluidError::OutOfRange`].
    pub fn new(name: &str, _pressure_pa: f64) -> Result<Self, FluidError> {
        Ok(Liquid {
            name: name.to_owned(),
        })
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The species that its vapour is in a gas mixture.
    #[must_use]
    pub fn vapour_species(&self) -> Option<&str> {
        Some(&self.name)
    }

    /// Temperatures between which it is known, K.
    #[must_use]
    pub fn temperature_range_k(&self) -> (f64, f64) {
        (273.16, 373.15)
    }

    /// Properties at a temperature.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`].
    pub fn at(&self, _temperature_k: f64) -> Result<LiquidState, FluidError> {
        Err(FluidError::NotAvailable {
            fluid: self.name.clone(),
            question: "the liquid",
            reason: "no curves are built yet",
        })
    }
}
