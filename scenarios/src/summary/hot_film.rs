//! Gases hotter than their viscosity and conductivity are tabled: their films are led on.

use super::cautions::warning;
use super::fire::may_hold;
use super::hottest::hottest;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::network::Network;
use sim_core::outcome::{Outcome, Warning};

pub(super) fn read(network: &Network, outcome: &Outcome, display: &Display) -> Vec<Warning> {
    let text = |kelvin| display.text(Dimension::Temperature, kelvin);
    let mut warnings = Vec::new();
    for (id, volume) in network.volumes.iter().enumerate() {
        let (Some(fill), Some(hottest)) = (volume.gas(), hottest(volume, outcome)) else {
            continue;
        };
        let mixture = &network.mixtures[fill.mixture];
        for species in 0..mixture.len() {
            let gas = mixture.name(species);
            let end_k = mixture.film_up_to_k(species).unwrap_or(f64::INFINITY);
            if hottest.value > end_k && may_hold(network, gas).contains(&id) {
                let message = format!(
                    "{}: its gas becomes as hot as {}; viscosity and conductivity of {gas} are known up to {} and \
                     led on from there, and what heat it gives away is less well known",
                    volume.name,
                    text(hottest.value),
                    text(end_k)
                );
                warnings.push(warning(&codes::HOT_FILM, message));
            }
        }
    }
    warnings
}
