//! What is shown on a terminal.

pub mod diagnostics;
pub mod screen;
pub mod table;
