//! A stand in which everything fits: what lowering runs on. Nothing here can fail.

use crate::input::{InputId, Values};
use crate::kinds::{
    BurstDisc, CheckValve, Line, Orifice, Regulator, Relief, Supply, Tank, Valve, Venturi, Vessel,
};
use crate::networks::GasNetworks;
use crate::tables::Ambient;
use fluids::{GasMixture, Liquid};
use sim_core::network::{self as net, ActuatorId, Phase, Port, VolumeId};
use std::sync::Arc;

/// Standard acceleration of gravity, m/s2 (CGPM 1901).
const GRAVITY_M_S2: f64 = 9.806_65;

/// A stand in which everything fits.
#[derive(Clone, Debug)]
pub struct Plan {
    /// The air around.
    pub ambient: Ambient,
    /// Gas networks.
    pub networks: GasNetworks,
    /// Volumes but the ambient, which comes last.
    pub volumes: Vec<Volume>,
    /// Branches in the order of the file.
    pub branches: Vec<Branch>,
    /// Valves by actuator.
    pub actuators: Vec<(String, Valve)>,
    /// Orders to valves.
    pub commands: Vec<Command>,
}

/// A volume.
#[derive(Clone, Debug)]
pub struct Volume {
    /// Its name.
    pub name: String,
    /// What it is.
    pub body: VolumeBody,
}

/// What a volume is.
#[derive(Clone, Debug)]
pub enum VolumeBody {
    /// Bottle or plenum.
    Vessel(Vessel),
    /// Tank with its liquid, and the place of its vapour among the species.
    Tank {
        /// The tank.
        tank: Box<Tank>,
        /// Its liquid.
        liquid: Arc<Liquid>,
        /// Place of its vapour, if that is modelled.
        vapour: Option<usize>,
    },
}

/// A branch.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Its name: that of its first component.
    pub name: String,
    /// Upstream end.
    pub from: Port,
    /// Downstream end.
    pub to: Port,
    /// What it is.
    pub body: BranchBody,
}

/// What a branch is.
#[derive(Clone, Debug)]
pub enum BranchBody {
    /// Regulator.
    Regulator(Box<Regulator>),
    /// Check valve.
    CheckValve(CheckValve),
    /// Relief valve.
    Relief(Relief),
    /// Burst disc.
    BurstDisc(BurstDisc),
    /// Gas orifice.
    Orifice(Orifice),
    /// Gas line.
    Line(Line),
    /// Gas valve.
    Valve(Box<Valve>, ActuatorId),
    /// Liquid chain.
    Chain(Vec<(String, Element)>),
}

/// A part of a liquid chain.
#[derive(Clone, Debug)]
pub enum Element {
    /// A line, and whether liquid stands in it at the start.
    Line(Line, bool),
    /// A valve.
    Valve(Box<Valve>, ActuatorId),
    /// An orifice.
    Orifice(Orifice),
    /// A venturi.
    Venturi(Venturi),
}

/// An order to a valve.
#[derive(Clone, Debug)]
pub struct Command {
    /// When.
    pub trigger: Trigger,
    /// To which valve.
    pub actuator: ActuatorId,
    /// Travel wanted.
    pub travel: f64,
    /// Whether its condition gives it again and again.
    pub repeats: bool,
}

/// When an order is given.
#[derive(Clone, Debug)]
pub enum Trigger {
    /// At a time.
    At(InputId),
    /// On a condition.
    When(net::Trigger),
}

/// What sets the pressure before a regulator.
enum Source<'a> {
    /// A volume that nothing feeds.
    Volume(VolumeId),
    /// A regulator further up, and its name.
    Regulator(&'a Regulator, &'a str),
}

