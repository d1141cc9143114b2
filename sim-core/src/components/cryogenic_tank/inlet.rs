//! How gas gets into a cryogenic tank (theory 9.9 to 9.12).
//!
//! A diffuser lets it lie down on top of the ullage. A straight pipe makes a jet, see `jet`. A dip
//! tube, up through the liquid to the top of the ullage, cools it on its way; bubbled through the
//! liquid it rises from the surface at the liquid's temperature, full of vapour.

use super::surface::positive;
use super::{CryogenicTank, Rates};
use crate::components::gas::GasSide;
use crate::components::tank::TankSide;
use crate::network::Inlet;
use fluids::MAX_SPECIES;
use shared::Scalar;

/// Nusselt number of laminar flow in a tube of constant wall temperature.
const LAMINAR: f64 = 3.66;

/// Part of the pressure below which the gas in a bubble counts as vapour's.
const LEAST_GAS: f64 = 0.02;

/// Speed at which a layer that is lighter than the one above it changes places with it, m/s: any
/// that is fast against what comes in.
const OVERTURN_M_S: f64 = 0.1;

/// Part of the density over which layers begin to change places.
const HARDLY_LIGHTER: f64 = 5e-3;

/// What branches bring to the gas of a tank whose inlet makes a difference.
#[derive(Clone, Copy, Debug)]
pub struct GasInflow<S> {
    /// Mass flow, kg/s.
    pub mass: S,
    /// Volume flow at the pressure of the tank, m3/s.
    pub volume: S,
    /// Heat that it gives off as it cools to the liquid's temperature, W.
    pub above_liquid: S,
    /// Heat capacity flow, W/K.
    pub capacity: S,
    /// Mass flow of each species, kg/s.
    pub species: [S; MAX_SPECIES],
}

impl<S: Scalar> GasInflow<S> {
    /// Nothing.
    #[must_use]
    pub fn none() -> Self {
        let zero = S::zero();
        Self {
            mass: zero,
            volume: zero,
            above_liquid: zero,
            capacity: zero,
            species: [zero; MAX_SPECIES],
        }
    }

    /// Whether anything comes in.
    pub(super) fn is_some(&self) -> bool {
        self.mass.value() > 0.0
    }
}

/// What the way in adds to a tank's exchange.
#[derive(Clone, Copy, Debug)]
pub(super) struct OnTheWay<S> {
    /// Heat into the liquid, W.
    pub heat: S,
    /// Vapour that the gas takes along, kg/s.
    pub vapour: S,
    /// Its energy, W.
    pub vapour_energy: S,
}

impl<S: Scalar> OnTheWay<S> {
    fn heat(heat: S) -> Self {
        Self {
            heat,
            vapour: S::zero(),
            vapour_energy: S::zero(),
        }
    }
}

