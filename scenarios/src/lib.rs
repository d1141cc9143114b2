//! The stand file: parse, check, lower; studies; ready-made stands.

pub mod hand_checks;
pub mod summary;
