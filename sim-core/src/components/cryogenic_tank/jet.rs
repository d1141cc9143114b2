//! The jet of a straight inlet pipe, down into colder gas (theory 9.10, 9.11).
//!
//! - It reaches `z_m = 2.46 r Fr`, `Fr = U/sqrt(g' r)`: Turner, J. Fluid Mech. 26 (1966) 779, for
//!   strong fountains, Fr > 3.
//! - On its way it draws in `0.32 (z/d) sqrt(rho_a/rho_0)` of its own flow: Ricou and Spalding,
//!   J. Fluid Mech. 11 (1961) 21. As much goes back up: layers exchange gas.
//! - Where it reaches the liquid it heats the surface as a jet does a plate: Martin, Adv. Heat
//!   Transfer 13 (1977) 1, for 2000 < Re < 4e5, 2 < H/d < 12, 2.5 < r/d < 7.5.
//! - Where it stirs the gas the wall meets `Nu_D = 0.56 Re_d^0.67` more: Woodfield, Monde and
//!   Mitsutake, J. Thermal Sci. Tech. 2 (2007) 180, vessels filled through a pipe.
//!
//! The constants are from memory.

use super::{Crossing, CryogenicTank, Layer, Rates};
use crate::network::Inlet;
use shared::Scalar;
use std::f64::consts::PI;

/// Part of its reach over which a jet fades.
const FADING: f64 = 0.2;

/// Difference of density, as a part of it, below which a jet counts as hardly buoyant.
const HARDLY_BUOYANT: f64 = 0.01;

/// Widest disc, in bores, over which a jet's transfer is averaged, and the narrowest.
const DISC: (f64, f64) = (2.5, 7.5);

/// What a jet does to the ullage.
#[derive(Clone, Copy, Debug)]
pub(super) struct Jet<S> {
    /// How far it reaches below the top, m.
    reach: S,
    /// Flow that it draws in for each metre of its way, kg/(s m).
    drawn_in: S,
    /// Nusselt number of the wall by the diameter of the tank, over that diameter, 1/m.
    wall_1_m: S,
    /// Conductance between gas and liquid where it strikes the surface, W/K.
    surface_w_k: S,
    /// Height of the tank, m.
    height_m: f64,
}

/// From one far above to none far below a depth.
fn fade<S: Scalar>(depth: S, reach: S) -> S {
    (((-(depth / reach) + 1.0) * (1.0 / FADING)).tanh() + 1.0) * 0.5
}

impl<S: Scalar> Jet<S> {
    /// What it adds to the film between a layer and the wall, W/(m2 K).
    pub fn at_wall(&self, layer: &Layer<S>, level: S) -> S {
        let depth = -(level + layer.thickness * 0.5) + self.height_m;
        self.wall_1_m * layer.film.conductivity() * fade(depth, self.reach)
    }
}

impl CryogenicTank<'_> {
    /// The jet of the gas that comes in; none where there is no pipe or no flow.
    pub(super) fn jet<S: Scalar>(&self, surface_m2: S, rates: &Rates<'_, S>) -> Option<Jet<S>> {
        let Inlet::Pipe { bore_m } = self.cryogen.inlet else {
            return None;
        };
        let inflow = rates.gas_inflow;
        if !inflow.is_some() {
            return None;
        }
        let mut mass = S::zero();
        for layer in &rates.found.layers {
            mass += layer.gas.density * layer.volume;
        }
        let (around, own) = (mass / rates.side.ullage, inflow.mass / inflow.volume);
        let velocity = inflow.volume * (4.0 / (PI * bore_m * bore_m));
        let lighter = super::surface::positive(around - own, HARDLY_BUOYANT * around.value());
        let buoyancy = lighter / around * self.surroundings.gravity_m_s2;
        let froude = velocity / (buoyancy * (0.5 * bore_m)).sqrt();
        let reach = froude * (2.46 * 0.5 * bore_m);
        let reynolds = self.reynolds(bore_m, rates);
        let height_m = self.model.geometry.height_m();
        let gap = -rates.side.liquid.level + height_m;
        let diameter_m = 4.0 * self.model.geometry.volume_m3() / self.model.geometry.wall_m2();
        let struck = self.struck(bore_m, gap, surface_m2, reynolds, rates);
        Some(Jet {
            reach,
            drawn_in: inflow.mass * (around / own).sqrt() * (0.32 / bore_m),
            wall_1_m: reynolds.powf(0.67) * (0.56 / diameter_m) * self.wall_multiplier(),
            surface_w_k: struck * fade(gap, reach) * self.tank.interface_multiplier,
            height_m,
        })
    }

    /// What crosses the surface, where a jet may strike it.
    pub(super) fn crossing_under<S: Scalar>(
        &self,
        jet: Option<&Jet<S>>,
        surface_m2: S,
        rates: &mut Rates<'_, S>,
    ) -> Crossing<S> {
        let still = rates.found.crossing;
        let Some(jet) = jet else {
            return still;
        };
        self.stir(jet, rates);
        let (pressure, struck) = (rates.side.gas.pressure, Some(jet.surface_w_k));
        // The same properties have been found before.
        let crossing = self.crossing(surface_m2, pressure, rates.found, struck);
        crossing.unwrap_or(still)
    }

    fn wall_multiplier(&self) -> f64 {
        self.tank.wall.as_ref().map_or(1.0, |w| w.inside_multiplier)
    }

    /// Conductance at a surface that a jet strikes, W/K, by Martin's mean over a disc.
    fn struck<S: Scalar>(
        &self,
        bore_m: f64,
        gap: S,
        surface_m2: S,
        reynolds: S,
        rates: &Rates<'_, S>,
    ) -> S {
        let film = &rates.found.layers[0].film;
        let whole = (surface_m2.value() / PI).sqrt() / bore_m;
        let radius = whole.clamp(DISC.0, DISC.1);
        let near = (1.0 - 1.1 / radius) / radius;
        let far = (gap / bore_m - 6.0) * (0.1 / radius) + 1.0;
        let shape = S::constant(near) / far.max(S::constant(0.5));
        let stirring = (reynolds.powf(0.55) * 0.005 + 1.0).sqrt() * reynolds.sqrt() * 2.0;
        let nusselt = shape * stirring * film.prandtl().powf(0.42);
        let area = PI * (radius.min(whole) * bore_m).powi(2);
        nusselt * film.conductivity() * (area / bore_m)
    }

    /// Gas that a jet draws from layer to layer.
    fn stir<S: Scalar>(&self, jet: &Jet<S>, rates: &mut Rates<'_, S>) {
        let mut level = rates.side.liquid.level;
        let pairs = rates
            .found
            .layers
            .windows(2)
            .zip(self.strata.layers.windows(2));
        for (pair, places) in pairs {
            level += pair[0].thickness;
            let depth = -level + jet.height_m;
            let flow = jet.drawn_in * depth * fade(depth, jet.reach);
            self.swap(flow, pair, places, rates.dy);
        }
    }
}
