//! Gas through an area: its real-gas flux is known up to a pressure that a flow coefficient has no need of.
//! What starts above, or is set above, is refused when it is read and not in the middle of a run.

use crate::input::InputId;
use crate::kinds::{Body, Component};
use crate::read::Context;
use fluids::FluidError;
use shared::quantity::{Dimension, Display};
use shared::{Diagnostic, codes};
use sim_core::components::gas::GasSide;
use sim_core::components::restriction::nozzle_flux;
use sim_core::network::{Branch, BranchKind, Capacity, GasFill, Network, Volume, VolumeId};

/// Checks every gas branch of a network against the pressures at its two ends.
pub fn check(
    network: &Network,
    components: &[Component],
    display: &Display,
    context: &mut Context,
) {
    for branch in &network.branches {
        let Some(component) = components.iter().find(|c| c.name == branch.name) else {
            continue;
        };
        let Some(remedy) = remedy(branch, component) else {
            continue;
        };
        let mut ends = [branch.from.volume, branch.to.volume].into_iter();
        let beyond = ends.find_map(|id| beyond(network, id, components, context));
        if let Some((what, pressure_pa, highest_pa, input)) = beyond {
            let text = |pa| display.text(Dimension::Pressure, pa);
            let message = format!(
                "{what} {} is too high for {}: the flow of this gas through an area is known up to {}",
                text(pressure_pa),
                branch.name,
                text(highest_pa)
            );
            let diagnostic = Diagnostic::error(&codes::FLUID_RANGE, message);
            let diagnostic = match &context.inputs.get(input).span {
                Some(span) => diagnostic.at(span, "").at(&component.span, ""),
                None => diagnostic.at(&component.span, ""),
            };
            context.report(diagnostic.remedy(remedy));
        }
    }
}

/// What to write in place of an area, if gas flows through one.
fn remedy(branch: &Branch, component: &Component) -> Option<&'static str> {
    let capacity = match &branch.kind {
        BranchKind::GasRestriction(restriction) => &restriction.capacity,
        BranchKind::Regulator(regulator) => &regulator.capacity,
        BranchKind::Poppet(valve) => &valve.capacity,
        BranchKind::BurstDisc(disc) => &disc.capacity,
        BranchKind::LiquidChain(_) => return None,
    };
    let leaks = matches!(&component.body, Some(Body::Regulator(r)) if r.leaks());
    match capacity {
        Capacity::EffectiveArea { .. } | Capacity::Nozzle(_) => Some(
            "give its flow_coefficient or its sonic_conductance in place of an area, or a lower pressure",
        ),
        _ if leaks => Some(
            "leave out its seat_leakage, which is counted as an area, or give a lower pressure",
        ),
        _ => None,
    }
}

/// A pressure at which a volume starts, or to which a regulator fills it, beyond what its gas is
/// known to in a nozzle: in words, Pa, that limit in Pa, and where it stands.
fn beyond(
    network: &Network,
    volume: VolumeId,
    components: &[Component],
    context: &Context,
) -> Option<(String, f64, f64, InputId)> {
    let Volume { name, .. } = &network.volumes[volume];
    let fill = network.volumes[volume].gas()?;
    let body_of = |name: &str| components.iter().find(|c| c.name == name)?.body.as_ref();
    let start = match body_of(name)? {
        Body::Vessel(vessel) => vessel.pressure,
        Body::Tank(tank) => tank.pressure,
        _ => return None,
    };
    let start = (format!("the pressure of {name},"), start);
    let fillers = network.branches.iter().filter(|b| b.to.volume == volume);
    let set = fillers.filter_map(|b| match body_of(&b.name)? {
        Body::Regulator(regulator) => Some((
            format!("the set pressure of {},", b.name),
            regulator.set_pressure,
        )),
        _ => None,
    });
    let values = context.inputs.nominal();
    std::iter::once(start).chain(set).find_map(|(what, input)| {
        let pressure_pa = values.si(input);
        let highest_pa = highest_pa(network, fill, pressure_pa)?;
        Some((what, pressure_pa, highest_pa, input))
    })
}

/// The highest pressure at which the flux of a gas is known, Pa, if this one is above it.
fn highest_pa(network: &Network, fill: &GasFill, pressure_pa: f64) -> Option<f64> {
    let mixture = &network.mixtures[fill.mixture];
    let kelvin = fill.temperature_k;
    let side = GasSide::<f64>::constant(mixture, pressure_pa, kelvin, &fill.mole_fractions).ok()?;
    match nozzle_flux(mixture, &side, 0.0) {
        Err(FluidError::OutOfRange {
            unit: "Pa", high, ..
        }) if pressure_pa > high => Some(high),
        _ => None,
    }
}
