//! Studies: many runs of one stand, or of any other model.
//!
//! A study sees a model as a function from drawn numbers to figures, so that a textbook
//! function goes the same way as a stand. Results are gathered by index: they do not depend
//! on the number of threads.

pub mod aligned;
pub mod bands;
pub mod chance;
pub mod draws;
pub mod factor;
pub mod grid;
pub mod loss_budget;
pub mod morris;
pub mod other_gas;
pub mod parallel;
pub mod percentile;
pub mod ranking;
pub mod sensitivity;
pub mod size;
pub mod sobol_indices;
pub mod stand_model;
pub mod sweep;
pub mod tornado;

pub use aligned::EventBand;
pub use bands::{Bands, FigureBand, HistoryBands, bands};
pub use draws::{Draws, MOST_FACTORS, SEED};
pub use factor::Factor;
pub use stand_model::StandModel;

/// What a model answers: its figures, NaN where it has none; or why it has no answer.
pub type Answer = Result<Vec<f64>, String>;
