//! Bottles whose gas crosses its dew line as it expands: a part of it is liquid then.

use super::cautions::warning;
use super::extremes;
use fluids::PureFluid;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::network::{Network, VolumeKind};
use sim_core::outcome::{Outcome, Warning};

/// Part of the mass that is liquid from which on it counts: below it rounding decides.
const NOTABLE_LIQUID: f64 = 1e-3;

pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let volumes = 0..network.volumes.len();
    let warned = volumes.filter_map(|id| read_one(network, id, outcome, display));
    warned.collect()
}

fn read_one(network: &Network, id: usize, outcome: &Outcome, display: &Display) -> Option<Warning> {
    let (volume, name) = (&network.volumes[id], &network.volumes[id].name);
    let VolumeKind::Vessel(vessel) = &volume.kind else {
        return None;
    };
    // What is fed does not stay pure.
    if network.branches.iter().any(|b| b.to.volume == id) {
        return None;
    }
    let only = vessel.gas.mole_fractions.iter().position(|&x| x == 1.0)?;
    let gas = network.mixtures[vessel.gas.mixture].name(only);
    let fluid = PureFluid::named(gas).ok()?;
    let coldest = extremes(outcome, &format!("{name}.temperature_k"))?.least;
    if coldest.value >= fluid.critical_temperature_k() {
        return None;
    }
    let history = &outcome.history;
    let column = |quantity: &str| history.column(&format!("{name}.{quantity}"));
    let (mass, temperature) = (column("gas_mass_kg")?, column("temperature_k")?);
    let share = |(kg, kelvin): (&f64, &f64)| {
        let point = fluid.by_density_temperature(kg / vessel.volume_m3, *kelvin);
        let vapour = point.ok().and_then(|p| p.quality);
        vapour.map_or(0.0, |vapour| 1.0 - vapour)
    };
    let shares: Vec<f64> = mass.iter().zip(&temperature).map(share).collect();
    let first = shares.iter().position(|&s| s > NOTABLE_LIQUID)?;
    let most = shares.iter().copied().fold(0.0, f64::max);
    let message = format!(
        "{name}: its {gas} begins to condense at {}, and up to {:.1} % of it is liquid: what leaves \
         is taken as gas of the bottle's mean state, where a real bottle gives gas or liquid",
        display.text(Dimension::Time, history.column("time_s")?[first]),
        100.0 * most
    );
    Some(warning(&codes::GAS_CONDENSES, message))
}
