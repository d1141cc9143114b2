//! Parts of a figure's variance: Sobol' indices.
//!
//! A first-order index is the part of the variance that would go if the factor were known; a
//! total index the part that would stay if only that factor were unknown. From two matrices of
//! points and, for each factor, one with that factor's column exchanged (A. Saltelli et al.,
//! Comput. Phys. Commun. 181 (2010) 259, table 2: first order by (b), total by (f), which is M. J.
//! W. Jansen, Comput. Phys. Commun. 117 (1999) 35). Confidence by the bootstrap over points, which
//! takes them as independent.

use super::Answer;
use super::draws::{Draws, TooManyFactors};
use super::factor::{Factor, SIGMAS_95, values_at};
use super::parallel::{Progress, gathered};
use fastrand::Rng;

const RESAMPLES: usize = 400;

/// An index with half the width of its 95 % confidence interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Index {
    /// The estimate.
    pub value: f64,
    /// Half the width of its 95 % confidence interval.
    pub half_width_95: f64,
}

/// Both indices of a factor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Indices {
    /// First order.
    pub first: Index,
    /// Total.
    pub total: Index,
}

/// Figures at the points of the two matrices and with each factor exchanged.
#[derive(Clone, Debug)]
pub struct Exchanges {
    /// By point: first matrix, second matrix, then one for each factor.
    answers: Vec<Vec<Vec<f64>>>,
    factors: usize,
}

/// Runs that so many points of so many factors take.
#[must_use]
pub fn runs(factors: usize, points: usize) -> usize {
    points * (factors + 2)
}

/// Runs the model at so many points and their exchanges; a power of two is best.
///
/// # Errors
/// If there are more factors than points in twice as many dimensions can be drawn for.
pub fn exchanges(
    factors: &[Factor],
    points: usize,
    seed: u32,
    progress: Progress<'_>,
    model: impl Fn(&[f64]) -> Answer + Sync,
) -> Result<Exchanges, TooManyFactors> {
    let k = factors.len();
    let draws = Draws::new(2 * k, seed)?;
    let variants = k + 2;
    let answers = gathered(points * variants, progress, |i| {
        let both = draws.point((i / variants) as u64);
        let point: Vec<f64> = match i % variants {
            0 => both[..k].to_vec(),
            1 => both[k..].to_vec(),
            v => (0..k)
                .map(|j| if j == v - 2 { both[k + j] } else { both[j] })
                .collect(),
        };
        model(&values_at(factors, &point)).unwrap_or_default()
    });
    let by_point = answers.chunks(variants).map(<[Vec<f64>]>::to_vec);
    Ok(Exchanges {
        answers: by_point.collect(),
        factors: k,
    })
}

impl Exchanges {
    /// Values of a figure at each point that gave it everywhere.
    fn rows(&self, figure: usize) -> impl Iterator<Item = Vec<f64>> {
        self.answers.iter().filter_map(move |variants| {
            let values = variants.iter().map(|v| v.get(figure).copied());
            let values: Option<Vec<f64>> = values.collect();
            values.filter(|v| v.iter().all(|x| x.is_finite()))
        })
    }

    /// How many points gave a figure everywhere.
    #[must_use]
    pub fn seen(&self, figure: usize) -> usize {
        self.rows(figure).count()
    }

    /// Indices of every factor for one figure, and how many points gave the figure everywhere.
    #[must_use]
    pub fn indices(&self, figure: usize) -> (Vec<Indices>, usize) {
        let mut rows: Vec<Vec<f64>> = self.rows(figure).collect();
        let n = rows.len();
        // Estimates of products have less noise about the mean.
        let mean = rows.iter().map(|r| r[0] + r[1]).sum::<f64>() / (2.0 * n as f64);
        rows.iter_mut().flatten().for_each(|v| *v -= mean);
        let all: Vec<usize> = (0..n).collect();
        let best = estimates(&rows, &all, self.factors);
        let mut rng = Rng::with_seed(1);
        let mut spread = vec![[0.0; 2]; self.factors];
        for _ in 0..RESAMPLES {
            let chosen: Vec<usize> = (0..n).map(|_| rng.usize(0..n)).collect();
            let again = estimates(&rows, &chosen, self.factors);
            for (sum, (a, b)) in spread.iter_mut().zip(again.iter().zip(&best)) {
                sum[0] += (a[0] - b[0]).powi(2);
                sum[1] += (a[1] - b[1]).powi(2);
            }
        }
        let index = |value: f64, squares: f64| Index {
            value,
            half_width_95: SIGMAS_95 * (squares / RESAMPLES as f64).sqrt(),
        };
        let indices = best.iter().zip(&spread).map(|(b, s)| Indices {
            first: index(b[0], s[0]),
            total: index(b[1], s[1]),
        });
        (indices.collect(), n)
    }
}

/// First and total index of every factor, from the chosen rows.
fn estimates(rows: &[Vec<f64>], chosen: &[usize], factors: usize) -> Vec<[f64; 2]> {
    let n = chosen.len() as f64;
    let both = || chosen.iter().flat_map(|&i| [rows[i][0], rows[i][1]]);
    let mean = both().sum::<f64>() / (2.0 * n);
    let variance = both().map(|v| (v - mean).powi(2)).sum::<f64>() / (2.0 * n);
    (0..factors)
        .map(|k| {
            let mut first = 0.0;
            let mut total = 0.0;
            for &i in chosen {
                let (a, b, exchanged) = (rows[i][0], rows[i][1], rows[i][k + 2]);
                first += b * (exchanged - a);
                total += (a - exchanged).powi(2);
            }
            [first / n / variance, total / (2.0 * n) / variance]
        })
        .collect()
}
