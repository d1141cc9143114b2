//! Why an integration cannot go on.

use thiserror::Error;

/// The reason why a run ended early; its time is [`IntegrationError::time_s`]. What was accepted
/// until then has reached the sink.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum IntegrationError<F> {
    /// The model refused, also with the shortest step.
    #[error("{fault}")]
    Model {
        /// When.
        time_s: f64,
        /// What the model says.
        fault: F,
    },
    /// A state or its rate became infinite or undefined.
    #[error("state {state} or its rate is no longer finite: check the data of its component")]
    NotFinite {
        /// When.
        time_s: f64,
        /// Index of the first such state.
        state: usize,
    },
    /// The error estimate asks for steps shorter than the clock resolves.
    #[error(
        "the step shrank to {step_s} s: a rate is unbounded or jumps without an event there; loosen the tolerance or check the data"
    )]
    StepTooSmall {
        /// When.
        time_s: f64,
        /// The step that was still refused.
        step_s: f64,
    },
    /// The limit of steps is spent.
    #[error(
        "the limit of {limit} steps is spent: look among the events for a part that switches without end, take the stiff integrator if the \
         explicit one runs, loosen the tolerance or shorten the run"
    )]
    TooManySteps {
        /// When.
        time_s: f64,
        /// The limit.
        limit: u64,
    },
    /// A guard fires again and again without time going on.
    #[error(
        "guard {guard} fired {count} times within {window_s} s: it chatters; widen its hysteresis"
    )]
    Chatter {
        /// When.
        time_s: f64,
        /// Which guard, as numbered at that time.
        guard: usize,
        /// How often.
        count: u32,
        /// In what span of time.
        window_s: f64,
    },
}

impl<F> IntegrationError<F> {
    /// When the run ended.
    #[must_use]
    pub fn time_s(&self) -> f64 {
        match *self {
            Self::Model { time_s, .. }
            | Self::NotFinite { time_s, .. }
            | Self::StepTooSmall { time_s, .. }
            | Self::TooManySteps { time_s, .. }
            | Self::Chatter { time_s, .. } => time_s,
        }
    }
}
