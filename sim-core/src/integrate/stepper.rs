//! The contract of a one-step method.

use super::system::Rates;
use crate::outcome::Statistics;

/// Why a trial step came to nothing. The driver tries a shorter one.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal<F> {
    /// The model refused.
    Fault(F),
    /// This state or its rate is not finite.
    NotFinite(usize),
    /// The matrix of the step has no inverse.
    Singular,
}

/// The dense output of a step.
pub trait Interpolant {
    /// Writes the state at the part `theta` (0 to 1) of the step into `y`; at 1 exactly the
    /// end of the step.
    fn interpolate(&self, theta: f64, y: &mut [f64]);
}

/// A one-step method with embedded error estimate and dense output. Holds the scratch of
/// one step, so that none is allocated on the way.
///
/// The order of calls is `begin`, then `attempt` until a step pleases, then `accept`;
/// after that the interpolant describes the step until the next `begin`.
pub trait Stepper<R: Rates>: Interpolant {
    /// Whether stability bounds the step, not the error alone.
    fn is_explicit(&self) -> bool;

    /// The error estimate of a step of length h shrinks as `h^error_order`.
    fn error_order(&self) -> f64;

    /// Evaluates what does not depend on the length of the step at its start. `joined`
    /// says that the start is the end of the step accepted last, with nothing changed.
    ///
    /// # Errors
    /// [`Refusal::Fault`] or [`Refusal::NotFinite`]; no step can start here.
    fn begin(
        &mut self,
        system: &R,
        t_s: f64,
        y: &[f64],
        joined: bool,
        statistics: &mut Statistics,
    ) -> Result<(), Refusal<R::Fault>>;

    /// The rates at the start.
    fn start_rates(&self) -> &[f64];

    /// Writes the second derivative of the state at the start into `out`; a method
    /// without a Jacobian takes it from the rates a time `probe_s` later.
    ///
    /// # Errors
    /// As [`Stepper::attempt`].
    fn curvature(
        &mut self,
        system: &R,
        probe_s: f64,
        out: &mut [f64],
        statistics: &mut Statistics,
    ) -> Result<(), Refusal<R::Fault>>;

    /// Tries a step; the answer is its error relative to the tolerance, root mean square
    /// over the states, finite.
    ///
    /// # Errors
    /// The reason why this length is impossible.
    fn attempt(
        &mut self,
        system: &R,
        step_s: f64,
        tolerance: f64,
        statistics: &mut Statistics,
    ) -> Result<f64, Refusal<R::Fault>>;

    /// Takes the step tried last and prepares its dense output.
    fn accept(&mut self);
}

/// Root mean square of `error_i / (tolerance * (scale_i + max(|start_i|, |end_i|)))`; what only counts
/// is measured by its scale alone, since how far it has come says nothing of what it may be off.
///
/// # Errors
/// [`Refusal::NotFinite`] with the first state whose end or error is not finite.
pub(super) fn error_norm<R: Rates>(
    system: &R,
    tolerance: f64,
    error: &[f64],
    start: &[f64],
    end: &[f64],
) -> Result<f64, Refusal<R::Fault>> {
    let mut sum = 0.0;
    for (i, ((error, start), end)) in error.iter().zip(start).zip(end).enumerate() {
        if !(error.is_finite() && end.is_finite()) {
            return Err(Refusal::NotFinite(i));
        }
        let size = match i < system.coupled() {
            true => start.abs().max(end.abs()),
            false => 0.0,
        };
        let part = error / (system.scale(i) + size);
        sum += part * part;
    }
    // An empty system has no error.
    Ok((sum / error.len().max(1) as f64).sqrt() / tolerance)
}

/// # Errors
/// [`Refusal::NotFinite`] with the first state whose rate is not finite.
pub(super) fn check_finite<F>(rates: &[f64]) -> Result<(), Refusal<F>> {
    match rates.iter().position(|r| !r.is_finite()) {
        Some(i) => Err(Refusal::NotFinite(i)),
        None => Ok(()),
    }
}

/// `y += factor * x`
#[inline]
pub(super) fn add_scaled(y: &mut [f64], factor: f64, x: &[f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y += factor * x;
    }
}
