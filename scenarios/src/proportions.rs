//! Parts whose sizes do not fit each other: a slip of a unit or of a decimal point computes as
//! well as what was meant, and only a comparison shows it.

use crate::gas_paths::{both_ways, reached};
use crate::kinds::{Component, Kind, report_of};
use crate::read::Context;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::components::installed::MOST_RATIO;
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{
    Branch, BranchKind, Capacity, ChainElement, Characteristic, Droop, ElementKind, GasRestriction,
    Network, Regulator, Valve, Volume, VolumeKind,
};
use std::f64::consts::PI;

/// No bottle is filled beyond this, Pa: composite ones end at 700 bar (common practice, no
/// source).
const MOST_IN_BOTTLE_PA: f64 = 750e5;

/// Velocity heads that any open valve loses (common practice, no source).
const LEAST_LOSS: f64 = 0.02;

/// No tank of a stand is this tall, m: common practice, no source.
const TALLEST_TANK_M: f64 = 30.0;

/// Part by which bottles of one manifold may differ: gauges are read so well (common practice, no
/// source).
const NOTABLE_UNEVENNESS: f64 = 0.02;

/// Warns of parts of a network that do not fit each other.
pub fn warn_of_misfits(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    let mut found = Vec::new();
    for volume in &network.volumes {
        if let VolumeKind::Vessel(vessel) = &volume.kind
            && vessel.gas.pressure_pa > MOST_IN_BOTTLE_PA
        {
            let pressure = display.text(Dimension::Pressure, vessel.gas.pressure_pa);
            found.push((
                volume.name.as_str(),
                format!("{} starts at {pressure}", volume.name),
                "no usual bottle is filled to 700 bar; check the pressure's unit",
            ));
        }
    }
    found.extend(network.volumes.iter().filter_map(|v| too_tall(v, display)));
    found.extend(fuller_feeds_other(network, components, display));
    for branch in &network.branches {
        match &branch.kind {
            BranchKind::Regulator(regulator) => {
                found.extend(droops_to_nothing(network, branch, regulator, display));
            }
            BranchKind::LiquidChain(chain) => {
                found.extend(holds_more_than_its_tank(
                    network,
                    branch,
                    &chain.elements,
                    display,
                ));
                found.extend(wider_than_its_line(&chain.elements, display));
                for element in &chain.elements {
                    let (capacity, valve) = match &element.kind {
                        ElementKind::Valve {
                            capacity, valve, ..
                        } => (capacity, Some(valve)),
                        ElementKind::Orifice { capacity, .. } => (capacity, None),
                        _ => continue,
                    };
                    found.extend(passes_more_than_its_bore(&element.name, capacity, valve));
                }
            }
            BranchKind::GasRestriction(GasRestriction { capacity, valve }) => {
                found.extend(passes_more_than_its_bore(
                    &branch.name,
                    capacity,
                    valve.as_ref(),
                ));
            }
            _ => {}
        }
    }
    for (name, message, remedy) in found {
        let warning = Diagnostic::warning(&codes::MISFIT, message).remedy(remedy);
        report_of(name, warning, components, context);
    }
}

/// The component, what is odd about it, and what to look at.
type Misfit<'a> = (&'a str, String, &'static str);

/// Bottles that stand at other pressures and are joined by what lets gas pass both ways.
fn fuller_feeds_other<'a>(
    network: &'a Network,
    components: &[Component],
    display: &Display,
) -> Vec<Misfit<'a>> {
    let filled_pa = |id: usize| match &network.volumes[id].kind {
        VolumeKind::Vessel(vessel) => vessel.gas.pressure_pa,
        _ => 0.0,
    };
    let is_bottle = |id: &usize| {
        let mut bottles = components.iter().filter(|c| c.kind == Kind::Bottle);
        bottles.any(|c| c.name == network.volumes[*id].name)
    };
    let bottles = || (0..network.volumes.len()).filter(is_bottle);
    let other = |full: usize| {
        let joined = reached(network, vec![full], both_ways);
        let mut others = bottles().filter(|id| joined.contains(id));
        others.find(|&id| filled_pa(id) < (1.0 - NOTABLE_UNEVENNESS) * filled_pa(full))
    };
    let pairs = bottles().filter_map(|full| Some((full, other(full)?)));
    let told = pairs.map(|(full, other)| {
        let pressure = |id| display.text(Dimension::Pressure, filled_pa(id));
        let (giver, taker) = (&network.volumes[full].name, &network.volumes[other].name);
        let message = format!(
            "{giver} at {} feeds {taker} at {} where both are open",
            pressure(full),
            pressure(other)
        );
        let remedy = "put a check valve behind each bottle, or fill both alike; a bottle that is filled this fast heats";
        (giver.as_str(), message, remedy)
    });
    told.collect()
}

