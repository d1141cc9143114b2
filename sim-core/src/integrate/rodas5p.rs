//! Rodas5P: linearly implicit Rosenbrock-Wanner method of order 5, stiffly accurate,
//! with embedded error estimate of order 4 and dense output of order 4.
//!
//! Transformed form (Hairer and Wanner, Solving Ordinary Differential Equations II,
//! section IV.7):
//!
//! ```text
//! (I/(h g) - J) k_i = f(t + ct_i h, y + sum_j a_ij k_j) + h d_i df/dt + sum_j c_ij k_j / h
//! y1 = (state of the last stage) + k_8,   error = k_8
//! y(theta) = (1 - theta) y + theta (y1 + (1 - theta) sum_r theta^r sum_j h_rj k_j)
//! ```
//!
//! The error estimate looks at the end of the step. Inside a step that is a thousand times
//! longer than a time constant, the state that this time constant rules is known to some
//! ten times the tolerance, with ever longer steps to more: the damping that makes the end
//! of the step better than its order does not reach the dense output.
//!
//! One Jacobian and one factorisation a step. Nothing is carried from step to step, so a
//! restart after an event keeps the order, and runs with nearly equal data take nearly
//! equal steps.

use super::lu::Lu;
use super::rodas5p_table::{A, C, DENSE, GAMMA, NODE, STAGES, TIME_SLOPE};
use super::stepper::{Interpolant, Refusal, Stepper, add_scaled, check_finite, error_norm};
use super::system::Rates;
use crate::outcome::Statistics;
use nalgebra::{DMatrix, DVector};

/// The method and its scratch.
pub struct Rodas5p {
    t_s: f64,
    start: Vec<f64>,
    start_rates: Vec<f64>,
    jacobian: DMatrix<f64>,
    time_slope: DVector<f64>,
    factors: Lu,
    /// The increments of the stages, one after the other.
    increments: Vec<f64>,
    /// State of the present stage; after the last one the end of the step.
    stage: Vec<f64>,
    /// Rates of the present stage.
    stage_rates: Vec<f64>,
    /// One row for each power of theta.
    dense: [Vec<f64>; 3],
}

impl Rodas5p {
    /// The method for a number of states, of which the first `coupled` have columns in the
    /// Jacobian.
    #[must_use]
    pub fn new(dimension: usize, coupled: usize) -> Self {
        let zeros = vec![0.0; dimension];
        Self {
            t_s: 0.0,
            start: zeros.clone(),
            start_rates: zeros.clone(),
            jacobian: DMatrix::zeros(dimension, dimension),
            time_slope: DVector::zeros(dimension),
            factors: Lu::new(dimension, coupled),
            increments: vec![0.0; STAGES * dimension],
            stage: zeros.clone(),
            stage_rates: zeros.clone(),
            dense: [zeros.clone(), zeros.clone(), zeros],
        }
    }

    /// Sets the state of stage `i` from the increments before it.
    fn place(&mut self, i: usize) {
        let n = self.start.len();
        match A.get(i) {
            Some(row) => {
                self.stage.copy_from_slice(&self.start);
                combine(&mut self.stage, row, &self.increments);
            }
            None => add_scaled(&mut self.stage, 1.0, &self.increments[(i - 1) * n..]),
        }
    }

    /// Tells a Jacobian that is not finite from a matrix without inverse.
    fn why_singular<F>(&self) -> Refusal<F> {
        let finite = |row: &usize| self.jacobian.row(*row).iter().all(|v| v.is_finite());
        match (0..self.start.len()).find(|row| !finite(row)) {
            Some(row) => Refusal::NotFinite(row),
            None => Refusal::Singular,
        }
    }

    /// Computes the increment of stage `i` from the rates at its state.
    fn solve(&mut self, i: usize, step_s: f64) {
        let n = self.start.len();
        let (known, open) = self.increments.split_at_mut(i * n);
        let increment = &mut open[..n];
        increment.fill(0.0);
        combine(increment, C[i], known);
        let rates = if i == 0 {
            &self.start_rates
        } else {
            &self.stage_rates
        };
        let slope = self.time_slope.as_slice();
        let (inverse_step, weight) = (step_s.recip(), step_s * TIME_SLOPE[i]);
        for ((k, rate), slope) in increment.iter_mut().zip(rates).zip(slope) {
            *k = rate + weight * slope + *k * inverse_step;
        }
        self.factors.solve(increment);
    }
}

