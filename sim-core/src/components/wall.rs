//! A wall lump: one temperature, heat capacity from the material's cp(T).
//!
//! The state is the wall's internal energy, so that energy balances stay linear in the
//! states; the temperature follows from the material's energy curve (theory 3.3).

use super::film::{GasFilm, Surface};
use crate::network::HeatTransfer;
use fluids::{FluidError, Solid};
use shared::Scalar;

/// Time constant that stands for perfect contact in [`HeatTransfer::Isothermal`].
const ISOTHERMAL_S: f64 = 1e-4;

/// Temperature in K of a solid with internal energy `energy` J/kg.
pub fn temperature<S: Scalar>(material: &Solid, energy: S) -> S {
    let (t, slope) = material.temperature_k(energy.value());
    energy.lift(t, slope)
}

/// What a conductance needs to know of its surface.
pub struct Contact<S> {
    /// How heat is exchanged.
    pub heat: HeatTransfer,
    /// Multiplier on a film coefficient.
    pub multiplier: f64,
    /// Which surface.
    pub surface: Surface,
    /// Its temperature, K.
    pub surface_k: S,
    /// Its area, m2.
    pub area_m2: S,
    /// Length of the correlation.
    pub length_m: f64,
    /// Gravity.
    pub gravity_m_s2: f64,
    /// Heat capacity of the gas at the start, J/K: scales the perfect contact.
    pub gas_heat_capacity_j_k: f64,
}

impl<S: Scalar> Contact<S> {
    /// Conductance in W/K between the surface and a gas, whose film is asked for where it is
    /// used.
    ///
    /// # Errors
    /// Those of the film.
    pub fn conductance(
        &self,
        film: impl FnOnce() -> Result<GasFilm<S>, FluidError>,
    ) -> Result<S, FluidError> {
        Ok(match self.heat {
            HeatTransfer::None => S::zero(),
            HeatTransfer::Isothermal => S::constant(self.gas_heat_capacity_j_k / ISOTHERMAL_S),
            HeatTransfer::Coefficient { w_m2_k } => self.area_m2 * w_m2_k,
            HeatTransfer::Conductance { w_k } => S::constant(w_k),
            HeatTransfer::Film => {
                let coefficient = film()?.coefficient(
                    self.surface,
                    self.surface_k,
                    self.length_m,
                    self.gravity_m_s2,
                );
                coefficient * self.multiplier * self.area_m2
            }
        })
    }
}
