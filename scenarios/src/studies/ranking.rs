//! Which inputs matter, read off draws that are there already: a linear regression.
//!
//! With figure and inputs scaled to unit variance, the square of a coefficient is the part of
//! the figure's variance that comes from that input, as far as the figure is linear in it;
//! R2 says how far (A. Saltelli et al., Global Sensitivity Analysis: The Primer, 2008, 1.2.5).

use nalgebra::{DMatrix, DVector};

/// An input and what it does to a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Influence {
    /// Number of the factor.
    pub factor: usize,
    /// Change of the figure for one standard deviation of the input.
    pub change: f64,
    /// Part of the figure's variance.
    pub share: f64,
}

/// Inputs in the order in which they matter.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranking {
    /// Inputs, the most important first.
    pub influences: Vec<Influence>,
    /// Part of the variance that a linear relation explains.
    pub r_squared: f64,
}

/// Ranks the columns of `inputs` (one row a draw) by what they do to `figure`; none if there
/// are not more draws with a figure than inputs, or nothing varies.
#[must_use]
pub fn ranking(inputs: &[Vec<f64>], figure: &[f64]) -> Option<Ranking> {
    let rows: Vec<usize> = (0..figure.len())
        .filter(|&i| figure[i].is_finite())
        .collect();
    let width = inputs.first()?.len();
    if rows.len() < width + 2 {
        return None;
    }
    let y = scaled(rows.iter().map(|&i| figure[i]))?;
    let columns: Vec<Option<(Vec<f64>, f64)>> = (0..width)
        .map(|k| scaled(rows.iter().map(|&i| inputs[i][k])))
        .collect();
    let varied: Vec<usize> = (0..width).filter(|&k| columns[k].is_some()).collect();
    let column = |j: usize| columns[varied[j]].as_ref().map(|c| c.0.as_slice());
    let x = DMatrix::from_fn(rows.len(), varied.len(), |i, j| {
        column(j).map_or(0.0, |c| c[i])
    });
    let y_vector = DVector::from_vec(y.0);
    let solution = least_squares(&x, &y_vector)?;
    let residual = &y_vector - &x * &solution;
    let mut influences: Vec<Influence> = (varied.iter().zip(solution.iter()))
        .map(|(&factor, &b)| Influence {
            factor,
            change: b * y.1,
            share: b * b,
        })
        .collect();
    influences.sort_by(|a, b| b.share.total_cmp(&a.share));
    Some(Ranking {
        influences,
        r_squared: 1.0 - residual.norm_squared() / y_vector.norm_squared(),
    })
}

/// The coefficients that leave the least sum of squares, by QR; none if they are not unique.
#[must_use]
pub fn least_squares(x: &DMatrix<f64>, y: &DVector<f64>) -> Option<DVector<f64>> {
    let qr = x.clone().qr();
    qr.r().solve_upper_triangular(&(qr.q().transpose() * y))
}

/// Values less their mean over their standard deviation, and that; none if they are all alike.
fn scaled(values: impl Iterator<Item = f64> + Clone) -> Option<(Vec<f64>, f64)> {
    let n = values.clone().count() as f64;
    let mean = values.clone().sum::<f64>() / n;
    let variance = values.clone().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0);
    let deviation = variance.sqrt();
    (deviation > 1e-14 * mean.abs())
        .then(|| (values.map(|v| (v - mean) / deviation).collect(), deviation))
}