impl CryogenicTank<'_> {
    /// The layer in which gas arrives.
    #[must_use]
    pub fn arrival(&self) -> &super::LayerPlaces {
        let layers = &self.strata.layers;
        match self.cryogen.inlet {
            Inlet::Bubbled => &layers[0],
            _ => &layers[layers.len() - 1],
        }
    }

    /// Notes what a branch brings, where that makes a difference.
    pub fn receive<S: Scalar>(
        &self,
        flow: S,
        up: &GasSide<S>,
        side: &TankSide<S>,
        into: &mut GasInflow<S>,
    ) {
        if self.cryogen.inlet == Inlet::Diffuser {
            return;
        }
        into.mass += flow;
        into.volume += flow * up.pressure / (up.density * side.gas.pressure);
        let liquid_k = side.liquid.temperature;
        for k in 0..self.mixture.len() {
            let species = flow * up.fraction[k];
            let enthalpy = |t: S| {
                let (value, slope) = self.mixture.vapour_enthalpy(k, t.value());
                (t.lift(value, slope), slope)
            };
            let (hot, capacity) = enthalpy(up.temperature);
            into.above_liquid += species * (hot - enthalpy(liquid_k).0);
            into.capacity += species * capacity;
            into.species[k] += species;
        }
    }

    /// What gas exchanges with the liquid before it arrives. Its share of the rates of the gas
    /// is added, that of the liquid goes to the inflow.
    pub(super) fn on_the_way<S: Scalar>(&self, rates: &mut Rates<'_, S>) -> OnTheWay<S> {
        let inflow = rates.gas_inflow;
        if !inflow.is_some() {
            return OnTheWay::heat(S::zero());
        }
        let way = match self.cryogen.inlet {
            Inlet::Diffuser | Inlet::Pipe { .. } => return OnTheWay::heat(S::zero()),
            Inlet::DipTube { bore_m } => OnTheWay::heat(self.dip_tube(bore_m, rates)),
            Inlet::Bubbled => self.bubbles(rates),
        };
        if self.cryogen.inlet == Inlet::Bubbled {
            self.rise(rates);
        }
        let layer = self.arrival();
        rates.dy[layer.energy] += way.vapour_energy - way.heat;
        if let Some(vapour) = self.tank.vapour {
            rates.dy[layer.mass.start + vapour] += way.vapour;
        }
        let head = rates.side.liquid.level * self.surroundings.gravity_m_s2;
        rates.inflow.liquid_mass -= way.vapour;
        rates.inflow.liquid_energy += way.heat - way.vapour_energy + way.vapour * head;
        way
    }

    /// Gas from the surface that is lighter than what lies above it rises: layers overturn.
    fn rise<S: Scalar>(&self, rates: &mut Rates<'_, S>) {
        let pairs = rates.found.layers.windows(2);
        for (pair, places) in pairs.zip(self.strata.layers.windows(2)) {
            let (lower, upper) = (pair[0].gas.density, pair[1].gas.density);
            let lighter = positive(-(lower / upper) + 1.0, HARDLY_LIGHTER);
            let area = self.model.geometry.surface(pair[0].below);
            let flow = lighter * lower * area * OVERTURN_M_S;
            self.swap(flow, pair, places, rates.dy);
        }
    }

    /// Heat given off in a tube of the liquid's depth: `1 - exp(-NTU)` of all there is to give.
    fn dip_tube<S: Scalar>(&self, bore_m: f64, rates: &Rates<'_, S>) -> S {
        let inflow = rates.gas_inflow;
        let film = &rates.found.layers[rates.found.layers.len() - 1].film;
        let reynolds = self.reynolds(bore_m, rates);
        let nusselt = reynolds.powf(0.8) * film.prandtl().powf(0.4) * 0.023 + LAMINAR;
        let inside = film.conductivity() * nusselt / bore_m;
        let outside = self.cryogen.wet_w_m2_k;
        let through = inside * outside / (inside + outside);
        let area = rates.side.liquid.level * (std::f64::consts::PI * bore_m);
        let units = through * area / inflow.capacity;
        inflow.above_liquid * (-(-units).exp() + 1.0)
    }

    /// Reynolds number of the inflow in a bore, by the viscosity of the uppermost gas.
    pub(super) fn reynolds<S: Scalar>(&self, bore_m: f64, rates: &Rates<'_, S>) -> S {
        let layer = &rates.found.layers[rates.found.layers.len() - 1];
        let gas = &layer.gas;
        let ratio = self.mixture.heat_capacity_ratio(
            &gas.fraction_values()[..self.mixture.len()],
            gas.temperature.value(),
        );
        // cp of an ideal gas: k/(k - 1) times the gas constant p/(rho T).
        let k = ratio.value / (ratio.value - 1.0);
        let capacity = gas.pressure / (gas.density * gas.temperature) * k;
        let viscosity = layer.film.prandtl() * layer.film.conductivity() / capacity;
        rates.gas_inflow.mass * (4.0 / (std::f64::consts::PI * bore_m)) / viscosity
    }

    /// All the heat down to the liquid's temperature, and the vapour that saturates the bubbles.
    fn bubbles<S: Scalar>(&self, rates: &Rates<'_, S>) -> OnTheWay<S> {
        let inflow = rates.gas_inflow;
        let (pressure, liquid) = (rates.side.gas.pressure, &rates.side.liquid);
        let heat = inflow.above_liquid;
        let (Some(vapour), Ok(at)) = (
            self.tank.vapour,
            self.cryogen.boiling.saturation(liquid.temperature.value()),
        ) else {
            return OnTheWay::heat(heat);
        };
        let saturated = (liquid.temperature).lift(at.pressure_pa.0, at.pressure_pa.1);
        let other = positive(pressure - saturated, LEAST_GAS * pressure.value());
        let mut moles = S::zero();
        for k in 0..self.mixture.len() {
            moles += inflow.species[k] / self.mixture.molar_mass_kg_mol(k);
        }
        let taken = moles * saturated / other * self.mixture.molar_mass_kg_mol(vapour);
        let head = liquid.level * self.surroundings.gravity_m_s2;
        let enthalpy = liquid
            .temperature
            .lift(at.vapour_enthalpy_j_kg.0, at.vapour_enthalpy_j_kg.1);
        OnTheWay {
            heat,
            vapour: taken,
            vapour_energy: taken * (enthalpy + head),
        }
    }
}
