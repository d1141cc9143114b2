//! Thermodynamic and transport properties of gases, liquids and mixtures.
//!
//! Dual numbers stop here: every function returns values with their first partial
//! derivatives, and the caller lifts them.

mod data;
mod density;
mod error;
mod flash;
pub mod helmholtz;
mod phases;
mod pure;
mod saturation;
mod solve;

pub use data::{Limits, names};
pub use density::Phase;
pub use error::FluidError;
pub use pure::{Point, PureFluid, Saturation};

/// Most species that one gas network can hold.
pub const MAX_SPECIES: usize = 5;

/// A value with its partials with respect to each species' density (kg/m3) and to the
/// internal energy per volume (J/m3).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Partials {
    /// The value.
    pub value: f64,
    /// With respect to each species' density.
    pub by_density: [f64; MAX_SPECIES],
    /// With respect to the energy density.
    pub by_energy: f64,
}

/// State of a gas given what a volume holds.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct GasState {
    /// Pressure, Pa.
    pub pressure_pa: Partials,
    /// Temperature, K.
    pub temperature_k: Partials,
}
