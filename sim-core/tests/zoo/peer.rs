//! The same problem by the Dormand-Prince method of the `ode_solvers` crate.

use super::Problem;
use ode_solvers::{DVector, Dopri5, OutputType, System};

/// A problem as the other library wants it.
struct Peer<P>(P);

impl<P: Problem> System<f64, DVector<f64>> for Peer<P> {
    fn system(&self, t_s: f64, y: &DVector<f64>, dy: &mut DVector<f64>) {
        self.0.rates(t_s, y.as_slice(), dy.as_mut_slice());
    }
}

/// The last state that the other library finds, with steps of at most `longest_s`; the
/// first one is as long, or left to the library if there is no bound.
pub fn run_peer<P: Problem>(problem: P, tolerance: f64, longest_s: f64) -> Option<Vec<f64>> {
    let (start_s, end_s) = problem.span_s();
    let y = DVector::from_vec(problem.start());
    let first_s = if longest_s.is_finite() {
        longest_s
    } else {
        0.0
    };
    // Never ask whether the problem is stiff, and let the run be as long as it needs.
    let (n_max, n_stiff) = (10_000_000, u32::MAX);
    let mut solver = Dopri5::from_param(
        Peer(problem),
        start_s,
        end_s,
        end_s - start_s,
        y,
        tolerance,
        tolerance,
        0.9,
        0.04,
        0.2,
        10.0,
        longest_s,
        first_s,
        n_max,
        n_stiff,
        OutputType::Sparse,
    );
    solver.integrate().ok()?;
    Some(solver.y_out().last()?.as_slice().to_vec())
}