impl Interpolant for Rodas5p {
    fn interpolate(&self, theta: f64, y: &mut [f64]) {
        let rest = 1.0 - theta;
        let [d0, d1, d2] = &self.dense;
        for (i, y) in y.iter_mut().enumerate() {
            let bend = d0[i] + theta * (d1[i] + theta * d2[i]);
            *y = rest * self.start[i] + theta * (self.stage[i] + rest * bend);
        }
    }
}

impl<R: Rates> Stepper<R> for Rodas5p {
    fn is_explicit(&self) -> bool {
        false
    }

    fn error_order(&self) -> f64 {
        5.0
    }

    fn begin(
        &mut self,
        system: &R,
        t_s: f64,
        y: &[f64],
        joined: bool,
        statistics: &mut Statistics,
    ) -> Result<(), Refusal<R::Fault>> {
        if !joined {
            self.factors.measure(|i| system.scale(i));
        }
        self.t_s = t_s;
        self.start.copy_from_slice(y);
        statistics.evaluations += 1;
        system
            .rates(t_s, y, &mut self.start_rates)
            .map_err(Refusal::Fault)?;
        check_finite(&self.start_rates)?;
        statistics.jacobians += 1;
        system
            .jacobian(t_s, y, &mut self.jacobian, &mut self.time_slope)
            .map_err(Refusal::Fault)?;
        if !joined {
            self.factors.arrange(&self.jacobian);
        }
        Ok(())
    }

    fn start_rates(&self) -> &[f64] {
        &self.start_rates
    }

    fn curvature(
        &mut self,
        _system: &R,
        _probe_s: f64,
        out: &mut [f64],
        _statistics: &mut Statistics,
    ) -> Result<(), Refusal<R::Fault>> {
        out.copy_from_slice(self.time_slope.as_slice());
        for (column, rate) in self.jacobian.column_iter().zip(&self.start_rates) {
            add_scaled(out, *rate, column.as_slice());
        }
        check_finite(out)
    }

    fn attempt(
        &mut self,
        system: &R,
        step_s: f64,
        tolerance: f64,
        statistics: &mut Statistics,
    ) -> Result<f64, Refusal<R::Fault>> {
        statistics.factorisations += 1;
        if !self
            .factors
            .factor_shifted((step_s * GAMMA).recip(), &self.jacobian)
        {
            return Err(self.why_singular());
        }
        self.solve(0, step_s);
        for (i, node) in NODE.iter().enumerate().skip(1) {
            self.place(i);
            statistics.evaluations += 1;
            system
                .rates(self.t_s + node * step_s, &self.stage, &mut self.stage_rates)
                .map_err(Refusal::Fault)?;
            check_finite(&self.stage_rates)?;
            self.solve(i, step_s);
        }
        let last = &self.increments[(STAGES - 1) * self.start.len()..];
        add_scaled(&mut self.stage, 1.0, last);
        error_norm(system, tolerance, last, &self.start, &self.stage)
    }

    fn accept(&mut self) {
        for (row, weights) in self.dense.iter_mut().zip(&DENSE) {
            row.fill(0.0);
            combine(row, weights, &self.increments);
        }
    }
}

/// `y += sum_j weights_j * increments_j`, by pairs: the passes over `y` are what it costs.
fn combine(y: &mut [f64], weights: &[f64], increments: &[f64]) {
    let n = y.len();
    let (pairs, odd) = weights.as_chunks::<2>();
    for ([a, b], increments) in pairs.iter().zip(increments.chunks_exact((2 * n).max(1))) {
        let (u, v) = increments.split_at(n);
        for ((y, u), v) in y.iter_mut().zip(u).zip(v) {
            *y += a * u + b * v;
        }
    }
    if let [weight] = odd {
        add_scaled(y, *weight, &increments[2 * pairs.len() * n..]);
    }
}
