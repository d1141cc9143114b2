//! Cases against published numbers, closed forms and independent solvers.
//!
//! A [`report::Section`] is a list of [`report::Case`]s, a case a list of figures that the
//! program computed beside what they should be. [`page`] writes them all into `VALIDATION.md`,
//! bad ones too. Nothing here may be tuned: a figure outside its tolerance stays and is marked.

pub mod bdf;
pub mod cases;
pub mod computed;
pub mod fluid_states;
pub mod page;
pub mod peer;
pub mod report;
pub mod text;
pub mod trial;

#[path = "../../sim-core/tests/zoo/mod.rs"]
mod zoo;
