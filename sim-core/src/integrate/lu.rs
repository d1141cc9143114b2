//! LU factors of a dense square matrix, in place and without allocation per use.
//!
//! Gaussian elimination with partial pivoting (Golub and Van Loan, Matrix Computations,
//! 4th edition, algorithm 3.4.1), by columns. Networks are sparse, so zero multipliers
//! are skipped.
//!
//! Rows and columns are taken in units of the size of each state. Pivots are then chosen among
//! like numbers, and what rounding takes from an equation is a part of that equation's own
//! terms; in plain SI a balance of kilograms, solved beside one of megajoules, closes a
//! thousand times worse.
//!
//! States that nothing depends on have zero columns: only the leading block is factored, their
//! own equations are then read off.
//!
//! One factorisation and eight solves of 16 states take two thirds of the
//! time of the general-purpose LU of `nalgebra`, which also allocates for each.

use nalgebra::DMatrix;

/// Factors of a matrix and the scratch that holds them.
pub(super) struct Lu {
    /// Of the leading block: L below the diagonal (its own diagonal is one), U on and above.
    factors: DMatrix<f64>,
    /// Row that changed places with row k in step k.
    pivots: Vec<usize>,
    /// `1 / U_kk`.
    reciprocals: Vec<f64>,
    /// Units of the unknowns, powers of two: they change no digit.
    units: Vec<f64>,
    /// The rows below the block, by columns, and the inverse of their diagonal.
    below: Vec<f64>,
    inverse_diagonal: f64,
}

impl Lu {
    /// For a matrix of `dimension` rows whose columns from `block` on are zero.
    pub(super) fn new(dimension: usize, block: usize) -> Self {
        Self {
            factors: DMatrix::zeros(block, block),
            pivots: vec![0; block],
            reciprocals: vec![0.0; block],
            units: vec![1.0; block],
            below: vec![0.0; block * (dimension - block)],
            inverse_diagonal: 0.0,
        }
    }

    /// Takes the size of each unknown as its unit.
    pub(super) fn measure(&mut self, size: impl Fn(usize) -> f64) {
        for (i, unit) in self.units.iter_mut().enumerate() {
            *unit = size(i).log2().round().exp2();
        }
    }

    /// Factors `diagonal * I - matrix`; false if it has no inverse or is not finite.
    #[must_use]
    pub(super) fn factor_shifted(&mut self, diagonal: f64, matrix: &DMatrix<f64>) -> bool {
        let n = self.units.len().max(1);
        let rest = matrix.nrows() - self.units.len();
        let columns = self.factors.as_mut_slice().chunks_exact_mut(n);
        let given = matrix.as_slice().chunks_exact(matrix.nrows().max(1));
        for (k, (column, entries)) in columns.zip(given).enumerate() {
            self.below[k * rest..(k + 1) * rest].copy_from_slice(&entries[n..]);
            for ((factor, entry), unit) in column.iter_mut().zip(entries).zip(&self.units) {
                *factor = -entry * (self.units[k] / unit);
            }
            column[k] += diagonal;
        }
        self.inverse_diagonal = diagonal.recip();
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
        let column = self.column(k);
        let mut best = k;
        for row in k + 1..column.len() {
            if column[row].abs() > column[best].abs() {
                best = row;
            }
        }
        best
    }

    /// Solves in place.
    pub(super) fn solve(&self, x: &mut [f64]) {
        let (x, counted) = x.split_at_mut(self.units.len());
        self.solve_block(x);
        if !counted.is_empty() {
            for (x, column) in x.iter().zip(self.below.chunks_exact(counted.len())) {
                subtract_scaled(counted, -x, column);
            }
            counted.iter_mut().for_each(|c| *c *= self.inverse_diagonal);
        }
    }

    fn solve_block(&self, x: &mut [f64]) {
        for (x, unit) in x.iter_mut().zip(&self.units) {
            *x /= unit;
        }
        for (k, &pivot) in self.pivots.iter().enumerate() {
            x.swap(k, pivot);
        }
        self.solve_lower(x);
        self.solve_upper(x);
        for (x, unit) in x.iter_mut().zip(&self.units) {
            *x *= unit;
        }
    }

