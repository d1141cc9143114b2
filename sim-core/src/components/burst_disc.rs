//! Burst disc (theory 2.8): shut until the pressure difference first reaches the burst pressure,
//! then a fixed restriction for good.

use super::gas::GasSide;
use super::restriction::gas_flow;
use crate::network::BurstDisc;
use fluids::{FluidError, GasMixture};
use shared::Scalar;

impl BurstDisc {
    /// Mass flow in kg/s once it has burst.
    ///
    /// # Errors
    /// When the upstream gas is outside the range of the flux table.
    pub fn flow<S: Scalar>(
        &self,
        mixture: &GasMixture,
        up: &GasSide<S>,
        down: &GasSide<S>,
    ) -> Result<S, FluidError> {
        gas_flow(&self.capacity, mixture, up, down)
    }

    /// Positive once a whole disc must burst.
    #[must_use]
    pub fn guard(&self, difference_pa: f64) -> f64 {
        difference_pa / self.burst_pa - 1.0
    }
}
