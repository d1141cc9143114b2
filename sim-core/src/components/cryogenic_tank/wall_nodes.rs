//! The wall: nodes at even steps of area from the bottom to the top, between which the
//! temperature runs straight (theory 9.2).
//!
//! What passes a node meets as much of it as lies between its ends, by the integral of the
//! node's hat function: smooth as the liquid falls, and all parts add up to the whole wall.

use super::jet::Jet;
use super::{CryogenicTank, Found, Rates};
use crate::components::film::Surface;
use crate::components::wall;
use crate::network::{HeatTransfer, Wall};
use shared::Scalar;

/// The integral of a node's hat from the bottom up to `x`, and the hat there, in steps between
/// nodes: `x` counts from the bottom, the last node stands at `last`.
fn hat(node: usize, last: usize, x: f64) -> (f64, f64) {
    let at = x - node as f64;
    let rising = |s: f64| (0.5 * (1.0 + s) * (1.0 + s), 1.0 + s);
    let falling = |s: f64| (0.5 + s - 0.5 * s * s, 1.0 - s);
    let (area, height) = match at {
        s if s <= -1.0 => (0.0, 0.0),
        s if s <= 0.0 => rising(s),
        s if s < 1.0 => falling(s),
        _ => (1.0, 0.0),
    };
    // The end nodes have one half each.
    match node {
        0 => (area - 0.5, height),
        n if n == last => (area.min(0.5), height),
        _ => (area, height),
    }
}

/// Part of the wall that belongs to a node.
pub(super) fn share(node: usize, nodes: usize) -> f64 {
    let steps = (nodes - 1) as f64;
    if node == 0 || node + 1 == nodes {
        0.5 / steps
    } else {
        1.0 / steps
    }
}

impl CryogenicTank<'_> {
    /// Temperatures of the nodes.
    pub(super) fn find_wall<S: Scalar>(&self, y: &[S], found: &mut Found<S>) {
        found.wall_k.clear();
        let Some(wall) = &self.tank.wall else { return };
        let places = self.strata.wall.clone();
        let nodes = places.len();
        found.wall_k.extend(places.enumerate().map(|(node, place)| {
            wall::temperature(
                &wall.material,
                y[place] / (wall.mass_kg * share(node, nodes)),
            )
        }));
    }

    /// Heat from the wall into layers and liquid, and from outside into the wall. Returns what
    /// the liquid receives, W, and notes what the gas does.
    pub(super) fn wall_heat<S: Scalar>(
        &self,
        jet: Option<&Jet<S>>,
        rates: &mut Rates<'_, S>,
    ) -> (S, S) {
        let mut into_gas = S::zero();
        let Some(wall) = &self.tank.wall else {
            return (S::zero(), into_gas);
        };
        let whole_m2 = self.model.geometry.wall_m2();
        let nodes = self.strata.wall.len();
        let coordinate = |volume: S| {
            let (m2, slope) = self.model.geometry.wetted(volume.value());
            let steps = (nodes - 1) as f64 / whole_m2;
            volume.lift(m2 * steps, slope * steps)
        };
        let m2_per_step = whole_m2 / (nodes - 1) as f64;
        let mut from = coordinate(rates.side.liquid.volume);
        let mut level = rates.side.liquid.level;
        let film = |_: S| S::constant(self.cryogen.wet_w_m2_k);
        let bulk_k = rates.side.liquid.temperature;
        let into_liquid = self.meet(
            S::zero(),
            from,
            m2_per_step,
            bulk_k,
            film,
            rates.found,
            rates.dy,
        );
        for i in 0..rates.found.layers.len() {
            let layer = &rates.found.layers[i];
            let to = coordinate(layer.below);
            let stirred = jet.map(|jet| jet.at_wall(layer, level));
            let film = |surface_k: S| {
                let still = self.film(wall, layer, surface_k);
                stirred.map_or(still, |stirred| still + stirred)
            };
            let gas_k = layer.gas.temperature;
            let heat = self.meet(from, to, m2_per_step, gas_k, film, rates.found, rates.dy);
            rates.dy[self.strata.layers[i].energy] += heat;
            into_gas += heat;
            level += layer.thickness;
            from = to;
        }
        (into_liquid, into_gas)
    }

    fn film<S: Scalar>(&self, wall: &Wall, layer: &super::Layer<S>, surface_k: S) -> S {
        match wall.inside {
            HeatTransfer::Film => {
                let gravity = self.surroundings.gravity_m_s2;
                layer
                    .film
                    .coefficient(Surface::Wall, surface_k, wall.height_m, gravity)
                    * wall.inside_multiplier
            }
            HeatTransfer::Coefficient { w_m2_k } => S::constant(w_m2_k),
            HeatTransfer::Conductance { w_k } => S::constant(w_k / self.model.geometry.wall_m2()),
            HeatTransfer::None | HeatTransfer::Isothermal => S::zero(),
        }
    }

    /// What a fluid that touches the wall between two places receives from it, W.
    #[allow(clippy::too_many_arguments)]
    fn meet<S: Scalar>(
        &self,
        from: S,
        to: S,
        m2_per_step: f64,
        fluid_k: S,
        film: impl Fn(S) -> S,
        found: &Found<S>,
        dy: &mut [S],
    ) -> S {
        let mut received = S::zero();
        let last = found.wall_k.len() - 1;
        for (node, &wall_k) in found.wall_k.iter().enumerate() {
            let part = |x: S| {
                let (value, slope) = hat(node, last, x.value());
                x.lift(value, slope)
            };
            let steps = part(to) - part(from);
            if steps.value() == 0.0 {
                continue;
            }
            let heat = film(wall_k) * steps * m2_per_step * (wall_k - fluid_k);
            dy[self.strata.wall.start + node] += -heat;
            received += heat;
        }
        received
    }

    /// Heat from outside into the wall's nodes, or into the liquid where there is no wall, W.
    pub(super) fn leak<S: Scalar>(&self, rates: &mut Rates<'_, S>) -> (S, S) {
        let Some(wall) = &self.tank.wall else {
            let leak = S::constant(self.cryogen.leak_w.unwrap_or(0.0));
            return (leak, leak);
        };
        let nodes = self.strata.wall.len();
        let mut total = S::zero();
        for node in 0..nodes {
            let part = share(node, nodes);
            let heat = match self.cryogen.leak_w {
                Some(w) => S::constant(w * part),
                None => {
                    let conductance = wall.outside_w_m2_k * part * wall.inner_area_m2;
                    (-rates.found.wall_k[node] + self.surroundings.temperature_k) * conductance
                }
            };
            rates.dy[self.strata.wall.start + node] += heat;
            total += heat;
        }
        (total, S::zero())
    }
}
