//! Creep: a regulator's shut seat leaks, and what is shut in behind it rises.
//!
//! The gas behind is that of the regulator's outlet and of what check valves and orifices let it
//! pass to; valves count as shut, so that the volume is the least. It stays at its temperature:
//! creep is slow. `dp/dt = m R/sum(V/T)`, with the leak at the end of the run.

use super::cautions::warning;
use super::regulator::molar_mass_kg_mol;
use super::relief::reached_from;
use super::{Bound, Group, Line, Run, Summary};
use crate::physics::GAS_CONSTANT;
use shared::codes;
use shared::quantity::Dimension::{Pressure, PressureDifference, Time};
use shared::quantity::Display;
use sim_core::components::gas::GasSide;
use sim_core::network::{
    Branch, BranchKind, Duty, GasRestriction, Regulator, Relation, VolumeId, VolumeKind,
};
use sim_core::outcome::Warning;

/// How long a stand may stand pressed before it runs: common practice, no source.
const STAND_BY_S: f64 = 3600.0;

/// What creeps behind one regulator.
struct Creep {
    rate_pa_s: f64,
    lock_up_pa: f64,
    /// To which it creeps at most.
    supply_pa: f64,
    /// What it fills.
    behind: Vec<VolumeId>,
    /// From lock-up until the first relief valve or burst disc opens.
    to_relief_s: Option<f64>,
}

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (branch, regulator) in leaking(run) {
        let Some(creep) = Creep::of(run, branch, regulator) else {
            continue;
        };
        let lines = [
            Line(
                "creep_in_a_minute_pa",
                "rise behind the shut seat in a minute, by its leakage (creep)",
                PressureDifference,
                Some(60.0 * creep.rate_pa_s),
            ),
            Line(
                "creep_to_relief_s",
                "creep from lock-up until a relief opens",
                Time,
                creep.to_relief_s,
            ),
        ];
        into.add(Group::Regulator, &branch.name, &lines);
    }
}

/// Regulators that would lift a relief, or pass a limit, while the stand waits.
pub(super) fn cautions(run: &Run, limits: &[Bound], display: &Display) -> Vec<Warning> {
    let warn = |(branch, regulator): (&Branch, &Regulator)| {
        let creep = Creep::of(run, branch, regulator)?;
        Some([
            creep.opens_relief(branch, display),
            creep.past_limit(run, branch, limits, display),
        ])
    };
    leaking(run).filter_map(warn).flatten().flatten().collect()
}

fn leaking<'a>(run: &Run<'a>) -> impl Iterator<Item = (&'a Branch, &'a Regulator)> {
    run.network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::Regulator(regulator) if regulator.leak_m2 > 0.0 => Some((b, regulator)),
        _ => None,
    })
}

impl Creep {
    fn of(run: &Run, branch: &Branch, regulator: &Regulator) -> Option<Self> {
        let network = run.network;
        let (_, end_s) = run.whole_s();
        let (supply_pa, supply_k, _) = gas_at(run, branch.from.volume, end_s)?;
        let fill = run.network.volumes[branch.from.volume].gas()?;
        let mixture = &network.mixtures[fill.mixture];
        let lock_up_pa = regulator.lock_up(supply_pa);
        let side = |pressure_pa| {
            GasSide::<f64>::constant(mixture, pressure_pa, supply_k, &fill.mole_fractions).ok()
        };
        let leak_kg_s = regulator
            .leak(mixture, &side(supply_pa)?, &side(lock_up_pa)?)
            .ok()?;
        let molar_mass = molar_mass_kg_mol(run, branch.from.volume);
        let behind = reached_from(network, branch, lets_pass);
        let gases = behind.iter().filter_map(|&id| gas_at(run, id, end_s));
        let room: f64 = gases.map(|(_, kelvin, m3)| m3 / kelvin).sum();
        let rate_pa_s = leak_kg_s / molar_mass * GAS_CONSTANT / room;
        let opening = network
            .branches
            .iter()
            .filter_map(|b| opens_pa(run, b, &behind));
        let first_pa = opening.min_by(f64::total_cmp);
        let to_relief_s = first_pa.map(|pa| f64::max(pa - lock_up_pa, 0.0) / rate_pa_s);
        Some(Self {
            rate_pa_s,
            lock_up_pa,
            supply_pa,
            behind,
            to_relief_s,
        })
    }

