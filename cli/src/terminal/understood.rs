//! What was understood of a stand: volumes, gas branches, liquid chains, sequence.

use super::screen::Screen;
use super::table::aligned;
use fluids::GasMixture;
use scenarios::spelled;
use shared::quantity::{Dimension, Display};
use sim_core::network::{
    Branch, BranchKind, Capacity, Command, Droop, Duty, ElementKind, FlowCurve, GasFill,
    HeatTransfer, LiquidChain, Network, Relation, Tank, TankShape, Trigger, Vessel, Volume,
    VolumeKind, Wall,
};

/// The network in words, in the units of the stand.
#[must_use]
pub fn understood(network: &Network, display: &Display, screen: Screen) -> String {
    let view = View { network, display };
    let volumes = network.volumes.iter().filter_map(|v| view.volume(v));
    let gas = network.branches.iter().filter_map(|b| view.gas_branch(b));
    let chains = network.branches.iter().filter_map(|b| view.chain(b));
    let sequence = network.commands.iter().map(|c| view.command(c));
    let sections: [(&str, Vec<Vec<String>>); 4] = [
        ("Volumes", volumes.collect()),
        ("Gas branches", gas.collect()),
        ("Liquid chains", chains.collect()),
        ("Sequence", sequence.collect()),
    ];
    let shown = sections.into_iter().filter(|(_, rows)| !rows.is_empty());
    let texts: Vec<String> = shown
        .map(|(heading, rows)| format!("{}\n{}", screen.heading(heading), aligned(rows, &[])))
        .collect();
    texts.join("\n")
}

/// A network in the units of a stand.
pub(crate) struct View<'a> {
    pub(crate) network: &'a Network,
    pub(crate) display: &'a Display,
}

