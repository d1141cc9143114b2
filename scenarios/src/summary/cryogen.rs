//! What a cryogen does to the gas above it: how much more of it goes into the tank than its volume
//! would hold, and where its heat goes.
//!
//! *Pressurant* is what came in through the gas port from the instant at which least had come in
//! (after the vent): the gain of gas less what evaporated and boiled off. *Without exchange* the
//! same pressures and volumes would have taken `Int rho_in (dV + V dp/(k p))`, with the density of
//! the gas at the temperature of where it comes from and its heat-capacity ratio k: gas that is
//! there is compressed, and gas that comes in keeps its heat (theory 9.7). The *collapse factor* is
//! the ratio.

use super::epstein_anderson::{Constants, Expulsion, collapse_factor};
use super::trace::Trace;
use super::{Group, Line, Run, Summary};
use fluids::GasMixture;
use shared::quantity::Dimension::{
    Energy, Fraction, Mass, MassFlow, PressureDifference, Temperature,
};
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{Cryogen, Phase, Tank, VolumeId, VolumeKind};

/// A vented hold shorter than this gives no rate of boil-off, s.
const SHORTEST_HOLD_S: f64 = 2.0;

/// Steps in which the gas without exchange is summed up.
const STEPS: usize = 2000;

/// Between a vent that has shut and a supply that opens the pressurant stays the same but for
/// rounding: its least counts as reached within this part of its range.
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
    tank: &'a Tank,
    cryogen: &'a Cryogen,
    /// Where its gas comes from.
    source: Option<Source>,
    pressure: Trace,
    volume: Trace,
    /// Evaporated and boiled off since the start, kg.
    vapour: Trace,
    /// That less the gas in the tank: the pressurant that is missing, kg.
    missing: Trace,
    /// From the instant at which least gas had come in to the end of the flow.
    span_s: (f64, f64),
}

/// The first instant at which least pressurant is in the tank.
fn start_of_pressurisation(missing: &Trace, (from_s, to_s): (f64, f64)) -> f64 {
    let most = missing.maximum(from_s, to_s).1;
    let range = most - missing.minimum(from_s, to_s).1;
    let reached = missing.first_reach(most - LEAST * range, from_s, to_s);
    reached.unwrap_or(from_s)
}

struct Source {
    temperature: Trace,
    mole_fractions: Vec<f64>,
}

impl<'a> Reader<'a> {
    fn new(run: &'a Run<'a>, id: VolumeId, tank: &'a Tank, cryogen: &'a Cryogen) -> Option<Self> {
        let name = run.volume_name(id);
        let boiled = run.trace(name, "boiled_kg")?;
        let vapour = run.trace(name, "evaporated_kg")?.plus(1.0, &boiled);
        let missing = vapour.clone().plus(-1.0, &run.trace(name, "gas_mass_kg")?);
        let (first, last) = run.whole_s();
        let end = if run.flows { run.span_s.1 } else { last };
        Some(Self {
            source: source(run, id),
            pressure: run.trace(name, "pressure_pa")?,
            volume: run.trace(name, "ullage_volume_m3")?,
            span_s: (start_of_pressurisation(&missing, (first, end)), end),
            vapour,
            missing,
            run,
            tank,
            cryogen,
        })
    }

    /// Pressurant that came in during a span, kg.
    fn came_in(&self, (from_s, to_s): (f64, f64)) -> f64 {
        self.missing.before(from_s) - self.missing.before(to_s)
    }

    fn read(&self, name: &str, into: &mut Summary) {
        self.read_collapse(name, into);
        let (from, to) = self.span_s;
        let (first, _) = self.run.whole_s();
        let rise = |quantity: &str| {
            let trace = self.run.trace(name, quantity)?;
            Some(trace.before(to) - trace.before(from))
        };
        let vapour = |t: f64| self.vapour.before(t);
        let held_s = from - first;
        let boil_off = (held_s > SHORTEST_HOLD_S).then(|| (vapour(from) - vapour(first)) / held_s);
        let condensed = Some(vapour(from) - vapour(to));
        let wall = rise("heat_to_wall_j");
        let surface = rise("heat_to_surface_j");
        let work = rise("work_on_liquid_j");
        let liquid = self.run.trace(name, "liquid_temperature_k");
        let end = liquid.map(|t| t.before(to));
        let margin = self.boiling_margin(name);
        let boiling = "least pressure at the outlet above that of boiling";
        let lines = [
            Line(
                "boil_off_kg_s",
                "boil-off before pressurisation",
                MassFlow,
                boil_off,
            ),
            Line(
                "heat_to_wall_j",
                "heat of the gas into the wall",
                Energy,
                wall,
            ),
            Line(
                "heat_to_surface_j",
                "heat of the gas into the surface",
                Energy,
                surface,
            ),
            Line(
                "work_on_liquid_j",
                "work of the gas on the liquid",
                Energy,
                work,
            ),
            Line("condensed_kg", "vapour condensed, net", Mass, condensed),
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
    }

    fn read_collapse(&self, name: &str, into: &mut Summary) {
        let (from, to) = self.span_s;
        let flow = self.run.flows.then_some(self.run.span_s);
        let held = flow
            .filter(|f| f.0 > from)
            .and_then(|f| self.factor((from, f.0)));
        let during = flow.and_then(|f| self.factor(f));
        let used = Some(self.came_in((from, to)));
        let ideal = self.without_exchange((from, to));
        let whole = self.factor((from, to));
        let gas = "gas that came in by the end of the flow";
        let published = "  by Epstein and Anderson 1968, constants from memory, ±14 %";
        let nothing = "  the same, had nothing been exchanged";
        let lines = [
            Line("pressurant_kg", gas, Mass, used),
            Line("pressurant_without_exchange_kg", nothing, Mass, ideal),
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
                self.correlation(),
            ),
        ];
        into.add(Group::Tank, name, &lines);
    }

