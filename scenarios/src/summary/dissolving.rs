//! Gases over a liquid that go into it: they dissolve below their own saturation pressure at its
//! temperature, and condense above.
//!
//! By the equilibrium of an ideal solution a gas that is the part f of what presses reaches the mole
//! fraction `x = f (p - p_liquid)/(p_gas - f p_liquid)`, with both saturation pressures at the liquid's
//! temperature; a gas for which that is not between 0 and 1 condenses. For a gas by itself, f = 1.
//!
//! Water is no such solvent: of carbon dioxide and nitrous oxide it holds `c = H p`, H by Henry's law.

use super::cautions::warning;
use super::extremes;
use super::fire::may_hold;
use crate::gas_paths::{open_ways, reached};
use crate::kinds::{Component, report_of};
use crate::physics::GAS_CONSTANT;
use crate::read::Context;
use fluids::CompressedLiquid;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::components::cryogenic_tank::saturation_pa;
use sim_core::network::{
    Branch, BranchKind, Cryogen, Network, Solubility, Tank, VolumeId, VolumeKind,
};
use sim_core::outcome::{Outcome, Warning};
use std::sync::Arc;

/// Mole fraction in the liquid that is worth a warning.
const NOTABLE_SOLUTION: f64 = 0.05;

/// Mole fractions of dry air (ISO 2533).
const AIR: [(&str, f64); 3] = [("nitrogen", 0.7808), ("oxygen", 0.2095), ("argon", 0.0093)];

/// Gases far above whose critical temperature every boiling liquid is: no ideal solution tells how
/// little of them dissolves.
const HARDLY: [&str; 3] = ["helium", "hydrogen", "parahydrogen"];

/// Times its critical temperature, above which a gas has no saturation pressure to go by: up to there its own is
/// led on beyond the critical point (no source).
const FAR_SUPERCRITICAL: f64 = 1.3;

/// Gas, Henry's constant of it in water at 298.15 K, mol/(m3 Pa), and `d ln H/d(1/T)`, K: R. Sander, Atmos. Chem.
/// Phys. 15 (2015) 4399; from memory.
const IN_WATER: [(&str, f64, f64); 2] = [
    ("carbon dioxide", 3.3e-4, 2400.0),
    ("nitrous oxide", 2.4e-4, 2600.0),
];
const HENRY_K: f64 = 298.15;

/// Liquids in which gases are far from an ideal solution, and nothing else is known here.
const UNLIKE: [&str; 2] = ["water", "hydrogen peroxide 90 %"];

/// What a run shows.
pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let places = Place::all(network, display).into_iter();
    let told = places.flat_map(|place| {
        let seen = extremes(outcome, &format!("{}.pressure_pa", place.name()));
        seen.map_or(Vec::new(), |seen| place.told(seen.greatest.value))
    });
    told.map(|told| warning(&codes::DISSOLVES, told.message))
        .collect()
}

/// What is foreseen before a run, at the highest of the pressures that the stand file sets.
pub fn warn_of_dissolving(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    for place in Place::all(network, display) {
        for told in place.told(place.foreseen_pa()) {
            let warning = Diagnostic::warning(&codes::DISSOLVES, told.message).remedy(told.remedy);
            report_of(place.name(), warning, components, context);
        }
    }
}

/// A tank of a liquid.
struct Place<'a> {
    network: &'a Network,
    id: VolumeId,
    tank: &'a Tank,
    /// Of a boiling liquid.
    cryogen: Option<&'a Cryogen>,
    display: &'a Display,
}

/// What there is to say of a gas, and what to do about it.
struct Told {
    message: String,
    remedy: &'static str,
}

/// What becomes of a part of a gas.
struct Fate {
    /// Its own saturation pressure at the liquid's temperature, Pa; none above its critical temperature.
    boils_pa: Option<f64>,
    /// That temperature, K.
    critical_k: f64,
    /// Mole fraction in the liquid; none where there is no bound.
    fraction: Option<f64>,
}

