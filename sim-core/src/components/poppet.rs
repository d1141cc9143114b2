//! Spring-loaded poppet for gas: check valve and relief valve (theory 2.6, 2.7).
//!
//! Shut until the pressure difference reaches cracking; then the poppet follows its demand
//! with a first-order lag. Off its seat the demand rises from 0 at reseat to 1 at full open.
//! Below reseat the poppet falls, and gas can pass either way through what is left of its lift.
//!
//! A check valve has to crack anew only from its seat: one that still falls turns back as soon as the
//! difference is above reseat. Were it to crack each time, the volume behind it would empty down to
//! that, and the poppet never find the lift that its flow asks for. Its kink of the demand at reseat is
//! no event: what flows at small lift settles about it, closer than a run knows its pressures, and
//! would switch there without end; the lag leaves the lift smooth.
//!
//! A relief valve snaps: what held it up below its set pressure is lost once it falls, and it has to
//! pop anew.

use super::gas::GasSide;
use super::restriction::gas_flow;
use crate::network::{Duty, Poppet};
use fluids::{FluidError, GasMixture};
use shared::Scalar;

/// Part of the span from reseat to full open by which "wide open" is left later than entered.
const HYSTERESIS: f64 = 1e-5;

/// Part of full lift at which a falling check valve is on its seat: what a run resolves of it at its
/// usual tolerance.
const SEAT: f64 = 1e-5;

/// Which law the poppet's demand follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PoppetMode {
    /// On its seat, or a relief valve that falls onto it: demand 0.
    Seated,
    /// Off its seat, below full open.
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
            PoppetMode::Floating => self.demand(difference).max(S::zero()),
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

    /// The modes that can follow at a lift, each with its guard: positive once it must be taken.
    #[must_use]
    pub fn exits(&self, mode: PoppetMode, difference_pa: f64, lift: f64) -> Vec<(PoppetMode, f64)> {
        let demand = self.demand(difference_pa);
        let span = self.full_open_pa - self.reseat_pa;
        let seats = match self.duty {
            Duty::Check => (SEAT - lift).min(-demand),
            Duty::Relief => -demand,
        };
        match mode {
            PoppetMode::Seated => vec![(
                PoppetMode::Floating,
                (difference_pa - self.cracking_pa) / span,
            )],
            PoppetMode::Floating => vec![
                (PoppetMode::Seated, seats),
                (PoppetMode::WideOpen, demand - 1.0),
            ],
            PoppetMode::WideOpen => vec![(PoppetMode::Floating, 1.0 - HYSTERESIS - demand)],
        }
    }
}
