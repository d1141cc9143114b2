//! What crosses the liquid's surface (theory 9.4): heat from the gas, vapour both ways.
//!
//! The surface is saturated at the temperature of the topmost node of the liquid. Vapour meets
//! two resistances in series: diffusion through the gas that does not condense (Stefan's law
//! with the coefficient of heat transfer, Lewis number 1), which is nothing in pure vapour, and
//! the kinetics of the surface (Hertz and Knudsen, from memory), which is next to nothing. In
//! pure vapour the surface therefore goes to the saturation temperature, and what evaporates is
//! (q_gas - q_liquid)/h_fg.

use super::pool::NODES;
use super::{CryogenicTank, Found};
use crate::components::film::Surface;
use crate::components::gas::volume_flow;
use crate::components::tank::LiquidSide;
use crate::network::HeatTransfer;
use fluids::FluidError;
use shared::Scalar;

/// Part of the molecules that stick; it hardly matters.
const ACCOMMODATION: f64 = 0.1;

/// Pressure over which the part of the gas that does not condense goes to none, Pa.
pub(super) const SMOOTHING_PA: f64 = 10.0;

/// Longest time constant with which the surface itself boils, s: it has no bubbles to wait for.
const SURFACE_FLASH_S: f64 = 0.1;

/// Shortest way through the gas to the surface, m: thinner layers are as well stirred.
const THINNEST_M: f64 = 1e-4;

/// What crosses the surface.
#[derive(Clone, Copy, Debug)]
pub struct Crossing<S> {
    /// Heat from the gas into the surface, W.
    pub heat: S,
    /// Vapour from the surface into the gas, kg/s.
    pub evaporation: S,
    /// Its enthalpy, J/kg.
    pub enthalpy: S,
    /// Out of each part of the liquid that boils, from the surface down.
    pub boiling: [Stream<S>; NODES + 1],
    /// Liquid that comes down out of the gas.
    pub rain: Stream<S>,
}

/// Mass that carries energy.
#[derive(Clone, Copy, Debug)]
pub struct Stream<S> {
    /// Mass, kg/s.
    pub mass: S,
    /// Energy, W.
    pub energy: S,
}

impl<S: Scalar> Stream<S> {
    /// Nothing.
    pub(super) fn none() -> Self {
        Self {
            mass: S::zero(),
            energy: S::zero(),
        }
    }

    pub(super) fn add(&mut self, mass: S, enthalpy: S) {
        self.mass += mass;
        self.energy += mass * enthalpy;
    }
}

impl<S: Scalar> Crossing<S> {
    /// Nothing.
    #[must_use]
    pub fn none() -> Self {
        let zero = S::zero();
        Self {
            heat: zero,
            evaporation: zero,
            enthalpy: zero,
            boiling: [Stream::none(); NODES + 1],
            rain: Stream::none(),
        }
    }

    /// Vapour of all parts that boil.
    pub(super) fn boiled(&self) -> Stream<S> {
        let mut sum = Stream::none();
        for part in &self.boiling {
            sum.mass += part.mass;
            sum.energy += part.energy;
        }
        sum
    }

    /// What the surface loses but for boiling, kg/s.
    pub(super) fn off_surface(&self) -> S {
        self.evaporation - self.rain.mass
    }
}