impl View<'_> {
    pub(crate) fn text(&self, dimension: Dimension, si: f64) -> String {
        self.display.text(dimension, si)
    }

    fn volume(&self, volume: &Volume) -> Option<Vec<String>> {
        let (size_m3, contents) = match &volume.kind {
            VolumeKind::Ambient => return None,
            VolumeKind::Vessel(vessel) => (vessel.volume_m3, self.vessel(vessel)),
            VolumeKind::Tank(tank) => (volume_m3(&tank.shape), self.tank(tank)),
        };
        let size = self.text(Dimension::Volume, size_m3);
        Some(vec![volume.name.clone(), size, contents])
    }

    fn vessel(&self, vessel: &Vessel) -> String {
        format!(
            "{}; {}",
            self.gas(&vessel.gas),
            self.wall(vessel.wall.as_ref())
        )
    }

    fn tank(&self, tank: &Tank) -> String {
        format!(
            "{} {} at {}; under {}; {}",
            self.text(Dimension::Volume, tank.liquid_volume_m3),
            tank.liquid.name(),
            self.text(Dimension::Temperature, tank.liquid_temperature_k),
            self.gas(&tank.gas),
            self.wall(tank.wall.as_ref()),
        )
    }

    /// Composition, pressure, temperature.
    fn gas(&self, fill: &GasFill) -> String {
        format!(
            "{}, {}, {}",
            composition(&self.network.mixtures[fill.mixture], &fill.mole_fractions),
            self.text(Dimension::Pressure, fill.pressure_pa),
            self.text(Dimension::Temperature, fill.temperature_k),
        )
    }

    fn wall(&self, wall: Option<&Wall>) -> String {
        let Some(wall) = wall else {
            return "no wall".to_owned();
        };
        let inside = match wall.inside {
            HeatTransfer::None => "no heat".to_owned(),
            HeatTransfer::Isothermal => "gas at wall temperature".to_owned(),
            HeatTransfer::Coefficient { w_m2_k } => {
                self.text(Dimension::HeatTransferCoefficient, w_m2_k)
            }
            HeatTransfer::Conductance { w_k } => self.text(Dimension::ThermalConductance, w_k),
            HeatTransfer::Film => "free convection".to_owned(),
        };
        let mass = self.text(Dimension::Mass, wall.mass_kg);
        format!("{mass} {}, {inside}", wall.material.name())
    }

    /// Curves as they were measured.
    fn flow_curves(&self, curves: &[FlowCurve]) -> String {
        let count: usize = curves.iter().map(|c| c.measured.len()).sum();
        match curves {
            [lowest, .., highest] => {
                let text = |pa| self.text(Dimension::Pressure, pa);
                format!(
                    "{} flow curves of {count} points, supply {} to {}",
                    curves.len(),
                    text(lowest.supply_pa),
                    text(highest.supply_pa)
                )
            }
            _ => format!("flow curve of {count} points"),
        }
    }

    fn gas_branch(&self, branch: &Branch) -> Option<Vec<String>> {
        let what = match &branch.kind {
            BranchKind::LiquidChain(_) => return None,
            BranchKind::GasRestriction(restriction) => {
                let kind = match (&restriction.valve, &restriction.capacity) {
                    (Some(_), _) => "valve",
                    (None, Capacity::Line(_)) => "gas line",
                    (None, Capacity::Nozzle(_)) => "toroidal nozzle",
                    (None, _) => "orifice",
                };
                format!("{kind}, {}", self.capacity(&restriction.capacity))
            }
            BranchKind::Regulator(regulator) => {
                let droop = match &regulator.droop {
                    Droop::Linear { full_pa } => {
                        format!(
                            "droop {}",
                            self.text(Dimension::PressureDifference, *full_pa)
                        )
                    }
                    Droop::Curves(curves) => self.flow_curves(curves),
                };
                let set = self.text(Dimension::Pressure, regulator.lock_up_pa);
                format!(
                    "regulator, set {set}, {droop}, {}",
                    self.capacity(&regulator.capacity)
                )
            }
            BranchKind::Poppet(valve) => {
                let what = match valve.duty {
                    Duty::Check => {
                        let opens = self.text(Dimension::PressureDifference, valve.cracking_pa);
                        format!("check valve, cracking {opens}")
                    }
                    Duty::Relief => {
                        format!(
                            "relief valve, set {}",
                            self.opens(branch, valve.cracking_pa)
                        )
                    }
                };
                format!("{what}, {}", self.capacity(&valve.capacity))
            }
            BranchKind::BurstDisc(disc) => {
                let bursts = self.opens(branch, disc.burst_pa);
                format!(
                    "burst disc, bursts at {bursts}, {}",
                    self.capacity(&disc.capacity)
                )
            }
        };
        Some(vec![branch.name.clone(), self.ends(branch), what])
    }

    /// The pressure that opens what limits one: where it opens into the air that pressure itself,
    /// else how far it lies above the pressure behind.
    pub(crate) fn opens(&self, branch: &Branch, difference_pa: f64) -> String {
        let behind = &self.network.volumes[branch.to.volume];
        match behind.kind {
            VolumeKind::Ambient => {
                let ambient_pa = self.network.surroundings.pressure_pa;
                self.text(Dimension::Pressure, ambient_pa + difference_pa)
            }
            _ => {
                let difference = self.text(Dimension::PressureDifference, difference_pa);
                format!("{difference} above {}", behind.name)
            }
        }
    }

    fn ends(&self, branch: &Branch) -> String {
        let name = |id: usize| self.network.volumes[id].name.as_str();
        format!("{} > {}", name(branch.from.volume), name(branch.to.volume))
    }

    fn chain(&self, branch: &Branch) -> Option<Vec<String>> {
        let BranchKind::LiquidChain(chain) = &branch.kind else {
            return None;
        };
        let name = |id: usize| self.network.volumes[id].name.clone();
        let mut stations = vec![name(branch.from.volume)];
        stations.extend(
            chain
                .elements
                .iter()
                .map(|e| format!("{} ({})", e.name, self.element(&e.kind))),
        );
        stations.push(name(branch.to.volume));
        Some(vec![format!(
            "{}, {}",
            stations.join(" > "),
            primed(self, chain)
        )])
    }

    fn element(&self, kind: &ElementKind) -> String {
        match kind {
            ElementKind::Line(line) => format!(
                "line {} of bore {}",
                self.text(Dimension::Length, line.length_m),
                self.text(Dimension::Length, line.bore_m)
            ),
            ElementKind::Valve { capacity, .. } => format!("valve {}", self.capacity(capacity)),
            ElementKind::Venturi { throat_m2, .. } => format!(
                "venturi of throat CdA {}",
                self.text(Dimension::Area, *throat_m2)
            ),
            ElementKind::Orifice { capacity, .. } => format!("orifice {}", self.capacity(capacity)),
        }
    }

    pub(crate) fn capacity(&self, capacity: &Capacity) -> String {
        match *capacity {
            Capacity::EffectiveArea { m2 } => format!("CdA {}", self.text(Dimension::Area, m2)),
            Capacity::FlowCoefficient { kv_m3_h, .. } | Capacity::Installed { kv_m3_h, .. } => {
                self.text(Dimension::FlowCoefficient, kv_m3_h)
            }
            Capacity::SonicConductance { c_m3_s_pa, .. } => {
                format!("C {}", self.text(Dimension::SonicConductance, c_m3_s_pa))
            }
            Capacity::Line(line) => format!(
                "{} of bore {}",
                self.text(Dimension::Length, line.length_m),
                self.text(Dimension::Length, line.bore_m)
            ),
            Capacity::Nozzle(nozzle) => {
                format!("throat {}", self.text(Dimension::Length, nozzle.throat_m))
            }
        }
    }

    pub(crate) fn command(&self, command: &Command) -> Vec<String> {
        let when = match &command.trigger {
            Trigger::At { time_s } => format!("at {}", self.text(Dimension::Time, *time_s)),
            Trigger::When {
                column,
                relation,
                threshold,
            } => {
                let sign = match relation {
                    Relation::Below => "<",
                    Relation::Above => ">",
                };
                let (name, value) = match spelled(column) {
                    Some((name, dimension)) => (name, self.text(dimension, *threshold)),
                    None => (column.as_str(), threshold.to_string()),
                };
                format!("when {name} {sign} {value}")
            }
        };
        let order = match command.travel {
            t if t <= 0.0 => "commanded shut".to_owned(),
            t if t >= 1.0 => "commanded open".to_owned(),
            t => format!("commanded to {:.0} % of travel", 100.0 * t),
        };
        let valve = &self.network.actuators[command.actuator].name;
        vec![when, format!("{valve} {order}")]
    }
}

fn primed(view: &View, chain: &LiquidChain) -> String {
    if chain.primed_m3 > 0.0 {
        format!(
            "{} of it liquid at the start",
            view.text(Dimension::Volume, chain.primed_m3)
        )
    } else {
        "dry at the start".to_owned()
    }
}

/// Species with their mole fractions, those that are there.
fn composition(mixture: &GasMixture, fractions: &[f64]) -> String {
    let parts = fractions.iter().enumerate().filter(|(_, x)| **x > 0.0);
    let parts: Vec<String> = parts
        .map(|(k, &x)| match x {
            x if x >= 1.0 - 1e-9 => mixture.name(k).to_owned(),
            x => format!("{} {:.3} mol %", mixture.name(k), 100.0 * x),
        })
        .collect();
    parts.join(" + ")
}

pub(crate) fn volume_m3(shape: &TankShape) -> f64 {
    match shape {
        TankShape::Cylinder { volume_m3, .. } | TankShape::Sphere { volume_m3 } => *volume_m3,
        TankShape::LevelTable { points } => points.last().map_or(0.0, |p| p.1),
    }
}
