//! What is drawn: volumes with the branches that leave them, as trees.

use super::moment::Moment;
use crate::terminal::understood::{View, volume_m3};
use shared::quantity::{Dimension, Display};
use sim_core::network::{
    Branch, BranchKind, Capacity, Duty, ElementKind, GasFill, Network, Phase, Posture, TankShape,
    VolumeId, VolumeKind,
};

/// The symbol of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Symbol {
    /// A gas vessel that nothing fills.
    Bottle,
    /// A gas vessel between branches.
    Plenum,
    /// A tank, filled with liquid to this part of its volume.
    Tank {
        filled: f64,
        is_lying: bool,
    },
    /// The air around.
    Ambient,
    /// Goes on at the volume of this name.
    Elsewhere,
    Regulator,
    Valve {
        is_open: bool,
    },
    Check,
    Relief,
    BurstDisc,
    Orifice,
    Venturi,
    Line,
}

/// A symbol with its name and what is said of it.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub symbol: Symbol,
    pub name: String,
    pub notes: Vec<String>,
}

/// A volume with what leaves it, and the bottles that feed it beside the way that leads to it.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub part: Part,
    pub outlets: Vec<Outlet>,
    pub inlets: Vec<Vec<Part>>,
}

impl Node {
    /// Where a way ends.
    fn end(symbol: Symbol, name: &str) -> Self {
        Self {
            part: Part::plain(symbol, name),
            outlets: Vec::new(),
            inlets: Vec::new(),
        }
    }
}

/// A branch out of a volume: its parts, and where it ends.
#[derive(Clone, Debug)]
pub(super) struct Outlet {
    pub phase: Phase,
    pub parts: Vec<Part>,
    pub end: Node,
}

/// The network as trees; each volume stands in one of them.
pub(super) fn trees(
    network: &Network,
    display: &Display,
    moment: Option<&Moment<'_>>,
) -> Vec<Node> {
    let mut builder = Builder {
        view: View { network, display },
        moment,
        is_drawn: vec![false; network.volumes.len()],
    };
    let is_ambient = |id: VolumeId| matches!(network.volumes[id].kind, VolumeKind::Ambient);
    let is_fed = |id: VolumeId| is_fed(network, id);
    let volumes = || (0..network.volumes.len()).filter(|&id| !is_ambient(id));
    // Volumes that only feed each other in a ring have no source; they come last.
    let order = volumes().filter(|&id| !is_fed(id)).chain(volumes());
    let mut trees = Vec::new();
    for id in order {
        if !builder.is_drawn[id] {
            trees.push(builder.node(id));
        }
    }
    let inward = network.branches.iter();
    let inward = inward.filter(|b| is_ambient(b.from.volume));
    trees.extend(inward.map(|b| Node {
        outlets: vec![builder.outlet(b)],
        ..Node::end(Symbol::Ambient, "ambient")
    }));
    trees
}

/// Whether a branch leads into a volume from another than the air around.
fn is_fed(network: &Network, id: VolumeId) -> bool {
    let mut into = network.branches.iter().filter(|b| b.to.volume == id);
    into.any(|b| !matches!(network.volumes[b.from.volume].kind, VolumeKind::Ambient))
}

impl Part {
    fn plain(symbol: Symbol, name: &str) -> Self {
        Self {
            symbol,
            name: name.to_owned(),
            notes: Vec::new(),
        }
    }
}

struct Builder<'a> {
    view: View<'a>,
    moment: Option<&'a Moment<'a>>,
    is_drawn: Vec<bool>,
}

impl<'a> Builder<'a> {
    fn node(&mut self, id: VolumeId) -> Node {
        let network: &'a Network = self.view.network;
        let volume = &network.volumes[id];
        if matches!(volume.kind, VolumeKind::Ambient) {
            return Node::end(Symbol::Ambient, "ambient");
        }
        if std::mem::replace(&mut self.is_drawn[id], true) {
            return Node::end(Symbol::Elsewhere, &format!("to {}", volume.name));
        }
        let inlets = self.inlets(id);
        let leaving = network.branches.iter().filter(|b| b.from.volume == id);
        Node {
            part: self.volume(id),
            outlets: leaving.map(|b| self.outlet(b)).collect(),
            inlets,
        }
    }

