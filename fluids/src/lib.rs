//! Thermodynamic and transport properties of gases, liquids and mixtures.
//!
//! Dual numbers stop here: every function returns values with their first partial
//! derivatives, and the caller lifts them.

mod catalogue;
mod compressed_liquid;
mod data;
mod density;
mod derived;
mod error;
mod film;
mod flash;
pub mod helmholtz;
mod liquid;
mod lookup;
mod mixture;
mod mode;
mod nozzle;
mod perfect_gas;
mod phases;
mod plain_liquid;
mod pure;
mod saturation;
mod sheet;
mod solid;
mod solve;
mod spline;
mod surface;
mod table;
mod transport;

pub use catalogue::{CatalogueEntry, canonical, canonical_gas, canonical_liquid, catalogue};
pub use compressed_liquid::{CompressedLiquid, CompressedState, Equilibrium};
pub use data::{Limits, names};
pub use density::Phase;
pub use derived::{Derived, FilmProperties, GasPoint, GasState, NozzleFlux, Partials};
pub use error::FluidError;
pub use liquid::{Liquid, LiquidState};
pub use lookup::Lookup;
pub use mixture::{GasMixture, STABILITY, SpeciesSpec};
pub use mode::PropertyMode;
pub use perfect_gas::PerfectGas;
pub use plain_liquid::PropertySource;
pub use pure::{Point, PureFluid, Saturation};
pub use sheet::{Named, SaturationSheet, Sheet, boiling_sheet, saturation_sheet, sheet};
pub use solid::Solid;

/// Most species that one gas network can hold.
pub const MAX_SPECIES: usize = 5;
