//! Every constant that steers an integration, with its unit and its effect.

/// Steers step size, events and limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tuning {
    /// Error allowed per step, relative to `scale + |y|` (root mean square over the
    /// states), 1. Work grows as its -1/5 power.
    pub tolerance: f64,
    /// Part of the step that the error estimate would just allow, 1. Lower: fewer
    /// refused steps, more steps in all.
    pub safety: f64,
    /// Weight of the last step's error in the choice of the next, of an explicit method, 1.
    /// Damps the swing of the step size, without which such a method at its stability bound
    /// refuses every eighth step; 0 is the plain controller, which an implicit method has: with
    /// memory it needs a tenth more steps.
    pub memory: f64,
    /// A step is at most so many times the last, 1. Higher: faster out of a transient,
    /// more refusals at the next.
    pub growth: f64,
    /// A step is at least this part of the last or refused one, 1.
    pub shrink: f64,
    /// Part of a step that is tried after the model refused it, 1.
    pub retreat: f64,
    /// Longest step, s. Infinity leaves it to the error estimate.
    pub longest_step_s: f64,
    /// Shortest step, s; a few last digits of the present time bind too. A run whose
    /// step falls below ends with an error.
    pub shortest_step_s: f64,
    /// Most steps of a run, refused ones and restarts included.
    pub step_limit: u64,
    /// Width to which an event is located, relative to the step, 1. Higher: run-to-run
    /// noise of events, which spoils differences of runs.
    pub event_width: f64,
    /// Times that a guard may fire within `chatter_window_s`.
    pub chatter_limit: u32,
    /// Span of time over which the firing of a guard is counted, s.
    pub chatter_window_s: f64,
}

impl Tuning {
    /// The usual tuning at a tolerance.
    #[must_use]
    pub fn at(tolerance: f64) -> Self {
        Self {
            tolerance,
            ..Self::default()
        }
    }
}

impl Default for Tuning {
    fn default() -> Self {
        Self {
            tolerance: 1e-6,
            safety: 0.85,
            memory: 0.04,
            growth: 6.0,
            shrink: 0.2,
            retreat: 0.25,
            longest_step_s: f64::INFINITY,
            shortest_step_s: 1e-14,
            step_limit: 1_000_000,
            event_width: 1e-13,
            chatter_limit: 200,
            chatter_window_s: 1e-3,
        }
    }
}
