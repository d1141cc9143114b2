//! Explicit Runge-Kutta method of order 5 with embedded order 4 of J. R. Dormand and
//! P. J. Prince, A family of embedded Runge-Kutta formulae, Journal of Computational and
//! Applied Mathematics 6 (1980) 19-26; dense output of order 4 from Hairer, Norsett and
//! Wanner, Solving Ordinary Differential Equations I, section II.6.
//!
//! The tests compare it step by step with an independent implementation.

use super::stepper::{Interpolant, Refusal, Stepper, add_scaled, check_finite, error_norm};
use super::system::Rates;
use crate::outcome::Statistics;

const STAGES: usize = 7;

const NODE: [f64; STAGES] = [0.0, 1.0 / 5.0, 3.0 / 10.0, 4.0 / 5.0, 8.0 / 9.0, 1.0, 1.0];

/// The last row is the end of the step.
const A: [&[f64]; STAGES] = [
    &[],
    &[1.0 / 5.0],
    &[3.0 / 40.0, 9.0 / 40.0],
    &[44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0],
    &[
        19372.0 / 6561.0,
        -25360.0 / 2187.0,
        64448.0 / 6561.0,
        -212.0 / 729.0,
    ],
    &[
        9017.0 / 3168.0,
        -355.0 / 33.0,
        46732.0 / 5247.0,
        49.0 / 176.0,
        -5103.0 / 18656.0,
    ],
    &[
        35.0 / 384.0,
        0.0,
        500.0 / 1113.0,
        125.0 / 192.0,
        -2187.0 / 6784.0,
        11.0 / 84.0,
    ],
];

/// Order 5 less order 4.
const ERROR: [f64; STAGES] = [
    71.0 / 57600.0,
    0.0,
    -71.0 / 16695.0,
    71.0 / 1920.0,
    -17253.0 / 339200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];

/// Highest power of the dense output.
const DENSE: [f64; STAGES] = [
    -12715105075.0 / 11282082432.0,
    0.0,
    87487479700.0 / 32700410799.0,
    -10690763975.0 / 1880347072.0,
    701980252875.0 / 199316789632.0,
    -1453857185.0 / 822651844.0,
    69997945.0 / 29380423.0,
];

/// The method and its scratch.
pub struct Dopri5 {
    t_s: f64,
    step_s: f64,
    start: Vec<f64>,
    end: Vec<f64>,
    /// Rates of the stages.
    rates: [Vec<f64>; STAGES],
    error: Vec<f64>,
    /// Coefficients of the dense output above the linear one.
    dense: [Vec<f64>; 3],
}

impl Dopri5 {
    /// The method for a number of states.
    #[must_use]
    pub fn new(dimension: usize) -> Self {
        let zeros = || vec![0.0; dimension];
        Self {
            t_s: 0.0,
            step_s: 0.0,
            start: zeros(),
            end: zeros(),
            rates: std::array::from_fn(|_| zeros()),
            error: zeros(),
            dense: std::array::from_fn(|_| zeros()),
        }
    }
}

impl Interpolant for Dopri5 {
    fn interpolate(&self, theta: f64, y: &mut [f64]) {
        let rest = 1.0 - theta;
        let [bow, twist, bend] = &self.dense;
        for (i, y) in y.iter_mut().enumerate() {
            let curve = bow[i] + theta * (twist[i] + rest * bend[i]);
            *y = rest * self.start[i] + theta * (self.end[i] + rest * curve);
        }
    }
}

impl<R: Rates> Stepper<R> for Dopri5 {
    fn is_explicit(&self) -> bool {
        true
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
        self.t_s = t_s;
        self.start.copy_from_slice(y);
        if joined {
            // The last stage was evaluated at the end of the step.
            self.rates.swap(0, STAGES - 1);
            return Ok(());
        }
        statistics.evaluations += 1;
        system
            .rates(t_s, y, &mut self.rates[0])
            .map_err(Refusal::Fault)?;
        check_finite(&self.rates[0])
    }

    fn start_rates(&self) -> &[f64] {
        &self.rates[0]
    }

    fn curvature(
        &mut self,
        system: &R,
        probe_s: f64,
        out: &mut [f64],
        statistics: &mut Statistics,
    ) -> Result<(), Refusal<R::Fault>> {
        self.end.copy_from_slice(&self.start);
        add_scaled(&mut self.end, probe_s, &self.rates[0]);
        statistics.evaluations += 1;
        system
            .rates(self.t_s + probe_s, &self.end, out)
            .map_err(Refusal::Fault)?;
        for (out, rate) in out.iter_mut().zip(&self.rates[0]) {
            *out = (*out - rate) / probe_s;
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
        self.step_s = step_s;
        for i in 1..STAGES {
            self.end.copy_from_slice(&self.start);
            combine(&mut self.end, A[i], step_s, &self.rates);
            statistics.evaluations += 1;
            system
                .rates(self.t_s + NODE[i] * step_s, &self.end, &mut self.rates[i])
                .map_err(Refusal::Fault)?;
            check_finite(&self.rates[i])?;
        }
        self.error.fill(0.0);
        combine(&mut self.error, &ERROR, step_s, &self.rates);
        error_norm(system, tolerance, &self.error, &self.start, &self.end)
    }

    fn accept(&mut self) {
        let [bow, twist, bend] = &mut self.dense;
        bend.fill(0.0);
        combine(bend, &DENSE, self.step_s, &self.rates);
        let (first, last) = (&self.rates[0], &self.rates[STAGES - 1]);
        for i in 0..self.start.len() {
            let change = self.end[i] - self.start[i];
            bow[i] = self.step_s * first[i] - change;
            twist[i] = change - self.step_s * last[i] - bow[i];
        }
    }
}

/// `y += step * sum_j weights_j * rates_j`
fn combine(y: &mut [f64], weights: &[f64], step_s: f64, rates: &[Vec<f64>]) {
    for (weight, rate) in weights.iter().zip(rates) {
        if *weight != 0.0 {
            add_scaled(y, step_s * weight, rate);
        }
    }
}
