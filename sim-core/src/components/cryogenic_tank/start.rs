//! The states of a cryogenic tank at the start, and the scales of their errors.

use super::pool::{CryogenicModel, NODES};
use super::{PARTS, Strata, wall_nodes};
use crate::components::tank::TankModel;
use crate::network::{Cryogen, Solubility, Tank};
use fluids::{GasPoint, LiquidState};

/// A tank that is about to start: its layers are alike.
pub struct Start<'a> {
    /// The tank.
    pub tank: &'a Tank,
    /// What it has beside a plain one.
    pub cryogen: &'a Cryogen,
    /// Its geometry.
    pub model: &'a TankModel,
    /// Constants of its liquid.
    pub constants: &'a CryogenicModel,
    /// Where its states are.
    pub strata: &'a Strata,
    /// Its gas.
    pub gas: &'a GasPoint,
    /// Its liquid.
    pub liquid: &'a LiquidState,
}

impl Start<'_> {
    /// Writes states and scales.
    pub fn fill(&self, start: &mut [f64], scales: &mut [f64]) {
        self.fill_gas(start, scales);
        self.fill_liquid(start, scales);
        self.scale_dissolved(scales);
        self.fill_wall(start, scales);
    }

    fn fill_gas(&self, start: &mut [f64], scales: &mut [f64]) {
        let ullage_m3 = self.model.geometry.volume_m3() - self.tank.liquid_volume_m3;
        let each_m3 = ullage_m3 / self.strata.layers.len() as f64;
        // A layer is asked for the accuracy of the ullage: how it is divided must not matter.
        let whole_kg = self.gas.density_kg_m3.iter().sum::<f64>() * ullage_m3;
        for places in &self.strata.layers {
            for (place, density) in places.mass.clone().zip(&self.gas.density_kg_m3) {
                start[place] = density * each_m3;
                scales[place] = whole_kg * 1e-2;
            }
            start[places.energy] = self.gas.energy_j_m3 * each_m3;
            scales[places.energy] =
                whole_kg * self.gas.heat_capacity_j_kg_k * self.tank.gas.temperature_k;
            if let Some(place) = places.volume {
                start[place] = each_m3;
                scales[place] = ullage_m3;
            }
        }
    }

    fn fill_liquid(&self, start: &mut [f64], scales: &mut [f64]) {
        let density = self.liquid.density_kg_m3;
        let mass = self.tank.liquid_volume_m3 * density;
        start[self.strata.liquid_mass] = mass;
        scales[self.strata.liquid_mass] = self.model.geometry.volume_m3() * density * 1e-2;
        let mut bulk = mass;
        for (node, place) in self.strata.surface.clone().enumerate() {
            let kg = self.constants.node_kg(node, mass).0;
            bulk -= kg;
            start[place] = kg * self.liquid.internal_energy_j_kg;
            scales[place] = kg * self.liquid.heat_capacity_j_kg_k;
        }
        start[self.strata.bulk_energy] = bulk * self.liquid.internal_energy_j_kg;
        scales[self.strata.bulk_energy] = mass * self.liquid.heat_capacity_j_kg_k;
        debug_assert_eq!(self.strata.surface.len(), NODES);
    }

    /// Nothing is dissolved at the start. Errors count against what equilibrium would hold.
    fn scale_dissolved(&self, scales: &mut [f64]) {
        let liquid_kg = self.tank.liquid_volume_m3 * self.liquid.density_kg_m3;
        for (gas, places) in self.cryogen.dissolving.iter().zip(&self.strata.dissolved) {
            let part = match gas.solubility {
                Solubility::IdealSolution(_) => 0.1,
                Solubility::Henry { .. } => 1e-3,
            };
            let mut rest = liquid_kg;
            for (node, place) in places.parts.clone().enumerate() {
                let kg = self.constants.node_kg(node, liquid_kg).0;
                scales[place] = part * if node + 1 < PARTS { kg } else { rest };
                rest -= kg;
            }
            scales[places.gone] = part * liquid_kg;
        }
    }

    fn fill_wall(&self, start: &mut [f64], scales: &mut [f64]) {
        let Some(wall) = &self.tank.wall else { return };
        let nodes = self.strata.wall.len();
        for (node, place) in self.strata.wall.clone().enumerate() {
            let kg = wall.mass_kg * wall_nodes::share(node, nodes);
            start[place] = kg * wall.material.internal_energy_j_kg(wall.temperature_k);
            scales[place] = kg * wall.material.heat_capacity_j_kg_k(wall.temperature_k).0;
        }
    }
}