    /// Bottles that are not drawn yet and lead to a gas volume and nowhere else, each with the
    /// parts on its way.
    fn inlets(&mut self, id: VolumeId) -> Vec<Vec<Part>> {
        let network: &'a Network = self.view.network;
        if !matches!(network.volumes[id].kind, VolumeKind::Vessel(_)) {
            return Vec::new();
        }
        let mut inlets = Vec::new();
        for branch in network.branches.iter().filter(|b| b.to.volume == id) {
            let source = branch.from.volume;
            let mut leaving = network.branches.iter();
            let leads_on = leaving.any(|b| b.from.volume == source && b.to.volume != id);
            let is_bottle = matches!(network.volumes[source].kind, VolumeKind::Vessel(_))
                && !is_fed(network, source);
            if is_bottle && !leads_on && !std::mem::replace(&mut self.is_drawn[source], true) {
                let parts = self.branch(branch).into_iter();
                inlets.push(std::iter::once(self.volume(source)).chain(parts).collect());
            }
        }
        inlets
    }

    fn outlet(&mut self, branch: &Branch) -> Outlet {
        Outlet {
            phase: branch.from.phase,
            parts: self.branch(branch),
            end: self.node(branch.to.volume),
        }
    }

    fn volume(&self, id: VolumeId) -> Part {
        let volume = &self.view.network.volumes[id];
        let (symbol, notes) = match &volume.kind {
            VolumeKind::Ambient => (Symbol::Ambient, Vec::new()),
            VolumeKind::Vessel(vessel) => {
                let size = self.size(vessel.volume_m3);
                let gas = self.gas(&vessel.gas);
                let symbol = match is_fed(self.view.network, id) {
                    true => Symbol::Plenum,
                    false => Symbol::Bottle,
                };
                let contents = format!("{size} {gas}");
                let pressure = self.pressure(&volume.name, &vessel.gas);
                let notes = [
                    Some(contents),
                    Some(pressure),
                    self.warmth(&volume.name, "temperature_k"),
                ];
                (symbol, notes.into_iter().flatten().collect())
            }
            VolumeKind::Tank(tank) => {
                let whole_m3 = volume_m3(&tank.shape);
                let now_m3 = self.now(&volume.name, "liquid_volume_m3");
                let liquid_m3 = now_m3.unwrap_or(tank.liquid_volume_m3);
                let liquid = self.size(liquid_m3);
                // What stood over it at the start is another gas by and by.
                let over = self
                    .moment
                    .is_none()
                    .then(|| format!("under {}", self.gas(&tank.gas)));
                let notes = [
                    Some(shape(&tank.shape, &self.size(whole_m3))),
                    Some(format!("{liquid} {}", tank.liquid.name())),
                    over,
                    Some(self.pressure(&volume.name, &tank.gas)),
                    self.warmth(&volume.name, "ullage_temperature_k"),
                ];
                let notes = notes.into_iter().flatten().collect();
                let symbol = Symbol::Tank {
                    filled: liquid_m3 / whole_m3,
                    is_lying: tank.shape.posture() == Posture::Lying,
                };
                (symbol, notes)
            }
        };
        Part {
            symbol,
            name: volume.name.clone(),
            notes,
        }
    }

    fn size(&self, m3: f64) -> String {
        self.view.text(Dimension::Volume, m3)
    }

    /// The gas that there is most of.
    fn gas(&self, fill: &GasFill) -> String {
        let mixture = &self.view.network.mixtures[fill.mixture];
        let parts = fill.mole_fractions.iter().enumerate();
        let most = parts.max_by(|a, b| a.1.total_cmp(b.1));
        most.map_or(String::new(), |(species, _)| {
            mixture.name(species).to_owned()
        })
    }

    /// At the moment, or at the start.
    fn pressure(&self, name: &str, fill: &GasFill) -> String {
        let now = self.now(name, "pressure_pa");
        self.view
            .text(Dimension::Pressure, now.unwrap_or(fill.pressure_pa))
    }

    /// The temperature of a gas at the moment.
    fn warmth(&self, name: &str, quantity: &str) -> Option<String> {
        let now = self.now(name, quantity)?;
        Some(self.view.text(Dimension::Temperature, now))
    }

