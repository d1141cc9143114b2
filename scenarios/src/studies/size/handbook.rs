//! The handbook's figure beside a size that was found on the simulation, and why they differ.

use crate::CheckedStand;
use crate::predict::{PredictOptions, Prediction, predict};
use crate::summary::trace::Trace;
use shared::quantity::Dimension;
use sim_core::network::{Branch, BranchKind, Capacity, GasFill, Network, Tank, VolumeKind};
use sim_core::outcome::Integrator;

/// A figure by hand, for the run with the size that was found.
#[derive(Clone, Debug, PartialEq)]
pub struct ByHand {
    /// In SI, pressures absolute.
    pub value: f64,
    /// Its dimension.
    pub dimension: Dimension,
    /// The formula.
    pub formula: &'static str,
    /// What it leaves out.
    pub why: &'static str,
}

/// The run with a size that was found.
#[must_use]
pub fn run_of(stand: &CheckedStand) -> Prediction {
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    predict(stand, &options)
}

/// The handbook's figure for a path in a run, if there is one.
#[must_use]
pub fn by_hand(prediction: &Prediction, path: &str) -> Option<ByHand> {
    let parts: Vec<&str> = path.split('.').collect();
    let [kind, name, key] = parts[..] else {
        return None;
    };
    let reader = Reader::of(prediction)?;
    match (kind, key) {
        ("bottle", "volume") => reader.bottle_volume(name),
        ("bottle", "pressure") => reader.bottle_pressure(name),
        ("regulator", "flow_coefficient") => reader.regulator(name),
        ("tank", "ullage") => reader.ullage(),
        _ => None,
    }
}

/// Why no handbook's figure stands beside a size.
#[must_use]
pub fn no_figure(path: &str) -> &'static str {
    let parts: Vec<&str> = path.split('.').collect();
    match parts[..] {
        ["bottle", _, "volume" | "pressure"]
        | ["regulator", _, "flow_coefficient"]
        | ["tank", _, "ullage"] => {
            "its formula takes numbers from a run in which liquid flows and that this run does not give"
        }
        ["regulator", _, "set_pressure"] => {
            "a set pressure is the pressure that the tank needs and what regulator, check valve and \
             supply take away on the way at the flow itself: a budget of the run, no formula; \
             predict --why draws it up"
        }
        [
            "regulator",
            _,
            "droop" | "flow_curve" | "supply_effect" | "response_time",
        ] => {
            "it belongs to the regulator and is read off its flow curve or measured; no formula of \
             the trade gives it from what the stand is to do"
        }
        ["valve", _, "stroke_time" | "delay"] => {
            "the trade's formulas for a valve and its line are for one that moves at once: the start \
             of the column, and Joukowsky's rise; predict prints both by hand beside its run"
        }
        _ => "no formula of the trade is kept here for this value",
    }
}

/// Part of the regulator's set pressure, above the air, by which the bottle is to end above it:
/// common practice, no source.
const LEFT_ABOVE_SET: f64 = 0.1;

/// The first tank that is emptied, at the start and the end of its flow.
struct Reader<'a> {
    prediction: &'a Prediction,
    tank: &'a Tank,
    /// Pressure, ullage volume and gas mass at the start and at the end.
    start: [f64; 3],
    end: [f64; 3],
    flow_s: f64,
}

impl<'a> Reader<'a> {
    fn of(prediction: &'a Prediction) -> Option<Self> {
        let (network, outcome) = (&prediction.network, &prediction.outcome);
        let windows = crate::summary::window::flow_windows(network, outcome);
        let window = windows.first()?;
        let volume = &network.volumes[window.tank];
        let VolumeKind::Tank(tank) = &volume.kind else {
            return None;
        };
        let trace = |quantity| Trace::of_component(&outcome.history, &volume.name, quantity);
        let quantities = ["pressure_pa", "ullage_volume_m3", "gas_mass_kg"];
        let [p, v, m] = quantities.map(trace);
        let (p, v, m) = (p?, v?, m?);
        let at = |s: f64| [p.before(s), v.before(s), m.before(s)];
        Some(Self {
            prediction,
            tank,
            start: at(window.start_s),
            end: at(window.end_s),
            flow_s: window.length_s(),
        })
    }

    fn network(&self) -> &Network {
        &self.prediction.network
    }

    fn fill(&self, bottle: &str) -> Option<(&GasFill, f64)> {
        let mut volumes = self.network().volumes.iter();
        volumes.find_map(|v| match &v.kind {
            VolumeKind::Vessel(vessel) if v.name == bottle => Some((&vessel.gas, vessel.volume_m3)),
            _ => None,
        })
    }

    /// Heat capacity ratio of the gas at low pressure.
    fn gamma(&self, fill: &GasFill) -> f64 {
        let mixture = &self.network().mixtures[fill.mixture];
        let masses = fill.mole_fractions.iter().enumerate();
        let masses: Vec<f64> = masses
            .map(|(k, x)| x * mixture.molar_mass_kg_mol(k))
            .collect();
        let sum: f64 = masses.iter().sum();
        let fractions: Vec<f64> = masses.iter().map(|m| m / sum).collect();
        mixture
            .heat_capacity_ratio(&fractions, fill.temperature_k)
            .value
    }

    /// What the bottle pushes out, as a volume at the pressure of the tank: the ullage at the end
    /// less what its first filling comes to there.
    fn pushed_m3(&self, tank_pa: f64) -> f64 {
        let first = self.network_ullage_m3() * self.tank.gas.pressure_pa / tank_pa;
        self.end[1] - first
    }

