//! Reading tables: known keys are taken and checked, everything that is wrong is gathered.

mod context;
mod key;
mod points;
mod table;

pub use context::Context;
pub use key::{Key, Scaled};
pub use points::Pair;
pub use table::{Holds, TableReader};