    fn opens_relief(&self, branch: &Branch, display: &Display) -> Option<Warning> {
        let after_s = self.to_relief_s.filter(|&s| s < STAND_BY_S)?;
        let message = format!(
            "{}: shut, its seat leaks so much that what is behind it rises by {} a minute and opens a \
             relief {} after lock-up",
            branch.name,
            display.text(PressureDifference, 60.0 * self.rate_pa_s),
            display.text(Time, after_s)
        );
        Some(warning(&codes::CREEP, message))
    }

    /// The first limit on a pressure behind it that it passes, unless a relief opens before.
    fn past_limit(
        &self,
        run: &Run,
        branch: &Branch,
        limits: &[Bound],
        display: &Display,
    ) -> Option<Warning> {
        let is_behind = |name: &str| self.behind.iter().any(|&id| run.volume_name(id) == name);
        let passed = limits.iter().filter(|limit| {
            let of_pressure = limit.path.strip_suffix(".pressure");
            of_pressure.is_some_and(is_behind)
                && limit.relation == Relation::Below
                && limit.threshold < self.supply_pa
        });
        let first = passed.min_by(|a, b| a.threshold.total_cmp(&b.threshold))?;
        let after_s = f64::max(first.threshold - self.lock_up_pa, 0.0) / self.rate_pa_s;
        let message = format!(
            "{}: shut, its seat leaks so much that what is behind it rises by {} a minute and passes the limit \
             on {}, {}, {} after lock-up",
            branch.name,
            display.text(PressureDifference, 60.0 * self.rate_pa_s),
            first.path,
            display.text(Pressure, first.threshold),
            display.text(Time, after_s)
        );
        let is_relieved = self.to_relief_s.is_some_and(|s| s < after_s);
        (after_s < STAND_BY_S && !is_relieved).then(|| warning(&codes::CREEPS_PAST_LIMIT, message))
    }
}

/// Whether gas gets past while every valve is shut.
pub(super) fn lets_pass(kind: &BranchKind) -> bool {
    match kind {
        BranchKind::Poppet(valve) => valve.duty == Duty::Check,
        BranchKind::GasRestriction(GasRestriction { valve, .. }) => valve.is_none(),
        _ => false,
    }
}

/// Pressure at which a relief or a disc on one of the volumes opens to the open air.
fn opens_pa(run: &Run, branch: &Branch, volumes: &[VolumeId]) -> Option<f64> {
    let is_ambient = matches!(
        run.network.volumes[branch.to.volume].kind,
        VolumeKind::Ambient
    );
    let opens_pa = branch.relieves_at_pa()? + run.network.surroundings.pressure_pa;
    (is_ambient && volumes.contains(&branch.from.volume)).then_some(opens_pa)
}

/// Pressure in Pa, temperature in K and volume in m3 of a volume's gas at an instant.
pub(super) fn gas_at(run: &Run, id: VolumeId, at_s: f64) -> Option<(f64, f64, f64)> {
    let volume = &run.network.volumes[id];
    let then = |quantity| Some(run.trace(&volume.name, quantity)?.before(at_s));
    let pressure = then("pressure_pa")?;
    match &volume.kind {
        VolumeKind::Vessel(vessel) => Some((pressure, then("temperature_k")?, vessel.volume_m3)),
        VolumeKind::Tank(_) => {
            let kelvin = then("ullage_temperature_k")?;
            Some((pressure, kelvin, then("ullage_volume_m3")?))
        }
        VolumeKind::Ambient => None,
    }
}
