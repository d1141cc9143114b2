//! Gas that goes into the liquid, and comes out of it (theory 9.13).
//!
//! At the surface the liquid is in equilibrium with the gas above it; from there what is dissolved
//! spreads through the upper nodes of the surface layer by diffusion, which gives the uptake that
//! goes with the square root of time, into all that lies below. Liquid that moves from node to
//! node or leaves takes it along. Above its own saturation pressure at the surface's temperature a
//! gas condenses there. Bubbles saturate the bulk.
//!
//! What is dissolved takes no room and has no heat capacity of its own; its energy is that of the
//! gas at the liquid's start temperature less the heat of solution, and kept in a ledger.

use super::surface::positive;
use super::{Crossing, CryogenicTank, Found, Rates};
use crate::components::gas::volume_flow;
use crate::network::{Dissolving, Inlet, Solubility};
use fluids::CompressedLiquid;
use shared::Scalar;
use std::ops::Range;

/// Parts of the liquid in which a dissolved gas is counted: the uppermost nodes, and the rest.
pub const PARTS: usize = 4;

/// Width in mole fraction over which a surface becomes saturated.
const SATURATING: f64 = 1e-3;

/// Highest part of its critical temperature up to which a gas's saturation pressure is looked
/// up; from there it is led on straight in ln p over 1/T.
const NEAR_CRITICAL: f64 = 0.98;

/// Lowest part of its triple temperature down to which it is led on: there is no vapour left.
const VANISHING: f64 = 0.5;

/// Where a dissolved gas is counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DissolvedPlaces {
    /// Place of the gas among the species.
    pub species: usize,
    /// In the parts of the liquid, kg, from the surface down.
    pub parts: Range<usize>,
    /// Carried away by liquid that left, kg.
    pub gone: usize,
}

/// What dissolution adds to a tank's exchange.
#[derive(Clone, Copy, Debug)]
pub(super) struct Uptake<S> {
    /// Gas taken up, kg/s.
    pub gas: S,
    /// Energy that it had as a gas, W.
    pub energy: S,
    /// Heat into the surface, W.
    pub into_surface: S,
    /// Energy of what is dissolved, W.
    pub kept: S,
}

impl<S: Scalar> Uptake<S> {
    pub(super) fn none() -> Self {
        let zero = S::zero();
        Self {
            gas: zero,
            energy: zero,
            into_surface: zero,
            kept: zero,
        }
    }

    /// Counts gas with what it has as a gas, or brings, J/kg, and what it keeps of that.
    pub(super) fn add(&mut self, flow: S, enthalpy: S, kept_j_kg: f64) {
        self.gas += flow;
        self.energy += flow * enthalpy;
        self.kept += flow * kept_j_kg;
    }
}

/// One gas on its way through the liquid.
struct Way<'a, S> {
    gas: &'a Dissolving,
    places: &'a DissolvedPlaces,
    /// Energy of what is dissolved, J/kg.
    energy_j_kg: f64,
    /// Mole fractions in the parts.
    x: [S; PARTS],
    surface_m2: S,
}

