//! Files: CSV, JSON, written whole.

pub mod csv;
pub mod json;
pub mod whole;
