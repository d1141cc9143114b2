//! What a cryogen does to the gas above it: how much more of it goes into the tank than its volume
//! would hold, and where its heat goes.
//!
//! *Pressurant* is what came in through the gas port from the instant at which least had come in
//! (after the vent): the gain of gas less what evaporated and boiled off. *Without exchange* the
//! same pressures and volumes would have taken `Int rho_in (dV + V dp/(k p))`, with the density of
//! the gas at the temperature of where it comes from and its heat-capacity ratio k: gas that is
//! there is compressed, and gas that comes in keeps its heat (theory 9.7). The *collapse factor* is
//! the ratio.

mod account;
mod gas;
mod jet_range;
mod surface_range;

use super::epstein_anderson::{Constants, Expulsion, collapse_factor};
use super::trace::Trace;
use super::{Group, Line, Run, Summary};
use account::{Account, COLUMNS, EARLY};
use fluids::GasMixture;
use gas::{Gas, Source};
use shared::quantity::Dimension::{
    Energy, Fraction, Mass, MassFlow, PressureDifference, Temperature,
};
use shared::quantity::Display;
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{BranchKind, Cryogen, ElementKind, Tank, VolumeId, VolumeKind};
use sim_core::outcome::Warning;

/// A vented hold shorter than this gives no rate of boil-off, s.
const SHORTEST_HOLD_S: f64 = 2.0;

/// Steps in which the gas without exchange is summed up.
const STEPS: usize = 2000;

/// Between a vent that has shut and a supply that opens the pressurant stays the same but for
/// rounding: its least counts as reached within this part of its range, and gas as having come in above
/// this part of what is there.
const LEAST: f64 = 1e-6;

pub(super) fn read(run: &Run, into: &mut Summary) {
    for (id, volume) in run.network.volumes.iter().enumerate() {
        let VolumeKind::Tank(tank) = &volume.kind else {
            continue;
        };
        if let Some(cryogen) = &tank.cryogen
            && let Some(reader) = Reader::new(run, id, tank, cryogen)
        {
            reader.read(&volume.name, into);
        }
    }
}

struct Reader<'a> {
    run: &'a Run<'a>,
    id: VolumeId,
    tank: &'a Tank,
    cryogen: &'a Cryogen,
    /// Where its gas comes from.
    source: Option<Source>,
    pressure: Trace,
    /// Evaporated and boiled off since the start, kg.
    vapour: Trace,
    /// What became of the pressurant, in the order of [`COLUMNS`].
    account: Vec<Trace>,
    /// From the instant at which least gas had come in to the end of the flow.
    span_s: (f64, f64),
}

/// The first row at which least pressurant is in the tank, up to an instant.
fn start_of_pressurisation(time_s: &[f64], pressurant: &[f64], end_s: f64) -> usize {
    let until = time_s.partition_point(|&t| t <= end_s).max(1);
    let seen = &pressurant[..until.min(pressurant.len())];
    let least = seen.iter().copied().fold(f64::INFINITY, f64::min);
    let most = seen.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let reached = |m: &f64| *m <= least + LEAST * (most - least);
    seen.iter().position(reached).unwrap_or(0)
}

/// Adds to a history what became of the pressurant of each cryogenic tank.
pub(super) fn complete(run: &Run) -> Vec<(String, Vec<f64>)> {
    let mut columns = Vec::new();
    for (id, volume) in run.network.volumes.iter().enumerate() {
        if let VolumeKind::Tank(tank) = &volume.kind
            && tank.cryogen.is_some()
            && let Some(account) = Account::of(run, id, tank, run.end_s())
        {
            let names = COLUMNS.iter().map(|c| format!("{}.{c}", volume.name));
            columns.extend(names.zip(account.columns));
        }
    }
    columns
}

/// Cautions on the inlets of cryogenic tanks.
pub(super) fn cautions(run: &Run, display: &Display) -> Vec<Warning> {
    let volumes = run.network.volumes.iter().enumerate();
    let warned = volumes.flat_map(|(id, volume)| {
        let VolumeKind::Tank(tank) = &volume.kind else {
            return [None, None];
        };
        [
            jet_range::caution(run, id, tank),
            surface_range::caution(run, id, tank, display),
        ]
    });
    warned.flatten().collect()
}

