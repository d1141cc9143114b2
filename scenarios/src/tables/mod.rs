//! The tables of a stand file that are no components.

mod ambient;
mod display;
mod formulas;
mod gases;
mod judgement;
mod model;
mod run;
mod sequence;

pub use ambient::Ambient;
pub use display::read as read_display;
pub use formulas::meant;
pub use gases::{GasName, Gases};
pub use judgement::{Judgement, read as read_judgements};
pub use model::Model;
pub use run::Run;
pub use sequence::{Action, Moment, Step, read as read_sequence};
