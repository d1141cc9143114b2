//! Formulas of the pocket calculator beside the simulated values. They are no model: each
//! leaves something out, and says what. A reader sees at once whether the run is sane.

use crate::physics::GAS_CONSTANT;
use crate::summary::steady_flow;
use crate::summary::trace::Trace;
use crate::summary::window::FlowWindow;
use fluids::LiquidState;
use shared::quantity::Dimension;
use sim_core::network::{
    Capacity, ChainElement, ElementKind, Friction, Line, Network, Phase, Tank, VolumeKind,
};
use sim_core::outcome::Outcome;
use std::f64::consts::PI;

/// Square metres of effective area for one Kv: Kv is cubic metres an hour of water of
/// 1000 kg/m3 at 1 bar (IEC 60534-1).
const AREA_OF_KV_M2: f64 = 0.070_710_678_118_654_76 / 3600.0;

/// A formula, what it gives, and what the simulation gives.
#[derive(Clone, Debug, PartialEq)]
pub struct HandCheck {
    /// What is compared.
    pub label: String,
    /// The formula, and what it leaves out.
    pub formula: &'static str,
    /// Dimension of both values.
    pub dimension: Dimension,
    /// By hand, in SI.
    pub by_hand: f64,
    /// Simulated, in SI; none if the formula stands for itself.
    pub simulated: Option<f64>,
}

/// The checks of every liquid chain that flows.
#[must_use]
pub fn hand_checks(network: &Network, outcome: &Outcome, windows: &[FlowWindow]) -> Vec<HandCheck> {
    let subjects = windows
        .iter()
        .filter_map(|w| Subject::of(network, outcome, w));
    subjects.flat_map(|s| s.checks()).collect()
}

/// One chain and its tank, at the instant of steady flow.
struct Subject<'a> {
    network: &'a Network,
    outcome: &'a Outcome,
    window: &'a FlowWindow<'a>,
    tank: &'a Tank,
    tank_name: &'a str,
    flow: Trace,
    /// When the steady flow is read.
    at_s: f64,
    steady_kg_s: f64,
    liquid: LiquidState,
}

impl<'a> Subject<'a> {
    fn of(network: &'a Network, outcome: &'a Outcome, window: &'a FlowWindow) -> Option<Self> {
        let volume = &network.volumes[window.tank];
        let VolumeKind::Tank(tank) = &volume.kind else {
            return None;
        };
        let flow = Trace::of_component(&outcome.history, window.name, "mass_flow_kg_s")?;
        let (at_s, steady_kg_s) = steady_flow(&flow, window);
        // The formulas speak of liquid that leaves the tank.
        if steady_kg_s <= 0.0 {
            return None;
        }
        let temperature =
            Trace::of_component(&outcome.history, &volume.name, "liquid_temperature_k")?;
        Some(Self {
            network,
            outcome,
            window,
            tank,
            tank_name: &volume.name,
            flow,
            at_s,
            steady_kg_s,
            liquid: tank.liquid.at(temperature.after(at_s)).ok()?,
        })
    }

    fn checks(&self) -> Vec<HandCheck> {
        let checks = [
            self.steady_flow(),
            self.gas_flow(),
            self.pressurant(),
            self.start_up(),
            self.shut_peak(),
        ];
        checks.into_iter().flatten().collect()
    }

    fn tank_trace(&self, quantity: &str) -> Option<Trace> {
        Trace::of_component(&self.outcome.history, self.tank_name, quantity)
    }

    /// Total pressure that drives the chain: outlet of the tank, plus the fall of the
    /// lines, less the pressure at the end; none if that drives nothing.
    fn driving_pa(&self) -> Option<f64> {
        let outlet = self.tank_trace("outlet_pressure_pa")?.after(self.at_s);
        let rise: f64 = self.lines().map(|line| line.rise_m).sum();
        let weight = self.liquid.density_kg_m3 * self.network.surroundings.gravity_m_s2 * rise;
        let back = &self.network.volumes[self.window.branch.to.volume];
        let back_pa = match back.kind {
            VolumeKind::Ambient => self.network.surroundings.pressure_pa,
            _ => Trace::of_component(&self.outcome.history, &back.name, "pressure_pa")?
                .after(self.at_s),
        };
        Some(outlet - weight - back_pa).filter(|&drive| drive > 0.0)
    }

    fn lines(&self) -> impl Iterator<Item = &Line> {
        self.window.chain.elements.iter().filter_map(line_of)
    }

    /// The lines between the tank and what stops the flow: only their liquid runs up against it.
    fn lines_before(&self) -> impl Iterator<Item = &Line> {
        let elements = self.window.chain.elements.iter();
        let before = elements.take_while(|e| e.name != self.window.name);
        before.filter_map(line_of)
    }

