//! `VALIDATION.md`.
