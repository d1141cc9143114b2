//! The stand file: parse, check, lower; studies; ready-made stands.