    /// Effective area of the whole chain, valves open: squares of resistances add.
    fn effective_area_m2(&self) -> Option<f64> {
        let mut inverse_squares = 0.0;
        for element in &self.window.chain.elements {
            inverse_squares += self.effective_area_of(element)?.powi(-2);
        }
        if let Some(ElementKind::Line(last)) = self.window.chain.elements.last().map(|e| &e.kind) {
            // A chain that ends in a line loses one velocity head at its end.
            inverse_squares += last.bore_m2().powi(-2);
        }
        Some(inverse_squares.sqrt().recip())
    }

    fn effective_area_of(&self, element: &ChainElement) -> Option<f64> {
        match &element.kind {
            ElementKind::Line(line) => {
                let loss =
                    self.friction_factor(line) * line.length_m / line.bore_m + line.minor_loss;
                Some(line.bore_m2() / loss.sqrt())
            }
            ElementKind::Venturi {
                throat_m2,
                recovery,
            } => Some(throat_m2 / recovery),
            ElementKind::Valve { capacity, .. } | ElementKind::Orifice { capacity, .. } => {
                match *capacity {
                    Capacity::EffectiveArea { m2 } => Some(m2),
                    Capacity::FlowCoefficient { kv_m3_h, .. } => Some(kv_m3_h * AREA_OF_KV_M2),
                    Capacity::Installed { kv_m3_h, pipes, .. } => {
                        let valve = (kv_m3_h * AREA_OF_KV_M2).powi(-2);
                        let reducers = pipes.lost() / pipes.area_m2().powi(2);
                        Some((valve + reducers).sqrt().recip())
                    }
                    Capacity::SonicConductance { .. } | Capacity::Line(_) | Capacity::Nozzle(_) => {
                        None
                    }
                }
            }
        }
    }

    /// Darcy friction factor at steady flow: laminar below Re 2000, as in the model, else
    /// S. E. Haaland, J. Fluids Eng. 105 (1983) 89.
    fn friction_factor(&self, line: &Line) -> f64 {
        let roughness = match line.friction {
            Friction::Factor(factor) => return factor,
            Friction::Roughness { m } => m / line.bore_m,
        };
        let reynolds = 4.0 * self.steady_kg_s / (PI * line.bore_m * self.liquid.viscosity_pa_s);
        if reynolds < 2000.0 {
            return 64.0 / reynolds;
        }
        let inner = (roughness / 3.7).powf(1.11) + 6.9 / reynolds;
        (-1.8 * inner.log10()).powi(-2)
    }

    /// Flow of the first venturi that chokes, in the formula of `Cd A sqrt(2 rho (p1 - pv))` with
    /// the simulated pressure before it.
    fn choked_flow_kg_s(&self) -> Option<f64> {
        let vapour_pa = self.liquid.vapour_pressure_pa;
        let elements = self.window.chain.elements.iter();
        let mut flows = elements.filter_map(|element| {
            let ElementKind::Venturi {
                throat_m2,
                recovery,
            } = element.kind
            else {
                return None;
            };
            let pressure_pa = |end: &str| {
                let trace = Trace::of_component(&self.outcome.history, &element.name, end)?;
                Some(trace.after(self.at_s))
            };
            let before_pa = pressure_pa("inlet_pressure_pa")?;
            let loss_pa = before_pa - pressure_pa("outlet_pressure_pa")?;
            let drive_pa = before_pa - vapour_pa;
            (loss_pa > recovery.powi(2) * drive_pa)
                .then(|| throat_m2 * (2.0 * self.liquid.density_kg_m3 * drive_pa).sqrt())
        });
        flows.next()
    }

    fn steady_flow(&self) -> Option<HandCheck> {
        if let Some(flow) = self.choked_flow_kg_s() {
            return Some(HandCheck {
                label: format!("{}: steady flow", self.window.name),
                formula: "CdA sqrt(2 rho (p1 - pv)) of the venturi that chokes, p1 simulated before it",
                dimension: Dimension::MassFlow,
                by_hand: flow,
                simulated: Some(self.flow.after(self.at_s)),
            });
        }
        let flow = self.effective_area_m2()?
            * (2.0 * self.liquid.density_kg_m3 * self.driving_pa()?).sqrt();
        Some(HandCheck {
            label: format!("{}: steady flow", self.window.name),
            formula: "CdA sqrt(2 rho dp), 1/CdA^2 summed over the chain, valve open, as if nothing choked",
            dimension: Dimension::MassFlow,
            by_hand: flow,
            simulated: Some(self.flow.after(self.at_s)),
        })
    }

