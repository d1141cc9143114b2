//! Integration of rates that switch: two one-step methods behind one driver.
//!
//! A run is a chain of smooth segments. Within a segment the modes are frozen, so the
//! methods keep their order; a segment ends at a scheduled stop ([`Hybrid::next_stop`])
//! or where a guard ([`Hybrid::guards`]) crosses zero, located on the dense output.
//! Nothing here knows any physics.
//!
//! | part | duty |
//! |---|---|
//! | [`system`] | the traits that a system and a sink fulfil |
//! | [`driver`] | segments, stops, events, limits |
//! | [`stepper`] | the contract of a one-step method |
//! | [`rodas5p`] | linearly implicit, order 5, for stiff rates: the usual choice |
//! | [`dopri5`] | explicit, order 5, for rates that are not stiff, and as a second opinion |
//! | [`tuning`] | every constant that steers the above |
//! | [`error`] | why a run cannot go on |

mod chatter;
pub mod dopri5;
pub mod driver;
pub mod error;
mod guard_watch;
mod lu;
pub mod rodas5p;
mod rodas5p_table;
mod step_size;
pub mod stepper;
pub mod system;
pub mod tuning;

pub use driver::Driver;
pub use error::IntegrationError;
pub use system::{DenseStep, Hybrid, Rates, Sink};
pub use tuning::Tuning;