impl<'a> Place<'a> {
    fn all(network: &'a Network, display: &'a Display) -> Vec<Self> {
        let volumes = network.volumes.iter().enumerate();
        let places = volumes.filter_map(|(id, volume)| {
            let VolumeKind::Tank(tank) = &volume.kind else {
                return None;
            };
            Some(Self {
                network,
                id,
                tank,
                cryogen: tank.cryogen.as_deref(),
                display,
            })
        });
        places.collect()
    }

    fn name(&self) -> &str {
        &self.network.volumes[self.id].name
    }

    /// That of the start, or the highest lock-up of a regulator from which gas comes.
    fn foreseen_pa(&self) -> f64 {
        let behind = |branch: &Branch| match branch.kind {
            BranchKind::Regulator(_) => Vec::new(),
            _ => open_ways(branch)
                .into_iter()
                .map(|(from, to)| (to, from))
                .collect(),
        };
        let joined = reached(self.network, vec![self.id], behind);
        let branches = self.network.branches.iter();
        let lock_ups = branches.filter_map(|branch| match &branch.kind {
            BranchKind::Regulator(regulator) if joined.contains(&branch.to.volume) => {
                Some(regulator.lock_up_pa)
            }
            _ => None,
        });
        lock_ups.fold(self.tank.gas.pressure_pa, f64::max)
    }

    /// What there is to say of each gas that comes here, under a pressure of the whole.
    fn told(&self, pressure_pa: f64) -> Vec<Told> {
        let mixture = &self.network.mixtures[self.tank.gas.mixture];
        let others = (0..mixture.len()).filter(|&k| Some(k) != self.tank.vapour);
        let come = others.filter(|&k| may_hold(self.network, mixture.name(k)).contains(&self.id));
        let told = come.filter_map(|k| {
            let gas = mixture.name(k);
            self.in_water(gas, pressure_pa)
                .or_else(|| self.of_gas(k, gas, pressure_pa))
        });
        told.collect()
    }

    /// What water takes up of a gas that dissolves in it by far more than others.
    fn in_water(&self, gas: &str, pressure_pa: f64) -> Option<Told> {
        let &(_, henry, slope_k) = IN_WATER.iter().find(|known| known.0 == gas)?;
        let warm_k = self.tank.liquid_temperature_k;
        if self.tank.liquid.name() != "water" {
            return None;
        }
        let henry = henry * (slope_k * (1.0 / warm_k - 1.0 / HENRY_K)).exp();
        let text = |dimension, si| self.display.text(dimension, si);
        let message = format!(
            "{}: {gas} at {} dissolves in water at {}: at rest it would hold {:.1} times its own volume of it, \
             reckoned as an ideal gas of that pressure; at tens of bar it is less (Henry's constant by Sander \
             2015, from memory). Nothing of that is counted, so that the need of {gas} may be higher than \
             predicted here, and it comes out again where the pressure falls; of nitrogen and helium water takes up a thirtieth of that and less",
            self.name(),
            text(Dimension::Pressure, pressure_pa),
            text(Dimension::Temperature, warm_k),
            henry * GAS_CONSTANT * warm_k,
        );
        Some(Told {
            message,
            remedy: "push with nitrogen or helium, or count on a higher need of gas",
        })
    }