impl CryogenicTank<'_> {
    /// Mole fractions of the dissolved gases in the parts of the liquid.
    pub(super) fn find_dissolved<S: Scalar>(&self, y: &[S], found: &mut Found<S>) {
        found.dissolved.clear();
        for places in &self.strata.dissolved {
            let kg = self.part_masses(found);
            let ratio = self.liquid_kg_mol() / self.mixture.molar_mass_kg_mol(places.species);
            found.dissolved.push(std::array::from_fn(|part| {
                let moles = y[places.parts.start + part] * ratio;
                moles / (moles + kg[part])
            }));
        }
    }

    /// Mole fraction of the liquid itself at its surface; none where nothing dissolves.
    pub(super) fn purity<S: Scalar>(&self, found: &Found<S>) -> Option<S> {
        let others = found.dissolved.iter().map(|x| x[0]);
        let others = others.reduce(|a, b| a + b)?;
        Some(-others + 1.0)
    }

    fn liquid_kg_mol(&self) -> f64 {
        self.cryogen.boiling.fluid().molar_mass_kg_mol()
    }

    /// Masses of the parts of the liquid, kg.
    fn part_masses<S: Scalar>(&self, found: &Found<S>) -> [S; PARTS] {
        let mut kg = [S::zero(); PARTS];
        for (node, part) in found.pool.iter().enumerate() {
            kg[node.min(PARTS - 1)] += part.mass;
        }
        kg
    }

    /// Adds the rates of what is dissolved, and of the gas that it was.
    pub(super) fn dissolve<S: Scalar>(
        &self,
        surface_m2: S,
        crossing: &Crossing<S>,
        rates: &mut Rates<'_, S>,
        uptake: &mut Uptake<S>,
    ) {
        let all = self.cryogen.dissolving.iter().zip(&self.strata.dissolved);
        for (i, (gas, places)) in all.enumerate() {
            let way = Way {
                energy_j_kg: self.kept_j_kg(gas),
                x: rates.found.dissolved[i],
                surface_m2,
                gas,
                places,
            };
            self.through_surface(&way, rates, uptake);
            self.bubbled_in(&way, rates, uptake);
            self.spread(&way, crossing, rates);
        }
    }

    /// Energy that a gas keeps in the liquid, J/kg.
    pub(super) fn kept_j_kg(&self, gas: &Dissolving) -> f64 {
        let start_k = self.tank.liquid_temperature_k;
        self.mixture.vapour_enthalpy(gas.species, start_k).0 - gas.heat_of_solution_j_kg
    }

    /// Diffusion into the uppermost node, and condensation upon it.
    fn through_surface<S: Scalar>(
        &self,
        way: &Way<'_, S>,
        rates: &mut Rates<'_, S>,
        uptake: &mut Uptake<S>,
    ) {
        let (species, pool) = (way.gas.species, &rates.found.pool);
        let surface_k = pool[0].temperature;
        let gas = &rates.found.layers[0].gas;
        let partial = self.mole_fraction(species, &gas.fraction) * rates.side.gas.pressure;
        let ratio = partial / equilibrium_pa(&way.gas.solubility, surface_k);
        let saturated = -positive(-ratio + 1.0, SATURATING) + 1.0;
        let half = pool[0].volume / way.surface_m2 * 0.5;
        let mut flow = self.diffusion(way, half, saturated - way.x[0], rates);
        if let Solubility::IdealSolution(_) = way.gas.solubility {
            flow += self.condensation(way, partial, rates);
        }
        let (value, slope) = self.mixture.vapour_enthalpy(species, surface_k.value());
        let enthalpy = surface_k.lift(value, slope);
        self.take(way, flow, enthalpy, 0, rates);
        uptake.add(flow, enthalpy, way.energy_j_kg);
        uptake.into_surface += flow * (enthalpy - way.energy_j_kg);
    }

    /// Flow by diffusion over a distance, kg/s.
    fn diffusion<S: Scalar>(
        &self,
        way: &Way<'_, S>,
        distance: S,
        difference: S,
        rates: &Rates<'_, S>,
    ) -> S {
        let molar = self.mixture.molar_mass_kg_mol(way.gas.species) / self.liquid_kg_mol();
        let diffusivity = way.gas.diffusivity_m2_s * self.cryogen.liquid_mixing;
        let per_m = way.surface_m2 * rates.side.liquid.density * (molar * diffusivity);
        per_m / distance * difference
    }

    /// What condenses of a gas above its saturation pressure, kg/s, against the resistances of
    /// the vapour's own evaporation (theory 9.4).
    fn condensation<S: Scalar>(&self, way: &Way<'_, S>, partial: S, rates: &Rates<'_, S>) -> S {
        let (found, pressure) = (rates.found, rates.side.gas.pressure);
        let surface_k = found.pool[0].temperature;
        let saturated = equilibrium_pa(&way.gas.solubility, surface_k);
        let excess = positive(partial - saturated, super::surface::SMOOTHING_PA);
        let gas = &found.layers[0].gas;
        let gas_constant = 8.314_462_618 / self.mixture.molar_mass_kg_mol(way.gas.species);
        let other = positive(
            pressure - (partial + saturated) * 0.5,
            super::surface::SMOOTHING_PA,
        );
        let resistance = super::surface::kinetics(gas.temperature * gas_constant, way.surface_m2);
        let Some(conductance) = self.conductance(found, way.surface_m2, surface_k) else {
            return S::zero();
        };
        let volume = volume_flow(self.mixture, gas, conductance);
        let diffusion = other * gas.temperature * gas_constant / (volume * pressure);
        excess / (resistance + diffusion)
    }

    /// Takes gas out of the lowest layer into a part of the liquid.
    fn take<S: Scalar>(
        &self,
        way: &Way<'_, S>,
        flow: S,
        enthalpy: S,
        part: usize,
        rates: &mut Rates<'_, S>,
    ) {
        let layer = &self.strata.layers[0];
        rates.dy[layer.mass.start + way.gas.species] -= flow;
        rates.dy[layer.energy] -= flow * enthalpy;
        rates.dy[way.places.parts.start + part] += flow;
    }

    /// Bubbles give up gas to a bulk that is not saturated yet.
    fn bubbled_in<S: Scalar>(
        &self,
        way: &Way<'_, S>,
        rates: &mut Rates<'_, S>,
        uptake: &mut Uptake<S>,
    ) {
        let inflow = rates.gas_inflow;
        if self.cryogen.inlet != Inlet::Bubbled || !inflow.is_some() {
            return;
        }
        let species = way.gas.species;
        let liquid_k = rates.side.liquid.temperature;
        let partial = self.mole_fraction(species, &inflow.species) * rates.side.gas.pressure;
        let ratio = partial / equilibrium_pa(&way.gas.solubility, liquid_k);
        let saturated = -positive(-ratio + 1.0, SATURATING) + 1.0;
        if saturated.value() <= SATURATING * SATURATING {
            return;
        }
        let hungry = positive(-(way.x[PARTS - 1] / saturated) + 1.0, SATURATING);
        let flow = inflow.species[species] * hungry.min(S::constant(1.0));
        let (value, slope) = self.mixture.vapour_enthalpy(species, liquid_k.value());
        let enthalpy = liquid_k.lift(value, slope);
        self.take(way, flow, enthalpy, PARTS - 1, rates);
        uptake.add(flow, enthalpy, way.energy_j_kg);
        rates.inflow.liquid_energy += flow * (enthalpy - way.energy_j_kg);
    }

    /// Diffusion from part to part, and what liquid on its way takes along.
    fn spread<S: Scalar>(
        &self,
        way: &Way<'_, S>,
        crossing: &Crossing<S>,
        rates: &mut Rates<'_, S>,
    ) {
        // Mass of gas for the mass of the liquid itself.
        let molar = self.mixture.molar_mass_kg_mol(way.gas.species) / self.liquid_kg_mol();
        let content = |x: S| x / (-x + 1.0) * molar;
        let drained = (-rates.inflow.liquid_mass).max(S::zero());
        let liquid_rate = self.liquid_rate(crossing, rates);
        let mut down = -crossing.off_surface();
        let start = way.places.parts.start;
        for part in 0..PARTS - 1 {
            let (_, slope) = self.constants.node_kg(part, rates.side.liquid.mass);
            down -= liquid_rate * slope + crossing.boiling[part].mass;
            let pool = &rates.found.pool;
            let distance = (pool[part].volume + pool[part + 1].volume) / way.surface_m2 * 0.5;
            let difference = way.x[part] - way.x[part + 1];
            let from = if down.value() >= 0.0 { part } else { part + 1 };
            let flow =
                self.diffusion(way, distance, difference, rates) + down * content(way.x[from]);
            rates.dy[start + part] -= flow;
            rates.dy[start + part + 1] += flow;
        }
        let leaves = drained * content(way.x[PARTS - 1]);
        rates.dy[start + PARTS - 1] -= leaves;
        rates.dy[way.places.gone] += leaves;
    }
}

