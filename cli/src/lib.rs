//! The `pressfed` command: arguments, commands, files, plots, terminal. No physics.

pub mod args;
pub mod assumed;
pub mod commands;
pub mod export;
pub mod interrupt;
pub mod naming;
pub mod page;
pub mod plot;
pub mod schematic;
pub mod terminal;
pub mod trade;
