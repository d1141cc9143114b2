//! What branches bring to the gas of a cryogenic tank, for its ledgers.

use super::CryogenicTank;
use shared::Scalar;

/// What comes in through the gas ports, less what leaves.
#[derive(Clone, Copy, Debug)]
pub struct PortFlow<S> {
    /// Gas, kg/s.
    pub gas: S,
    /// Its energy, W.
    pub energy: S,
}

impl CryogenicTank<'_> {
    /// Reads the rates of the gas's states as the branches have left them: nothing else may have
    /// been added yet.
    pub(super) fn through_ports<S: Scalar>(&self, dy: &[S]) -> PortFlow<S> {
        let (mut gas, mut energy) = (S::zero(), S::zero());
        for layer in &self.strata.layers {
            energy += dy[layer.energy];
            for place in layer.mass.clone() {
                gas += dy[place];
            }
        }
        PortFlow { gas, energy }
    }
}
