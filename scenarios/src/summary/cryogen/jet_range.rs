//! Whether the jet of an inlet pipe lies in the range of what it is computed by.

use super::super::Run;
use super::super::cautions::warning;
use super::gas::{Gas, Source};
use shared::codes;
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{Inlet, Tank, VolumeId};
use sim_core::outcome::Warning;
use std::f64::consts::PI;

/// Ranges of Reynolds number, distance in bores, and Froude number by the pipe's radius.
const REYNOLDS: (f64, f64) = (2000.0, 4e5);
const DISTANCE: (f64, f64) = (2.0, 12.0);
const LEAST_FROUDE: f64 = 3.0;

/// Warns of a jet outside its ranges during the flow.
pub(super) fn caution(run: &Run, id: VolumeId, tank: &Tank) -> Option<Warning> {
    let Inlet::Pipe { bore_m } = tank.cryogen.as_ref()?.inlet else {
        return None;
    };
    let name = run.volume_name(id);
    let (from, to) = run.span_s;
    let trace = |quantity: &str| run.trace(name, quantity);
    let gas_kg = trace("ports_gas_kg")?;
    let flow = (gas_kg.before(to) - gas_kg.before(from)) / (to - from);
    let source = Source::of(run, id)?;
    let (pressure, inlet_k) = (
        trace("pressure_pa")?.mean(from, to),
        source.temperature.mean(from, to),
    );
    let mixture = &run.network.mixtures[tank.gas.mixture];
    let gas = Gas::at(mixture, pressure, inlet_k, &source.mole_fractions)?;
    let point = mixture.at(pressure, inlet_k, &source.mole_fractions).ok()?;
    let film = mixture
        .film(&point.density_kg_m3[..mixture.len()], inlet_k)
        .ok()?;
    let viscosity = film.prandtl.value * film.conductivity.value / gas.heat_capacity_j_kg_k;
    let reynolds = 4.0 * flow / (PI * bore_m * viscosity);
    let velocity = 4.0 * flow / (PI * bore_m * bore_m * gas.density_kg_m3);
    let ullage = trace("ullage_volume_m3")?.mean(from, to);
    let around = trace("gas_mass_kg")?.mean(from, to) / ullage;
    let buoyancy = ((around - gas.density_kg_m3) / around).max(0.01);
    let gravity = run.network.surroundings.gravity_m_s2;
    let froude = velocity / (buoyancy * gravity * 0.5 * bore_m).sqrt();
    let height = TankGeometry::new(&tank.shape)?.height_m();
    let level = trace("level_m")?;
    let bores = [level.after(from), level.before(to)].map(|l| (height - l) / bore_m);
    let is_within = |value: f64, range: (f64, f64)| (range.0..=range.1).contains(&value);
    let is_fine = is_within(reynolds, REYNOLDS)
        && bores.iter().all(|&b| is_within(b, DISTANCE))
        && froude >= LEAST_FROUDE;
    let message = format!(
        "{name}: the jet of its inlet pipe has Reynolds number {reynolds:.0} (correlated from {:.0} to {:.0}), Froude \
         number {froude:.1} (from {LEAST_FROUDE:.0} on), and goes {:.0} to {:.0} bores to the liquid ({:.0} to {:.0}): what \
         it takes from the gas is led on from there",
        REYNOLDS.0, REYNOLDS.1, bores[0], bores[1], DISTANCE.0, DISTANCE.1
    );
    (!is_fine).then(|| warning(&codes::INLET_JET, message))
}