impl Plan {
    /// The network with these values.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::Network {
        let mut volumes: Vec<net::Volume> = (0..self.volumes.len())
            .map(|id| self.lower_volume(id, values))
            .collect();
        volumes.push(net::Volume {
            name: "ambient".to_owned(),
            kind: net::VolumeKind::Ambient,
        });
        net::Network {
            surroundings: net::Surroundings {
                pressure_pa: values.si(self.ambient.pressure),
                temperature_k: values.si(self.ambient.temperature),
                gravity_m_s2: GRAVITY_M_S2,
            },
            mixtures: self.networks.mixtures.clone(),
            volumes,
            branches: self
                .branches
                .iter()
                .map(|b| self.lower_branch(b, values))
                .collect(),
            actuators: self
                .actuators
                .iter()
                .map(|(name, valve)| valve.lower_actuator(name, values))
                .collect(),
            commands: self.commands.iter().map(|c| c.lower(values)).collect(),
        }
    }

    fn lower_volume(&self, id: VolumeId, values: &Values<'_>) -> net::Volume {
        let volume = &self.volumes[id];
        let gas = self.gas_fill(id, values);
        let kind = match &volume.body {
            VolumeBody::Vessel(vessel) => net::VolumeKind::Vessel(vessel.lower(values, gas)),
            VolumeBody::Tank {
                tank,
                liquid,
                vapour,
            } => net::VolumeKind::Tank(tank.lower(values, liquid, *vapour, gas)),
        };
        net::Volume {
            name: volume.name.clone(),
            kind,
        }
    }

    /// The gas of a volume at the start.
    #[must_use]
    pub fn gas_fill(&self, id: VolumeId, values: &Values<'_>) -> net::GasFill {
        let Some(volume) = self.volumes.get(id) else {
            return self.open_air(values);
        };
        let mixture = self.networks.of_volume[id];
        let (pressure, liquid_k, temperature_k) = match &volume.body {
            VolumeBody::Vessel(vessel) => {
                let gas_k = values.si(vessel.temperature);
                (vessel.pressure, gas_k, gas_k)
            }
            VolumeBody::Tank { tank, .. } => {
                let (liquid_k, gas_k) = tank.temperatures_k(values);
                (tank.pressure, liquid_k, gas_k)
            }
        };
        let pressure_pa = values.si(pressure);
        let mut mole_fractions = vec![0.0; self.networks.mixtures[mixture].len()];
        let vapour = volume.body.vapour_fraction(pressure_pa, liquid_k);
        mole_fractions[self.networks.gas_of_volume[id]] = 1.0 - vapour.map_or(0.0, |v| v.1);
        if let Some((place, fraction)) = vapour {
            mole_fractions[place] += fraction;
        }
        net::GasFill {
            mixture,
            pressure_pa,
            temperature_k,
            mole_fractions,
        }
    }

    /// The gas before a regulator at the pressure with which it was set: not that of a pipe that is
    /// still to be filled, but of what fills it.
    #[must_use]
    pub fn supply(&self, branch: &Branch, values: &Values<'_>) -> Supply<'_> {
        let gas = net::GasFill {
            pressure_pa: self.source(branch, values).0,
            ..self.gas_fill(branch.from.volume, values)
        };
        Supply {
            mixture: self.mixture(&gas),
            gas,
        }
    }

    /// Name of what sets the supply of a regulator at its start.
    #[must_use]
    pub fn source_name(&self, branch: &Branch, values: &Values<'_>) -> &str {
        self.source(branch, values).1
    }

    /// Pressure and name of what fills the pipe before a regulator: of several bottles the fullest,
    /// which shuts off the others; of equals the first in the file.
    fn source(&self, branch: &Branch, values: &Values<'_>) -> (f64, &str) {
        let sources = self.sources(branch.from.volume).into_iter();
        let sources = sources.map(|source| match source {
            Source::Volume(id) => {
                let name = self.volumes.get(id).map_or("ambient", |v| &v.name);
                (self.gas_fill(id, values).pressure_pa, name)
            }
            Source::Regulator(regulator, name) => (values.si(regulator.set_pressure), name),
        });
        let place = |name: &str| {
            let volumes = self.volumes.iter().map(|v| &v.name);
            let mut names = volumes.chain(self.branches.iter().map(|b| &b.name));
            names.position(|n| n == name)
        };
        let fullest = sources.max_by(|a, b| {
            let by_pressure = a.0.total_cmp(&b.0);
            by_pressure.then_with(|| place(b.1).cmp(&place(a.1)))
        });
        fullest.unwrap_or_else(|| (self.gas_fill(branch.from.volume, values).pressure_pa, ""))
    }

    /// Where the gas of a volume comes from: upstream to regulators, and to what nothing feeds.
    fn sources(&self, volume: VolumeId) -> Vec<Source<'_>> {
        let (mut sources, mut volumes) = (Vec::new(), vec![volume]);
        let mut next = 0;
        while let Some(&id) = volumes.get(next) {
            next += 1;
            let feeds = self.branches.iter();
            let mut feeds = feeds
                .filter(|b| b.to.volume == id && b.to.phase == Phase::Gas)
                .peekable();
            if feeds.peek().is_none() {
                sources.push(Source::Volume(id));
            }
            for feed in feeds {
                match &feed.body {
                    BranchBody::Regulator(regulator) => {
                        sources.push(Source::Regulator(regulator, &feed.name));
                    }
                    _ if volumes.contains(&feed.from.volume) => {}
                    _ => volumes.push(feed.from.volume),
                }
            }
        }
        sources
    }

    /// The ambient as a supply: the first gas of the first network stands for it.
    fn open_air(&self, values: &Values<'_>) -> net::GasFill {
        let count = self.networks.mixtures.first().map_or(1, |m| m.len());
        let mut mole_fractions = vec![0.0; count];
        mole_fractions[0] = 1.0;
        net::GasFill {
            mixture: 0,
            pressure_pa: values.si(self.ambient.pressure),
            temperature_k: values.si(self.ambient.temperature),
            mole_fractions,
        }
    }

    /// The species list of a volume.
    #[must_use]
    pub fn mixture(&self, fill: &net::GasFill) -> &GasMixture {
        &self.networks.mixtures[fill.mixture]
    }

    fn lower_branch(&self, branch: &Branch, values: &Values<'_>) -> net::Branch {
        let ambient_pa = values.si(self.ambient.pressure);
        let kind = match &branch.body {
            BranchBody::Regulator(regulator) => {
                regulator.lower(values, &self.supply(branch, values), ambient_pa)
            }
            BranchBody::CheckValve(valve) => valve.lower(values),
            BranchBody::Relief(valve) => valve.lower(values, ambient_pa),
            BranchBody::BurstDisc(disc) => disc.lower(values, ambient_pa),
            BranchBody::Orifice(orifice) => orifice.lower_gas(values),
            BranchBody::Line(line) => line.lower_gas(values),
            BranchBody::Valve(valve, actuator) => valve.lower_gas(values, *actuator),
            BranchBody::Chain(elements) => lower_chain(elements, values),
        };
        net::Branch {
            name: branch.name.clone(),
            from: branch.from,
            to: branch.to,
            kind,
        }
    }
}