    /// Two columns at a time: the passes over `x` are what a small solve costs.
    fn solve_lower(&self, x: &mut [f64]) {
        for k in (1..x.len()).step_by(2) {
            let (one, two) = (self.column(k - 1), self.column(k));
            let a = x[k - 1];
            let b = x[k] - a * one[k];
            x[k] = b;
            let below = k + 1;
            subtract_pair(&mut x[below..], a, &one[below..], b, &two[below..]);
        }
    }

    fn solve_upper(&self, x: &mut [f64]) {
        for k in (1..x.len()).rev().step_by(2) {
            let (one, two) = (self.column(k - 1), self.column(k));
            let b = x[k] * self.reciprocals[k];
            let a = (x[k - 1] - b * two[k - 1]) * self.reciprocals[k - 1];
            (x[k - 1], x[k]) = (a, b);
            let above = k - 1;
            subtract_pair(&mut x[..above], a, &one[..above], b, &two[..above]);
        }
        if x.len() % 2 == 1 {
            x[0] *= self.reciprocals[0];
        }
    }

    fn column(&self, k: usize) -> &[f64] {
        let n = self.pivots.len();
        &self.factors.as_slice()[k * n..(k + 1) * n]
    }
}

/// `y -= factor * x`
#[inline]
fn subtract_scaled(y: &mut [f64], factor: f64, x: &[f64]) {
    for (y, x) in y.iter_mut().zip(x) {
        *y -= factor * x;
    }
}

/// `y -= a * u + b * v`
#[inline]
fn subtract_pair(y: &mut [f64], a: f64, u: &[f64], b: f64, v: &[f64]) {
    for ((y, u), v) in y.iter_mut().zip(u).zip(v) {
        *y -= a * u + b * v;
    }
}

#[cfg(test)]
mod tests {
    use super::Lu;
    use nalgebra::{DMatrix, DVector};

    /// Agrees with the LU of nalgebra for odd and even sizes, with rows that must change
    /// places. Entries are of order one and the sizes small: 1e-12 is some 1e3 roundings.
    #[test]
    fn solves_like_an_independent_library() {
        for n in 1..12 {
            let entry = |i: usize, j: usize| ((7 * i + 3 * j + i * j) % 13) as f64 - 6.0;
            let matrix = DMatrix::from_fn(n, n, entry);
            let shift = 0.37;
            let right = DVector::from_fn(n, |i, _| i as f64 - 2.0);
            let mut lu = Lu::new(n, n);
            assert!(lu.factor_shifted(shift, &matrix));
            let mut x = right.clone();
            lu.solve(x.as_mut_slice());
            let full = DMatrix::identity(n, n) * shift - matrix;
            let expected = full.lu().solve(&right).expect("the matrix has an inverse");
            assert!(
                (&x - &expected).amax() < 1e-12 * expected.amax(),
                "size {n}"
            );
        }
    }

    /// With columns of zeros, as with all of them; the tolerance as above.
    #[test]
    fn reads_off_what_nothing_depends_on() {
        let (n, block) = (7, 4);
        let entry = |i: usize, j: usize| ((5 * i + 3 * j + i * j) % 11) as f64 - 5.0;
        let matrix = DMatrix::from_fn(n, n, |i, j| if j < block { entry(i, j) } else { 0.0 });
        let right: Vec<f64> = (0..n).map(|i| 1.0 + i as f64).collect();
        let solved = |block| {
            let mut lu = Lu::new(n, block);
            assert!(lu.factor_shifted(0.61, &matrix));
            let mut x = right.clone();
            lu.solve(&mut x);
            x
        };
        for (one, all) in solved(block).iter().zip(solved(n)) {
            assert!(
                (one - all).abs() < 1e-12 * all.abs().max(1.0),
                "{one} {all}"
            );
        }
    }

    #[test]
    fn refuses_what_has_no_inverse() {
        let mut lu = Lu::new(2, 2);
        assert!(!lu.factor_shifted(1.0, &DMatrix::from_element(2, 2, 0.5)));
        assert!(!lu.factor_shifted(1.0, &DMatrix::from_element(2, 2, f64::NAN)));
    }
}
