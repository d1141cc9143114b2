//! Toroidal nozzles: the discharge coefficient of their highest flow, and where the standard does not give it
//! (theory 2.12).

use super::cautions::warning;
use super::gas_line::gas_before;
use super::trace::Trace;
use super::{Group, Line, Run, Summary, extremes};
use shared::codes;
use shared::quantity::Dimension::{Fraction, Time};
use shared::quantity::Display;
use sim_core::components::gas::viscosity;
use sim_core::components::toroidal_nozzle::{RESTING, REYNOLDS, discharge_coefficient};
use sim_core::network::{Branch, BranchKind, Capacity, ToroidalNozzle, VolumeId, VolumeKind};
use sim_core::outcome::{Extremes, Warning};

/// Part of the highest flow below which a flow is of no account: it comes to rest.
const OF_NO_ACCOUNT: f64 = 0.1;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for nozzle in nozzles(run) {
        let reynolds = nozzle.forward();
        let label = "discharge coefficient at its highest flow, by ISO 9300";
        let coefficient = reynolds.map(discharge_coefficient);
        let line = Line("discharge_coefficient_1", label, Fraction, coefficient);
        into.add(Group::Regulator, &nozzle.branch.name, &[line]);
    }
}

/// Where the standard does not hold.
pub(super) fn cautions(run: &Run, display: &Display) -> Vec<Warning> {
    let of = |nozzle: Nozzle| {
        [
            nozzle.not_critical(display),
            nozzle.outside(),
            nozzle.backward(),
        ]
    };
    let messages = nozzles(run).flat_map(of).flatten();
    messages
        .map(|message| warning(&codes::NOZZLE, message))
        .collect()
}

/// A nozzle through which gas flows, and its least and greatest flow.
struct Nozzle<'a> {
    run: &'a Run<'a>,
    branch: &'a Branch,
    throat: ToroidalNozzle,
    seen: &'a Extremes,
}

fn nozzles<'a>(run: &'a Run<'a>) -> impl Iterator<Item = Nozzle<'a>> {
    let branches = run.network.branches.iter();
    branches.filter_map(move |branch| {
        let BranchKind::GasRestriction(restriction) = &branch.kind else {
            return None;
        };
        let Capacity::Nozzle(throat) = restriction.capacity else {
            return None;
        };
        let seen = extremes(run.outcome, &format!("{}.mass_flow_kg_s", branch.name))?;
        let nozzle = Nozzle {
            run,
            branch,
            throat,
            seen,
        };
        nozzle.flows().then_some(nozzle)
    })
}

impl Nozzle<'_> {
    /// Whether more goes through it than rounding moves between equal pressures.
    fn flows(&self) -> bool {
        let least = self.seen.least;
        self.forward().is_some() || self.reynolds(least.time_s, least.value).is_some()
    }

    /// Reynolds number of its throat at its highest flow forward, if there is one.
    fn forward(&self) -> Option<f64> {
        let highest = self.seen.greatest;
        let reynolds = self.reynolds(highest.time_s, highest.value)?;
        (highest.value > 0.0).then_some(reynolds)
    }

    /// Reynolds number of its throat at a flow (kg/s) at an instant; none at rest.
    fn reynolds(&self, at_s: f64, flow_kg_s: f64) -> Option<f64> {
        let up = match flow_kg_s > 0.0 {
            true => self.branch.from.volume,
            false => self.branch.to.volume,
        };
        let (mixture, gas) = gas_before(self.run, self.branch, up, at_s)?;
        let viscosity_pa_s = viscosity(mixture, &gas).ok()?;
        let reynolds = self.throat.reynolds(flow_kg_s.abs(), viscosity_pa_s);
        (reynolds > RESTING).then_some(reynolds)
    }

    /// Flow below which one is of no account, kg/s.
    fn of_no_account_kg_s(&self) -> f64 {
        OF_NO_ACCOUNT * self.seen.greatest.value.max(-self.seen.least.value)
    }

    /// Pressure ratio below which its highest flow is critical.
    fn critical_ratio(&self) -> Option<f64> {
        let at_s = self.seen.greatest.time_s;
        let (mixture, gas) = gas_before(self.run, self.branch, self.branch.from.volume, at_s)?;
        let fractions = &gas.fraction_values()[..mixture.len()];
        let flux = mixture.nozzle_flux(fractions, gas.pressure, gas.temperature, 0.0);
        Some(flux.ok()?.critical_ratio)
    }

    /// Instants and flows of account, those that are critical apart from those that are not.
    fn by_criticality(&self) -> Option<[Vec<(f64, f64)>; 2]> {
        let flow = self.run.trace(&self.branch.name, "mass_flow_kg_s")?;
        let up = self.pressure_pa(self.branch.from.volume)?;
        let back = self.pressure_pa(self.branch.to.volume)?;
        let critical = self.critical_ratio()?;
        let least = self.of_no_account_kg_s();
        let points = flow.points().filter(|&(_, kg_s)| kg_s > least);
        Some(
            points
                .partition(|&(t, _)| back(t) <= critical * up(t))
                .into(),
        )
    }

    /// The pressure of a volume against time, Pa.
    fn pressure_pa(&self, id: VolumeId) -> Option<impl Fn(f64) -> f64> {
        let volume = &self.run.network.volumes[id];
        let ambient_pa = self.run.network.surroundings.pressure_pa;
        let trace = match volume.kind {
            VolumeKind::Ambient => None,
            _ => Some(self.run.trace(&volume.name, "pressure_pa")?),
        };
        Some(move |t| {
            trace
                .as_ref()
                .map_or(ambient_pa, |trace: &Trace| trace.after(t))
        })
    }

    fn not_critical(&self, display: &Display) -> Option<String> {
        let [_, others] = self.by_criticality()?;
        let (first_s, _) = others.first()?;
        Some(format!(
            "{}: its flow is not critical, the first time at {}: there the discharge coefficient of ISO 9300, which is \
             for critical flow, is led on and less well known",
            self.branch.name,
            display.text(Time, *first_s)
        ))
    }

    fn outside(&self) -> Option<String> {
        let [critical, _] = self.by_criticality()?;
        let by_flow = |a: &&(f64, f64), b: &&(f64, f64)| a.1.total_cmp(&b.1);
        let ends = [
            critical.iter().min_by(by_flow)?,
            critical.iter().max_by(by_flow)?,
        ];
        let [low, high] = ends.map(|&(t, flow)| self.reynolds(t, flow));
        let (low, high) = (low?, high?);
        let (least, most) = REYNOLDS;
        let is_outside = low < least || high > most;
        is_outside.then(|| {
            format!(
                "{}: the Reynolds number of its throat lies between {low:.1e} and {high:.1e} in critical flow; ISO 9300 gives \
                 the discharge coefficient from {least:.1e} to {most:.1e}, and outside it is led on by the same formula",
                self.branch.name
            )
        })
    }

    fn backward(&self) -> Option<String> {
        let most = -self.seen.least.value;
        (most > self.of_no_account_kg_s()).then(|| {
            format!(
                "{}: gas runs backward through it, where ISO 9300 gives no discharge coefficient; that of the forward \
                 flow is taken",
                self.branch.name
            )
        })
    }
}
