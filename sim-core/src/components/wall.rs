//! A wall lump: one temperature, heat capacity from the material's cp(T).
//!
//! The state is the wall's internal energy, so that energy balances stay linear in the
//! states; the temperature follows by Newton's method from the start temperature (theory 3.3).

use super::film::{self, Surface};
use super::gas::GasSide;
use crate::network::HeatTransfer;
use fluids::{FluidError, GasMixture, Solid};
use shared::Scalar;

/// Most Newton steps for T(u). The energy curve is nearly straight: three usually do.
const NEWTON_STEPS: usize = 8;

/// Relative step below which Newton's method has settled: its next step would be below rounding.
const SETTLED: f64 = 1e-9;

/// Time constant that stands for perfect contact in [`HeatTransfer::Isothermal`].
const ISOTHERMAL_S: f64 = 1e-4;

/// Temperature in K of a solid with internal energy `energy` J/kg.
pub fn temperature<S: Scalar>(material: &Solid, energy: S, start_k: f64) -> S {
    let mut t = start_k;
    for _ in 0..NEWTON_STEPS {
        let misfit = material.internal_energy_j_kg(t) - energy.value();
        let step = misfit / material.heat_capacity_j_kg_k(t).0;
        t = (t - step).max(1.0);
        if step.abs() <= SETTLED * t {
            break;
        }
    }
    energy.lift(t, material.heat_capacity_j_kg_k(t).0.recip())
}

/// What a conductance needs to know of its surface.
pub struct Contact<'a> {
    /// How heat is exchanged.
    pub heat: HeatTransfer,
    /// Multiplier on a film coefficient.
    pub multiplier: f64,
    /// Which surface.
    pub surface: Surface,
    /// Length of the correlation.
    pub length_m: f64,
    /// Gravity.
    pub gravity_m_s2: f64,
    /// The gas's species.
    pub mixture: &'a GasMixture,
    /// Heat capacity of the gas at the start, J/K: scales the perfect contact.
    pub gas_heat_capacity_j_k: f64,
}

impl Contact<'_> {
    /// Conductance in W/K between the gas and a surface.
    ///
    /// # Errors
    /// When the gas is outside the range of the transport data.
    pub fn conductance<S: Scalar>(
        &self,
        gas: &GasSide<S>,
        surface_k: S,
        area_m2: S,
    ) -> Result<S, FluidError> {
        Ok(match self.heat {
            HeatTransfer::None => S::zero(),
            HeatTransfer::Isothermal => S::constant(self.gas_heat_capacity_j_k / ISOTHERMAL_S),
            HeatTransfer::Coefficient { w_m2_k } => area_m2 * w_m2_k,
            HeatTransfer::Conductance { w_k } => S::constant(w_k),
            HeatTransfer::Film => self.film(gas, surface_k)? * area_m2,
        })
    }

    /// The film coefficient in W/(m2 K), multiplier included.
    fn film<S: Scalar>(&self, gas: &GasSide<S>, surface_k: S) -> Result<S, FluidError> {
        let coefficient = film::coefficient(
            self.mixture,
            gas,
            self.surface,
            surface_k,
            self.length_m,
            self.gravity_m_s2,
        )?;
        Ok(coefficient * self.multiplier)
    }
}