    fn of_gas(&self, species: usize, gas: &str, pressure_pa: f64) -> Option<Told> {
        let (part, share, fate) = parts_of(gas)
            .iter()
            .filter_map(|&(part, share)| Some((part, share, self.fate(part, share, pressure_pa)?)))
            .max_by(|a, b| a.2.fraction_or_all().total_cmp(&b.2.fraction_or_all()))?;
        if fate.fraction_or_all() <= NOTABLE_SOLUTION {
            return None;
        }
        let text = |dimension, si| self.display.text(dimension, si);
        let (becomes, remedy) = match (fate.fraction, fate.boils_pa) {
            (Some(fraction), _) => (
                format!("dissolves up to a mole fraction of {fraction:.2}"),
                "push with helium, or count on a higher need of gas",
            ),
            (None, Some(_)) => (
                "condenses into the surface".to_owned(),
                "push with helium, or keep the pressure below that at which the gas itself boils, and count on a \
                 higher need of gas",
            ),
            (None, None) => (
                "dissolves without bound".to_owned(),
                "push with helium, or count on a higher need of gas",
            ),
        };
        let own = match fate.boils_pa {
            Some(pa) => format!("itself boils at {}", text(Dimension::Pressure, pa)),
            None => format!(
                "is above its critical temperature, {}, and its saturation pressure is led on beyond that",
                text(Dimension::Temperature, fate.critical_k)
            ),
        };
        let what = match part == gas {
            true => gas.to_owned(),
            false => format!("{gas}, {:.0} % of it {part},", 100.0 * share),
        };
        let is_counted =
            |cryogen: &Cryogen| cryogen.dissolving.iter().any(|d| d.species == species);
        let counted = match self.cryogen.is_some_and(is_counted) {
            true => "What a still surface takes up is counted, a stirred one takes more",
            false => "Nothing of that is counted",
        };
        let (name, liquid) = (self.name(), self.tank.liquid.name());
        let message = format!(
            "{name}: {what} at {} over {liquid} at {}, where {part} {own}: it {becomes} (ideal \
             solution). {counted}, so that the need of {gas} may be higher than predicted here, and the \
             {liquid} is no longer pure; helium hardly dissolves",
            text(Dimension::Pressure, pressure_pa),
            text(Dimension::Temperature, self.tank.liquid_temperature_k),
        );
        Some(Told { message, remedy })
    }

    /// The liquid that a gas is when it condenses: the one that it is counted with, if it is.
    fn liquid_of(&self, gas: &str) -> Option<Arc<CompressedLiquid>> {
        let dissolving = self.cryogen.iter().flat_map(|c| &c.dissolving);
        let mut own = dissolving.filter_map(|d| match &d.solubility {
            Solubility::IdealSolution(own) if own.fluid().name() == gas => Some(own.clone()),
            _ => None,
        });
        let counted = own.next();
        counted.or_else(|| CompressedLiquid::new(gas).ok().map(Arc::new))
    }

    /// None for what does not dissolve as in an ideal solution, for what freezes, and where nothing but vapour
    /// presses.
    fn fate(&self, part: &str, share: f64, pressure_pa: f64) -> Option<Fate> {
        let liquid_k = self.tank.liquid_temperature_k;
        let liquid = self.tank.liquid.name();
        if HARDLY.contains(&part) || part == liquid || UNLIKE.contains(&liquid) {
            return None;
        }
        let own = self.liquid_of(part)?;
        let critical_k = own.fluid().critical_temperature_k();
        if liquid_k < own.temperature_range_k().0 || liquid_k > FAR_SUPERCRITICAL * critical_k {
            return None;
        }
        let boils_pa = saturation_pa(&own, liquid_k);
        let liquid_pa = match self.cryogen {
            Some(cryogen) => cryogen.boiling.saturation(liquid_k).ok()?.pressure_pa.0,
            None => self.tank.liquid.at(liquid_k).ok()?.vapour_pressure_pa,
        };
        if pressure_pa <= liquid_pa {
            return None;
        }
        let fraction = share * (pressure_pa - liquid_pa) / (boils_pa - share * liquid_pa);
        let dissolves = (0.0..1.0).contains(&fraction);
        Some(Fate {
            boils_pa: (liquid_k <= critical_k).then_some(boils_pa),
            critical_k,
            fraction: dissolves.then_some(fraction),
        })
    }
}

impl Fate {
    /// Of what condenses, or mixes as a gas above its critical temperature, there is no bound.
    fn fraction_or_all(&self) -> f64 {
        self.fraction.unwrap_or(1.0)
    }
}

/// The parts that a gas is made of, and how much of it each of them is.
fn parts_of(gas: &str) -> Vec<(&str, f64)> {
    match gas {
        "air" => AIR.to_vec(),
        _ => vec![(gas, 1.0)],
    }
}
