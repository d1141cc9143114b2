//! Where the states of a cryogenic tank stand.

use super::DissolvedPlaces;
use std::ops::Range;

/// States of the layers, the wall and the liquid's surface layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strata {
    /// The layers from the liquid up; the last one has no volume of its own: it takes what the
    /// others leave.
    pub layers: Vec<LayerPlaces>,
    /// Energies of the wall's nodes, J, from the bottom up.
    pub wall: Range<usize>,
    /// Energies of the nodes of the surface layer, J, from the surface down.
    pub surface: Range<usize>,
    /// Mass of the liquid, kg.
    pub liquid_mass: usize,
    /// Energy of the liquid's bulk, J.
    pub bulk_energy: usize,
    /// Gases dissolved in it.
    pub dissolved: Vec<DissolvedPlaces>,
}

/// States of one layer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayerPlaces {
    /// Species masses, kg.
    pub mass: Range<usize>,
    /// Internal energy, J.
    pub energy: usize,
    /// Volume, m3.
    pub volume: Option<usize>,
}

impl Strata {
    /// Places of all energies, J.
    pub fn energies(&self) -> impl Iterator<Item = usize> {
        let layers = self.layers.iter().map(|layer| layer.energy);
        let rest = self.wall.clone().chain(self.surface.clone());
        layers.chain(rest).chain([self.bulk_energy])
    }

    /// Places of the masses of a species of the gas, kg.
    pub fn masses(&self, species: usize) -> impl Iterator<Item = usize> {
        self.layers.iter().map(move |l| l.mass.start + species)
    }

    /// Places of what is dissolved of a species, and of what left with the liquid, kg.
    pub fn dissolved(&self, species: usize) -> impl Iterator<Item = usize> {
        let of_species = self.dissolved.iter().filter(move |d| d.species == species);
        of_species.flat_map(|d| d.parts.clone().chain([d.gone]))
    }

    /// Whether a state is one of the tank's.
    #[must_use]
    pub fn contains(&self, state: usize) -> bool {
        let in_layer = |l: &LayerPlaces| l.mass.contains(&state) || l.volume == Some(state);
        let in_liquid = |d: &DissolvedPlaces| d.parts.contains(&state) || d.gone == state;
        state == self.liquid_mass
            || self.dissolved.iter().any(in_liquid)
            || self.layers.iter().any(in_layer)
            || self.energies().any(|place| place == state)
    }
}