    /// In the middle of the flow.
    fn gas_flow(&self) -> Option<HandCheck> {
        let at_s = self.window.middle_s();
        let mass = self.tank_trace("gas_mass_kg")?.after(at_s);
        let volume = self.tank_trace("ullage_volume_m3")?.after(at_s);
        let liquid_m3_s = self.flow.after(at_s) / self.liquid.density_kg_m3;
        let is_forward = liquid_m3_s > 0.0;
        let feeds = self
            .network
            .branches
            .iter()
            .filter(|b| b.to.volume == self.window.tank && b.to.phase == Phase::Gas);
        let flows: Vec<Trace> = feeds
            .filter_map(|b| Trace::of_component(&self.outcome.history, &b.name, "mass_flow_kg_s"))
            .collect();
        let simulated: f64 = flows.iter().map(|f| f.after(at_s)).sum();
        (is_forward && !flows.is_empty()).then(|| HandCheck {
            label: format!("{}: gas flow in the middle of the flow", self.tank_name),
            formula: "ullage density x volume flow of liquid; falling pressure takes less gas, \
                      cold fresh gas more",
            dimension: Dimension::MassFlow,
            by_hand: mass / volume * liquid_m3_s,
            simulated: Some(simulated),
        })
    }

    fn pressurant(&self) -> Option<HandCheck> {
        let end = self.window.end_s;
        let pressure = self.tank_trace("pressure_pa")?.before(end);
        let volume = self.tank_trace("ullage_volume_m3")?.before(end);
        let ambient_k = self.network.surroundings.temperature_k;
        let fill = &self.tank.gas;
        let mixture = &self.network.mixtures[fill.mixture];
        let (feeding, molar_mass) = self.pressurant_gas()?;
        let point = mixture.at(pressure, ambient_k, &feeding).ok()?;
        let mass =
            pressure * volume * molar_mass / (point.compressibility * GAS_CONSTANT * ambient_k);
        Some(HandCheck {
            label: format!(
                "{}: gas in the ullage at the end of the flow",
                self.tank_name
            ),
            formula: "p V/(Z R T) at ambient temperature; colder gas weighs more",
            dimension: Dimension::Mass,
            by_hand: mass,
            simulated: Some(self.tank_trace("gas_mass_kg")?.before(end)),
        })
    }

    /// Composition and molar mass of the gas that pushes: that of the first vessel of the
    /// same gas network, else the ullage's own.
    fn pressurant_gas(&self) -> Option<(Vec<f64>, f64)> {
        let mixture = self.tank.gas.mixture;
        let vessels = self.network.volumes.iter().filter_map(|v| match &v.kind {
            VolumeKind::Vessel(vessel) if vessel.gas.mixture == mixture => Some(&vessel.gas),
            _ => None,
        });
        let gas = vessels.chain([&self.tank.gas]).next()?;
        let gases = &self.network.mixtures[mixture];
        let parts = gas.mole_fractions.iter().enumerate();
        let molar_mass = parts.map(|(k, x)| x * gases.molar_mass_kg_mol(k)).sum();
        Some((gas.mole_fractions.clone(), molar_mass))
    }

    /// m = m_s tanh(t/tau), tau = m_s sum(L/A)/dp, for a valve that opens at once.
    fn start_up(&self) -> Option<HandCheck> {
        if !self.window.commanded {
            return None;
        }
        let inertance: f64 = self.lines().map(|l| l.length_m / l.bore_m2()).sum();
        let time = 0.9f64.atanh() * self.steady_kg_s * inertance / self.driving_pa()?;
        let reached = self.flow.first_reach(
            0.9 * self.steady_kg_s,
            self.window.full_s,
            self.window.end_s,
        )?;
        Some(HandCheck {
            label: format!("{}: command to 90 % of steady flow", self.window.name),
            formula: "atanh(0.9) m sum(L/A)/dp, column inertia alone: the valve adds its delay \
                      and stroke",
            dimension: Dimension::Time,
            by_hand: time,
            simulated: Some(reached - self.window.start_s),
        })
    }

    /// Joukowsky's rise on top of the pressure at the valve, in the narrowest line before it.
    fn shut_peak(&self) -> Option<HandCheck> {
        let narrowest = self
            .lines_before()
            .min_by(|a, b| a.bore_m.total_cmp(&b.bore_m))?;
        let flow = Some(self.flow.before(self.window.end_s)).filter(|&flow| flow > 0.0)?;
        let waves_m_s = |line: &Line| line.wave_speed_m_s(&self.liquid);
        let crossings = self.lines_before().map(|l| 2.0 * l.length_m / waves_m_s(l));
        let echo_s: f64 = crossings.sum();
        let rise = waves_m_s(narrowest) * flow / narrowest.bore_m2();
        let valve =
            Trace::of_component(&self.outcome.history, self.window.name, "inlet_pressure_pa")?;
        Some(HandCheck {
            label: format!(
                "{}: peak if shut within 2L/a = {:.1} ms",
                self.window.name,
                1e3 * echo_s
            ),
            formula: "p + rho a v, gas-free liquid, without friction: a stop as fast as that is \
                      reckoned with waves",
            dimension: Dimension::Pressure,
            by_hand: valve.before(self.window.end_s) + rise,
            simulated: None,
        })
    }
}

fn line_of(element: &ChainElement) -> Option<&Line> {
    match &element.kind {
        ElementKind::Line(line) => Some(line),
        _ => None,
    }
}
