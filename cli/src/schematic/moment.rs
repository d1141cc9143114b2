//! The values of a run at a moment.

use scenarios::summary::trace::Trace;
use sim_core::outcome::History;

/// A moment of a run.
#[derive(Clone, Copy, Debug)]
pub struct Moment<'a> {
    /// The run.
    pub history: &'a History,
    /// When.
    pub time_s: f64,
}

impl<'a> Moment<'a> {
    /// The moment of a run that is nearest to a time; none of a run without a history.
    #[must_use]
    pub fn of(history: &'a History, time_s: f64) -> Option<Self> {
        let (first, last) = Trace::of(history, "time_s")?.span_s();
        Some(Self {
            history,
            time_s: time_s.clamp(first, last),
        })
    }

    /// A column of a component, in SI; none if the history has no such.
    pub(super) fn value(&self, component: &str, quantity: &str) -> Option<f64> {
        let trace = Trace::of_component(self.history, component, quantity)?;
        Some(trace.before(self.time_s))
    }
}
