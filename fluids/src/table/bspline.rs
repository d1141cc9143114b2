//! Uniform cubic B-splines that pass through given values.
//!
//! f(x) = sum c_i B(x - i) on nodes 0..=n, with n + 3 coefficients c_(-1) .. c_(n+1), here
//! stored from index 0. At both ends the third derivative goes through the second node
//! unbroken ("not a knot"), which costs no accuracy there.

/// Coefficients of the spline through `values` (five at least), n + 3 for n + 1 values.
///
/// The end conditions give the second coefficient at once, c_1 = f_1 - (f_0 - 2 f_1 + f_2)/6;
/// what is left is the system c_(i-1) + 4 c_i + c_(i+1) = 6 f_i without its ends.
pub(crate) fn coefficients(values: &[f64]) -> Vec<f64> {
    let n = values.len() - 1;
    let second =
        |a: usize, b: usize, c: usize| values[b] - (values[a] - 2.0 * values[b] + values[c]) / 6.0;
    let mut c = vec![0.0; n + 3];
    c[2] = second(0, 1, 2);
    c[n] = second(n, n - 1, n - 2);
    // Thomas elimination for nodes 2 ..= n - 2, whose coefficients are c[3] ..= c[n - 1].
    let mut ratio = vec![0.0; n + 3];
    for i in 2..=n - 2 {
        let pivot = 4.0 - ratio[i];
        ratio[i + 1] = 1.0 / pivot;
        c[i + 1] = (6.0 * values[i] - c[i]) / pivot;
    }
    for i in (2..=n - 2).rev() {
        c[i + 1] -= ratio[i + 1] * c[i + 2];
    }
    for end in [1, 0] {
        c[end] = 6.0 * values[end] - 4.0 * c[end + 1] - c[end + 2];
        c[n + 2 - end] = 6.0 * values[n - end] - 4.0 * c[n + 1 - end] - c[n - end];
    }
    c
}

/// Where a point lies in a spline: its interval, and the distance from the interval's left node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    /// The interval, which is also the index of the first of its four coefficients.
    pub cell: usize,
    /// The distance, 0 to 1.
    pub t: f64,
}

impl Place {
    /// Place of x in a spline over `intervals` unit intervals; outside, the end pieces go on.
    #[inline]
    pub fn new(x: f64, intervals: usize) -> Self {
        let cell = (x as i32).clamp(0, intervals as i32 - 1);
        Place {
            cell: cell as usize,
            t: x - f64::from(cell),
        }
    }

    /// Weights of the four coefficients in the value.
    #[inline]
    pub fn weights(&self) -> [f64; 4] {
        let (t, u) = (self.t, 1.0 - self.t);
        let (first, last) = (SIXTH * u * u * u, SIXTH * t * t * t);
        let second = 4.0 * SIXTH + t * t * (0.5 * t - 1.0);
        let third = 4.0 * SIXTH + u * u * (0.5 * u - 1.0);
        [first, second, third, last]
    }

    /// Weights of the four coefficients in the derivative.
    #[inline]
    pub fn slopes(&self) -> [f64; 4] {
        let (t, u) = (self.t, 1.0 - self.t);
        [
            -0.5 * u * u,
            t * (1.5 * t - 2.0),
            u * (2.0 - 1.5 * u),
            0.5 * t * t,
        ]
    }
}

const SIXTH: f64 = 1.0 / 6.0;

/// The spline in each interval as a polynomial of the distance from its left node.
pub(crate) fn pieces(coefficients: &[f64]) -> Vec<[f64; 4]> {
    let piece = |four: &[f64]| {
        let [a, b, c, d] = [0, 1, 2, 3].map(|k| four[k] / 6.0);
        [
            a + 4.0 * b + c,
            3.0 * (c - a),
            3.0 * (a - 2.0 * b + c),
            d - a + 3.0 * (b - c),
        ]
    };
    coefficients.windows(4).map(piece).collect()
}

/// Coefficients of `N` bicubic surfaces through the values `rows[i][j]`, row by row: splines
/// along each row, then across the rows.
pub(crate) fn surfaces<const N: usize>(rows: &[Vec<[f64; N]>]) -> Vec<[f64; N]> {
    let width = rows[0].len() + 2;
    let mut body = vec![[0.0; N]; (rows.len() + 2) * width];
    for k in 0..N {
        let column = |row: &Vec<[f64; N]>| row.iter().map(|values| values[k]).collect::<Vec<_>>();
        let along: Vec<_> = rows.iter().map(|row| coefficients(&column(row))).collect();
        for j in 0..width {
            let across: Vec<f64> = along.iter().map(|row| row[j]).collect();
            for (i, c) in coefficients(&across).into_iter().enumerate() {
                body[i * width + j][k] = c;
            }
        }
    }
    body
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evaluate(c: &[f64], x: f64) -> (f64, f64) {
        let place = Place::new(x, c.len() - 3);
        let four = &c[place.cell..place.cell + 4];
        let dot = |w: [f64; 4]| w.iter().zip(four).map(|(w, c)| w * c).sum::<f64>();
        (dot(place.weights()), dot(place.slopes()))
    }

    #[test]
    fn a_cubic_is_reproduced_between_the_nodes_and_at_the_ends() {
        let cubic = |x: f64| 2.0 - x + 0.3 * x * x - 0.05 * x * x * x;
        let slope = |x: f64| -1.0 + 0.6 * x - 0.15 * x * x;
        let values: Vec<f64> = (0..9).map(|i| cubic(f64::from(i))).collect();
        let c = coefficients(&values);
        for x in [0.0, 0.3, 1.0, 3.7, 6.5, 8.0] {
            let (value, by_x) = evaluate(&c, x);
            // A cubic spline holds every cubic: only rounding is left.
            assert!((value - cubic(x)).abs() < 1e-12, "{x}: {value}");
            assert!((by_x - slope(x)).abs() < 1e-12, "{x}: {by_x}");
        }
    }

    #[test]
    fn halving_the_step_divides_the_error_by_sixteen() {
        let error = |n: u32| {
            let h = 3.0 / f64::from(n);
            let values: Vec<f64> = (0..=n).map(|i| (h * f64::from(i)).exp()).collect();
            let c = coefficients(&values);
            let gap = |i: u32| {
                let x = f64::from(i) * 0.01 * f64::from(n);
                (evaluate(&c, x).0 - (h * x).exp()).abs()
            };
            (0..=100).map(gap).fold(0.0, f64::max)
        };
        // Order four: 16 in the limit, a little less or more on a coarse grid.
        let ratio = error(20) / error(40);
        assert!((12.0..20.0).contains(&ratio), "{ratio}");
    }
}