impl CryogenicTank<'_> {
    /// What crosses the surface of the liquid.
    /// What strikes it beside its film has a conductance of its own, W/K.
    pub(super) fn crossing<S: Scalar>(
        &self,
        surface_m2: S,
        pressure: S,
        found: &Found<S>,
        struck_w_k: Option<S>,
    ) -> Result<Crossing<S>, FluidError> {
        let mut crossing = Crossing::none();
        let (Some(gas_layer), Some(surface)) = (found.layers.first(), found.pool.first()) else {
            return Ok(crossing);
        };
        let flash_s = self.cryogen.flash_s;
        let times = [f64::min(flash_s, SURFACE_FLASH_S)]
            .into_iter()
            .chain(std::iter::repeat(flash_s));
        for ((part, boiling), flash_s) in found.pool.iter().zip(&mut crossing.boiling).zip(times) {
            self.boil(pressure, part, flash_s, boiling)?;
        }
        let Some(conductance) = self.conductance(found, surface_m2, surface.temperature) else {
            return Ok(crossing);
        };
        let conductance = struck_w_k.map_or(conductance, |more| conductance + more);
        crossing.heat = conductance * (gas_layer.gas.temperature - surface.temperature);
        let Some(vapour) = self.tank.vapour else {
            return Ok(crossing);
        };
        let at = self
            .cryogen
            .boiling
            .saturation(surface.temperature.value())?;
        let saturated = surface.temperature.lift(at.pressure_pa.0, at.pressure_pa.1);
        let saturated = self
            .purity(found)
            .map_or(saturated, |purity| saturated * purity);
        crossing.enthalpy = surface
            .temperature
            .lift(at.vapour_enthalpy_j_kg.0, at.vapour_enthalpy_j_kg.1);
        let gas = &gas_layer.gas;
        let partial = self.mole_fraction(vapour, &gas.fraction) * pressure;
        let other = positive(pressure - (partial + saturated) * 0.5, SMOOTHING_PA);
        let constant = gas.temperature * self.constants.vapour_j_kg_k;
        // Mass flow through unit pressure, against diffusion and against the surface itself.
        let diffusion = other * constant / (volume_flow(self.mixture, gas, conductance) * pressure);
        crossing.evaporation = (saturated - partial) / (diffusion + kinetics(constant, surface_m2));
        Ok(crossing)
    }

    /// A part of the liquid above its boiling point boils: its superheat goes with a time constant.
    fn boil<S: Scalar>(
        &self,
        pressure: S,
        part: &LiquidSide<S>,
        flash_s: f64,
        boiling: &mut Stream<S>,
    ) -> Result<(), FluidError> {
        let t = part.temperature;
        // Its vapour has less pressure than an ideal gas: most liquid is far from boiling.
        let most = part.saturated_vapour.value() * self.constants.vapour_j_kg_k * t.value();
        if most < pressure.value() {
            return Ok(());
        }
        let at = self.cryogen.boiling.saturation(t.value())?;
        let saturated = t.lift(at.pressure_pa.0, at.pressure_pa.1);
        let superheat = excess(saturated - pressure, SMOOTHING_PA) / at.pressure_pa.1;
        let per_kelvin = part.heat_capacity_j_k() / (at.vaporisation_enthalpy_j_kg() * flash_s);
        let enthalpy = t.lift(at.vapour_enthalpy_j_kg.0, at.vapour_enthalpy_j_kg.1);
        boiling.add(superheat * per_kelvin, enthalpy);
        Ok(())
    }

    /// Between the lowest layer and the surface, W/K.
    pub(super) fn conductance<S: Scalar>(
        &self,
        found: &Found<S>,
        surface_m2: S,
        surface_k: S,
    ) -> Option<S> {
        let layer = &found.layers[0];
        Some(match self.tank.interface {
            HeatTransfer::None | HeatTransfer::Isothermal => return None,
            HeatTransfer::Coefficient { w_m2_k } => surface_m2 * w_m2_k,
            HeatTransfer::Conductance { w_k } => S::constant(w_k),
            HeatTransfer::Film => {
                let size = (surface_m2.value() * (4.0 / std::f64::consts::PI)).sqrt();
                let gravity = self.surroundings.gravity_m_s2;
                let film = layer
                    .film
                    .coefficient(Surface::LiquidBelow, surface_k, size, gravity);
                // A thin layer is met by conduction from its middle.
                let way = layer.thickness * 0.5 + THINNEST_M;
                let thin = layer.film.conductivity() * self.cryogen.gas_mixing / way;
                let coefficient = if found.layers.len() > 1 { thin } else { film };
                coefficient * surface_m2 * self.tank.interface_multiplier
            }
        })
    }

    pub(super) fn mole_fraction<S: Scalar>(&self, species: usize, mass_fraction: &[S]) -> S {
        let moles = |k: usize| mass_fraction[k] / self.mixture.molar_mass_kg_mol(k);
        let mut all = S::zero();
        for k in 0..self.mixture.len() {
            all += moles(k);
        }
        moles(species) / all
    }
}

/// Pressure that drives a kilogram a second through a surface: Hertz and Knudsen, with R T in J/kg.
pub(super) fn kinetics<S: Scalar>(constant_j_kg: S, surface_m2: S) -> S {
    (constant_j_kg * (2.0 * std::f64::consts::PI)).sqrt() / (surface_m2 * ACCOMMODATION)
}

/// What lies above zero, from a parabola on over a width: nothing at all below.
pub(super) fn excess<S: Scalar>(x: S, width: f64) -> S {
    match x.value() {
        v if v <= 0.0 => S::zero(),
        v if v < width => x.squared() * (0.5 / width),
        _ => x - 0.5 * width,
    }
}

/// The positive part, rounded over a width.
pub(super) fn positive<S: Scalar>(x: S, width: f64) -> S {
    let root = (x.value() * x.value() + width * width).sqrt();
    // Far below zero the difference of two large numbers is taken by its other form.
    let value = if x.value() < 0.0 {
        0.5 * width * width / (root - x.value())
    } else {
        0.5 * (x.value() + root)
    };
    x.lift(value, 0.5 * (1.0 + x.value() / root))
}

#[cfg(test)]
mod tests {
    use super::excess;
    use shared::Dual;

    /// Closed form: a liquid below its boiling point does not boil at all, and the start is
    /// without a kink; 1e-12: rounding.
    #[test]
    fn boiling_begins_from_nothing() {
        let at = |x: f64| excess(Dual::<1>::variable(x, 0), 10.0);
        for x in [-1e5, -10.0, -1e-3, 0.0] {
            assert_eq!((at(x).value, at(x).slope[0]), (0.0, 0.0), "{x}");
        }
        let (before, after) = (at(10.0 - 1e-12), at(10.0));
        assert!((before.value - after.value).abs() < 1e-12);
        assert!((before.slope[0] - after.slope[0]).abs() < 1e-12);
        assert_eq!(at(100.0).value, 95.0);
    }
}
