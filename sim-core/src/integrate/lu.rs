//! LU factors of a dense square matrix, in place and without allocation per use.
//!
//! Gaussian elimination with partial pivoting (Golub and Van Loan, Matrix Computations,
//! 4th edition, algorithm 3.4.1), by columns. Networks are sparse, so zero factors are skipped,
//! and unknowns whose equations have few terms are eliminated first: what all others feel, the
//! pressure of a layered ullage, is left to the end, where it fills up least. For that the diagonal
//! stays the pivot unless it is much smaller than another entry (threshold pivoting; Duff, Erisman
//! and Reid, Direct Methods for Sparse Matrices, 2nd edition, section 5.2).
//!
//! Rows and columns are taken in units of the size of each state. Pivots are then chosen among
//! like numbers, and what rounding takes from an equation is a part of that equation's own
//! terms; in plain SI a balance of kilograms, solved beside one of megajoules, closes a
//! thousand times worse.
//!
//! States that nothing depends on have zero columns: only the leading block is factored, their
//! own equations are then read off.
//!
//! Small solves cost what their loops begin and end with, so the factors stand in blocks of
//! four rows and columns, filled up with the identity: one factorisation and eight solves of 18
//! states take half the time of the general-purpose LU of `nalgebra`, which also allocates for
//! each.

use nalgebra::DMatrix;

/// Rows and columns of a block.
const BLOCK: usize = 4;

/// Part of the largest entry of a column that makes the diagonal its pivot.
const THRESHOLD: f64 = 0.1;

/// Factors of a matrix and the scratch that holds them.
pub(super) struct Lu {
    /// Unknowns of the leading block.
    size: usize,
    /// The leading block by columns of `height`: L below the diagonal (its own diagonal is one),
    /// U on and above.
    factors: Vec<f64>,
    height: usize,
    /// Which unknown stands at each place: those with short equations first.
    places: Vec<usize>,
    /// Which equation stands at each place after the pivoting.
    order: Vec<usize>,
    /// `1 / U_kk`.
    reciprocals: Vec<f64>,
    /// Units of the unknowns and what they divide by, powers of two: they change no digit.
    units: Vec<f64>,
    per_unit: Vec<f64>,
    /// The rows below the block, by columns of `rest_height`, and the inverse of their diagonal.
    below: Vec<f64>,
    rest_height: usize,
    inverse_diagonal: f64,
    /// The unknowns and what is counted from them, in the course of a solve.
    unknowns: Vec<f64>,
    counted: Vec<f64>,
}

impl Lu {
    /// For a matrix of `dimension` rows whose columns from `size` on are zero.
    pub(super) fn new(dimension: usize, size: usize) -> Self {
        let height = size.next_multiple_of(BLOCK);
        let rest_height = (dimension - size).next_multiple_of(BLOCK);
        let mut factors = vec![0.0; height * height];
        for k in size..height {
            factors[k * height + k] = 1.0;
        }
        Self {
            size,
            factors,
            height,
            places: (0..size).collect(),
            order: vec![0; size],
            reciprocals: vec![1.0; height],
            units: vec![1.0; size],
            per_unit: vec![1.0; size],
            below: vec![0.0; height * rest_height],
            rest_height,
            inverse_diagonal: 0.0,
            unknowns: vec![0.0; height],
            counted: vec![0.0; rest_height],
        }
    }

    /// Takes the size of each unknown as its unit.
    pub(super) fn measure(&mut self, size: impl Fn(usize) -> f64) {
        for (i, (unit, per)) in self.units.iter_mut().zip(&mut self.per_unit).enumerate() {
            *unit = size(i).log2().round().exp2();
            *per = unit.recip();
        }
    }

    /// Places unknowns by the lengths of their equations in a matrix.
    pub(super) fn arrange(&mut self, matrix: &DMatrix<f64>) {
        let mut lengths = vec![0; self.size];
        for column in matrix.column_iter().take(self.size) {
            for (length, entry) in lengths.iter_mut().zip(&column) {
                *length += usize::from(*entry != 0.0);
            }
        }
        self.places.sort_by_key(|&i| (lengths[i], i));
    }

    /// Factors `diagonal * I - matrix`; false if it has no inverse or is not finite.
    #[must_use]
    pub(super) fn factor_shifted(&mut self, diagonal: f64, matrix: &DMatrix<f64>) -> bool {
        for (k, &unknown) in self.places.iter().enumerate() {
            let entries = matrix.column(unknown);
            let (coupled, counted) = entries.as_slice().split_at(self.size);
            let below = &mut self.below[k * self.rest_height..];
            below[..counted.len()].copy_from_slice(counted);
            let column = &mut self.factors[k * self.height..];
            let unit = self.units[unknown];
            for (factor, &equation) in column.iter_mut().zip(&self.places) {
                *factor = -coupled[equation] * (unit * self.per_unit[equation]);
            }
            column[k] += diagonal;
        }
        self.order.copy_from_slice(&self.places);
        self.inverse_diagonal = diagonal.recip();
        (0..self.size).all(|k| self.eliminate(k))
    }