    /// What flows through a part at the moment.
    fn flow(&self, name: &str) -> Option<String> {
        let now = self.now(name, "mass_flow_kg_s")?;
        Some(self.view.text(Dimension::MassFlow, now))
    }

    fn now(&self, name: &str, quantity: &str) -> Option<f64> {
        self.moment?.value(name, quantity)
    }

    fn branch(&self, branch: &Branch) -> Vec<Part> {
        let capacity = |c| self.view.capacity(c);
        let (symbol, notes) = match &branch.kind {
            BranchKind::LiquidChain(chain) => {
                let elements = chain.elements.iter();
                return elements.map(|e| self.element(&e.name, &e.kind)).collect();
            }
            BranchKind::GasRestriction(restriction) => {
                let valve = restriction.valve.as_ref();
                let fixed = match restriction.capacity {
                    Capacity::Line(_) => Symbol::Line,
                    Capacity::Nozzle(_) => Symbol::Venturi,
                    _ => Symbol::Orifice,
                };
                let symbol = valve.map_or(fixed, |v| self.valve(&branch.name, v.actuator));
                (symbol, vec![capacity(&restriction.capacity)])
            }
            BranchKind::Regulator(regulator) => {
                let set = self.view.text(Dimension::Pressure, regulator.lock_up_pa);
                let notes = vec![format!("set {set}"), capacity(&regulator.capacity)];
                (Symbol::Regulator, notes)
            }
            BranchKind::Poppet(poppet) => {
                let size = capacity(&poppet.capacity);
                match poppet.duty {
                    Duty::Check => {
                        let cracking = poppet.cracking_pa;
                        let opens = self.view.text(Dimension::PressureDifference, cracking);
                        (Symbol::Check, vec![format!("cracks at {opens}"), size])
                    }
                    Duty::Relief => {
                        let opens = self.view.opens(branch, poppet.cracking_pa);
                        (Symbol::Relief, vec![format!("set {opens}"), size])
                    }
                }
            }
            BranchKind::BurstDisc(disc) => {
                let bursts = self.view.opens(branch, disc.burst_pa);
                let notes = vec![format!("bursts at {bursts}"), capacity(&disc.capacity)];
                (Symbol::BurstDisc, notes)
            }
        };
        vec![Part {
            symbol,
            name: branch.name.clone(),
            notes: notes.into_iter().chain(self.flow(&branch.name)).collect(),
        }]
    }

    fn valve(&self, name: &str, actuator: usize) -> Symbol {
        let start = self.view.network.actuators[actuator].initial;
        let travel = self.now(name, "travel_1").unwrap_or(start);
        Symbol::Valve {
            is_open: travel > 0.0,
        }
    }

    fn element(&self, name: &str, kind: &ElementKind) -> Part {
        let (symbol, notes) = match kind {
            ElementKind::Line(line) => {
                let long = self.view.text(Dimension::Length, line.length_m);
                let bore = self.view.text(Dimension::Length, line.bore_m);
                (Symbol::Line, vec![long, format!("bore {bore}")])
            }
            ElementKind::Valve {
                capacity, valve, ..
            } => (
                self.valve(name, valve.actuator),
                vec![self.view.capacity(capacity)],
            ),
            ElementKind::Orifice { capacity, .. } => {
                (Symbol::Orifice, vec![self.view.capacity(capacity)])
            }
            ElementKind::Venturi { throat_m2, .. } => {
                let area = self.view.text(Dimension::Area, *throat_m2);
                (Symbol::Venturi, vec![format!("throat CdA {area}")])
            }
        };
        let inlet = self.now(name, "inlet_pressure_pa");
        let inlet = inlet.map(|pa| format!("inlet {}", self.view.text(Dimension::Pressure, pa)));
        let now = inlet.into_iter().chain(self.flow(name));
        Part {
            symbol,
            name: name.to_owned(),
            notes: notes.into_iter().chain(now).collect(),
        }
    }
}

fn shape(shape: &TankShape, size: &str) -> String {
    match shape {
        TankShape::Sphere { .. } => format!("{size}, sphere"),
        TankShape::Cylinder { .. } | TankShape::LevelTable { .. } => size.to_owned(),
    }
}