    /// Collapse factor of the gas that comes in during a span.
    fn factor(&self, span_s: (f64, f64)) -> Option<f64> {
        let ideal = self.without_exchange(span_s).filter(|&i| i > 0.0)?;
        Some(self.came_in(span_s) / ideal)
    }

    /// Least pressure at the outlet above that at which the bulk boils, while liquid flows, Pa.
    fn boiling_margin(&self, name: &str) -> Option<f64> {
        let (from, to) = self.run.flows.then_some(self.run.span_s)?;
        let outlet = self.run.trace(name, "outlet_pressure_pa")?;
        let vapour = self.run.trace(name, "vapour_pressure_pa")?;
        let times = (0..=STEPS).map(|i| from + (to - from) * i as f64 / STEPS as f64);
        let margins = times.map(|t| outlet.before(t) - vapour.before(t));
        margins.min_by(f64::total_cmp)
    }

    /// Gas that would have done without exchange of heat and mass in a span, kg.
    fn without_exchange(&self, (from_s, to_s): (f64, f64)) -> Option<f64> {
        let source = self.source.as_ref()?;
        let mixture = &self.run.network.mixtures[self.tank.gas.mixture];
        let time = |i: usize| from_s + (to_s - from_s) * i as f64 / STEPS as f64;
        let mut sum = 0.0;
        for i in 0..STEPS {
            let (a, b) = (time(i), time(i + 1));
            let (p, v) = (self.pressure.before(a), self.volume.before(a));
            let (p_end, v_end) = (self.pressure.before(b), self.volume.before(b));
            let middle = 0.5 * (p + p_end);
            let inlet_k = source.temperature.before(0.5 * (a + b));
            let gas = Gas::at(mixture, middle, inlet_k, &source.mole_fractions)?;
            let compressed = 0.5 * (v + v_end) * (p_end / p).ln() / gas.heat_capacity_ratio;
            sum += gas.density_kg_m3 * (v_end - v + compressed);
        }
        Some(sum)
    }

    /// The published correlation for the flow alone.
    fn correlation(&self) -> Option<f64> {
        let (source, wall) = (self.source.as_ref()?, self.tank.wall.as_ref()?);
        let (from_s, to_s) = self.run.flows.then_some(self.run.span_s)?;
        let mixture = &self.run.network.mixtures[self.tank.gas.mixture];
        let pressure = self.pressure.mean(from_s, to_s);
        let inlet_k = source.temperature.mean(from_s, to_s);
        let saturation_k = self.cryogen.boiling.boiling_temperature_k(pressure).ok()?;
        let gas = Gas::at(mixture, pressure, inlet_k, &source.mole_fractions)?;
        let mean_k = 0.5 * (inlet_k + saturation_k);
        let geometry = TankGeometry::new(&self.tank.shape)?;
        let (wall_m2, volume_m3) = (geometry.wall_m2(), geometry.volume_m3());
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
            diameter_m: 4.0 * volume_m3 / wall_m2,
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

struct Gas {
    density_kg_m3: f64,
    heat_capacity_j_kg_k: f64,
    heat_capacity_ratio: f64,
}

impl Gas {
    fn at(mixture: &GasMixture, p: f64, t: f64, mole_fractions: &[f64]) -> Option<Self> {
        let point = mixture.at(p, t, mole_fractions).ok()?;
        let density: f64 = point.density_kg_m3.iter().sum();
        let fractions = point.density_kg_m3.map(|d| d / density);
        let ratio = mixture.heat_capacity_ratio(&fractions[..mixture.len()], t);
        Some(Self {
            density_kg_m3: density,
            heat_capacity_j_kg_k: point.heat_capacity_j_kg_k,
            heat_capacity_ratio: ratio.value,
        })
    }
}

/// The vessel that feeds a tank's gas, if one does.
fn source(run: &Run, tank: VolumeId) -> Option<Source> {
    let feeds = |b: &&sim_core::network::Branch| {
        b.to.volume == tank && b.to.phase == Phase::Gas && b.from.phase == Phase::Gas
    };
    let branch = run.network.branches.iter().find(feeds)?;
    let VolumeKind::Vessel(vessel) = &run.network.volumes[branch.from.volume].kind else {
        return None;
    };
    Some(Source {
        temperature: run.trace(run.volume_name(branch.from.volume), "temperature_k")?,
        mole_fractions: vessel.gas.mole_fractions.clone(),
    })
}
