//! A gas of constant heat capacity: p = rho R T, u = cv T, cv = R/(k - 1).
//!
//! Its energy is zero at 0 K, its entropy at 298.15 K and 1 bar. Viscosity is that of nitrogen
//! at 300 K, conductivity follows by Eucken's formula (Poling, Prausnitz, O'Connell, The
//! Properties of Gases and Liquids, 5th ed., eq. 10-3.2; number from memory).

use crate::FluidError;

/// Universal gas constant, J/(mol K): exact since the 2019 definition of the SI.
const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618_153_24;

/// Viscosity of dilute nitrogen at 300 K, Pa s (Lemmon & Jacobsen, Int. J. Thermophys. 25
/// (2004) 21).
const VISCOSITY_PA_S: f64 = 17.8771e-6;

/// Reference state of the entropy.
const REFERENCE_K: f64 = 298.15;
const REFERENCE_PA: f64 = 1e5;

/// A perfect gas.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PerfectGas {
    /// Heat capacity ratio k = cp/cv.
    pub heat_capacity_ratio: f64,
    /// Specific gas constant R, J/(kg K).
    pub gas_constant_j_kg_k: f64,
}

impl PerfectGas {
    /// From heat capacity ratio and molar mass.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`] unless 1 < k <= 5/3 and the molar mass lies in 0.5..1000 g/mol.
    pub fn new(
        name: &str,
        heat_capacity_ratio: f64,
        molar_mass_kg_mol: f64,
    ) -> Result<Self, FluidError> {
        let refuse = |what, unit, value, range| {
            Err(FluidError::out_of_range(name, what, unit, value, range))
        };
        // k = 5/3 is the kinetic limit of an atom; a thousandth allows it to be typed as 1.667.
        if !(heat_capacity_ratio > 1.0 && heat_capacity_ratio <= 1.668) {
            return refuse("heat capacity ratio", "", heat_capacity_ratio, (1.0, 1.668));
        }
        if !(0.0005..=1.0).contains(&molar_mass_kg_mol) {
            return refuse("molar mass", "kg/mol", molar_mass_kg_mol, (0.0005, 1.0));
        }
        Ok(PerfectGas {
            heat_capacity_ratio,
            gas_constant_j_kg_k: GAS_CONSTANT_J_MOL_K / molar_mass_kg_mol,
        })
    }

    /// Heat capacity at constant volume, J/(kg K).
    pub fn cv_j_kg_k(&self) -> f64 {
        self.gas_constant_j_kg_k / (self.heat_capacity_ratio - 1.0)
    }

    /// Heat capacity at constant pressure, J/(kg K).
    pub fn cp_j_kg_k(&self) -> f64 {
        self.cv_j_kg_k() + self.gas_constant_j_kg_k
    }

    /// Entropy, J/(kg K), at a temperature and (partial) pressure.
    pub fn entropy_j_kg_k(&self, temperature_k: f64, pressure_pa: f64) -> f64 {
        self.cp_j_kg_k() * (temperature_k / REFERENCE_K).ln()
            - self.gas_constant_j_kg_k * (pressure_pa / REFERENCE_PA).ln()
    }

    /// Viscosity, Pa s.
    pub fn viscosity_pa_s(&self) -> f64 {
        VISCOSITY_PA_S
    }

    /// Thermal conductivity, W/(m K), by Eucken: k = mu cv (9 k - 5)/4.
    pub fn conductivity_w_m_k(&self) -> f64 {
        VISCOSITY_PA_S * self.cv_j_kg_k() * (9.0 * self.heat_capacity_ratio - 5.0) / 4.0
    }
}
