//! LU factors of a dense square matrix, in place and without allocation per use.
//!
//! Gaussian elimination with partial pivoting (Golub and Van Loan, Matrix Computations,
//! 4th edition, algorithm 3.4.1), by columns. Networks are sparse, so zero multipliers
//! are skipped.

use nalgebra::DMatrix;

/// Factors of a matrix and the scratch that holds them.
pub(super) struct Lu {
    /// L below the diagonal (its own diagonal is one), U on and above.
    factors: DMatrix<f64>,
    /// Row that changed places with row k in step k.
    pivots: Vec<usize>,
    /// `1 / U_kk`.
    reciprocals: Vec<f64>,
}

impl Lu {
    pub(super) fn new(dimension: usize) -> Self {
        Self {
            factors: DMatrix::zeros(dimension, dimension),
            pivots: vec![0; dimension],
            reciprocals: vec![0.0; dimension],
        }
    }

    /// Factors `diagonal * I - matrix`; false if it has no inverse or is not finite.
    #[must_use]
    pub(super) fn factor_shifted(&mut self, diagonal: f64, matrix: &DMatrix<f64>) -> bool {
        for (factor, entry) in self
            .factors
            .as_mut_slice()
            .iter_mut()
            .zip(matrix.as_slice())
        {
            *factor = -entry;
        }
        for k in 0..self.pivots.len() {
            self.factors[(k, k)] += diagonal;
        }
        (0..self.pivots.len()).all(|k| self.eliminate(k))
    }

    /// Step k of the elimination; false if there is no pivot.
    fn eliminate(&mut self, k: usize) -> bool {
        let n = self.pivots.len();
        let pivot = self.pivot_row(k);
        self.pivots[k] = pivot;
        if pivot != k {
            self.factors.swap_rows(k, pivot);
        }
        let reciprocal = self.factors[(k, k)].recip();
        self.reciprocals[k] = reciprocal;
        let (left, right) = self.factors.as_mut_slice().split_at_mut((k + 1) * n);
        let multipliers = &mut left[k * n + k + 1..];
        multipliers.iter_mut().for_each(|m| *m *= reciprocal);
        for column in right.chunks_exact_mut(n) {
            let factor = column[k];
            if factor != 0.0 {
                subtract_scaled(&mut column[k + 1..], factor, multipliers);
            }
        }
        reciprocal.is_finite()
    }

    /// Row of the largest entry on or below the diagonal of column k.
    fn pivot_row(&self, k: usize) -> usize {
        let n = self.pivots.len();
        let column = &self.factors.as_slice()[k * n..(k + 1) * n];
        let mut best = k;
        for row in k + 1..n {
            if column[row].abs() > column[best].abs() {
                best = row;
            }
        }
        best
    }

    /// Solves in place.
    pub(super) fn solve(&self, x: &mut [f64]) {
        let n = self.pivots.len();
        let factors = self.factors.as_slice();
        for (k, &pivot) in self.pivots.iter().enumerate() {
            x.swap(k, pivot);
        }
        for k in 0..n {
            let (head, tail) = x.split_at_mut(k + 1);
            subtract_scaled(tail, head[k], &factors[k * n + k + 1..(k + 1) * n]);
        }
        for k in (0..n).rev() {
            x[k] *= self.reciprocals[k];
            let (head, tail) = x.split_at_mut(k);
            subtract_scaled(head, tail[0], &factors[k * n..k * n + k]);
        }
    }
}

/// `y -= factor * x`
#[inline]
fn subtract_scaled(y: &mut [f64], factor: f64, x: &[f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y -= factor * x;
    }
}
