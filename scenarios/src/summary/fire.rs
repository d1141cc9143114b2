//! Hot gas that may hold oxygen, and vapour of a fuel that it may reach.

use super::cautions::warning;
use super::hottest::hottest;
use crate::gas_paths::{holds, open_ways, reached};
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::network::{Network, VolumeId, VolumeKind};
use sim_core::outcome::{Outcome, Warning};

/// Gas with oxygen in it that is hotter than 60 degC is worth a warning: common practice, no
/// source.
const HOT_OXYGEN_K: f64 = 333.15;

/// Gases that keep a fire, and a liquid that gives off such a gas.
const OXIDIZERS: [&str; 4] = ["oxygen", "air", "nitrous oxide", "hydrogen peroxide 90 %"];

/// What burns, as a gas or as the vapour of a liquid.
pub const FUELS: [&str; 10] = [
    "ethanol",
    "methanol",
    "isopropanol",
    "n-heptane",
    "kerosene",
    "n-dodecane",
    "propane",
    "methane",
    "hydrogen",
    "parahydrogen",
];

pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let fuels = FUELS.map(|fuel| (fuel, may_hold(network, fuel)));
    let fires = OXIDIZERS.iter().flat_map(|oxidizer| {
        let places = may_hold(network, oxidizer).into_iter();
        places.flat_map(|id| {
            let place = Place {
                network,
                fuels: &fuels,
                id,
                oxidizer,
                outcome,
                display,
            };
            [place.hot(), place.fuel()]
        })
    });
    fires.flatten().collect()
}

/// The volumes that a gas may come to from those that hold it at the start.
pub(super) fn may_hold(network: &Network, gas: &str) -> Vec<VolumeId> {
    let volumes = network.volumes.iter().enumerate();
    let sources = volumes.filter(|(_, v)| holds(network, v, gas));
    let sources = sources.map(|(id, _)| id).collect();
    let ends_at_air = |id: VolumeId| matches!(network.volumes[id].kind, VolumeKind::Ambient);
    // What is vented comes to no other volume.
    reached(network, sources, |branch| {
        let mut ways = open_ways(branch);
        ways.retain(|&(from, to)| !ends_at_air(from) && !ends_at_air(to));
        ways
    })
}

/// A volume that may hold an oxidizer.
struct Place<'a> {
    network: &'a Network,
    /// Fuels, and where each may be.
    fuels: &'a [(&'a str, Vec<VolumeId>)],
    id: VolumeId,
    oxidizer: &'a str,
    outcome: &'a Outcome,
    display: &'a Display,
}

impl Place<'_> {
    fn hot(&self) -> Option<Warning> {
        let volume = &self.network.volumes[self.id];
        let (name, gas) = (&volume.name, self.oxidizer);
        let hottest = hottest(volume, self.outcome)?;
        let message = format!(
            "{name}: gas that may hold {gas} reaches {} at {}; adiabatic compression heats oxygen, \
             and fast-opening valves on oxygen gas lines are a known cause of ignition: follow \
             oxygen-system practice and the codes of the place",
            self.display.text(Dimension::Temperature, hottest.value),
            self.display.text(Dimension::Time, hottest.time_s),
        );
        (hottest.value > HOT_OXYGEN_K).then(|| warning(&codes::HOT_OXYGEN, message))
    }

    fn fuel(&self) -> Option<Warning> {
        let mut fuels = self.fuels.iter();
        let (fuel, _) = fuels.find(|(_, places)| places.contains(&self.id))?;
        let (name, gas) = (&self.network.volumes[self.id].name, self.oxidizer);
        let message = format!(
            "{name}: {gas} and {fuel} may meet here, which burn with each other: purge and press with an \
             inert gas, keep what holds oxygen apart from fuel gas, and follow the codes of the place"
        );
        Some(warning(&codes::FUEL_VAPOUR, message))
    }
}