impl<'a> Reader<'a> {
    fn new(run: &'a Run<'a>, id: VolumeId, tank: &'a Tank, cryogen: &'a Cryogen) -> Option<Self> {
        let name = run.volume_name(id);
        let boiled = run.trace(name, "boiled_kg")?;
        let account = Account::of(run, id, tank, run.end_s())?;
        let time_s = run.outcome.history.column("time_s")?;
        let trace = |column: Vec<f64>| Trace::new(time_s.clone(), column);
        Some(Self {
            source: Source::of(run, id),
            pressure: run.trace(name, "pressure_pa")?,
            span_s: (account.start_s, run.end_s()),
            vapour: run.trace(name, "evaporated_kg")?.plus(1.0, &boiled),
            account: account.columns.into_iter().map(trace).collect(),
            run,
            id,
            tank,
            cryogen,
        })
    }

    /// Value of one of [`COLUMNS`] at an instant of the span.
    fn counted(&self, column: &str, at_s: f64) -> Option<f64> {
        let place = COLUMNS.iter().position(|c| *c == column)?;
        let account = &self.account[place];
        // Just before the span nothing has been counted yet.
        Some(if at_s <= self.span_s.0 {
            account.after(at_s)
        } else {
            account.before(at_s)
        })
    }

    fn read(&self, name: &str, into: &mut Summary) {
        self.read_collapse(name, into);
        self.read_account(name, into);
        let (_, to) = self.span_s;
        let liquid = self.run.trace(name, "liquid_temperature_k");
        let end = liquid.map(|t| t.before(to));
        let margin = self.boiling_margin(name, "outlet_pressure_pa");
        let boiling = "least pressure at the outlet above that of boiling";
        let lines = [
            Line(
                "boil_off_kg_s",
                "boil-off of the hold before pressurisation",
                MassFlow,
                self.boil_off_kg_s(name),
            ),
            Line(
                "liquid_temperature_end_k",
                "liquid at the end of the flow",
                Temperature,
                end,
            ),
            Line(
                "least_boiling_margin_pa",
                boiling,
                PressureDifference,
                margin,
            ),
        ];
        into.add(Group::Tank, name, &lines);
        self.read_boiling_on_the_way(into);
    }

    /// What evaporated and boiled until gas came in or liquid went out, kg/s; none if no gas came in then.
    fn boil_off_kg_s(&self, name: &str) -> Option<f64> {
        let (pressed_s, end_s) = self.span_s;
        let (first_s, _) = self.run.whole_s();
        let windows = self.run.windows.iter().filter(|w| w.tank == self.id);
        let until_s = windows.map(|w| w.start_s).fold(pressed_s, f64::min);
        let held_s = until_s - first_s;
        let in_ullage_kg = self.run.trace(name, "gas_mass_kg")?.before(end_s);
        let is_pressed = self.counted("pressurant_kg", end_s)? > LEAST * in_ullage_kg;
        let gain_kg = self.vapour.before(until_s) - self.vapour.before(first_s);
        (is_pressed && held_s > SHORTEST_HOLD_S).then(|| gain_kg / held_s)
    }

    /// The margin to boiling at the inlet of what the liquid stands in behind the tank's outlet, up to
    /// the first valve: what comes behind that fills as it opens.
    fn read_boiling_on_the_way(&self, into: &mut Summary) {
        let label = "least pressure before it above that of boiling";
        let branches = self.run.network.branches.iter();
        for branch in branches.filter(|b| b.from.volume == self.id) {
            let BranchKind::LiquidChain(chain) = &branch.kind else {
                continue;
            };
            for element in chain.elements.iter().skip(1) {
                let margin = self.boiling_margin(&element.name, "inlet_pressure_pa");
                let line = Line("least_boiling_margin_pa", label, PressureDifference, margin);
                into.add(Group::Flow, &element.name, &[line]);
                if matches!(element.kind, ElementKind::Valve { .. }) {
                    break;
                }
            }
        }
    }

