//! Refuses guards that fire again and again without time going on.

use super::tuning::Tuning;

/// Counts the events of each guard within a span of time.
#[derive(Default)]
pub(super) struct Chatter {
    /// Start of the span and events in it, by guard.
    counts: Vec<(f64, u32)>,
}

impl Chatter {
    /// Counts an event; the answer is the count that went beyond the limit.
    pub(super) fn count(&mut self, guard: usize, t_s: f64, tuning: &Tuning) -> Option<u32> {
        if self.counts.len() <= guard {
            self.counts.resize(guard + 1, (f64::NEG_INFINITY, 0));
        }
        let (since_s, count) = &mut self.counts[guard];
        if t_s - *since_s > tuning.chatter_window_s {
            (*since_s, *count) = (t_s, 0);
        }
        *count += 1;
        (*count > tuning.chatter_limit).then_some(*count)
    }
}
