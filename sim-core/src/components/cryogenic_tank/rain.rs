//! What the gas holds beyond saturation comes down into the liquid (theory 9.14): fog where gas has
//! cooled as it expanded, dew that runs down a wall colder than the gas.
//!
//! Drops are ideal solutions of all that condenses, in equilibrium with the gas about them, and have
//! its temperature. The liquid's own join the surface; of a pressurant it takes them up. Colder than
//! its triple point a substance is snow, to which the line and the energy of the liquid are led on.

use super::dissolution::{Uptake, saturation_pa};
use super::surface::{Stream, excess};
use super::{CryogenicTank, Layer, LayerPlaces, Rates};
use crate::network::Solubility;
use fluids::{CompressedLiquid, MAX_SPECIES};
use shared::Scalar;

/// Part of saturation over which drops begin to form.
const FORMING: f64 = 1e-2;

/// Time constant with which they form, s. Fog takes milliseconds; this is short against a tank that is
/// vented, and long against the settling of layers.
const FORMING_S: f64 = 0.05;

/// A species that may condense, as a liquid.
#[derive(Clone, Copy)]
struct Condensable<'a> {
    species: usize,
    liquid: &'a CompressedLiquid,
    /// Place among the gases that dissolve; none for the tank's own vapour.
    dissolves: Option<usize>,
}

impl CryogenicTank<'_> {
    /// Takes out of the layers what rains, and gives it to the surface; answers the liquid's own part.
    pub(super) fn rain<S: Scalar>(
        &self,
        rates: &mut Rates<'_, S>,
        uptake: &mut Uptake<S>,
    ) -> Stream<S> {
        let mut rain = Stream::none();
        let found = rates.found;
        for (layer, places) in found.layers.iter().zip(&self.strata.layers) {
            if self.saturation(layer) > 1.0 {
                self.rain_of(layer, places, rates, &mut rain, uptake);
            }
        }
        rain
    }

    fn condensables(&self) -> impl Iterator<Item = Condensable<'_>> {
        let own = self.tank.vapour.map(|species| Condensable {
            species,
            liquid: &self.cryogen.boiling,
            dissolves: None,
        });
        let dissolving = self.cryogen.dissolving.iter().enumerate();
        let others = dissolving.filter_map(|(place, gas)| match &gas.solubility {
            Solubility::IdealSolution(liquid) => Some(Condensable {
                species: gas.species,
                liquid,
                dissolves: Some(place),
            }),
            Solubility::Henry { .. } => None,
        });
        own.into_iter().chain(others)
    }

    /// Sum of densities over those of saturation: above one there are drops.
    fn saturation<S: Scalar>(&self, layer: &Layer<S>) -> f64 {
        let gas = &layer.gas;
        let share = |c: Condensable<'_>| {
            let saturated = saturated_kg_m3(c.liquid, gas.temperature.value())?;
            Some(gas.partial_density[c.species].value() / saturated)
        };
        self.condensables().filter_map(share).sum()
    }

    fn rain_of<S: Scalar>(
        &self,
        layer: &Layer<S>,
        places: &LayerPlaces,
        rates: &mut Rates<'_, S>,
        rain: &mut Stream<S>,
        uptake: &mut Uptake<S>,
    ) {
        let (gas, t) = (&layer.gas, layer.gas.temperature);
        let mut shares = [S::zero(); MAX_SPECIES];
        let (mut saturation, mut content) = (S::zero(), S::zero());
        for (c, share) in self.condensables().zip(&mut shares) {
            if let Some(saturated) = saturated_kg_m3(c.liquid, t) {
                let density = gas.partial_density[c.species];
                *share = density / saturated;
                saturation += *share;
                content += density / self.mixture.molar_mass_kg_mol(c.species);
            }
        }
        let beyond = content / saturation * excess(saturation - 1.0, FORMING);
        let moles = beyond * layer.volume / FORMING_S;
        let head = rates.side.liquid.level * self.surroundings.gravity_m_s2;
        for (c, share) in self.condensables().zip(shares) {
            let flow = moles * share / saturation * self.mixture.molar_mass_kg_mol(c.species);
            let enthalpy = liquid_enthalpy(c.liquid, t);
            rates.dy[places.mass.start + c.species] -= flow;
            rates.dy[places.energy] -= flow * enthalpy;
            if let Some(place) = c.dissolves {
                let kept_j_kg = self.kept_j_kg(&self.cryogen.dissolving[place]);
                rates.dy[self.strata.dissolved[place].parts.start] += flow;
                uptake.add(flow, enthalpy, kept_j_kg);
                uptake.into_surface += flow * (enthalpy - kept_j_kg);
            } else {
                // As vapour that rises from the level: what it gains coming down is the liquid's.
                rates.dy[places.energy] -= flow * head;
                rain.add(flow, enthalpy);
            }
        }
    }
}

/// Density of saturated vapour, led on below the triple point as an ideal gas, kg/m3; none where nothing
/// condenses.
fn saturated_kg_m3<S: Scalar>(liquid: &CompressedLiquid, temperature: S) -> Option<S> {
    let (low, high) = liquid.temperature_range_k();
    let t = temperature.value();
    if t > high {
        return None;
    }
    let at = liquid.saturation(t.max(low)).ok()?;
    let (density, slope) = at.vapour_density_kg_m3;
    if t >= low {
        return Some(temperature.lift(density, slope));
    }
    let part = saturation_pa(liquid, temperature) * (low / at.pressure_pa.0);
    Some(part / temperature * density)
}

/// Enthalpy of a liquid at saturation, led on beyond its ends, J/kg.
fn liquid_enthalpy<S: Scalar>(liquid: &CompressedLiquid, temperature: S) -> S {
    let (low, high) = liquid.temperature_range_k();
    let within = temperature.value().clamp(low, high);
    let Ok(at) = liquid.saturation(within) else {
        return S::constant(f64::NAN);
    };
    let (value, slope) = at.liquid_enthalpy_j_kg;
    temperature.lift(value + slope * (temperature.value() - within), slope)
}
