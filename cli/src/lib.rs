//! The `pressfed` command: arguments, files, plots, terminal. No physics.

pub mod export;
pub mod plot;
pub mod terminal;
