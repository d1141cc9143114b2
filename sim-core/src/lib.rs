//! Components, network, equations of motion, integrator, events and balances of a
//! pressure-fed stand.
//!
//! Sign rule: a flow into a volume is positive. Everything inside is SI, pressures are
//! absolute, energies are those of the property engine's reference state.

pub mod integrate;
pub mod network;
pub mod outcome;
