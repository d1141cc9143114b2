//! Stiff problems of the Test Set for IVP Solvers (F. Mazzia and C. Magherini, University of
//! Bari, release 2.4, 2008) with its reference solutions.

use super::{Equations, Problem};
use shared::Scalar;

/// HIRES: a photochemical reaction of eight species.
#[derive(Clone, Copy)]
pub struct Hires;

impl Equations for Hires {
    fn start(&self) -> Vec<f64> {
        vec![1.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0057]
    }
    fn scale(&self, _: usize) -> f64 {
        1e-3
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        let bond = y[5] * y[7] * 280.0;
        dy[0] = y[0] * -1.71 + y[1] * 0.43 + y[2] * 8.32 + 0.0007;
        dy[1] = y[0] * 1.71 - y[1] * 8.75;
        dy[2] = y[2] * -10.03 + y[3] * 0.43 + y[4] * 0.035;
        dy[3] = y[1] * 8.32 + y[2] * 1.71 - y[3] * 1.12;
        dy[4] = y[4] * -1.745 + y[5] * 0.43 + y[6] * 0.43;
        dy[5] = -bond + y[3] * 0.69 + y[4] * 1.71 - y[5] * 0.43 + y[6] * 0.69;
        dy[6] = bond - y[6] * 1.81;
        dy[7] = -bond + y[6] * 1.81;
    }
}

impl Problem for Hires {
    fn name(&self) -> &'static str {
        "HIRES"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 321.8122)
    }
    fn end(&self) -> Vec<f64> {
        vec![
            0.737_131_257_332_566_8e-3,
            0.144_248_572_631_618_5e-3,
            0.588_872_974_096_757_5e-4,
            0.117_565_134_328_314_9e-2,
            0.238_635_619_883_133_1e-2,
            0.623_896_825_274_279_6e-2,
            0.284_999_839_518_576_9e-2,
            0.285_000_160_481_423_1e-2,
        ]
    }
}

/// ROBER: Robertson's reaction over eleven decades of time.
#[derive(Clone, Copy)]
pub struct Rober;

impl Equations for Rober {
    fn start(&self) -> Vec<f64> {
        vec![1.0, 0.0, 0.0]
    }
    fn scale(&self, state: usize) -> f64 {
        // The end values of the first two, so that their relative error counts.
        [1e-8, 1e-14, 1.0][state]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[0] * -0.04 + y[1] * y[2] * 1e4;
        dy[2] = y[1].squared() * 3e7;
        dy[1] = -dy[0] - dy[2];
    }
}

impl Problem for Rober {
    fn name(&self) -> &'static str {
        "ROBER"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 1e11)
    }
    fn end(&self) -> Vec<f64> {
        vec![
            0.208_334_014_970_125_5e-7,
            0.833_336_077_033_471_3e-13,
            0.999_999_979_166_505,
        ]
    }
}

/// VDPOL: Van der Pol's oscillator `y'' = mu (1 - y^2) y' - y`, `mu = 1000`.
#[derive(Clone, Copy)]
pub struct Vdpol;

impl Equations for Vdpol {
    fn start(&self) -> Vec<f64> {
        vec![2.0, 0.0]
    }
    fn scale(&self, state: usize) -> f64 {
        [1.0, 1e-3][state]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[1];
        dy[1] = (-y[0].squared() + 1.0) * y[1] * 1000.0 - y[0];
    }
}

impl Problem for Vdpol {
    fn name(&self) -> &'static str {
        "VDPOL"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 2000.0)
    }
    fn end(&self) -> Vec<f64> {
        vec![1.706_167_732_170_469, -0.892_809_701_024_812_5e-3]
    }
}

/// OREGO: a reaction that oscillates, periods of fast and slow change.
#[derive(Clone, Copy)]
pub struct Orego;

impl Equations for Orego {
    fn start(&self) -> Vec<f64> {
        vec![1.0, 2.0, 3.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = (y[1] + y[0] * (-(y[0] * 8.375e-6) - y[1] + 1.0)) * 77.27;
        dy[1] = (y[2] - (y[0] + 1.0) * y[1]) / 77.27;
        dy[2] = (y[0] - y[2]) * 0.161;
    }
}

impl Problem for Orego {
    fn name(&self) -> &'static str {
        "OREGO"
    }
    fn span_s(&self) -> (f64, f64) {
        (0.0, 360.0)
    }
    fn end(&self) -> Vec<f64> {
        vec![
            1.000_814_870_318_523,
            1_228.178_521_549_917,
            132.055_494_284_670_6,
        ]
    }
}
