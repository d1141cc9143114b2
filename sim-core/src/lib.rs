//! Components, network, equations of motion, integrator, events and balances of a
//! pressure-fed stand.
//!
//! Sign rule: a flow into a volume is positive. Everything inside is SI, pressures are
//! absolute, energies are those of the property engine's reference state.
//!
//! The way of a run: [`network::Network`] (what is there) -> [`model::Model`] (made ready) ->
//! [`run::Run`] (with its present modes, as the integrator sees it) -> [`outcome::Outcome`].

pub mod audit;
pub mod column_before;
pub mod column_watch;
pub mod components;
pub mod elastic_column;
pub mod evaluate;
pub mod fault;
pub mod integrate;
pub mod interrupt;
pub mod layout;
pub mod model;
pub mod modes;
pub mod network;
pub mod observe;
pub mod outcome;
pub mod run;
pub mod simulate;
pub mod warnings;

pub use simulate::{columns, simulate};
