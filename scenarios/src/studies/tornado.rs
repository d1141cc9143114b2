//! One input at a time: what the ends of its own interval do to the figures.

use super::Answer;
use super::factor::Factor;
use super::parallel::{Progress, gathered};

/// What one factor does to every figure, all others being nominal.
#[derive(Clone, Debug, PartialEq)]
pub struct Swing {
    /// Change of each figure when the factor is at its lower 95 % end; NaN without an answer.
    pub low: Vec<f64>,
    /// Change of each figure when it is at its upper 95 % end.
    pub high: Vec<f64>,
}

impl Swing {
    /// The greater change of a figure, whichever way.
    #[must_use]
    pub fn reach(&self, figure: usize) -> f64 {
        self.low[figure].abs().max(self.high[figure].abs())
    }
}

/// A tornado.
#[derive(Clone, Debug, PartialEq)]
pub struct Tornado {
    /// The figures at nominal values.
    pub nominal: Vec<f64>,
    /// The swing of each factor.
    pub swings: Vec<Swing>,
}

impl Tornado {
    /// Standard uncertainty of a figure by the law of propagation of uncertainty (GUM, JCGM 100,
    /// 5.1.2), its sensitivity coefficients taken as differences over the 95 % intervals.
    #[must_use]
    pub fn combined_standard_uncertainty(&self, factors: &[Factor], figure: usize) -> f64 {
        let part = |(factor, swing): (&Factor, &Swing)| {
            let (low, high) = factor.interval_95();
            let slope = (swing.high[figure] - swing.low[figure]) / (high - low);
            slope * factor.standard_deviation()
        };
        let parts = factors.iter().zip(&self.swings).map(part);
        parts.map(|p| p * p).sum::<f64>().sqrt()
    }
}

/// Runs in a tornado of so many factors.
#[must_use]
pub fn runs(factors: usize) -> usize {
    2 * factors + 1
}

/// Moves each factor alone to the ends of its 95 % interval.
///
/// # Errors
/// If the model has no answer at nominal values.
pub fn tornado(
    factors: &[Factor],
    progress: Progress<'_>,
    model: impl Fn(&[f64]) -> Answer + Sync,
) -> Result<Tornado, String> {
    let nominal: Vec<f64> = factors.iter().map(|f| f.nominal).collect();
    let answers = gathered(runs(factors.len()), progress, |i| {
        let mut x = nominal.clone();
        if let Some(i) = i.checked_sub(1) {
            let (low, high) = factors[i / 2].interval_95();
            x[i / 2] = if i % 2 == 0 { low } else { high };
        }
        model(&x)
    });
    let mut answers = answers.into_iter();
    let centre = answers.next().unwrap_or_else(|| Err(String::new()))?;
    let changes: Vec<Vec<f64>> = answers.map(|a| changes(a, &centre)).collect();
    let swings = changes.chunks_exact(2).map(|pair| Swing {
        low: pair[0].clone(),
        high: pair[1].clone(),
    });
    Ok(Tornado {
        swings: swings.collect(),
        nominal: centre,
    })
}

fn changes(answer: Answer, centre: &[f64]) -> Vec<f64> {
    let figures = answer.unwrap_or_else(|_| vec![f64::NAN; centre.len()]);
    figures.iter().zip(centre).map(|(f, c)| f - c).collect()
}
