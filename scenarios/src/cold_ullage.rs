//! A gas that is stated to be colder than the boiling liquid under it.

use crate::kinds::{Component, report_of};
use crate::read::Context;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::network::{Network, VolumeKind};

/// Refuses an ullage that starts colder than its cryogenic liquid: vapour would rain out of it at once.
pub fn refuse_cold_ullage(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    for volume in &network.volumes {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        let (gas_k, liquid_k) = (tank.gas.temperature_k, tank.liquid_temperature_k);
        if tank.cryogen.is_none() || gas_k >= liquid_k {
            continue;
        }
        let temperature = |k| display.text(Dimension::Temperature, k);
        let message = format!(
            "{}: ullage_temperature is {}, below the {} of the liquid under it",
            volume.name,
            temperature(gas_k),
            temperature(liquid_k),
        );
        let remedy = format!(
            "write one from {} on, or leave it out: it is then taken a little above the liquid",
            temperature(liquid_k + 1.0)
        );
        let error = Diagnostic::error(&codes::OUT_OF_RANGE, message).remedy(remedy);
        report_of(&volume.name, error, components, context);
    }
}