    /// What each way of exchange cost in gas, and where its heat went.
    fn read_account(&self, name: &str, into: &mut Summary) {
        let (from, to) = self.span_s;
        let at_end = |column: &str| self.counted(column, to);
        let rise = |quantity: &str| {
            let trace = self.run.trace(name, quantity)?;
            Some(trace.before(to) - trace.before(from))
        };
        let used = at_end("pressurant_kg");
        let ways = [
            "pressurant_without_exchange_kg",
            "pressurant_for_wall_kg",
            "pressurant_for_surface_kg",
            "pressurant_for_vapour_kg",
            "pressurant_for_inlet_kg",
            "pressurant_for_solution_kg",
        ];
        let told: Option<f64> = ways.into_iter().map(at_end).sum();
        let rest = used.zip(told).map(|(used, told)| used - told);
        // Only some inlets exchange anything on the way.
        let counts = |value: Option<f64>| value.filter(|&v| v != 0.0);
        let condensed = Some(self.vapour.before(from) - self.vapour.before(to));
        let line = |(suffix, label, dimension, value)| Line(suffix, label, dimension, value);
        let lines = [
            (
                "pressurant_kg",
                "gas that came in by the end of the flow",
                Mass,
                used,
            ),
            (
                ways[0],
                "  had nothing been exchanged",
                Mass,
                at_end(ways[0]),
            ),
            (ways[1], "  for heat into the wall", Mass, at_end(ways[1])),
            (
                ways[2],
                "  for heat into the surface",
                Mass,
                at_end(ways[2]),
            ),
            (
                ways[3],
                "  for vapour that condensed",
                Mass,
                at_end(ways[3]),
            ),
            (
                ways[4],
                "  for heat into the liquid on its way in",
                Mass,
                counts(at_end(ways[4])),
            ),
            (
                ways[5],
                "  for gas that went into the liquid",
                Mass,
                counts(at_end(ways[5])),
            ),
            (
                "pressurant_rest_kg",
                "  the rest: real gas, mixing",
                Mass,
                rest,
            ),
            ("condensed_kg", "vapour condensed, net", Mass, condensed),
            (
                "dissolved_kg",
                "gas that went into the liquid",
                Mass,
                counts(rise("dissolved_kg")),
            ),
            (
                "heat_brought_j",
                "heat that came in with the gas",
                Energy,
                at_end("heat_brought_j"),
            ),
            (
                "heat_of_compression_j",
                "heat of compression",
                Energy,
                at_end("heat_of_compression_j"),
            ),
            (
                "heat_to_wall_j",
                "  into the wall",
                Energy,
                rise("heat_to_wall_j"),
            ),
            (
                "heat_on_the_way_j",
                "  into the liquid on its way in",
                Energy,
                counts(rise("heat_on_the_way_j")),
            ),
            (
                "heat_to_surface_j",
                "  into the liquid's surface",
                Energy,
                rise("heat_to_surface_j"),
            ),
            (
                "heat_with_vapour_j",
                "  with vapour that condensed",
                Energy,
                at_end("heat_with_vapour_j"),
            ),
            (
                "heat_with_solution_j",
                "  with gas that went into the liquid",
                Energy,
                counts(at_end("heat_with_solution_j")),
            ),
            (
                "heat_in_ullage_j",
                "  kept by the ullage",
                Energy,
                at_end("heat_in_ullage_j"),
            ),
            (
                "work_on_liquid_j",
                "work of the gas on the liquid",
                Energy,
                rise("work_on_liquid_j"),
            ),
        ];
        into.add(Group::Account, name, &lines.map(line));
    }

    fn read_collapse(&self, name: &str, into: &mut Summary) {
        let (from, to) = self.span_s;
        let flow = self.run.flows.then_some(self.run.span_s);
        let held = flow
            .filter(|f| f.0 > from)
            .and_then(|f| self.factor((from, f.0)));
        let during = flow.and_then(|f| self.factor(f));
        let whole = self.factor((from, to));
        let published = "  by Epstein and Anderson 1968, constants from memory, ±14 %";
        let lines = [
            Line(
                "collapse_factor_1",
                "collapse factor at the end of the flow",
                Fraction,
                whole,
            ),
            Line(
                "collapse_factor_held_1",
                "collapse factor before the flow",
                Fraction,
                held,
            ),
            Line(
                "collapse_factor_flow_1",
                "collapse factor of the flow alone",
                Fraction,
                during,
            ),
            Line(
                "collapse_factor_correlation_1",
                published,
                Fraction,
                self.correlation(name),
            ),
        ];
        into.add(Group::Tank, name, &lines);
    }

    /// Collapse factor of the gas that comes in during a span.
    fn factor(&self, (from_s, to_s): (f64, f64)) -> Option<f64> {
        let gain = |column| Some(self.counted(column, to_s)? - self.counted(column, from_s)?);
        // A tank that starts at pressure takes next to nothing before its flow.
        let whole = self.counted("pressurant_without_exchange_kg", self.span_s.1)?;
        let ideal = gain("pressurant_without_exchange_kg");
        let ideal = ideal.filter(|&i| i > (EARLY * whole).max(0.0))?;
        Some(gain("pressurant_kg")? / ideal)
    }

    /// Least pressure at a place above that at which the tank's bulk boils, while liquid flows, Pa.
    fn boiling_margin(&self, component: &str, column: &str) -> Option<f64> {
        let (from, to) = self.run.flows.then_some(self.run.span_s)?;
        let outlet = self.run.trace(component, column)?;
        let vapour = self
            .run
            .trace(self.run.volume_name(self.id), "vapour_pressure_pa")?;
        let times = (0..=STEPS).map(|i| from + (to - from) * i as f64 / STEPS as f64);
        let margins = times.map(|t| outlet.before(t) - vapour.before(t));
        margins.min_by(f64::total_cmp)
    }

