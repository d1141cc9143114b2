//! Liquid carbon dioxide that is let out below its triple point, where there is no liquid of it.

use crate::kinds::{Component, report_of};
use crate::read::Context;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::network::{BranchKind, Network, Tank, Volume, VolumeId, VolumeKind};

const LIQUID: &str = "carbon dioxide";

/// Triple point (Span and Wagner, J. Phys. Chem. Ref. Data 25 (1996) 1509).
const TRIPLE_PA: f64 = 517_950.0;

/// Warns of each chain of such a liquid whose end has less pressure at the start.
pub fn warn_of_dry_ice(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    for branch in &network.branches {
        let BranchKind::LiquidChain(chain) = &branch.kind else {
            continue;
        };
        let is_of_it = tank(&network.volumes[branch.from.volume])
            .is_some_and(|tank| tank.liquid.name() == LIQUID);
        let end_pa = start_pa(network, branch.to.volume);
        let (true, Some(last)) = (is_of_it && end_pa < TRIPLE_PA, chain.elements.last()) else {
            continue;
        };
        let pressure = |pa| display.text(Dimension::Pressure, pa);
        let message = format!(
            "{}: liquid {LIQUID} comes out at {}, below its triple point of {}: it becomes dry ice and gas there, \
             which is not computed",
            last.name,
            pressure(end_pa),
            pressure(TRIPLE_PA),
        );
        let warning = Diagnostic::warning(&codes::DRY_ICE, message).remedy(
            "keep more pressure behind the last restriction, or let gas out in place of liquid; dry ice blocks what it \
             comes through and may trap pressure",
        );
        report_of(&last.name, warning, components, context);
    }
}

fn tank(volume: &Volume) -> Option<&Tank> {
    match &volume.kind {
        VolumeKind::Tank(tank) => Some(tank),
        _ => None,
    }
}

/// Pressure of a volume at the start, Pa.
fn start_pa(network: &Network, id: VolumeId) -> f64 {
    tank(&network.volumes[id]).map_or(network.surroundings.pressure_pa, |tank| {
        tank.gas.pressure_pa
    })
}
