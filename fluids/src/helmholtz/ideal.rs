//! The ideal-gas part
//!
//! alpha0 = a1 + a2 tau + ln delta + b ln tau + sum n tau^t + sum n ln(c + d exp(theta tau)).
//!
//! a1 and a2 carry the reference state of energy and entropy.

use serde::Deserialize;

/// Coefficients as they stand in the data files.
#[derive(Clone, Debug, Deserialize)]
pub struct IdealData {
    lead: [f64; 2],
    log_tau: f64,
    power: Vec<[f64; 2]>,
    einstein: Vec<[f64; 4]>,
}

/// The ideal-gas part of an equation of state.
#[derive(Clone, Debug)]
pub struct Ideal {
    data: IdealData,
}

impl From<IdealData> for Ideal {
    fn from(data: IdealData) -> Self {
        Ideal { data }
    }
}

impl Ideal {
    /// The value alpha0(delta, tau); only entropy and Gibbs energy need it.
    pub fn value(&self, delta: f64, tau: f64) -> f64 {
        let IdealData {
            lead: [a1, a2],
            log_tau,
            power,
            einstein,
        } = &self.data;
        let log = tau.ln();
        let power: f64 = power.iter().map(|[n, t]| n * raise(tau, *t)).sum();
        let einstein: f64 = einstein
            .iter()
            .map(|[n, theta, c, d]| n * (c + d * (theta * tau).exp()).ln())
            .sum();
        a1 + a2 * tau + delta.ln() + log_tau * log + power + einstein
    }

    /// (tau d/d tau, tau^2 d2/d tau2) of alpha0, which depend on the temperature alone.
    pub fn by_tau(&self, tau: f64) -> (f64, f64) {
        let IdealData {
            lead: [_, a2],
            log_tau,
            power,
            einstein,
        } = &self.data;
        let (mut first, mut second) = (a2 * tau + log_tau, -log_tau);
        for [n, t] in power {
            let term = n * t * raise(tau, *t);
            first += term;
            second += term * (t - 1.0);
        }
        for [n, theta, c, d] in einstein {
            let exp = d * (theta * tau).exp();
            let slope = theta * tau / (c + exp);
            first += n * slope * exp;
            second += n * c * exp * slope * slope;
        }
        (first, second)
    }
}

/// tau^t; nearly all exponents are whole.
fn raise(tau: f64, t: f64) -> f64 {
    if t.fract() == 0.0 {
        tau.powi(t as i32)
    } else {
        tau.powf(t)
    }
}