    /// The published correlation for the flow alone.
    fn correlation(&self, name: &str) -> Option<f64> {
        let (source, wall) = (self.source.as_ref()?, self.tank.wall.as_ref()?);
        let (from_s, to_s) = self.run.flows.then_some(self.run.span_s)?;
        let mixture = &self.run.network.mixtures[self.tank.gas.mixture];
        let pressure = self.pressure.mean(from_s, to_s);
        let inlet_k = source.temperature.mean(from_s, to_s);
        let saturation_k = self.cryogen.boiling.boiling_temperature_k(pressure).ok()?;
        let gas = Gas::at(mixture, pressure, inlet_k, &source.mole_fractions)?;
        let mean_k = 0.5 * (inlet_k + saturation_k);
        let geometry = TankGeometry::new(&self.tank.shape)?;
        let wall_m2 = geometry.wall_m2();
        let liquid_m3 = self.run.trace(name, "liquid_volume_m3")?;
        let passed = (liquid_m3.before(from_s), liquid_m3.before(to_s));
        let cp = wall.material.heat_capacity_j_kg_k(mean_k).0;
        let leak_w = self.cryogen.leak_w.unwrap_or_else(|| {
            let ambient_k = self.run.network.surroundings.temperature_k;
            wall.outside_w_m2_k * wall_m2 * (ambient_k - saturation_k)
        });
        let expulsion = Expulsion {
            inlet_k,
            saturation_k,
            gas_j_m3_k: gas.density_kg_m3 * gas.heat_capacity_j_kg_k,
            wall_j_m2_k: wall.mass_kg * cp / wall_m2,
            diameter_m: equivalent_diameter_m(&geometry, passed)?,
            film_w_m2_k: free_convection(
                mixture,
                pressure,
                (mean_k, inlet_k - saturation_k),
                source,
            )?,
            duration_s: to_s - from_s,
            leak_w_m2: leak_w / wall_m2,
        };
        let constants = Constants::of(self.tank.liquid.name());
        Some(collapse_factor(constants, &expulsion))
    }
}

/// Equivalent diameter in m for a liquid that falls from one volume to another, m3: four times the
/// volume that leaves over the wall that it uncovers. Van Dresar (NASA TM-106973, 1995, abstract,
/// from memory) found expulsions of hydrogen within 14 % of the correlation with a diameter that
/// allows for wall that is warm at the start and for liquid that stays; this is our reading of it.
fn equivalent_diameter_m(geometry: &TankGeometry, (from_m3, to_m3): (f64, f64)) -> Option<f64> {
    let uncovered_m2 = geometry.wetted(from_m3) - geometry.wetted(to_m3);
    (uncovered_m2 > 0.0).then(|| 4.0 * (from_m3 - to_m3) / uncovered_m2)
}

/// McAdams' turbulent free convection, Nu = 0.13 Ra^(1/3), at a mean temperature and a difference.
fn free_convection(
    mixture: &GasMixture,
    pressure: f64,
    (mean_k, difference_k): (f64, f64),
    source: &Source,
) -> Option<f64> {
    let point = mixture.at(pressure, mean_k, &source.mole_fractions).ok()?;
    let film = mixture
        .film(&point.density_kg_m3[..mixture.len()], mean_k)
        .ok()?;
    let rayleigh = film.rayleigh_group.value * 9.806_65 * difference_k;
    Some(0.13 * film.conductivity.value * rayleigh.cbrt())
}

#[cfg(test)]
mod tests {
    use super::{TankGeometry, equivalent_diameter_m};
    use sim_core::network::TankShape;
    use std::f64::consts::PI;

    /// A sphere emptied from three quarters of its height to a quarter uncovers a zone of half its
    /// area and 11/16 of its volume: 11/8 of the 2/3 D that the whole of it would have (Archimedes).
    #[test]
    fn the_middle_of_a_sphere_is_wider_than_the_whole() {
        let d = 1.6_f64;
        let volume_m3 = PI / 6.0 * d.powi(3);
        let geometry = TankGeometry::new(&TankShape::Sphere { volume_m3 }).expect("a sphere");
        let levels = (27.0 / 32.0 * volume_m3, 5.0 / 32.0 * volume_m3);
        let middle = equivalent_diameter_m(&geometry, levels).expect("it falls");
        assert!((middle / (11.0 / 12.0 * d) - 1.0).abs() < 1e-4, "{middle}");
        assert_eq!(equivalent_diameter_m(&geometry, (0.1, 0.1)), None);
    }
}
