//! Problems with known answers and one harness that runs them over every integrator.

#![allow(dead_code, reason = "each test file uses its own part of the zoo")]

pub mod closed_form;
pub mod ivp_set;
pub mod peer;
pub mod recorder;

use nalgebra::{DMatrix, DVector};
use shared::{Dual, Scalar};
pub use sim_core::integrate::Tuning;
use sim_core::integrate::{DenseStep, Driver, Hybrid, IntegrationError, Rates, Sink};
use sim_core::outcome::{Integrator, Statistics};

/// Directions of the Jacobian by dual numbers: 16 states and the time.
const DIRECTIONS: usize = 17;

/// Rates over any number type, and what switches them. The defaults are those of a smooth
/// system that is defined everywhere.
pub trait Equations {
    /// State at the first time.
    fn start(&self) -> Vec<f64>;
    /// The rates.
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]);
    /// Why there are no rates at this state.
    fn refusal(&self, _t_s: f64, _y: &[f64]) -> Option<Fault> {
        None
    }
    /// Magnitude of a state below which only absolute accuracy is asked.
    fn scale(&self, _state: usize) -> f64 {
        1.0
    }
    /// See [`Hybrid::guards`].
    fn guards(&self, _t_s: f64, _y: &[f64]) -> Vec<f64> {
        Vec::new()
    }
    /// See [`Hybrid::next_stop`].
    fn next_stop(&self, _t_s: f64) -> f64 {
        f64::INFINITY
    }
    /// See [`Hybrid::at_stop`].
    fn at_stop(&mut self, _t_s: f64, _y: &mut [f64]) {}
    /// See [`Hybrid::at_guard`].
    fn at_guard(&mut self, _guard: usize, _t_s: f64, _y: &mut [f64]) {}
    /// See [`Hybrid::is_gentle`].
    fn is_gentle(&self, _guard: usize) -> bool {
        false
    }
    /// See [`Hybrid::finished`].
    fn finished(&self) -> bool {
        false
    }
}

/// An initial value problem with a known end.
pub trait Problem: Equations {
    /// What messages call it.
    fn name(&self) -> &'static str;
    /// First and last time.
    fn span_s(&self) -> (f64, f64);
    /// State at the last time, closed form or published.
    fn end(&self) -> Vec<f64>;
}

/// A problem with a closed form at all times.
pub trait ClosedForm: Problem {
    /// State at a time.
    fn at(&self, t_s: f64) -> Vec<f64>;
}

/// What a system of the zoo says when it refuses a state.
pub type Fault = &'static str;

/// Makes equations a system, with the Jacobian by dual numbers.
pub struct Lifted<E>(pub E);

impl<E: Equations> Rates for Lifted<E> {
    type Fault = Fault;

    fn dimension(&self) -> usize {
        self.0.start().len()
    }

    fn rates(&self, t_s: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Fault> {
        self.0.rates(t_s, y, dy);
        self.0.refusal(t_s, y).map_or(Ok(()), Err)
    }

    fn jacobian(
        &self,
        t_s: f64,
        y: &[f64],
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Fault> {
        let n = y.len();
        let mut lifted = [Dual::<DIRECTIONS>::constant(0.0); DIRECTIONS];
        for (i, (dual, value)) in lifted.iter_mut().zip(y).enumerate() {
            *dual = Dual::variable(*value, i);
        }
        let mut rates = [Dual::<DIRECTIONS>::constant(0.0); DIRECTIONS];
        self.0
            .rates(Dual::variable(t_s, n), &lifted[..n], &mut rates[..n]);
        for (row, rate) in rates[..n].iter().enumerate() {
            for column in 0..n {
                jacobian[(row, column)] = rate.slope[column];
            }
            time_slope[row] = rate.slope[n];
        }
        Ok(())
    }

    fn scale(&self, i: usize) -> f64 {
        self.0.scale(i)
    }
}

impl<E: Equations> Hybrid for Lifted<E> {
    fn guards(&self, t_s: f64, y: &[f64], values: &mut Vec<f64>) -> Result<(), Fault> {
        assert!(values.is_empty(), "the list arrives empty");
        values.extend(self.0.guards(t_s, y));
        Ok(())
    }

    fn next_stop(&self, t_s: f64) -> f64 {
        self.0.next_stop(t_s)
    }

    fn at_stop(&mut self, t_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        self.0.at_stop(t_s, y);
        Ok(())
    }

    fn at_guard(&mut self, guard: usize, t_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        self.0.at_guard(guard, t_s, y);
        Ok(())
    }

    fn is_gentle(&self, guard: usize, _: f64, _: &[f64]) -> Result<bool, Fault> {
        Ok(self.0.is_gentle(guard))
    }

    fn finished(&self) -> bool {
        self.0.finished()
    }
}

/// Both integrators.
pub const INTEGRATORS: [Integrator; 2] = [Integrator::Rodas5p, Integrator::Dopri5];

/// Runs a problem; the answer is the last state and the work.
pub fn run<P: Problem, K: Sink<Lifted<P>>>(
    problem: P,
    integrator: Integrator,
    tuning: Tuning,
    sink: &mut K,
) -> Result<(Vec<f64>, Statistics), IntegrationError<Fault>> {
    let mut y = problem.start();
    let span_s = problem.span_s();
    let mut statistics = Statistics::default();
    let driver = Driver { integrator, tuning };
    driver.run(&mut Lifted(problem), span_s, &mut y, sink, &mut statistics)?;
    Ok((y, statistics))
}

/// Runs with steps of one length, whatever the error estimate says.
pub fn fixed_steps(step_s: f64) -> Tuning {
    Tuning {
        tolerance: 1e30,
        longest_step_s: step_s,
        ..Tuning::default()
    }
}

/// Largest difference, each relative to `scale + |expected|`.
pub fn worst<E: Equations>(problem: &E, got: &[f64], expected: &[f64]) -> f64 {
    got.iter()
        .zip(expected)
        .enumerate()
        .map(|(i, (g, e))| (g - e).abs() / (problem.scale(i) + e.abs()))
        .fold(0.0, f64::max)
}

/// Keeps the worst error of the dense output inside the steps.
pub struct DenseError<C> {
    pub solution: C,
    pub worst: f64,
}

impl<C: ClosedForm> Sink<Lifted<C>> for DenseError<C> {
    fn step(&mut self, _: &Lifted<C>, step: &dyn DenseStep) -> Result<(), Fault> {
        let mut y = self.solution.start();
        for k in 1..10 {
            let part = f64::from(k) / 10.0;
            let t_s = step.start_s() + part * (step.end_s() - step.start_s());
            step.interpolate(t_s, &mut y);
            let error = worst(&self.solution, &y, &self.solution.at(t_s));
            self.worst = self.worst.max(error);
        }
        Ok(())
    }

    fn before(&mut self, _: &Lifted<C>, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }

    fn after(&mut self, _: &Lifted<C>, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }
}
