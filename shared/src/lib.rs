//! Quantities with units and uncertainty, diagnostics as data, and the small numerics
//! that every layer above leans on. No physics, no printing.

pub mod dual;
pub mod scalar;

pub use dual::Dual;
pub use scalar::Scalar;
