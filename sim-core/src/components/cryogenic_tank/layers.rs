//! The layers of the ullage: volumes, pressures, heat from one to the next.
//!
//! Layers of one pressure share what the ullage gains in proportion to their volumes; where
//! pressures differ, volume passes from one to the other with a time constant that is short
//! against everything else, as sound would equalise them. All do work against their common
//! pressure, the mean by volume, so that what the liquid gives the gas receives (theory 9.1).

use super::properties::LayerProperties;
use super::{CryogenicTank, Found, LayerPlaces, Rates};
use crate::components::film::GasFilm;
use crate::components::gas::GasSide;
use crate::network::Posture;
use fluids::FluidError;
use shared::Scalar;

/// Time in which layers of different pressure come together, s.
const SETTLING_S: f64 = 1e-3;

/// J/(mol K).
const GAS_CONSTANT_J_MOL_K: f64 = 8.314_462_618;

/// Difference over which layers change from lying to overturning, K.
const OVERTURN_K: f64 = 2.0;

/// Heat between two layers of which the lower one is warmer, W/(m2 K): they overturn, whatever
/// the number.
const OVERTURN_W_M2_K: f64 = 200.0;

/// A layer of the ullage.
#[derive(Clone, Copy, Debug)]
pub struct Layer<S> {
    /// Its gas.
    pub gas: GasSide<S>,
    /// Its volume, m3.
    pub volume: S,
    /// Volume of everything below its upper end, m3.
    pub below: S,
    /// Thickness, m.
    pub thickness: S,
    /// What its film depends on.
    pub film: GasFilm<S>,
    /// Heat-capacity ratio as of an ideal gas.
    pub heat_capacity_ratio: S,
}

impl CryogenicTank<'_> {
    /// The layers in a state.
    pub(super) fn find_layers<S: Scalar>(
        &self,
        y: &[S],
        liquid_m3: S,
        found: &mut Found<S>,
    ) -> Result<(), FluidError> {
        found.layers.clear();
        let whole = self.model.geometry.volume_m3();
        let mut below = liquid_m3;
        let mut level = self.model.geometry.level(liquid_m3);
        let layers = self.strata.layers.len();
        let posture = Posture::of(self.tank.wall.as_ref());
        found.properties.resize_with(layers, LayerProperties::none);
        for (places, known) in self.strata.layers.iter().zip(&mut found.properties) {
            let volume = match places.volume {
                Some(place) => y[place],
                None => -below + whole,
            };
            let masses = &y[places.mass.clone()];
            let species = self.mixture.len();
            let energy = y[places.energy];
            let gas = GasSide::looked_up(species, masses, energy, volume, |density, energy| {
                known.look_up(self.mixture, density, energy)
            })
            .map_err(|error| self.at_an_end(error))?;
            below += volume;
            let top = self.model.geometry.level(below);
            found.layers.push(Layer {
                film: GasFilm::from_properties(&gas, &known.film, posture),
                heat_capacity_ratio: gas.lift_by_fraction(&known.heat_capacity_ratio),
                gas,
                volume,
                below,
                thickness: top - level,
            });
            level = top;
        }
        Ok(())
    }

    /// Heat from each layer into the one above it.
    pub(super) fn heat_between_layers<S: Scalar>(&self, rates: &mut Rates<'_, S>) {
        for (pair, places) in (rates.found.layers.windows(2)).zip(self.strata.layers.windows(2)) {
            let area = self.model.geometry.surface(pair[0].below);
            let difference = pair[0].gas.temperature - pair[1].gas.temperature;
            let way = |layer: &Layer<S>| layer.thickness * 0.5 / layer.film.conductivity();
            let lying = (way(&pair[0]) + way(&pair[1]) + f64::MIN_POSITIVE).recip();
            let overturning = ((difference / OVERTURN_K).tanh() + 1.0) * (0.5 * OVERTURN_W_M2_K);
            let heat = (lying * self.cryogen.gas_mixing + overturning) * area * difference;
            rates.dy[places[0].energy] += -heat;
            rates.dy[places[1].energy] += heat;
        }
    }

    /// As much gas up as down between two neighbours, the lower one first: no layer gains mass.
    pub(super) fn swap<S: Scalar>(
        &self,
        flow: S,
        pair: &[Layer<S>],
        places: &[LayerPlaces],
        dy: &mut [S],
    ) {
        let (lower, upper) = (&pair[0].gas, &pair[1].gas);
        let energy = flow * (upper.enthalpy - lower.enthalpy);
        dy[places[0].energy] += energy;
        dy[places[1].energy] -= energy;
        for k in 0..self.mixture.len() {
            let mass = flow * (upper.fraction[k] - lower.fraction[k]);
            dy[places[0].mass.start + k] += mass;
            dy[places[1].mass.start + k] -= mass;
        }
    }

    /// Volumes of the layers and their work, given what the ullage gains, m3/s: each grows as an
    /// ideal gas would at the pressure of all, and what that leaves of differences settles.
    pub(super) fn move_layers<S: Scalar>(&self, ullage_rate: S, rates: &mut Rates<'_, S>) {
        let pressure = rates.side.gas.pressure;
        let (mut growth, mut stretch) = (S::zero(), S::zero());
        for (layer, places) in rates.found.layers.iter().zip(&self.strata.layers) {
            let own = self.growth(layer, places, pressure, rates.dy);
            growth += own;
            stretch += layer.volume / layer.heat_capacity_ratio;
            if let Some(place) = places.volume {
                rates.dy[place] = own;
            }
        }
        let squeeze = (growth - ullage_rate) / stretch;
        let mut left = ullage_rate;
        for (layer, places) in rates.found.layers.iter().zip(&self.strata.layers) {
            let volume_rate = match places.volume {
                Some(place) => {
                    let excess = (layer.gas.pressure - pressure) / pressure * (1.0 / SETTLING_S);
                    rates.dy[place] +=
                        layer.volume * (excess - squeeze / layer.heat_capacity_ratio);
                    rates.dy[place]
                }
                None => left,
            };
            left -= volume_rate;
            rates.dy[places.energy] += -(pressure * volume_rate);
        }
    }

    /// Rate at which a layer would grow at constant pressure by what comes in, as an ideal gas,
    /// m3/s.
    fn growth<S: Scalar>(
        &self,
        layer: &Layer<S>,
        places: &LayerPlaces,
        pressure: S,
        dy: &[S],
    ) -> S {
        let t = layer.gas.temperature;
        let k = layer.heat_capacity_ratio;
        let mut heat = dy[places.energy];
        let mut moles = S::zero();
        for (species, place) in places.mass.clone().enumerate() {
            let (enthalpy, slope) = self.mixture.vapour_enthalpy(species, t.value());
            let own = t * (GAS_CONSTANT_J_MOL_K / self.mixture.molar_mass_kg_mol(species));
            heat -= dy[place] * (t.lift(enthalpy, slope) - own);
            moles += dy[place] * own;
        }
        ((k - 1.0) * heat + moles) / (k * pressure)
    }
}
