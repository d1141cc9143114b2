//! Problems whose solution is known at all times.

use super::{ClosedForm, Equations, Problem};
use shared::Scalar;

/// `y' = y cos t`, `y = exp(sin t)`: linear, driven by time alone.
#[derive(Clone, Copy)]
pub struct Swing;

impl Equations for Swing {
    fn start(&self) -> Vec<f64> {
        vec![1.0]
    }
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[0] * t.cos();
    }
}

impl Problem for Swing {
    fn name(&self) -> &'static str {
        "swing"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 6.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(6.0)
    }
}

impl ClosedForm for Swing {
    fn at(&self, t_s: f64) -> Vec<f64> {
        vec![t_s.sin().exp()]
    }
}

/// Four coupled, non-linear, non-autonomous rates (Hairer, Norsett and Wanner, Solving
/// Ordinary Differential Equations I, section II.1, from memory; the solution is checked by
/// insertion):
/// `y1' = 2 t y2^(1/5) y4, y2' = 10 t exp(5 (y3 - 1)) y4, y3' = 2 t y4, y4' = -2 t ln y1`,
/// `y = (exp(sin t^2), exp(5 sin t^2), sin t^2 + 1, cos t^2)`.
#[derive(Clone, Copy)]
pub struct Braid;

impl Equations for Braid {
    fn start(&self) -> Vec<f64> {
        vec![1.0; 4]
    }
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]) {
        dy[0] = t * 2.0 * y[1].powf(0.2) * y[3];
        dy[1] = t * 10.0 * ((y[2] - 1.0) * 5.0).exp() * y[3];
        dy[2] = t * 2.0 * y[3];
        dy[3] = t * -2.0 * y[0].ln();
    }
}

impl Problem for Braid {
    fn name(&self) -> &'static str {
        "braid"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 2.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(2.0)
    }
}

impl ClosedForm for Braid {
    fn at(&self, t_s: f64) -> Vec<f64> {
        let (s, c) = (t_s * t_s).sin_cos();
        vec![s.exp(), (5.0 * s).exp(), s + 1.0, c]
    }
}

/// Problem of Kaps: `y1' = -(k + 2) y1 + k y2^2, y2' = y1 - y2 - y2^2`, stiff as k grows;
/// `y = (exp(-2 t), exp(-t))` for every k (Dekker and Verwer, Stability of Runge-Kutta
/// Methods for Stiff Nonlinear Differential Equations, 1984, from memory; the solution is
/// checked by insertion).
#[derive(Clone, Copy)]
pub struct Kaps {
    pub stiffness: f64,
}

impl Equations for Kaps {
    fn start(&self) -> Vec<f64> {
        vec![1.0, 1.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[0] * -(self.stiffness + 2.0) + y[1].squared() * self.stiffness;
        dy[1] = y[0] - y[1] - y[1].squared();
    }
}

impl Problem for Kaps {
    fn name(&self) -> &'static str {
        "kaps"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 1.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(1.0)
    }
}

impl ClosedForm for Kaps {
    fn at(&self, t_s: f64) -> Vec<f64> {
        vec![(-2.0 * t_s).exp(), (-t_s).exp()]
    }
}

/// `y' = k (cos t - y) - sin t`, `y = cos t`: stiff and driven by time (A. Prothero and
/// A. Robinson, Mathematics of Computation 28 (1974) 145-162).
#[derive(Clone, Copy)]
pub struct Follower {
    pub stiffness: f64,
}

impl Equations for Follower {
    fn start(&self) -> Vec<f64> {
        vec![1.0]
    }
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]) {
        dy[0] = (t.cos() - y[0]) * self.stiffness - t.sin();
    }
}

impl Problem for Follower {
    fn name(&self) -> &'static str {
        "follower"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 3.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(3.0)
    }
}

impl ClosedForm for Follower {
    fn at(&self, t_s: f64) -> Vec<f64> {
        vec![t_s.cos()]
    }
}

/// A chain of 16 cells that exchange with their neighbours, the ends with zero:
/// `y_i' = k (y_(i-1) - 2 y_i + y_(i+1))`. Starts as the sum of the slowest and the fastest
/// eigenvector, `sin(m pi i/17)`, each of which decays with `4 k sin^2(m pi/34)`.
#[derive(Clone, Copy)]
pub struct Chain {
    pub exchange: f64,
}

impl Chain {
    const CELLS: usize = 16;

    /// Cell `i` (from 1) of eigenvector `m` at a time.
    fn mode(&self, m: f64, i: f64, t_s: f64) -> f64 {
        let angle = m * std::f64::consts::PI / 17.0;
        let decay = 4.0 * self.exchange * (0.5 * angle).sin().powi(2);
        (angle * i).sin() * (-decay * t_s).exp()
    }
}

impl Equations for Chain {
    fn start(&self) -> Vec<f64> {
        self.at(0.0)
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        let cell = |i: Option<usize>| i.and_then(|i| y.get(i)).copied().unwrap_or_else(S::zero);
        for (i, rate) in dy.iter_mut().enumerate() {
            let (left, right) = (cell(i.checked_sub(1)), cell(Some(i + 1)));
            *rate = (left - y[i] * 2.0 + right) * self.exchange;
        }
    }
}

impl Problem for Chain {
    fn name(&self) -> &'static str {
        "chain"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 5.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(5.0)
    }
}

impl ClosedForm for Chain {
    fn at(&self, t_s: f64) -> Vec<f64> {
        (1..=Self::CELLS)
            .map(|i| self.mode(1.0, i as f64, t_s) + self.mode(16.0, i as f64, t_s))
            .collect()
    }
}

/// A body on an ellipse of half axis 1 about a centre of strength 1, from its nearest
/// point; the place follows from Kepler's equation `t = E - e sin E`.
#[derive(Clone, Copy)]
pub struct Orbit {
    pub eccentricity: f64,
}

impl Equations for Orbit {
    fn start(&self) -> Vec<f64> {
        self.at(0.0)
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        let cube = (y[0].squared() + y[1].squared()).powf(1.5);
        dy[0] = y[2];
        dy[1] = y[3];
        dy[2] = -y[0] / cube;
        dy[3] = -y[1] / cube;
    }
}

impl Problem for Orbit {
    fn name(&self) -> &'static str {
        "orbit"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 8.0)
    }
    fn end(&self) -> Vec<f64> {
        self.at(8.0)
    }
}

impl ClosedForm for Orbit {
    fn at(&self, t_s: f64) -> Vec<f64> {
        let e = self.eccentricity;
        let mut anomaly = t_s;
        // Newton's method; far more rounds than it needs.
        for _ in 0..50 {
            anomaly -= (anomaly - e * anomaly.sin() - t_s) / (1.0 - e * anomaly.cos());
        }
        let (s, c) = anomaly.sin_cos();
        let minor = (1.0 - e * e).sqrt();
        let pace = 1.0 / (1.0 - e * c);
        vec![c - e, minor * s, -s * pace, minor * c * pace]
    }
}
