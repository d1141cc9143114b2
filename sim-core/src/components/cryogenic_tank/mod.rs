//! A tank of a liquid that boils far below room temperature (theory 9).
//!
//! States: species masses, energy and volume of each layer of the ullage, mass of the liquid,
//! energy of its bulk and of the nodes of its warm surface layer, energy of the wall's nodes.
//! Layers and surface layer move with the liquid, the wall's nodes stand still and are met by
//! whatever passes them: gas above, liquid below. Nothing is solved for within an evaluation:
//! layers share one pressure by a fast exchange of volume, the surface has the temperature of
//! the topmost node of the liquid, and vapour leaves it against the resistance of the gas above.
//!
//! Layer 0 lies on the liquid; the last one is where gas comes in and is vented.

mod dissolution;
mod exchange;
mod inlet;
mod jet;
mod layers;
mod places;
mod pool;
mod ports;
mod probe;
mod properties;
mod rain;
mod relayer;
mod start;
mod surface;
mod wall_nodes;

pub use dissolution::{DissolvedPlaces, PARTS, saturation_pa};
pub use exchange::{COUNTED, Totals};
pub use inlet::GasInflow;
pub use layers::Layer;
pub use places::{LayerPlaces, Strata};
pub use pool::{CryogenicModel, NODES};
pub use ports::PortFlow;
pub use properties::LayerProperties;
pub use start::Start;
pub use surface::{Crossing, Stream};
pub use wall_nodes::WallNode;

use super::tank::{TankModel, TankSide};
use crate::network::{Cryogen, Surroundings, Tank};
use fluids::GasMixture;
use shared::Scalar;

/// What an evaluation finds in a cryogenic tank beside what a plain one shows.
#[derive(Clone, Debug)]
pub struct Found<S> {
    /// Layers of the ullage, from the liquid up.
    pub layers: Vec<Layer<S>>,
    /// The wall's nodes, from the bottom up.
    pub wall: Vec<WallNode<S>>,
    /// The liquid's surface layer from the surface down; the bulk last.
    pub pool: Vec<super::tank::LiquidSide<S>>,
    /// Mole fractions of the dissolved gases, from the surface down.
    pub dissolved: Vec<[S; PARTS]>,
    /// What crosses the surface.
    pub crossing: Crossing<S>,
    /// Properties of the layers' gas.
    pub properties: Vec<LayerProperties>,
}

impl<S: Scalar> Found<S> {
    /// Nothing found yet.
    #[must_use]
    pub fn nothing() -> Self {
        Self {
            layers: Vec::new(),
            wall: Vec::new(),
            pool: Vec::new(),
            dissolved: Vec::new(),
            crossing: Crossing::none(),
            properties: Vec::new(),
        }
    }
}

/// A cryogenic tank with all that its equations look at.
pub struct CryogenicTank<'a> {
    /// The tank.
    pub tank: &'a Tank,
    /// What it has beside a plain one.
    pub cryogen: &'a Cryogen,
    /// Geometry and constants.
    pub model: &'a TankModel,
    /// Constants of the liquid.
    pub constants: &'a CryogenicModel,
    /// Species of its gas.
    pub mixture: &'a GasMixture,
    /// Where its states are.
    pub strata: &'a Strata,
    /// What lies around.
    pub surroundings: &'a Surroundings,
}

/// What the equations read and fill: the states found, and their rates.
pub struct Rates<'a, S> {
    /// The face that branches see.
    pub side: &'a TankSide<S>,
    /// The parts behind it.
    pub found: &'a Found<S>,
    /// Liquid that branches bring, kg/s, and its energy, W.
    pub inflow: super::tank::TankInflow<S>,
    /// Gas that branches bring, where the way in makes a difference.
    pub gas_inflow: GasInflow<S>,
    /// Rates of all states.
    pub dy: &'a mut [S],
}
