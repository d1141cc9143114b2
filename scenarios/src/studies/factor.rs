//! An uncertain number of a model.

use crate::input::{Distribution, Input};
use statrs::distribution::{ContinuousCDF, Normal};

/// Standard deviations within which 95 % of a normal distribution lie on either side.
pub const SIGMAS_95: f64 = 1.959_963_984_540_054;

/// An uncertain number.
#[derive(Clone, Debug, PartialEq)]
pub struct Factor {
    /// Its name: for a stand the path of the input.
    pub name: String,
    /// Its nominal value.
    pub nominal: f64,
    /// How it is distributed.
    pub distribution: Distribution,
}

impl Factor {
    /// Of an input of a stand.
    #[must_use]
    pub fn of(input: &Input) -> Self {
        Self {
            name: input.path.clone(),
            nominal: input.nominal,
            distribution: input.distribution,
        }
    }

    /// The value below which a part `probability` of its values lie; that part is above 0 and
    /// below 1.
    #[must_use]
    pub fn quantile(&self, probability: f64) -> f64 {
        match self.distribution {
            Distribution::Exact => self.nominal,
            Distribution::Normal { half_width_95 } => {
                self.nominal + half_width_95 / SIGMAS_95 * standard_normal(probability)
            }
            Distribution::Uniform { low, high } => low + (high - low) * probability,
            Distribution::LogNormal { factor_95 } => {
                let sigma = factor_95.ln() / SIGMAS_95;
                self.nominal * (sigma * standard_normal(probability)).exp()
            }
        }
    }

    /// Standard deviation of its values.
    #[must_use]
    pub fn standard_deviation(&self) -> f64 {
        match self.distribution {
            Distribution::Exact => 0.0,
            Distribution::Normal { half_width_95 } => half_width_95 / SIGMAS_95,
            Distribution::Uniform { low, high } => (high - low) / 12.0_f64.sqrt(),
            Distribution::LogNormal { factor_95 } => {
                let variance = (factor_95.ln() / SIGMAS_95).powi(2);
                self.nominal * (0.5 * variance).exp() * variance.exp_m1().sqrt()
            }
        }
    }

    /// The ends of the interval that holds its middle 95 %.
    #[must_use]
    pub fn interval_95(&self) -> (f64, f64) {
        (self.quantile(0.025), self.quantile(0.975))
    }
}

fn standard_normal(probability: f64) -> f64 {
    Normal::standard().inverse_cdf(probability)
}

/// Values of all factors at a point of the unit cube.
#[must_use]
pub fn values_at(factors: &[Factor], point: &[f64]) -> Vec<f64> {
    let pairs = factors.iter().zip(point);
    pairs.map(|(factor, &u)| factor.quantile(u)).collect()
}