impl VolumeBody {
    /// Place and mole fraction of the vapour at the start: saturated, at the total pressure.
    fn vapour_fraction(&self, pressure_pa: f64, temperature_k: f64) -> Option<(usize, f64)> {
        let Self::Tank {
            liquid,
            vapour: Some(place),
            ..
        } = self
        else {
            return None;
        };
        let state = liquid.at(temperature_k).ok()?;
        Some((*place, (state.vapour_pressure_pa / pressure_pa).min(1.0)))
    }
}

fn lower_chain(elements: &[(String, Element)], values: &Values<'_>) -> net::BranchKind {
    let full = elements.iter().filter_map(|(_, element)| match element {
        Element::Line(line, true) => Some(line.volume_m3(values)),
        _ => None,
    });
    net::BranchKind::LiquidChain(net::LiquidChain {
        primed_m3: full.sum(),
        elements: elements
            .iter()
            .map(|(name, element)| net::ChainElement {
                name: name.clone(),
                kind: element.lower(values),
            })
            .collect(),
    })
}

impl Element {
    fn lower(&self, values: &Values<'_>) -> net::ElementKind {
        match self {
            Self::Line(line, _) => line.lower(values),
            Self::Valve(valve, actuator) => valve.lower_liquid(values, *actuator),
            Self::Orifice(orifice) => orifice.lower_liquid(values),
            Self::Venturi(venturi) => venturi.lower(values),
        }
    }
}

impl Command {
    fn lower(&self, values: &Values<'_>) -> net::Command {
        net::Command {
            trigger: match &self.trigger {
                Trigger::At(id) => net::Trigger::At {
                    time_s: values.si(*id),
                },
                Trigger::When(condition) => condition.clone(),
            },
            actuator: self.actuator,
            travel: self.travel,
            repeats: self.repeats,
        }
    }
}
