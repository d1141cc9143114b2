//! A nozzle with a toroidal throat (ISO 9300:2022, theory 2.12): its discharge coefficient follows from the
//! throat's Reynolds number.
//!
//! `Cd = 0.9959 - 2.720 Re^(-1/2)`, `Re = 4 m/(pi d mu0)`, *d* the throat's diameter, *mu0* the viscosity of the gas
//! upstream, at rest; for critical flow and Re from 2.1e4 to 3.2e7 (the range from memory).
//!
//! Below that range the formula is led on with `sqrt(Re^2 + 100^2)` in place of Re, so that a flow that comes to
//! rest has a coefficient too; within the range this moves Cd by less than 2e-7.

use super::gas::{self, GasSide};
use super::restriction::nozzle_flux;
use crate::network::ToroidalNozzle;
use fluids::{FluidError, GasMixture};
use shared::{Dual, Scalar};
use std::f64::consts::PI;

/// Discharge coefficient at an infinite Reynolds number.
const WITHOUT_FRICTION: f64 = 0.9959;
/// What the boundary layer takes of it, times the root of the Reynolds number.
const BOUNDARY_LAYER: f64 = 2.720;
/// Reynolds number below which the formula levels out, as at rest.
pub const RESTING: f64 = 100.0;
/// Steps of Newton's method. The coefficient by its own logarithm has a slope below 0.1 everywhere, so that each
/// step from the highest coefficient there is doubles the digits: four take all of them.
const STEPS: usize = 4;

/// Reynolds numbers for which the standard gives the coefficient.
pub const REYNOLDS: (f64, f64) = (2.1e4, 3.2e7);

/// Discharge coefficient at a throat's Reynolds number, a pure number.
pub fn discharge_coefficient<S: Scalar>(reynolds: S) -> S {
    let rounded = (reynolds.squared() + RESTING * RESTING).sqrt();
    -(S::constant(BOUNDARY_LAYER) / rounded.sqrt()) + WITHOUT_FRICTION
}

impl ToroidalNozzle {
    /// Area of the throat.
    #[must_use]
    pub fn throat_m2(&self) -> f64 {
        PI / 4.0 * self.throat_m * self.throat_m
    }

    /// Effective area without a boundary layer.
    #[must_use]
    pub fn largest_area_m2(&self) -> f64 {
        WITHOUT_FRICTION * self.multiplier * self.throat_m2()
    }

    /// The throat's Reynolds number at a mass flow, a pure number.
    pub fn reynolds<S: Scalar>(&self, flow_kg_s: S, viscosity_pa_s: S) -> S {
        flow_kg_s * (4.0 / (PI * self.throat_m)) / viscosity_pa_s
    }

    /// Mass flow of gas in kg/s to a back pressure not above the upstream one.
    ///
    /// # Errors
    /// When the gas is outside the range of the flux table or of the transport data.
    pub fn gas_flow<S: Scalar>(
        &self,
        mixture: &GasMixture,
        up: &GasSide<S>,
        back: S,
    ) -> Result<S, FluidError> {
        let ideal = nozzle_flux(mixture, up, back)? * (self.multiplier * self.throat_m2());
        let reynolds = self.reynolds(ideal, gas::viscosity(mixture, up)?);
        Ok(ideal * coefficient_of_ideal(reynolds))
    }
}

/// The coefficient with which its own flow has the Reynolds number that it goes by, from that of the ideal
/// flow; with its derivatives by one step of Newton's method from the solution of the values.
fn coefficient_of_ideal<S: Scalar>(reynolds: S) -> S {
    let over = |coefficient: f64| {
        let coefficient = Dual::<1>::variable(coefficient, 0);
        coefficient - discharge_coefficient(coefficient * reynolds.value())
    };
    let mut found = WITHOUT_FRICTION;
    for _ in 0..STEPS {
        let at = over(found);
        found -= at.value / at.slope[0];
    }
    let value = S::constant(found);
    value - (value - discharge_coefficient(reynolds * found)) / over(found).slope[0]
}