fn too_tall<'a>(volume: &'a Volume, display: &Display) -> Option<Misfit<'a>> {
    let VolumeKind::Tank(tank) = &volume.kind else {
        return None;
    };
    let height_m = TankGeometry::new(&tank.shape)?.height_m();
    (height_m > TALLEST_TANK_M).then(|| {
        let height = display.text(Dimension::Length, height_m);
        (
            volume.name.as_str(),
            format!("{} stands {height} tall", volume.name),
            "check the units of its volume and its diameter",
        )
    })
}

fn droops_to_nothing<'a>(
    network: &Network,
    branch: &'a Branch,
    regulator: &Regulator,
    display: &Display,
) -> Option<Misfit<'a>> {
    let Droop::Linear { full_pa } = regulator.droop else {
        return None;
    };
    let above_ambient = regulator.lock_up_pa - network.surroundings.pressure_pa;
    (full_pa >= above_ambient && above_ambient > 0.0).then(|| {
        let droop = display.text(Dimension::PressureDifference, full_pa);
        let set = display.text(Dimension::Pressure, regulator.lock_up_pa);
        (
            branch.name.as_str(),
            format!("{} is set to {set} and droops by {droop}", branch.name),
            "wide open it would hold no pressure at all; the droop is the fall from lock-up to wide open",
        )
    })
}

fn holds_more_than_its_tank<'a>(
    network: &Network,
    branch: &Branch,
    elements: &'a [ChainElement],
    display: &Display,
) -> Option<Misfit<'a>> {
    let VolumeKind::Tank(tank) = &network.volumes[branch.from.volume].kind else {
        return None;
    };
    let tank_m3 = TankGeometry::new(&tank.shape)?.volume_m3();
    elements.iter().find_map(|element| {
        let ElementKind::Line(line) = &element.kind else {
            return None;
        };
        let line_m3 = bore_m2(line.bore_m) * line.length_m;
        (line_m3 > tank_m3).then(|| {
            let text = |m3| display.text(Dimension::Volume, m3);
            let tank = &network.volumes[branch.from.volume].name;
            (
                element.name.as_str(),
                format!(
                    "{} holds {}, more than {tank} with its {}",
                    element.name,
                    text(line_m3),
                    text(tank_m3)
                ),
                "check the unit of its bore and its length",
            )
        })
    })
}

/// An orifice or a throat that passes more than the bore of the line before it.
fn wider_than_its_line<'a>(elements: &'a [ChainElement], display: &Display) -> Vec<Misfit<'a>> {
    let mut bore_m = f64::INFINITY;
    let mut found = Vec::new();
    for element in elements {
        let area_m2 = match &element.kind {
            ElementKind::Line(line) => {
                bore_m = line.bore_m;
                continue;
            }
            ElementKind::Orifice { capacity, .. } => capacity.liquid_area_m2(),
            // A full-bore valve loses less than the flow's own velocity head.
            ElementKind::Valve { .. } => continue,
            ElementKind::Venturi { throat_m2, .. } => *throat_m2,
        };
        if area_m2 > bore_m2(bore_m) {
            let text = |m2| display.text(Dimension::Area, m2);
            found.push((
                element.name.as_str(),
                format!(
                    "{} passes as much as {}, more than the line before it with its bore of {}",
                    element.name,
                    text(area_m2),
                    text(bore_m2(bore_m))
                ),
                "check its size, and whether the line's bore is that of the bore and not in another unit",
            ));
        }
    }
    found
}

/// A cock that would lose less than a short smooth pipe, or a valve between reducers that the
/// standard does not cover.
fn passes_more_than_its_bore<'a>(
    name: &'a str,
    capacity: &Capacity,
    valve: Option<&Valve>,
) -> Option<Misfit<'a>> {
    let cock = match valve.map(|valve| &valve.characteristic) {
        Some(&Characteristic::Cock { open_loss }) => open_loss,
        _ => f64::INFINITY,
    };
    if cock < LEAST_LOSS {
        let message = format!("{name} passes more when it is open than its bore lets through");
        let remedy = "check its bore, which is that of the ball or plug, and its flow coefficient";
        return Some((name, message, remedy));
    }
    let Capacity::Installed { pipes, .. } = capacity else {
        return None;
    };
    let ratio = (capacity.liquid_area_m2() / pipes.area_m2()).powi(2);
    (ratio > MOST_RATIO).then(|| {
        let message = format!(
            "{name} has a flow coefficient for its bore beyond 0.047 N18 d^2, to which IEC 60534-2-1 holds: \
             what its reducers take is uncertain"
        );
        let remedy = "leave out bore_before and bore_after, and give the flow_coefficient measured with the reducers";
        (name, message, remedy)
    })
}

fn bore_m2(bore_m: f64) -> f64 {
    PI / 4.0 * bore_m * bore_m
}
