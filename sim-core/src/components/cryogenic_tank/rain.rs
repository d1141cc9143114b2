//! Fog that rains out of the ullage (theory 9.14).
//!
//! A layer that is cooled below its dew line, by a wall that the liquid has just left, holds more
//! vapour than is saturated at its own temperature. What is above falls into the bulk as liquid,
//! with the time constant of flashing; its heat of vaporisation stays behind. Without it a layer
//! would follow the supercooled vapour to where that has no state.

use super::surface::excess;
use super::{CryogenicTank, Rates};
use shared::Scalar;

/// Part of the saturated density over which rain begins.
const BEGINNING: f64 = 0.01;

/// What rains out of the gas.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rain<S> {
    /// Liquid, kg/s.
    pub mass: S,
    /// Energy that it takes out of the gas, W.
    pub energy: S,
}

impl CryogenicTank<'_> {
    /// Takes what rains out of each layer and gives it to the bulk. The gas lifts it to the level
    /// that it adds to, as vapour that leaves the level is lifted by the liquid.
    pub(super) fn rain<S: Scalar>(&self, rates: &mut Rates<'_, S>) -> Rain<S> {
        let mut rain = Rain {
            mass: S::zero(),
            energy: S::zero(),
        };
        let Some(vapour) = self.tank.vapour else {
            return rain;
        };
        let head = rates.side.liquid.level * self.surroundings.gravity_m_s2;
        // What does not condense in a colder gas does not in a warmer one: most layers need no look.
        let (mut coldest_k, mut saturated) = (f64::INFINITY, 0.0);
        for (layer, places) in rates.found.layers.iter().zip(&self.strata.layers) {
            let (t, vapour_density) = (layer.gas.temperature, layer.gas.partial_density[vapour]);
            if t.value() >= coldest_k && vapour_density.value() <= saturated {
                continue;
            }
            // Above the critical temperature nothing condenses.
            let Ok(at) = self.cryogen.boiling.saturation(t.value()) else {
                continue;
            };
            let (density, slope) = at.vapour_density_kg_m3;
            (coldest_k, saturated) = (t.value(), density);
            if vapour_density.value() <= density {
                continue;
            }
            let above = excess(vapour_density - t.lift(density, slope), BEGINNING * density);
            let mass = above * layer.volume * (1.0 / self.cryogen.flash_s);
            let (enthalpy, slope) = at.liquid_enthalpy_j_kg;
            let own = mass * t.lift(enthalpy, slope);
            let energy = own + mass * head;
            rates.dy[places.mass.start + vapour] -= mass;
            rates.dy[places.energy] -= energy;
            rates.inflow.liquid_mass += mass;
            rates.inflow.liquid_energy += own;
            rain.mass += mass;
            rain.energy += energy;
        }
        rain
    }
}
