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

/// Where a point lies: its cell and the weights of the four coefficients from there on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Place {
    /// First coefficient.
    pub cell: usize,
    /// Weights of the value.
    pub weights: [f64; 4],
    /// Weights of the derivative by x.
    pub slopes: [f64; 4],
}

impl Place {
    /// Place of x in a spline over `intervals` unit intervals; outside, the end pieces go on.
    #[inline]
    pub fn new(x: f64, intervals: usize) -> Self {
        let cell = (x as usize).min(intervals - 1);
        let t = x - cell as f64;
        let (u, t2) = (1.0 - t, t * t);
        const SIXTH: f64 = 1.0 / 6.0;
        Place {
            cell,
            weights: [
                SIXTH * u * u * u,
                SIXTH * (4.0 + t2 * (3.0 * t - 6.0)),
                SIXTH * (1.0 + 3.0 * t * (1.0 + t * u)),
                SIXTH * t2 * t,
            ],
            slopes: [
                -0.5 * u * u,
                0.5 * t * (3.0 * t - 4.0),
                0.5 + t * (1.0 - 1.5 * t),
                0.5 * t2,
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evaluate(c: &[f64], x: f64) -> (f64, f64) {
        let place = Place::new(x, c.len() - 3);
        let four = &c[place.cell..place.cell + 4];
        let dot = |w: [f64; 4]| w.iter().zip(four).map(|(w, c)| w * c).sum::<f64>();
        (dot(place.weights), dot(place.slopes))
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
