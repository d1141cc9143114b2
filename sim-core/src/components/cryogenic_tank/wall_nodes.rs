//! The wall: nodes at even steps of area from the bottom to the top, between which the
//! temperature runs straight (theory 9.2).
//!
//! What passes a node meets as much of it as lies between its ends, by the integral of the
//! node's hat function: smooth as the liquid falls, and all parts add up to the whole wall.
//!
//! A node that is partly wet has two temperatures. Metal passes little heat along itself, so
//! what is under the liquid has next to the liquid's temperature and what leaks in there goes
//! into the liquid beside it; what stands in the gas has all the rest of the node's energy.

use super::jet::Jet;
use super::pool::NODES;
use super::{CryogenicTank, Found, Rates};
use crate::components::film::Surface;
use crate::components::wall;
use crate::network::{HeatTransfer, Wall};
use shared::Scalar;

/// How sharply a node is divided at the level: of the energy by which a node differs from the
/// liquid, a part `w` that is wet has `w` to the power of two to this. Any large number.
const DOUBLINGS: u32 = 4;

/// What is found at a node of the wall.
#[derive(Clone, Copy, Debug)]
pub struct WallNode<S> {
    /// Its mean temperature, K.
    mean_k: S,
    /// Temperature of what is dry of it, K.
    pub(super) dry_k: S,
    /// How much warmer what is wet of it is than the liquid, K.
    wet_rise_k: S,
    /// Its contact with the parts of the liquid, from the surface down, m2.
    contact_m2: [S; NODES + 1],
}

/// Heat between the wall, what it holds, and the surroundings, W.
pub(super) struct WallHeat<S> {
    /// Out of the surroundings.
    pub leak: S,
    /// Into the parts of the liquid, from the surface down.
    pub into_liquid: [S; NODES + 1],
    /// Into the gas.
    pub into_gas: S,
}

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
    /// The nodes of the wall, once the liquid is known.
    pub(super) fn find_wall<S: Scalar>(&self, y: &[S], found: &mut Found<S>) {
        found.wall.clear();
        let Some(wall) = &self.tank.wall else { return };
        let mut edges = [S::zero(); NODES + 2];
        let mut below = S::zero();
        for (part, edge) in found.pool.iter().zip(&mut edges).rev() {
            below += part.volume;
            *edge = self.steps_up_to(below);
        }
        let places = self.strata.wall.clone();
        let nodes = places.len();
        let m2_per_step = self.m2_per_step();
        for (node, place) in places.enumerate() {
            let part = share(node, nodes);
            let mean_k = wall::temperature(&wall.material, y[place] / (wall.mass_kg * part));
            let m2 = part * self.model.geometry.wall_m2();
            let parts = found
                .pool
                .iter()
                .zip(edges.windows(2))
                .map(|(liquid, edge)| {
                    let steps = between(node, nodes - 1, edge[1], edge[0]);
                    (liquid.temperature, steps * m2_per_step)
                });
            found.wall.push(divide(mean_k, m2, parts));
        }
    }

    /// Wall below the level of a volume, in steps between nodes.
    fn steps_up_to<S: Scalar>(&self, volume: S) -> S {
        self.model.geometry.wetted(volume) * (1.0 / self.m2_per_step())
    }

    fn m2_per_step(&self) -> f64 {
        self.model.geometry.wall_m2() / (self.strata.wall.len() - 1) as f64
    }

    /// Heat from outside into the wall, and from the wall into liquid and layers.
    pub(super) fn wall_heat<S: Scalar>(
        &self,
        jet: Option<&Jet<S>>,
        rates: &mut Rates<'_, S>,
    ) -> WallHeat<S> {
        let mut heat = WallHeat {
            leak: S::zero(),
            into_liquid: [S::zero(); NODES + 1],
            into_gas: S::zero(),
        };
        let Some(wall) = &self.tank.wall else {
            heat.leak = S::constant(self.cryogen.leak_w.unwrap_or(0.0));
            heat.into_liquid[NODES] = heat.leak;
            return heat;
        };
        self.heat_liquid(wall, &mut heat, rates);
        self.heat_gas(wall, jet, &mut heat, rates);
        heat
    }

    /// What comes from outside goes through the wet wall into the liquid beside it, elsewhere
    /// into the wall.
    fn heat_liquid<S: Scalar>(
        &self,
        wall: &Wall,
        heat: &mut WallHeat<S>,
        rates: &mut Rates<'_, S>,
    ) {
        let whole_m2 = self.model.geometry.wall_m2();
        for (node, place) in rates.found.wall.iter().zip(self.strata.wall.clone()) {
            let part = share(place - self.strata.wall.start, self.strata.wall.len());
            let leak = match self.cryogen.leak_w {
                Some(w) => S::constant(w * part),
                None => {
                    let conductance = wall.outside_w_m2_k * part * wall.inner_area_m2;
                    (-node.mean_k + self.surroundings.temperature_k) * conductance
                }
            };
            heat.leak += leak;
            rates.dy[place] += leak;
            let through_w_m2 = leak / (part * whole_m2) + node.wet_rise_k * self.cryogen.wet_w_m2_k;
            for (contact, received) in node.contact_m2.iter().zip(&mut heat.into_liquid) {
                if contact.value() > 0.0 {
                    let through = through_w_m2 * *contact;
                    rates.dy[place] -= through;
                    *received += through;
                }
            }
        }
    }

    fn heat_gas<S: Scalar>(
        &self,
        wall: &Wall,
        jet: Option<&Jet<S>>,
        heat: &mut WallHeat<S>,
        rates: &mut Rates<'_, S>,
    ) {
        let m2_per_step = self.m2_per_step();
        let last = rates.found.wall.len() - 1;
        let mut from = self.steps_up_to(rates.side.liquid.volume);
        let mut level = rates.side.liquid.level;
        for (layer, places) in rates.found.layers.iter().zip(&self.strata.layers) {
            let to = self.steps_up_to(layer.below);
            let stirred = jet.map(|jet| jet.at_wall(layer, level));
            for (node, place) in self.strata.wall.clone().enumerate() {
                let steps = between(node, last, from, to);
                if steps.value() == 0.0 {
                    continue;
                }
                let wall_k = rates.found.wall[node].dry_k;
                let still = self.film(wall, layer, wall_k);
                let film = stirred.map_or(still, |stirred| still + stirred);
                let given = film * steps * m2_per_step * (wall_k - layer.gas.temperature);
                rates.dy[place] -= given;
                rates.dy[places.energy] += given;
                heat.into_gas += given;
            }
            level += layer.thickness;
            from = to;
        }
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
}

