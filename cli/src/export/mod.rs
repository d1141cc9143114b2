//! Files: CSV, JSON, written whole.

pub mod csv;
pub mod earlier;
pub mod json;
mod json_bands;
pub mod sweep_table;
pub mod whole;
