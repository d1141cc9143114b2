//! The stand file: parse, check, lower; studies; ready-made stands.
//!
//! The way of a stand file: text -> `document` (what was typed, with places) -> `Stand` (every
//! table read by itself) -> `Plumbing`, `GasNetworks`, `Plan` (everything fits) ->
//! [`sim_core::network::Network`]. Errors are gathered all the way; lowering cannot fail.

mod area_flow;
mod assemble;
mod cold_start;
mod cold_ullage;
mod conditions;
mod decomposing;
mod document;
mod dry_ice;
mod gas_paths;
pub mod hand_checks;
pub mod input;
mod kinds;
mod load;
mod networks;
mod observables;
mod parts;
mod physics;
mod plan;
mod plumbing;
pub mod predict;
mod proportions;
mod read;
mod ready_made;
mod sequence;
mod stand;
pub mod studies;
pub mod summary;
mod tables;
mod words;

pub use input::{Assumption, Distribution, Input, InputId, Inputs, Values};
pub use kinds::{KeyHelp, Observed, TABLES, keys_of, kinds, observed_of};
pub use load::{CheckedStand, load, load_with};
pub use observables::{si_unit, spelled, suffix};
pub use parts::{Part, parts};
pub use predict::predict;
pub use ready_made::{ReadyMade, new_file, ready_made};