/// Part of a node that lies between two places, in steps.
fn between<S: Scalar>(node: usize, last: usize, from: S, to: S) -> S {
    // Most nodes have nothing to do with most layers.
    let (start, end) = (node as f64 - 1.0, node as f64 + 1.0);
    if to.value() <= start || from.value() >= end {
        return S::zero();
    }
    let up_to = |x: S| {
        let (value, slope) = hat(node, last, x.value());
        x.lift(value, slope)
    };
    up_to(to) - up_to(from)
}

/// Divides a node between gas and liquid, given temperature of each part of the liquid and its
/// contact with it, m2.
fn divide<S: Scalar>(mean_k: S, m2: f64, parts: impl Iterator<Item = (S, S)>) -> WallNode<S> {
    let mut node = WallNode {
        mean_k,
        dry_k: mean_k,
        wet_rise_k: S::zero(),
        contact_m2: [S::zero(); NODES + 1],
    };
    let (mut wet_m2, mut liquid_k) = (S::zero(), S::zero());
    for (place, (part_k, contact)) in node.contact_m2.iter_mut().zip(parts) {
        if contact.value() > 0.0 {
            *place = contact;
            wet_m2 += contact;
            liquid_k += part_k * contact;
        }
    }
    if wet_m2.value() <= 0.0 {
        return node;
    }
    liquid_k = liquid_k / wet_m2;
    let (wet, rise) = (wet_m2 / m2, mean_k - liquid_k);
    // 1 + w + w^2 + ... by doubling, and its last term.
    let (mut power, mut sum, mut last) = (wet, S::constant(1.0), S::constant(1.0));
    for _ in 0..DOUBLINGS {
        sum = sum * (power + 1.0);
        last = last * power;
        power = power.squared();
    }
    node.dry_k = liquid_k + rise * sum;
    node.wet_rise_k = rise * last;
    node
}

#[cfg(test)]
mod tests {
    use super::divide;

    const M2: f64 = 0.5;

    fn divided(mean_k: f64, wet: f64) -> super::WallNode<f64> {
        divide(mean_k, M2, [(90.0, wet * M2)].into_iter())
    }

    /// Closed form: both shares of a node have its energy; 1e-12: rounding.
    #[test]
    fn wet_and_dry_share_the_energy() {
        for wet in [1e-9, 0.1, 0.5, 0.9, 0.999] {
            let node = divided(120.0, wet);
            let sum = wet * (90.0 + node.wet_rise_k) + (1.0 - wet) * node.dry_k;
            assert!((sum / 120.0 - 1.0).abs() < 1e-12, "{wet}: {sum}");
        }
    }

    /// Closed form: a node that is all of one kind has one temperature, its own.
    #[test]
    fn a_node_of_one_kind_is_not_divided() {
        assert_eq!(divided(120.0, 0.0).dry_k, 120.0);
        assert_eq!(divided(120.0, 1.0).wet_rise_k, 30.0);
    }

    /// Half of a node in liquid at rest: that half is as cold as the liquid, the other one has
    /// all the rest; 1e-3: what the division leaves unsharp.
    #[test]
    fn what_is_wet_is_as_cold_as_the_liquid() {
        let node = divided(120.0, 0.5);
        assert!((node.dry_k - 150.0).abs() < 0.03 && node.wet_rise_k < 0.03);
    }
}
