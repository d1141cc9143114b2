//! The hottest gas of every volume. Gas that rushes into a closed end is compressed by what
//! follows, and heats.

use super::bottle::is_supply;
use super::{Group, Line, Run, Summary};
use shared::quantity::Dimension::Temperature;
use sim_core::network::VolumeKind;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (id, volume) in run.network.volumes.iter().enumerate() {
        let (group, column) = match volume.kind {
            VolumeKind::Ambient => continue,
            VolumeKind::Vessel(_) if is_supply(run, id) => (Group::Bottle, "temperature_k"),
            VolumeKind::Vessel(_) => (Group::Regulator, "temperature_k"),
            VolumeKind::Tank(_) => (Group::Tank, "ullage_temperature_k"),
        };
        let extremes = run.extremes(&volume.name, column);
        let hottest = extremes.map(|e| e.greatest.value);
        let name = format!("highest_{column}");
        let line = Line(&name, "hottest gas of the whole run", Temperature, hottest);
        into.add(group, &volume.name, &[line]);
    }
}
