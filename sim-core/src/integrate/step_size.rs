//! How long the next step is.

use super::tuning::Tuning;

/// Step size controller with memory (Gustafsson's PI controller as in Hairer and Wanner,
/// Solving Ordinary Differential Equations II, section IV.2).
pub(super) struct Controller {
    /// Relative error of the last accepted step.
    last_error: f64,
    /// The last trial was refused, so the next step must not grow.
    refused: bool,
    /// Weight of the last error.
    memory: f64,
}

/// Errors below count as this one, so that a perfect step does not unbalance the memory.
const LEAST_ERROR: f64 = 1e-4;

impl Controller {
    pub(super) fn new(memory: f64) -> Self {
        Self {
            memory,
            last_error: LEAST_ERROR,
            refused: false,
        }
    }

    /// Factor on the step after an error that is within the tolerance.
    pub(super) fn after_success(&mut self, error: f64, order: f64, tuning: &Tuning) -> f64 {
        let exponent = order.recip() - 0.75 * self.memory;
        let bare = error.powf(-exponent) * self.last_error.powf(self.memory);
        let growth = if self.refused { 1.0 } else { tuning.growth };
        self.last_error = error.max(LEAST_ERROR);
        self.refused = false;
        (tuning.safety * bare).clamp(tuning.shrink, growth)
    }

    /// Factor on the step after an error beyond the tolerance.
    pub(super) fn after_excess(&mut self, error: f64, order: f64, tuning: &Tuning) -> f64 {
        // Refused again, the estimate is not yet that of its order: it cannot be trusted.
        let most = if self.refused {
            tuning.retreat
        } else {
            tuning.safety
        };
        self.refused = true;
        (tuning.safety * error.powf(-order.recip())).clamp(tuning.shrink.min(most), most)
    }

    /// Factor on the step after the model refused it.
    pub(super) fn after_refusal(&mut self, tuning: &Tuning) -> f64 {
        self.refused = true;
        tuning.retreat
    }
}

/// Part of itself by which the state may move in a first step. The curvature may vanish by chance
/// at the very start.
pub(super) const FIRST_MOTION: f64 = 0.1;

/// Step with which to start, from the size of rates and of their change, both relative to
/// the error allowed (1/s and 1/s2).
///
/// The time constant `tau = slope / curvature` of what goes on stands for all higher
/// derivatives: error = `TAYLOR h slope (h/tau)^(order-1)`. The step over which the state
/// moves by the error allowed is the least that any method can take.
pub(super) fn first_step_s(slope: f64, curvature: f64, order: f64, tolerance: f64) -> f64 {
    const TAYLOR: f64 = 1e-3;
    let stretch = slope.powf(order - 2.0) / (TAYLOR * curvature.powf(order - 1.0));
    let by_error = stretch.powf(order.recip());
    let by_motion = 2.0 / (slope + (slope * slope + 2.0 * curvature).sqrt());
    // A system at rest makes the first undefined, which f64::min ignores.
    by_error
        .min(FIRST_MOTION / (tolerance * slope))
        .max(by_motion)
}

/// Length of the step that leads towards `remaining_s`: the whole of it, or half where
/// the next step would be a stump.
pub(super) fn fit_s(step_s: f64, remaining_s: f64) -> f64 {
    if remaining_s <= step_s {
        remaining_s
    } else if remaining_s < 2.0 * step_s {
        0.5 * remaining_s
    } else {
        step_s
    }
}

/// Root mean square of `value_i / weight_i`.
pub(super) fn weighed(values: &[f64], weights: &[f64]) -> f64 {
    let sum: f64 = values
        .iter()
        .zip(weights)
        .map(|(value, weight)| (value / weight) * (value / weight))
        .sum();
    (sum / values.len().max(1) as f64).sqrt()
}
