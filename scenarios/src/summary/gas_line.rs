//! Gas lines outside of what their equations hold for: a gas far from perfect, a flow that is not turbulent.

use super::cautions::warning;
use super::{Run, extremes};
use crate::physics::GAS_CONSTANT;
use fluids::GasMixture;
use shared::codes;
use shared::quantity::Dimension::Pressure;
use shared::quantity::Display;
use sim_core::components::gas::{GasSide, viscosity};
use sim_core::network::{Branch, BranchKind, Capacity, Line, VolumeId};
use sim_core::outcome::Warning;
use std::f64::consts::PI;

/// Distance of Z from 1 that is worth a warning.
const NOTABLE_Z: f64 = 0.1;
/// Reynolds number below which a flow is not surely turbulent.
const TURBULENT: f64 = 4000.0;

/// What is odd about the gas lines of a run, at their highest flow.
pub(super) fn cautions(run: &Run, display: &Display) -> Vec<Warning> {
    let lines = run.network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::GasRestriction(restriction) => match restriction.capacity {
            Capacity::Line(line) => Some((b, line)),
            _ => None,
        },
        _ => None,
    });
    let warn = |(branch, line)| Some(of_line(run, branch, &line, display)?.into_iter().flatten());
    lines.filter_map(warn).flatten().collect()
}

/// The gas at an end of a branch just before an instant, of what it was made at the start, and its mixture.
pub(super) fn gas_before<'a>(
    run: &Run<'a>,
    branch: &Branch,
    end: VolumeId,
    at_s: f64,
) -> Option<(&'a GasMixture, GasSide<f64>)> {
    let volumes = &run.network.volumes;
    let Some(fill) = volumes[end].gas() else {
        let mut ends = [branch.from.volume, branch.to.volume].into_iter();
        let inside = ends.find_map(|id| volumes[id].gas())?;
        let mixture = &*run.network.mixtures[inside.mixture];
        let air = GasSide::open_air(mixture, &run.network.surroundings);
        return Some((mixture, air.ok()?));
    };
    let name = run.volume_name(end);
    let then = |quantity| Some(run.trace(name, quantity)?.before(at_s));
    let kelvin = then("temperature_k").or_else(|| then("ullage_temperature_k"))?;
    let mixture = &*run.network.mixtures[fill.mixture];
    let gas = GasSide::constant(mixture, then("pressure_pa")?, kelvin, &fill.mole_fractions);
    Some((mixture, gas.ok()?))
}

fn of_line(
    run: &Run,
    branch: &Branch,
    line: &Line,
    display: &Display,
) -> Option<[Option<Warning>; 2]> {
    let seen = extremes(run.outcome, &format!("{}.mass_flow_kg_s", branch.name))?;
    let is_forward = seen.greatest.value >= -seen.least.value;
    let (most, from) = match is_forward {
        true => (seen.greatest, branch.from.volume),
        false => (seen.least, branch.to.volume),
    };
    let (mixture, gas) = gas_before(run, branch, from, most.time_s)?;
    let (pressure_pa, kelvin) = (gas.pressure, gas.temperature);
    let densities = gas.partial_density_values();
    let amount: f64 = (0..mixture.len())
        .map(|k| densities[k] / mixture.molar_mass_kg_mol(k))
        .sum();
    let z = pressure_pa / (amount * GAS_CONSTANT * kelvin);
    let viscosity_pa_s = viscosity(mixture, &gas).ok()?;
    let reynolds = 4.0 * most.value.abs() / (PI * line.bore_m * viscosity_pa_s);
    let far = (z - 1.0).abs() > NOTABLE_Z;
    let slow = most.value != 0.0 && reynolds < TURBULENT;
    Some([
        far.then(|| {
            let message = format!(
                "{}: at its highest flow the gas before it, at {}, has a compressibility of {z:.2}; its flow with \
                 friction is that of a perfect gas of that density, uncertain by about as much",
                branch.name,
                display.text(Pressure, pressure_pa)
            );
            warning(&codes::GAS_LINE, message)
        }),
        slow.then(|| {
            let message = format!(
                "{}: even at its highest flow its Reynolds number is {reynolds:.0}, below {TURBULENT:.0}: its friction \
                 is uncertain where the flow is neither laminar nor turbulent",
                branch.name
            );
            warning(&codes::GAS_LINE, message)
        }),
    ])
}
