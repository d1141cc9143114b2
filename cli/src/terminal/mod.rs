//! What is shown on a terminal.

pub mod diagnostics;
pub mod patience;
pub mod report;
pub mod screen;
pub mod table;
pub mod understood;
