//! Spring-loaded poppet for gas: check valve and relief valve (theory 2.6, 2.7).
//!
//! Shut until the pressure difference reaches cracking; then the poppet follows its demand
//! with a first-order lag. Off its seat the demand rises from 0 at reseat to 1 at full open.
//! While a poppet is still falling, gas can pass either way through what is left of its lift.

use super::gas::GasSide;
use super::restriction::gas_flow;
use crate::network::Poppet;
use fluids::{FluidError, GasMixture};
use shared::Scalar;

/// Part of the span from reseat to full open by which "wide open" is left later than entered.
const HYSTERESIS: f64 = 1e-5;

/// Which law the poppet's demand follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PoppetMode {
    /// On its seat: demand 0.
    Seated,
    /// Between reseat and full open.
    Floating,
    /// Demand 1.
    WideOpen,
}

impl Poppet {
    /// Lift demanded off the seat, unclamped.
    pub fn demand<S: Scalar>(&self, difference: S) -> S {
        (difference - self.reseat_pa) / (self.full_open_pa - self.reseat_pa)
    }

    /// Rate of the lift in 1/s.
    pub fn lift_rate<S: Scalar>(&self, mode: PoppetMode, difference: S, lift: S) -> S {
        (self.target(mode, difference) - lift) / self.response_s
    }

    /// The lift at which the poppet comes to rest.
    pub fn target<S: Scalar>(&self, mode: PoppetMode, difference: S) -> S {
        match mode {
            PoppetMode::Seated => S::zero(),
            PoppetMode::Floating => self.demand(difference),
            PoppetMode::WideOpen => S::constant(1.0),
        }
    }

    /// Mass flow in kg/s at a lift.
    ///
    /// # Errors
    /// When the upstream gas is outside the range of the flux table.
    pub fn flow<S: Scalar>(
        &self,
        mixture: &GasMixture,
        lift: S,
        up: &GasSide<S>,
        down: &GasSide<S>,
    ) -> Result<S, FluidError> {
        Ok(gas_flow(&self.capacity, mixture, up, down)? * lift)
    }

    /// The mode at the start, the poppet being at rest.
    #[must_use]
    pub fn mode_at_rest(&self, difference_pa: f64) -> PoppetMode {
        if difference_pa < self.cracking_pa {
            PoppetMode::Seated
        } else if difference_pa < self.full_open_pa {
            PoppetMode::Floating
        } else {
            PoppetMode::WideOpen
        }
    }

    /// The modes that can follow, each with its guard: positive once it must be taken.
    #[must_use]
    pub fn exits(&self, mode: PoppetMode, difference_pa: f64) -> Vec<(PoppetMode, f64)> {
        let demand = self.demand(difference_pa);
        let span = self.full_open_pa - self.reseat_pa;
        match mode {
            PoppetMode::Seated => vec![(
                PoppetMode::Floating,
                (difference_pa - self.cracking_pa) / span,
            )],
            PoppetMode::Floating => vec![
                (PoppetMode::Seated, -demand),
                (PoppetMode::WideOpen, demand - 1.0),
            ],
            PoppetMode::WideOpen => vec![(PoppetMode::Floating, 1.0 - HYSTERESIS - demand)],
        }
    }
}
