//! What is shown on a terminal.

pub(crate) mod bands;
pub mod diagnostics;
pub mod excerpt;
pub mod gases;
pub mod losses;
pub mod patience;
pub mod properties;
pub mod relief;
pub mod report;
pub mod screen;
pub mod sensitivity;
pub mod sizing;
pub mod sketch;
pub mod table;
pub mod understood;
