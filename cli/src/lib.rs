//! The `pressfed` command: arguments, commands, files, plots, terminal. No physics.

pub mod args;
pub mod commands;
pub mod export;
pub mod page;
pub mod plot;
pub mod schematic;
pub mod terminal;
