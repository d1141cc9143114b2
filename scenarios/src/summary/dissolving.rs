//! Gases over a boiling liquid that go into it: they dissolve below their own saturation pressure at
//! its temperature, and condense above.
//!
//! By the equilibrium of an ideal solution a gas that is the part f of what presses reaches the mole
//! fraction `x = f (p - p_liquid)/(p_gas - f p_liquid)`, with both saturation pressures at the liquid's
//! temperature; a gas for which that is not between 0 and 1 condenses. For a gas by itself, f = 1.

use super::cautions::warning;
use super::extremes;
use super::fire::may_hold;
use crate::gas_paths::{open_ways, reached};
use crate::kinds::Component;
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

/// What a run shows.
pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let places = Place::all(network, display).into_iter();
    let told = places.flat_map(|place| {
        let seen = extremes(outcome, &format!("{}.pressure_pa", place.name()));
        seen.map_or(Vec::new(), |seen| place.told(seen.greatest.value))
    });
    told.map(|message| warning(&codes::DISSOLVES, message))
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
        let owner = components.iter().find(|c| c.name == place.name());
        for message in place.told(place.foreseen_pa()) {
            let warning = Diagnostic::warning(&codes::DISSOLVES, message).remedy(
                "push with helium, or keep the pressure below that at which the gas itself boils, and count on a \
                 higher need of gas",
            );
            context.report(match owner {
                Some(owner) => warning.at(&owner.span, ""),
                None => warning,
            });
        }
    }
}

/// A tank of a boiling liquid.
struct Place<'a> {
    network: &'a Network,
    id: VolumeId,
    tank: &'a Tank,
    cryogen: &'a Cryogen,
    display: &'a Display,
}

/// What becomes of a part of a gas.
struct Fate {
    /// Its own saturation pressure at the liquid's temperature, Pa.
    boils_pa: f64,
    /// Mole fraction in the liquid; none where it condenses.
    fraction: Option<f64>,
}

impl<'a> Place<'a> {
    fn all(network: &'a Network, display: &'a Display) -> Vec<Self> {
        let volumes = network.volumes.iter().enumerate();
        let places = volumes.filter_map(|(id, volume)| {
            let VolumeKind::Tank(tank) = &volume.kind else {
                return None;
            };
            let cryogen = tank.cryogen.as_ref()?;
            Some(Self {
                network,
                id,
                tank,
                cryogen,
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
    fn told(&self, pressure_pa: f64) -> Vec<String> {
        let mixture = &self.network.mixtures[self.tank.gas.mixture];
        let others = (0..mixture.len()).filter(|&k| Some(k) != self.tank.vapour);
        let come = others.filter(|&k| may_hold(self.network, mixture.name(k)).contains(&self.id));
        come.filter_map(|k| self.of_gas(k, mixture.name(k), pressure_pa))
            .collect()
    }

    fn of_gas(&self, species: usize, gas: &str, pressure_pa: f64) -> Option<String> {
        let (part, share, fate) = parts_of(gas)
            .iter()
            .filter_map(|&(part, share)| Some((part, share, self.fate(part, share, pressure_pa)?)))
            .max_by(|a, b| a.2.fraction_or_all().total_cmp(&b.2.fraction_or_all()))?;
        if fate.fraction_or_all() <= NOTABLE_SOLUTION {
            return None;
        }
        let becomes = match fate.fraction {
            Some(fraction) => format!("dissolves up to a mole fraction of {fraction:.2}"),
            None => "condenses into the surface".to_owned(),
        };
        let what = match part == gas {
            true => gas.to_owned(),
            false => format!("{gas}, {:.0} % of it {part},", 100.0 * share),
        };
        let is_counted = self.cryogen.dissolving.iter().any(|d| d.species == species);
        let counted = match is_counted {
            true => "What a still surface takes up is counted, a stirred one takes more",
            false => "Nothing of that is counted",
        };
        let (name, liquid) = (self.name(), self.tank.liquid.name());
        let text = |pa| self.display.text(Dimension::Pressure, pa);
        Some(format!(
            "{name}: {what} at {} over {liquid} at {}, where {part} itself boils at {}: it {becomes} (ideal \
             solution). {counted}, so that the need of {gas} may be higher than predicted here, and the \
             {liquid} is no longer pure; helium hardly dissolves",
            text(pressure_pa),
            self.display
                .text(Dimension::Temperature, self.tank.liquid_temperature_k),
            text(fate.boils_pa),
        ))
    }

    /// The liquid that a gas is when it condenses: the one that it is counted with, if it is.
    fn liquid_of(&self, gas: &str) -> Option<Arc<CompressedLiquid>> {
        let counted = self
            .cryogen
            .dissolving
            .iter()
            .find_map(|d| match &d.solubility {
                Solubility::IdealSolution(own) if own.fluid().name() == gas => Some(own.clone()),
                _ => None,
            });
        counted.or_else(|| CompressedLiquid::new(gas).ok().map(Arc::new))
    }

    /// None for what does not dissolve as in an ideal solution, for what freezes, and where nothing but vapour
    /// presses.
    fn fate(&self, part: &str, share: f64, pressure_pa: f64) -> Option<Fate> {
        let liquid_k = self.tank.liquid_temperature_k;
        if HARDLY.contains(&part) || part == self.tank.liquid.name() {
            return None;
        }
        let own = self.liquid_of(part)?;
        if liquid_k < own.temperature_range_k().0 {
            return None;
        }
        let boils_pa = saturation_pa(&own, liquid_k);
        let liquid_pa = self
            .cryogen
            .boiling
            .saturation(liquid_k)
            .ok()?
            .pressure_pa
            .0;
        if pressure_pa <= liquid_pa {
            return None;
        }
        let fraction = share * (pressure_pa - liquid_pa) / (boils_pa - share * liquid_pa);
        let dissolves = (0.0..1.0).contains(&fraction);
        Some(Fate {
            boils_pa,
            fraction: dissolves.then_some(fraction),
        })
    }
}

impl Fate {
    /// Of what condenses there is no bound.
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
