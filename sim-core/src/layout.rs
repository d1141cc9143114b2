//! Where each state stands in the state vector.
//!
//! First the states that the rates depend on, volume by volume and branch by branch; behind
//! them the ledgers, which only count: what the ambient received, what was dissipated. The
//! ledgers make every balance a linear sum of states, which the integrators keep to rounding.

use crate::components::cryogenic_tank::{
    COUNTED, DissolvedPlaces, LayerPlaces, NODES, PARTS, Strata,
};
use crate::network::{BranchKind, Cryogen, Network, Tank, VolumeKind};
use std::ops::Range;

/// States of one volume.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VolumeStates {
    /// Species masses, kg; those of the uppermost layer in a cryogenic tank.
    pub gas_mass: Range<usize>,
    /// Internal energy of that gas, J.
    pub gas_energy: usize,
    /// Wall energy (a tank's dry wall), J.
    pub wall_energy: Option<usize>,
    /// Energy of what is wound about a vessel's wall, J.
    pub overwrap_energy: Option<usize>,
    /// Liquid mass, kg, and energy of liquid and wet wall, J.
    pub liquid: Option<(usize, usize)>,
    /// All states of a cryogenic tank, those above among them.
    pub strata: Option<Strata>,
}

impl VolumeStates {
    /// Places of all energies, J.
    pub fn energies(&self) -> Vec<usize> {
        match &self.strata {
            Some(strata) => strata.energies().collect(),
            None => [
                Some(self.gas_energy),
                self.wall_energy,
                self.overwrap_energy,
                self.liquid.map(|l| l.1),
            ]
            .into_iter()
            .flatten()
            .collect(),
        }
    }

    /// Places of the masses of a species of the gas, kg.
    pub fn gas_masses(&self, species: usize) -> Vec<usize> {
        match &self.strata {
            Some(strata) => strata.masses(species).collect(),
            None => vec![self.gas_mass.start + species],
        }
    }

    /// Places of what the liquid took up of a species of the gas, kg.
    pub fn dissolved(&self, species: usize) -> Vec<usize> {
        let strata = self.strata.iter();
        strata
            .flat_map(|strata| strata.dissolved(species))
            .collect()
    }
}

/// States of one branch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BranchStates {
    /// No state.
    None,
    /// Lift of a regulator or check valve, 0 to 1.
    Lift(usize),
    /// Mass flow of a chain, kg/s, and liquid standing in it, kg.
    Chain {
        /// Mass flow.
        flow: usize,
        /// Liquid mass.
        mass: usize,
    },
}

/// States that only count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ledgers {
    /// Species masses received by the ambient, kg, one run of species per mixture.
    pub ambient_gas: Vec<Range<usize>>,
    /// Liquid received by the ambient, kg, by the tank that it came from.
    pub ambient_liquid: Vec<Option<usize>>,
    /// What is counted of cryogenic tanks, by volume.
    pub cryogenic: Vec<Option<Range<usize>>>,
    /// Energy received by the surroundings: heat, enthalpy, lift, J.
    pub surroundings: usize,
    /// Mechanical energy dissipated in liquid chains, J.
    pub dissipation: usize,
    /// Internal energy of the liquid standing in the chains, J.
    pub chain_energy: usize,
    /// Energy of what is dissolved, J.
    pub dissolved_energy: usize,
}

/// The whole layout.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// By volume; `None` for the ambient.
    pub volumes: Vec<Option<VolumeStates>>,
    /// By branch.
    pub branches: Vec<BranchStates>,
    /// The ledgers.
    pub ledgers: Ledgers,
    /// Number of states that the rates depend on; the ledgers follow.
    pub dynamic: usize,
    /// Number of all states.
    pub total: usize,
}

/// Hands out places in the state vector.
struct Places(usize);

impl Places {
    fn one(&mut self) -> usize {
        self.0 += 1;
        self.0 - 1
    }

    fn run(&mut self, length: usize) -> Range<usize> {
        let start = self.0;
        self.0 += length;
        start..self.0
    }
}

fn is_cryogenic(kind: &VolumeKind) -> bool {
    matches!(kind, VolumeKind::Tank(tank) if tank.cryogen.is_some())
}

