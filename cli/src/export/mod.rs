//! Files: CSV, JSON, Parquet, written whole.

pub mod csv;
pub mod earlier;
pub mod json;
mod json_bands;
#[cfg(feature = "parquet")]
pub mod parquet;
pub mod size_json;
pub mod sweep_table;
pub mod whole;
