//! Files: CSV, JSON, written whole.

pub mod csv;
pub mod whole;