impl Places {
    fn cryogenic(&mut self, tank: &Tank, cryogen: &Cryogen, species: usize) -> VolumeStates {
        let layers: Vec<LayerPlaces> = (1..=cryogen.layers)
            .map(|layer| LayerPlaces {
                mass: self.run(species),
                energy: self.one(),
                volume: (layer < cryogen.layers).then(|| self.one()),
            })
            .collect();
        let nodes = tank.wall.as_ref().map_or(0, |_| cryogen.wall_nodes);
        let strata = Strata {
            wall: self.run(nodes),
            surface: self.run(NODES),
            liquid_mass: self.one(),
            bulk_energy: self.one(),
            dissolved: (cryogen.dissolving.iter())
                .map(|gas| DissolvedPlaces {
                    species: gas.species,
                    parts: self.run(PARTS),
                    gone: self.one(),
                })
                .collect(),
            layers,
        };
        let top = strata.layers.len() - 1;
        VolumeStates {
            gas_mass: strata.layers[top].mass.clone(),
            gas_energy: strata.layers[top].energy,
            wall_energy: None,
            overwrap_energy: None,
            liquid: Some((strata.liquid_mass, strata.bulk_energy)),
            strata: Some(strata),
        }
    }
}

impl Layout {
    /// Lays out a network.
    #[must_use]
    pub fn new(network: &Network) -> Self {
        let mut places = Places(0);
        let species = |mixture: usize| network.mixtures[mixture].len();
        let volumes = network
            .volumes
            .iter()
            .map(|volume| match &volume.kind {
                VolumeKind::Ambient => None,
                VolumeKind::Vessel(vessel) => Some(VolumeStates {
                    gas_mass: places.run(species(vessel.gas.mixture)),
                    gas_energy: places.one(),
                    wall_energy: vessel.wall.as_ref().map(|_| places.one()),
                    overwrap_energy: vessel.overwrap.as_ref().map(|_| places.one()),
                    liquid: None,
                    strata: None,
                }),
                VolumeKind::Tank(tank) => Some(match &tank.cryogen {
                    None => VolumeStates {
                        gas_mass: places.run(species(tank.gas.mixture)),
                        gas_energy: places.one(),
                        wall_energy: tank.wall.as_ref().map(|_| places.one()),
                        overwrap_energy: None,
                        liquid: Some((places.one(), places.one())),
                        strata: None,
                    },
                    Some(cryogen) => places.cryogenic(tank, cryogen, species(tank.gas.mixture)),
                }),
            })
            .collect();
        let branches = network
            .branches
            .iter()
            .map(|branch| match branch.kind {
                BranchKind::GasRestriction(_) | BranchKind::BurstDisc(_) => BranchStates::None,
                BranchKind::Regulator(_) | BranchKind::Poppet(_) => {
                    BranchStates::Lift(places.one())
                }
                BranchKind::LiquidChain(_) => BranchStates::Chain {
                    flow: places.one(),
                    mass: places.one(),
                },
            })
            .collect();
        let dynamic = places.0;
        let ledgers = Ledgers {
            ambient_gas: (0..network.mixtures.len())
                .map(|m| places.run(species(m)))
                .collect(),
            ambient_liquid: network
                .volumes
                .iter()
                .map(|v| matches!(v.kind, VolumeKind::Tank(_)).then(|| places.one()))
                .collect(),
            cryogenic: network
                .volumes
                .iter()
                .map(|v| is_cryogenic(&v.kind).then(|| places.run(COUNTED.len())))
                .collect(),
            surroundings: places.one(),
            dissipation: places.one(),
            chain_energy: places.one(),
            dissolved_energy: places.one(),
        };
        Self {
            volumes,
            branches,
            ledgers,
            dynamic,
            total: places.0,
        }
    }
}

impl Layout {
    /// Name of the component that a state belongs to.
    #[must_use]
    pub fn owner(&self, network: &Network, state: usize) -> Option<String> {
        let of_volume = self.volumes.iter().position(|states| {
            states.as_ref().is_some_and(|s| {
                s.gas_mass.contains(&state)
                    || s.gas_energy == state
                    || s.wall_energy == Some(state)
                    || s.overwrap_energy == Some(state)
                    || s.liquid.is_some_and(|(m, e)| m == state || e == state)
                    || s.strata
                        .as_ref()
                        .is_some_and(|strata| strata.contains(state))
            })
        });
        let of_branch = self.branches.iter().position(|states| match *states {
            BranchStates::None => false,
            BranchStates::Lift(place) => place == state,
            BranchStates::Chain { flow, mass } => flow == state || mass == state,
        });
        of_volume
            .map(|id| network.volumes[id].name.clone())
            .or_else(|| of_branch.map(|id| network.branches[id].name.clone()))
    }
}
