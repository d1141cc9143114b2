//! Bottles: what they gave and where they end, beside the two edges that enclose it.
//!
//! With the gas left at the end of the flow in the bottle's volume, the *isothermal* edge
//! has it still at its start temperature, the *isentropic* edge at its start entropy: no
//! heat at all. The end *re-warmed* is that of the gas left at the end of the run once it
//! has come back to the surroundings' temperature. All three by the real-gas equation.

use super::{Group, Line, Run, Summary};
use fluids::GasMixture;
use shared::bracketed;
use shared::quantity::Dimension::{Mass, Pressure, Temperature};
use sim_core::network::{Phase, Vessel, VolumeId, VolumeKind};

/// Relative width to which temperatures of the edges are found.
const TOLERANCE: f64 = 1e-9;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (id, volume) in run.network.volumes.iter().enumerate() {
        if let VolumeKind::Vessel(vessel) = &volume.kind
            && is_supply(run, id)
        {
            read_bottle(run, vessel, &volume.name, into);
        }
    }
}

/// A vessel that gives and is not fed.
pub(super) fn is_supply(run: &Run, id: VolumeId) -> bool {
    let mut branches = run.network.branches.iter();
    let gives = run.network.branches.iter().any(|b| b.from.volume == id);
    gives && !branches.any(|b| b.to.volume == id && b.to.phase == Phase::Gas)
}

fn read_bottle(run: &Run, vessel: &Vessel, name: &str, into: &mut Summary) {
    let traces = (
        run.trace(name, "gas_mass_kg"),
        run.trace(name, "pressure_pa"),
        run.trace(name, "temperature_k"),
    );
    let extremes = run.extremes(name, "temperature_k");
    let (Some(mass), Some(pressure), Some(temperature)) = traces else {
        return;
    };
    let end = run.span_s.1;
    let (first, last) = run.whole_s();
    let gas = BottleGas::new(run, vessel);
    let density = mass.before(end) / vessel.volume_m3;
    let isothermal_pa = gas.pressure_pa(density, vessel.gas.temperature_k);
    let (isentropic_pa, isentropic_k) = gas.isentropic(density).unzip();
    let ambient_k = run.network.surroundings.temperature_k;
    let rewarmed_pa = gas.pressure_pa(mass.before(last) / vessel.volume_m3, ambient_k);
    let used = mass.after(first) - mass.before(last);
    let coldest = extremes.map(|e| e.least.value);
    let (end_pa, end_k) = (pressure.before(end), temperature.before(end));
    let lines = [
        Line(
            "pressure_end_pa",
            "pressure at the end of the flow",
            Pressure,
            Some(end_pa),
        ),
        Line(
            "pressure_end_isothermal_pa",
            "  end pressure, had the gas kept its temperature",
            Pressure,
            isothermal_pa,
        ),
        Line(
            "pressure_end_isentropic_pa",
            "  end pressure, had no heat come in",
            Pressure,
            isentropic_pa,
        ),
        Line(
            "temperature_end_k",
            "gas at the end of the flow",
            Temperature,
            Some(end_k),
        ),
        Line(
            "temperature_end_isentropic_k",
            "  end temperature, had no heat come in",
            Temperature,
            isentropic_k,
        ),
        Line("lowest_temperature_k", "coldest gas", Temperature, coldest),
        Line(
            "gas_used_kg",
            "gas used by the end of the run",
            Mass,
            Some(used),
        ),
        Line(
            "pressure_rewarmed_pa",
            "pressure once re-warmed to ambient",
            Pressure,
            rewarmed_pa,
        ),
    ];
    into.add(Group::Bottle, name, &lines);
}

/// The gas of a bottle; its composition does not change while it only gives.
struct BottleGas<'a> {
    mixture: &'a GasMixture,
    vessel: &'a Vessel,
}

impl<'a> BottleGas<'a> {
    fn new(run: &'a Run, vessel: &'a Vessel) -> Self {
        Self {
            mixture: &run.network.mixtures[vessel.gas.mixture],
            vessel,
        }
    }

    /// Pressure and entropy at a density and temperature.
    fn at(&self, density_kg_m3: f64, temperature_k: f64) -> Option<(f64, f64)> {
        let fractions = &self.vessel.gas.mole_fractions;
        let point = self
            .mixture
            .at_density(density_kg_m3, temperature_k, fractions);
        let point = point.ok()?;
        let pressure_pa = density_kg_m3 * point.enthalpy_j_kg - point.energy_j_m3;
        Some((pressure_pa, point.entropy_j_kg_k))
    }

    fn pressure_pa(&self, density_kg_m3: f64, temperature_k: f64) -> Option<f64> {
        Some(self.at(density_kg_m3, temperature_k)?.0)
    }

    /// Pressure and temperature at a density and the start entropy.
    fn isentropic(&self, density_kg_m3: f64) -> Option<(f64, f64)> {
        let fill = &self.vessel.gas;
        let (start_pa, start_k) = (fill.pressure_pa, fill.temperature_k);
        let start = self.mixture.at(start_pa, start_k, &fill.mole_fractions);
        let start = start.ok()?.entropy_j_kg_k;
        let excess = |k: f64| {
            self.at(density_kg_m3, k)
                .map_or(f64::NAN, |at| at.1 - start)
        };
        let (cold_k, warm_k) = fallen_below_zero(excess, start_k)?;
        let k = bracketed(excess, cold_k, warm_k, TOLERANCE * start_k).ok()?;
        Some((self.pressure_pa(density_kg_m3, k)?, k))
    }
}

/// Steps down from `start` until `excess` turns negative; none if it ceases to exist first.
fn fallen_below_zero(excess: impl Fn(f64) -> f64, start: f64) -> Option<(f64, f64)> {
    let mut warm = start;
    loop {
        let cold = 0.95 * warm;
        let value = excess(cold);
        if value < 0.0 {
            return Some((cold, warm));
        }
        // Not a number: the gas condenses or leaves the range of its equation.
        if value.is_nan() || cold < 1.0 {
            return None;
        }
        warm = cold;
    }
}
