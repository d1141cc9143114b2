//! Gases over a cryogenic liquid that are colder than they freeze.

use super::cautions::warning;
use super::extremes;
use super::fire::may_hold;
use super::hottest::ullage_temperatures;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::network::{Network, Tank, VolumeKind};
use sim_core::outcome::{Outcome, Warning};

pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let mut warnings = Vec::new();
    for (id, volume) in network.volumes.iter().enumerate() {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        let Some(coldest_k) = coldest_k(tank, &volume.name, outcome) else {
            continue;
        };
        let mixture = &network.mixtures[tank.gas.mixture];
        for species in 0..mixture.len() {
            let freezes_k = mixture.pure(species).map_or(0.0, |f| f.limits().t_min_k);
            if coldest_k < freezes_k && may_hold(network, mixture.name(species)).contains(&id) {
                let text = |k| display.text(Dimension::Temperature, k);
                let told = if Some(species) == tank.vapour {
                    "its ullage becomes as cold as"
                } else {
                    "where its gas meets the liquid it is as cold as"
                };
                let message = format!(
                    "{}: {} freezes at {}, and {told} {}: snow of it clogs valves and filters, and is \
                     not modelled",
                    volume.name,
                    mixture.name(species),
                    text(freezes_k),
                    text(coldest_k)
                );
                warnings.push(warning(&codes::FREEZES, message));
            }
        }
    }
    warnings
}

/// The coldest that gas of a cryogenic tank meets, the liquid at the start if nothing was seen.
fn coldest_k(tank: &Tank, name: &str, outcome: &Outcome) -> Option<f64> {
    tank.cryogen.as_ref()?;
    let liquid = ["surface", "liquid"].map(|w| format!("{name}.{w}_temperature_k"));
    let columns = ullage_temperatures(tank, name).into_iter().chain(liquid);
    let least = columns.filter_map(|column| Some(extremes(outcome, &column)?.least.value));
    least
        .chain([tank.liquid_temperature_k])
        .min_by(f64::total_cmp)
}
