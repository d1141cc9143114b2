//! Classic mistakes that the figures of a run show, each with its number.

use super::trace::Trace;
use super::window::{flow_windows, opened_again};
use super::{Bound, Run, Summary, extremes};
use super::{
    condensing, creep, cryogen, dissolving, fire, freezing, gas_line, hot_film, ingestion, laminar,
    nozzle, overshoot, relief, stops,
};
use shared::codes::{self, Code};
use shared::quantity::{Dimension, Display};
use sim_core::network::{Branch, BranchKind, Droop, Network, Volume, VolumeKind};
use sim_core::outcome::{Outcome, Warning};

/// Lift just before the command that is worth a warning.
const NOTABLE_LIFT: f64 = 0.02;
/// Droop that is worth a warning, as a part of the set pressure above ambient.
const NOTABLE_DROOP: f64 = 0.03;
/// Part by which a supply may be beyond the measured flow curves without a warning: a bottle that
/// is filled to the highest of them warms a little.
const BESIDE_CURVES: f64 = 0.01;
/// Fall of a bottle's end pressure below the isothermal edge that is worth a warning.
const NOTABLE_COOLING: f64 = 0.05;

/// Where water freezes: below it a wet gas may frost (triple point of water).
const FROST_K: f64 = 273.16;
/// Last part of a run in which a pressure may still rise.
const LAST_PART: f64 = 0.1;
/// Rise in it that is worth a warning, as a part of the pressure's range in the whole run.
const NOTABLE_LATE_RISE: f64 = 1e-3;
/// Part of its range by which a pressure at the end may lie below its peak and count as there.
const AT_PEAK: f64 = 1e-4;

/// The cautions of a run, in the units of the stand.
#[must_use]
pub fn cautions(
    network: &Network,
    outcome: &Outcome,
    summary: &Summary,
    limits: &[Bound],
    display: &Display,
) -> Vec<Warning> {
    let reader = Reader { summary, display };
    let windows = flow_windows(network, outcome);
    let again = windows.iter().filter_map(|w| opened_again(w, outcome));
    let again = again.map(|(valve, at_s)| reader.opened_again(valve, at_s));
    let regulators = network.branches.iter();
    let regulators = regulators.filter(|b| matches!(b.kind, BranchKind::Regulator(_)));
    let of_regulators = regulators.flat_map(|b| {
        [
            reader.not_at_lock_up(&b.name),
            reader.above_lock_up(&b.name),
            reader.lock_up_is_not_run_pressure(&b.name),
            reader.regulation_lost(&b.name),
            reader.beyond_curves(network, outcome, b),
        ]
    });
    let of_bottles = network.volumes.iter().map(|v| reader.cooled(&v.name));
    let of_gas = of_regulators.chain(of_bottles).flatten();
    let volumes = || network.volumes.iter();
    let of_fire = fire::read(network, outcome, display);
    let of_frost = volumes().filter_map(|v| reader.frost(network, outcome, v));
    let warnings = again.chain(of_gas).chain(of_fire).chain(of_frost);
    let warnings = warnings.chain(dissolving::read(network, outcome, display));
    let warnings = warnings.chain(stops::read(network, outcome, display));
    let warnings = warnings.chain(relief::cautions(network, outcome, display));
    let warnings = warnings.chain(condensing::read(network, outcome, display));
    let warnings = warnings.chain(freezing::read(network, outcome, display));
    let warnings = warnings.chain(hot_film::read(network, outcome, display));
    let warnings = warnings.chain(laminar::read(network, outcome, &windows));
    let warnings = warnings.chain(ingestion::read(network, outcome, &windows, display));
    let run = Run::of(network, outcome, &windows);
    let of_run = run.map(|run| {
        let mut found = cryogen::cautions(&run, display);
        found.extend(overshoot::cautions(&run, display));
        found.extend(gas_line::cautions(&run, display));
        found.extend(nozzle::cautions(&run, display));
        found.extend(creep::cautions(&run, limits, display));
        found
    });
    let warnings = warnings.chain(of_run.unwrap_or_default());
    warnings.chain(reader.still_rising(outcome)).collect()
}

