//! The term n delta^d tau^t exp(-gd delta^ld - gt tau^lt): methanol (de Reuck and Craven 1993) and
//! some departure functions of mixtures have it. Few fluids do, so it is formed plainly.

use super::Derivatives;

/// One term.
#[derive(Clone, Copy, Debug)]
pub(super) struct Exponential {
    n: f64,
    delta: Factor,
    tau: Factor,
}

/// x^power exp(-g x^l).
#[derive(Clone, Copy, Debug)]
struct Factor {
    power: f64,
    g: f64,
    l: f64,
}

impl Factor {
    /// Value, and x d/dx and x^2 d2/dx2 over the value.
    fn at(&self, x: f64) -> [f64; 3] {
        let decay = self.g * x.powf(self.l);
        let first = self.power - self.l * decay;
        let second = first * first - self.power - self.l * (self.l - 1.0) * decay;
        [x.powf(self.power) * (-decay).exp(), first, second]
    }
}

impl Exponential {
    pub fn new(row: &[f64; 7]) -> Self {
        let &[n, d, t, gd, ld, gt, lt] = row;
        let factor = |power, g, l| Factor { power, g, l };
        Exponential {
            n,
            delta: factor(d, gd, ld),
            tau: factor(t, gt, lt),
        }
    }

    pub fn add(&self, delta: f64, tau: f64, sum: &mut Derivatives) {
        let ([by_delta, d, dd], [by_tau, t, tt]) = (self.delta.at(delta), self.tau.at(tau));
        let w = self.n * by_delta * by_tau;
        sum.value += w;
        sum.d += w * d;
        sum.t += w * t;
        sum.dd += w * dd;
        sum.dt += w * d * t;
        sum.tt += w * tt;
    }
}