/// Partial pressure over which a gas is in equilibrium with a liquid that is nothing but it (ideal
/// solution), or would be by Henry's law, Pa.
fn equilibrium_pa<S: Scalar>(solubility: &Solubility, temperature: S) -> S {
    match solubility {
        Solubility::Henry { pa } => S::constant(*pa),
        Solubility::IdealSolution(own) => saturation_pa(own, temperature),
    }
}

/// Saturation pressure of a gas at a temperature, Pa: led on beyond its ends straight in ln p over 1/T, down
/// to where there is none left.
#[must_use]
pub fn saturation_pa<S: Scalar>(own: &CompressedLiquid, temperature: S) -> S {
    let (low, _) = own.temperature_range_k();
    let high = NEAR_CRITICAL * own.fluid().critical_temperature_k();
    let t = temperature.value();
    if t < VANISHING * low {
        return S::constant(saturation_pa(own, VANISHING * low));
    }
    let within = t.clamp(low, high);
    let Ok(at) = own.saturation(within) else {
        return S::constant(f64::NAN);
    };
    let (p, slope) = at.pressure_pa;
    if within == t {
        return temperature.lift(p, slope);
    }
    // d ln p / d(1/T) stays what it is at the end.
    let steep = -slope * within * within / p;
    let value = p * (steep * (1.0 / t - 1.0 / within)).exp();
    temperature.lift(value, -value * steep / (t * t))
}