struct Reader<'a> {
    summary: &'a Summary,
    display: &'a Display,
}

impl Reader<'_> {
    fn figure(&self, component: &str, suffix: &str) -> Option<f64> {
        self.summary.get(&format!("{component}.{suffix}"))
    }

    fn pressure(&self, pa: f64) -> String {
        self.display.text(Dimension::Pressure, pa)
    }

    fn difference(&self, pa: f64) -> String {
        self.display.text(Dimension::PressureDifference, pa)
    }

    fn time(&self, s: f64) -> String {
        self.display.text(Dimension::Time, s)
    }

    fn not_at_lock_up(&self, regulator: &str) -> Option<Warning> {
        let outlet = self.figure(regulator, "outlet_start_pa")?;
        let lift = self.figure(regulator, "lift_start_1")?;
        let message = format!(
            "{regulator}: still {:.0} % open at {} when the flow is commanded, not at lock-up; \
             without flow its outlet would rise further",
            100.0 * lift,
            self.pressure(outlet)
        );
        (lift > NOTABLE_LIFT).then(|| warning(&codes::NOT_AT_LOCK_UP, message))
    }

    fn above_lock_up(&self, regulator: &str) -> Option<Warning> {
        let rise = self.figure(regulator, "rise_above_lock_up_pa")?;
        let at_s = self.figure(regulator, "rise_above_lock_up_time_s")?;
        let overshot = self.figure(regulator, "overshoot_pa").unwrap_or(0.0);
        let message = format!(
            "{regulator}: its outlet rises to {} above lock-up at {}: it was filled higher, or its gas has \
             warmed, and a regulator does not vent",
            self.difference(rise),
            self.time(at_s)
        );
        // An overshoot has a warning of its own.
        (overshot < 0.5 * rise).then(|| warning(&codes::ABOVE_LOCK_UP, message))
    }

    fn opened_again(&self, valve: &str, at_s: f64) -> Warning {
        let message = format!(
            "{valve}: opens again at {}; the figures of its flow are those of the first opening",
            self.time(at_s)
        );
        warning(&codes::OPENED_AGAIN, message)
    }

    fn lock_up_is_not_run_pressure(&self, regulator: &str) -> Option<Warning> {
        let lock_up = self.figure(regulator, "lock_up_pa")?;
        let droop = self.figure(regulator, "droop_0_5_s_pa")?;
        let part = droop / (lock_up - self.display.ambient_pa());
        let message = format!(
            "{regulator}: half a second after the command its outlet flows at {}, {} ({:.0} %) below \
             lock-up; size the flow by this pressure and set the limits by lock-up",
            self.pressure(lock_up - droop),
            self.difference(droop),
            100.0 * part
        );
        (part > NOTABLE_DROOP).then(|| warning(&codes::DROOP, message))
    }

    fn regulation_lost(&self, regulator: &str) -> Option<Warning> {
        const REMEDY: &str = "a larger flow coefficient, a fuller bottle or a smaller flow keeps \
                              it regulating";
        let in_all = self.figure(regulator, "wide_open_time_s")?;
        let first = self.figure(regulator, "first_wide_open_s")?;
        let message = if let Some(lost) = self.figure(regulator, "regulation_lost_s") {
            format!(
                "{regulator}: wide open from {} to the end of the flow, a fixed orifice that follows \
                 the bottle: {REMEDY}",
                self.time(lost)
            )
        } else {
            format!(
                "{regulator}: wide open for {} in all during the flow, the first time at {}, and \
                 regulating at its end: {REMEDY}",
                self.time(in_all),
                self.time(first),
            )
        };
        Some(warning(&codes::REGULATION_LOST, message))
    }

    /// A supply that leaves the range in which a regulator was measured at several pressures.
    fn beyond_curves(
        &self,
        network: &Network,
        outcome: &Outcome,
        branch: &Branch,
    ) -> Option<Warning> {
        let BranchKind::Regulator(regulator) = &branch.kind else {
            return None;
        };
        let Droop::Curves(curves) = &regulator.droop else {
            return None;
        };
        let [lowest, .., highest] = &curves[..] else {
            return None;
        };
        let supply = &network.volumes[branch.from.volume].name;
        let seen = extremes(outcome, &format!("{supply}.pressure_pa"))?;
        let (least, most) = (seen.least.value, seen.greatest.value);
        let message = format!(
            "{}: supplied with {} to {}, measured between {} and {} (flow_curves): outside, the nearest \
             curve is taken for granted",
            branch.name,
            self.pressure(least),
            self.pressure(most),
            self.pressure(lowest.supply_pa),
            self.pressure(highest.supply_pa)
        );
        let is_beyond = least < (1.0 - BESIDE_CURVES) * lowest.supply_pa
            || most > (1.0 + BESIDE_CURVES) * highest.supply_pa;
        is_beyond.then(|| warning(&codes::BEYOND_CURVES, message))
    }

    fn frost(&self, network: &Network, outcome: &Outcome, volume: &Volume) -> Option<Warning> {
        let VolumeKind::Tank(tank) = &volume.kind else {
            return None;
        };
        let mixture = &network.mixtures[tank.gas.mixture];
        let is_wet = tank.vapour.is_some_and(|k| mixture.name(k) == "water");
        let name = &volume.name;
        let coldest = extremes(outcome, &format!("{name}.ullage_temperature_k"))?.least;
        let text = |k| self.display.text(Dimension::Temperature, k);
        let message = format!(
            "{name}: gas with water vapour falls to {} at {}, below {}: frost may form; the \
             vapour is kept as a dilute gas",
            text(coldest.value),
            self.time(coldest.time_s),
            text(FROST_K)
        );
        (is_wet && coldest.value < FROST_K).then(|| warning(&codes::FROST, message))
    }

    /// A highest pressure at the end of the run is none: it has not come yet.
    fn still_rising(&self, outcome: &Outcome) -> Option<Warning> {
        let peaks = self.summary.figures.iter();
        // Of volumes: a line that is shut stands at the pressure of one.
        let peaks = peaks.filter(|f| f.name.ends_with(".peak_pressure_pa"));
        let rising = peaks.filter_map(|f| {
            let column = f.name.replace(".peak_pressure", ".pressure");
            let seen = extremes(outcome, &column)?;
            let range = seen.greatest.value - seen.least.value;
            let trace = Trace::of(&outcome.history, &column)?;
            let (first, last) = trace.span_s();
            let end = trace.before(last);
            let risen = end - trace.before(last - LAST_PART * (last - first));
            let is_peak = end >= f.value - AT_PEAK * range;
            (is_peak && risen > NOTABLE_LATE_RISE * range).then_some((f.component.as_str(), risen))
        });
        let (components, rises): (Vec<&str>, Vec<f64>) = rising.unzip();
        let risen = rises.into_iter().reduce(f64::max)?;
        let (up_to, whose) = match components[..] {
            [_] => ("by", "its peak has"),
            _ => ("by up to", "their peaks have"),
        };
        let message = format!(
            "{}: still rising at the end of the run, {up_to} {} in its last tenth, so that {whose} not \
             come; extend [run] until",
            components.join(", "),
            self.difference(risen)
        );
        Some(warning(&codes::STILL_RISING, message))
    }

    fn cooled(&self, bottle: &str) -> Option<Warning> {
        let end = self.figure(bottle, "pressure_end_pa")?;
        let isothermal = self.figure(bottle, "pressure_end_isothermal_pa")?;
        let temperature = self.figure(bottle, "temperature_end_k")?;
        let message = format!(
            "{bottle}: the gas cools to {}, so that the bottle ends at {} where a constant \
             temperature would leave {}",
            self.display.text(Dimension::Temperature, temperature),
            self.pressure(end),
            self.pressure(isothermal)
        );
        (end < (1.0 - NOTABLE_COOLING) * isothermal).then(|| warning(&codes::BOTTLE_COOLS, message))
    }
}

pub(super) fn warning(code: &'static Code, message: String) -> Warning {
    Warning {
        code: code.id,
        message,
    }
}