    fn network_ullage_m3(&self) -> f64 {
        let history = &self.prediction.outcome.history;
        let mut names = history.columns.iter();
        let first = names.position(|c| c.ends_with(".ullage_volume_m3"));
        match (first, history.is_empty()) {
            (Some(column), false) => history.row(0)[column],
            _ => self.start[1],
        }
    }

    fn bottle_end_pa(&self, bottle: &str) -> Option<f64> {
        let figures = &self.prediction.summary;
        figures.get(&format!("{bottle}.pressure_end_pa"))
    }

    /// Set pressure of the regulator that a bottle feeds. The tank is taken to have it: the run's
    /// own pressures would be those of the size that the figure is to check.
    fn set_pa(&self, bottle: &str) -> Option<f64> {
        let network = self.network();
        let mut fed = network.branches.iter();
        fed.find_map(|branch| match &branch.kind {
            BranchKind::Regulator(regulator)
                if network.volumes[branch.from.volume].name == bottle =>
            {
                Some(regulator.lock_up_pa)
            }
            _ => None,
        })
    }

    /// What the handbook leaves in a bottle: enough for the regulator to hold its set pressure.
    fn left_pa(&self, set_pa: f64) -> f64 {
        set_pa + LEFT_ABOVE_SET * (set_pa - self.network().surroundings.pressure_pa)
    }

    fn bottle_volume(&self, bottle: &str) -> Option<ByHand> {
        let (fill, _) = self.fill(bottle)?;
        let set_pa = self.set_pa(bottle)?;
        let fall = fill.pressure_pa - self.left_pa(set_pa);
        (fall > 0.0).then(|| ByHand {
            value: self.gamma(fill) * set_pa * self.pushed_m3(set_pa) / fall,
            dimension: Dimension::Volume,
            formula: "k p V/(p0 - p1): p the regulator's set pressure, V of the ullage at the end of the flow \
                      less what its first gas takes at p, p0 of the full bottle, p1 the set pressure and a \
                      tenth of its gauge value (G. P. Sutton and O. Biblarz, \
                      Rocket Propulsion Elements, pressurant by an energy balance)",
            why: "the formula has an ideal gas, no heat from any wall, and a tank at the set pressure; \
                  the bottle's wall gives heat, the regulator droops, cold fresh gas shrinks or warms \
                  in the ullage, real gas at high pressure holds less than an ideal one",
        })
    }

    fn bottle_pressure(&self, bottle: &str) -> Option<ByHand> {
        let (fill, volume_m3) = self.fill(bottle)?;
        let set_pa = self.set_pa(bottle)?;
        let rise = self.gamma(fill) * set_pa * self.pushed_m3(set_pa) / volume_m3;
        Some(ByHand {
            value: self.left_pa(set_pa) + rise,
            dimension: Dimension::Pressure,
            formula: "p1 + k p V/V0: p the regulator's set pressure, V of the ullage at the end of the flow \
                      less what its first gas takes at p, V0 of the bottle, p1 the set pressure and a tenth \
                      of its gauge value (G. P. Sutton and O. Biblarz, \
                      Rocket Propulsion Elements, pressurant by an energy balance)",
            why: "the formula has an ideal gas, no heat from any wall, and a tank at the set pressure",
        })
    }

    /// Choked gas flow by IEC 60534-2-1 at the end of the flow.
    fn regulator(&self, name: &str) -> Option<ByHand> {
        let is_meant = |b: &&Branch| b.name == name;
        let branch = self.network().branches.iter().find(is_meant)?;
        let supply = &self.network().volumes[branch.from.volume].name;
        let (fill, _) = self.fill(supply)?;
        let BranchKind::Regulator(regulator) = &branch.kind else {
            return None;
        };
        let Capacity::FlowCoefficient { xt, .. } = regulator.capacity else {
            return None;
        };
        let inlet_pa = self.bottle_end_pa(supply)?;
        let mixture = &self.network().mixtures[fill.mixture];
        let state = mixture.at(inlet_pa, fill.temperature_k, &fill.mole_fractions);
        let inlet_kg_m3: f64 = state.ok()?.density_kg_m3.iter().sum();
        let gas_kg_s = (self.end[2] - self.start[2]) / self.flow_s;
        let critical = self.gamma(fill) / 1.4 * xt;
        let ratio = (1.0 - self.end[0] / inlet_pa).clamp(0.0, critical);
        let expansion = 1.0 - ratio / (3.0 * critical);
        let root = (ratio * inlet_pa / 1e5 * inlet_kg_m3).sqrt();
        Some(ByHand {
            value: 3600.0 * gas_kg_s / (31.6 * expansion * root),
            dimension: Dimension::FlowCoefficient,
            formula: "w = 31.6 Kv Y sqrt(x p1 rho1), IEC 60534-2-1, at the bottle's end pressure and \
                      start temperature, for the mean gas flow",
            why: "the formula sees one instant; on the simulation the seat needs room below wide \
                  open, the gas is colder, and the flow changes over the run",
        })
    }

    fn ullage(&self) -> Option<ByHand> {
        let [start_pa, start_m3, _] = self.start;
        let [end_pa, end_m3, _] = self.end;
        let whole_m3 = start_m3 + self.tank.liquid_volume_m3;
        Some(ByHand {
            value: (end_m3 - start_m3) * end_pa / (start_pa - end_pa) / whole_m3,
            dimension: Dimension::Fraction,
            formula: "dV p1/((p0 - p1) V): Boyle's law, constant temperature",
            why: "the gas cools as it expands and is warmed by wall and liquid: the truth lies \
                  between this and the isentropic fall",
        })
    }
}
