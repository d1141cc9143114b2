//! Quantities with units and uncertainty, diagnostics as data, and the small numerics
//! that every layer above leans on. No physics, no printing.

pub mod dual;
pub mod monotone_cubic;
pub mod root;
pub mod scalar;
pub mod smooth;

pub use dual::Dual;
pub use monotone_cubic::{CurveError, Extrapolation, MonotoneCubic};
pub use root::{RootError, bracketed};
pub use scalar::Scalar;