    /// Step k of the elimination; false if there is no pivot.
    fn eliminate(&mut self, k: usize) -> bool {
        let (n, height) = (self.size, self.height);
        let pivot = self.pivot_row(k);
        if pivot != k {
            self.order.swap(k, pivot);
            for column in self.factors.chunks_exact_mut(height).take(n) {
                column.swap(k, pivot);
            }
        }
        let (left, right) = self.factors.split_at_mut((k + 1) * height);
        let column = &mut left[k * height..][..n];
        let reciprocal = column[k].recip();
        self.reciprocals[k] = reciprocal;
        let multipliers = &mut column[k + 1..];
        multipliers.iter_mut().for_each(|m| *m *= reciprocal);
        let zeros = multipliers.iter().take_while(|m| **m == 0.0).count();
        let (multipliers, first) = (&multipliers[zeros..], k + 1 + zeros);
        for column in right.chunks_exact_mut(height).take(n - k - 1) {
            let factor = column[k];
            if factor != 0.0 {
                for (entry, multiplier) in column[first..n].iter_mut().zip(multipliers) {
                    *entry -= factor * multiplier;
                }
            }
        }
        reciprocal.is_finite()
    }

    /// Row of the largest entry on or below the diagonal of column k, or of the diagonal itself
    /// where that is not much smaller.
    fn pivot_row(&self, k: usize) -> usize {
        let column = &self.factors[k * self.height..][..self.size];
        let mut best = k;
        for row in k + 1..column.len() {
            if column[row].abs() > column[best].abs() {
                best = row;
            }
        }
        if column[k].abs() >= THRESHOLD * column[best].abs() {
            k
        } else {
            best
        }
    }

    /// Solves in place.
    pub(super) fn solve(&mut self, x: &mut [f64]) {
        let (coupled, counted) = x.split_at_mut(self.size);
        for (unknown, &from) in self.unknowns.iter_mut().zip(&self.order) {
            *unknown = coupled[from] * self.per_unit[from];
        }
        self.unknowns[self.size..].fill(0.0);
        self.solve_lower();
        self.solve_upper();
        for (unknown, &place) in self.unknowns.iter_mut().zip(&self.places) {
            *unknown *= self.units[place];
            coupled[place] = *unknown;
        }
        self.count(counted);
    }

    fn solve_lower(&mut self) {
        for at in (0..self.height).step_by(BLOCK) {
            let (known, below) = self.unknowns.split_at_mut(at + BLOCK);
            let columns = block_columns(&self.factors, self.height, at);
            let [u, v, w, _] = columns.map(|c| &c[at..]);
            let x = &mut known[at..];
            x[1] -= x[0] * u[1];
            x[2] -= x[0] * u[2] + x[1] * v[2];
            x[3] -= x[0] * u[3] + x[1] * v[3] + x[2] * w[3];
            subtract_block(below, x, columns.map(|c| &c[at + BLOCK..]));
        }
    }

    fn solve_upper(&mut self) {
        for at in (0..self.height).step_by(BLOCK).rev() {
            let (above, known) = self.unknowns.split_at_mut(at);
            let columns = block_columns(&self.factors, self.height, at);
            let [_, v, w, z] = columns.map(|c| &c[at..]);
            let (x, r) = (&mut known[..BLOCK], &self.reciprocals[at..]);
            x[3] *= r[3];
            x[2] = (x[2] - x[3] * z[2]) * r[2];
            x[1] = (x[1] - x[3] * z[1] - x[2] * w[1]) * r[1];
            x[0] = (x[0] - x[3] * z[0] - x[2] * w[0] - x[1] * v[0]) * r[0];
            subtract_block(above, x, columns.map(|c| &c[..at]));
        }
    }

    /// The rows below the block: `(right side + rows * unknowns) / diagonal`.
    fn count(&mut self, right: &mut [f64]) {
        let counted = &mut self.counted;
        counted.fill(0.0);
        for (at, x) in self.unknowns.chunks_exact(BLOCK).enumerate() {
            let columns = block_columns(&self.below, self.rest_height, at * BLOCK);
            subtract_block(counted, x, columns);
        }
        for (right, counted) in right.iter_mut().zip(counted) {
            *right = (*right - *counted) * self.inverse_diagonal;
        }
    }
}

/// The columns of the block that begins at column `at`.
fn block_columns(matrix: &[f64], height: usize, at: usize) -> [&[f64]; BLOCK] {
    std::array::from_fn(|j| &matrix[(at + j) * height..][..height])
}

/// `y -= sum_j x_j * columns_j`, row by row: over chunks the compiler would gather from memory.
#[inline]
fn subtract_block(y: &mut [f64], x: &[f64], columns: [&[f64]; BLOCK]) {
    let [u, v, w, z] = columns.map(|c| &c[..y.len()]);
    for (i, y) in y.iter_mut().enumerate() {
        *y -= x[0] * u[i] + x[1] * v[i] + x[2] * w[i] + x[3] * z[i];
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
