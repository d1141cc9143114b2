//! A liquefied gas that is taken as cold as it boils in the open, on a stand whose surroundings would
//! keep it liquid under its own pressure.

use crate::kinds::{Component, report_of};
use crate::read::Context;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::network::{Network, VolumeKind};

/// Colder than the surroundings by more than a cold day or a cooled bath makes it, K.
const FAR_COLDER_K: f64 = 30.0;

/// Warns of each tank that holds such a liquid, with the pressure under which it is as warm as its
/// surroundings.
pub fn warn_of_cold_start(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    let around_k = network.surroundings.temperature_k;
    for volume in &network.volumes {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        let liquid_k = tank.liquid_temperature_k;
        // A gas that no pressure keeps liquid at that temperature has none.
        let warm = tank.cryogen.as_ref().and_then(|cryogen| {
            let (_, highest_k) = cryogen.boiling.temperature_range_k();
            let warm = (around_k < highest_k).then(|| cryogen.boiling.saturation(around_k));
            warm?.ok()
        });
        let Some(warm) = warm.filter(|_| liquid_k < around_k - FAR_COLDER_K) else {
            continue;
        };
        let temperature = |k| display.text(Dimension::Temperature, k);
        let pressure = format!("{:.2} bar(a)", warm.pressure_pa.0 / 1e5);
        let message = format!(
            "{}: {} is taken at {}, where it boils under little pressure; as warm as its surroundings, {}, it \
             stands under {pressure}",
            volume.name,
            tank.liquid.name(),
            temperature(liquid_k),
            temperature(around_k),
        );
        let remedy = format!(
            "for a tank that pushes itself write saturated_at = \"{pressure}\" and pressure = \"{pressure}\" in \
             [tank.{}]",
            volume.name
        );
        let warning = Diagnostic::warning(&codes::COLD_START, message).remedy(remedy);
        report_of(&volume.name, warning, components, context);
    }
}
