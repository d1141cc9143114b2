//! The hottest gas of every volume. Gas that rushes into a closed end is compressed by what
//! follows, and heats; of an ullage in layers the hottest layer counts.

use super::bottle::is_supply;
use super::{Group, Line, Run, Summary, extremes};
use shared::quantity::Dimension::Temperature;
use sim_core::network::{Tank, Volume, VolumeKind};
use sim_core::outcome::{Extreme, Outcome};

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (id, volume) in run.network.volumes.iter().enumerate() {
        let (group, column) = match volume.kind {
            VolumeKind::Ambient => continue,
            VolumeKind::Vessel(_) if is_supply(run, id) => (Group::Bottle, "temperature_k"),
            VolumeKind::Vessel(_) => (Group::Regulator, "temperature_k"),
            VolumeKind::Tank(_) => (Group::Tank, "ullage_temperature_k"),
        };
        let hottest = hottest(volume, run.outcome).map(|hottest| hottest.value);
        let name = format!("highest_{column}");
        let line = Line(&name, "hottest gas of the whole run", Temperature, hottest);
        into.add(group, &volume.name, &[line]);
    }
}

/// The hottest gas of a volume over the whole run, and when; none if nothing was seen.
pub(super) fn hottest(volume: &Volume, outcome: &Outcome) -> Option<Extreme> {
    let columns = match &volume.kind {
        VolumeKind::Ambient => return None,
        VolumeKind::Vessel(_) => vec![format!("{}.temperature_k", volume.name)],
        VolumeKind::Tank(tank) => ullage_temperatures(tank, &volume.name),
    };
    let seen = columns
        .iter()
        .filter_map(|column| Some(extremes(outcome, column)?.greatest));
    seen.max_by(|a, b| a.value.total_cmp(&b.value))
}

/// Columns with the temperature of an ullage: its mean, and its layers where it has any.
pub(super) fn ullage_temperatures(tank: &Tank, name: &str) -> Vec<String> {
    let layers = tank.cryogen.as_ref().map_or(0, |cryogen| cryogen.layers);
    let layer = |i: usize| format!("{name}.layer_{i}_temperature_k");
    let mean = format!("{name}.ullage_temperature_k");
    [mean].into_iter().chain((1..=layers).map(layer)).collect()
}
