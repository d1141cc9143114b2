//! Problems with known answers and one harness that runs them over every integrator.

#![allow(dead_code, reason = "each test file uses its own part of the zoo")]

pub mod closed_form;
pub mod ivp_set;

use nalgebra::{DMatrix, DVector};
use shared::{Dual, Scalar};
pub use sim_core::integrate::Tuning;
use sim_core::integrate::{DenseStep, Driver, Hybrid, IntegrationError, Rates, Sink};
use sim_core::outcome::{Integrator, Statistics};

/// Directions of the Jacobian by dual numbers: 16 states and the time.
const DIRECTIONS: usize = 17;

/// A smooth initial value problem.
pub trait Problem {
    /// What messages call it.
    fn name(&self) -> &'static str;
    /// First and last time.
    fn span_s(&self) -> (f64, f64);
    /// State at the first time.
    fn start(&self) -> Vec<f64>;
    /// State at the last time, closed form or published.
    fn end(&self) -> Vec<f64>;
    /// Magnitude of a state below which only absolute accuracy is asked.
    fn scale(&self, _state: usize) -> f64 {
        1.0
    }
    /// The rates, also over dual numbers.
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]);
}

/// A problem with a closed form at all times.
pub trait ClosedForm: Problem {
    /// State at a time.
    fn at(&self, t_s: f64) -> Vec<f64>;
}

/// A fault that cannot occur in the zoo.
pub type Never = std::convert::Infallible;

/// Makes a problem a system without guards and stops.
pub struct Smooth<P>(pub P);

impl<P: Problem> Rates for Smooth<P> {
    type Fault = Never;

    fn dimension(&self) -> usize {
        self.0.start().len()
    }

    fn rates(&self, t_s: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Never> {
        self.0.rates(t_s, y, dy);
        Ok(())
    }

    fn jacobian(
        &self,
        t_s: f64,
        y: &[f64],
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Never> {
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

impl<P: Problem> Hybrid for Smooth<P> {
    fn guards(&self, _: f64, _: &[f64], _: &mut Vec<f64>) -> Result<(), Never> {
        Ok(())
    }

    fn next_stop(&self, _: f64) -> f64 {
        f64::INFINITY
    }

    fn at_stop(&mut self, _: f64, _: &mut [f64]) -> Result<(), Never> {
        Ok(())
    }

    fn at_guard(&mut self, _: usize, _: f64, _: &mut [f64]) -> Result<(), Never> {
        Ok(())
    }
}

/// Both integrators.
pub const INTEGRATORS: [Integrator; 2] = [Integrator::Rodas5p, Integrator::Dopri5];

/// Runs a problem; the answer is the last state and the work.
pub fn run<P: Problem, K: Sink<Smooth<P>>>(
    problem: P,
    integrator: Integrator,
    tuning: Tuning,
    sink: &mut K,
) -> Result<(Vec<f64>, Statistics), IntegrationError<Never>> {
    let mut y = problem.start();
    let span_s = problem.span_s();
    let mut statistics = Statistics::default();
    let driver = Driver { integrator, tuning };
    driver.run(&mut Smooth(problem), span_s, &mut y, sink, &mut statistics)?;
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
pub fn worst<P: Problem>(problem: &P, got: &[f64], expected: &[f64]) -> f64 {
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

impl<P: Problem, C: ClosedForm> Sink<Smooth<P>> for DenseError<C> {
    fn step(&mut self, _: &Smooth<P>, step: &dyn DenseStep) -> Result<(), Never> {
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

    fn before(&mut self, _: &Smooth<P>, _: f64, _: &[f64]) -> Result<(), Never> {
        Ok(())
    }

    fn after(&mut self, _: &Smooth<P>, _: f64, _: &[f64]) -> Result<(), Never> {
        Ok(())
    }
}
