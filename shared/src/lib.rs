//! Quantities with units and uncertainty, diagnostics as data, and the small numerics
//! that every layer above leans on. No physics, no printing.

pub mod codes;
pub mod diagnostic;
pub mod dual;
pub mod monotone_cubic;
pub mod nearest;
pub mod quantity;
pub mod root;
pub mod scalar;
pub mod smooth;

pub use codes::Code;
pub use diagnostic::{Diagnostic, Label, Severity, Source, Span, line_column};
pub use dual::Dual;
pub use monotone_cubic::{CurveError, Extrapolation, MonotoneCubic};
pub use nearest::nearest;
pub use root::{RootError, bracketed};
pub use scalar::Scalar;
