//! Curves and surfaces on even grids: cubic and bicubic splines with continuous second
//! derivatives, evaluated with their slopes.

use crate::table::bspline::{self, Place, coefficients};

/// Value, slope and second derivative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Jet {
    pub value: f64,
    pub slope: f64,
    pub curvature: f64,
}

/// `N` cubic splines through values at the same even steps; beyond its ends the end pieces go on.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Curves<const N: usize> {
    axis: Axis,
    /// Powers of the place within each interval.
    pieces: Vec<[[f64; 4]; N]>,
}

/// Even steps from a start.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Axis {
    pub start: f64,
    pub step: f64,
    inverse_step: f64,
    intervals: usize,
}

impl Axis {
    /// Four intervals at least.
    pub fn new(start: f64, end: f64, intervals: usize) -> Self {
        let step = (end - start) / intervals as f64;
        Axis {
            start,
            step,
            inverse_step: 1.0 / step,
            intervals,
        }
    }

    /// The nodes.
    pub fn nodes(&self) -> impl Iterator<Item = f64> + Clone + use<> {
        let axis = *self;
        (0..=axis.intervals).map(move |i| axis.start + axis.step * i as f64)
    }

    fn scaled(&self, x: f64) -> f64 {
        (x - self.start) * self.inverse_step
    }
}

impl<const N: usize> Curves<N> {
    /// Through one row of values for each node of the axis.
    pub fn new(axis: Axis, rows: &[[f64; N]]) -> Self {
        let mut pieces = vec![[[0.0; 4]; N]; axis.intervals];
        for k in 0..N {
            let column: Vec<f64> = rows.iter().map(|row| row[k]).collect();
            for (piece, polynomial) in pieces
                .iter_mut()
                .zip(bspline::pieces(&coefficients(&column)))
            {
                piece[k] = polynomial;
            }
        }
        Curves { axis, pieces }
    }

    /// Values and derivatives at x.
    #[inline]
    pub fn at(&self, x: f64) -> [Jet; N] {
        let (i, t) = self.place(x);
        self.pieces[i].map(|piece| self.jet(piece, t))
    }

    /// Value and derivatives of curve `k` alone.
    #[inline]
    pub fn one(&self, k: usize, x: f64) -> Jet {
        let (i, t) = self.place(x);
        self.jet(self.pieces[i][k], t)
    }

    /// The interval that serves x, and the place in it.
    #[inline]
    fn place(&self, x: f64) -> (usize, f64) {
        let scaled = self.axis.scaled(x);
        let i = (scaled as usize).min(self.pieces.len() - 1);
        (i, scaled - i as f64)
    }

    #[inline]
    fn jet(&self, [a, b, c, d]: [f64; 4], t: f64) -> Jet {
        let h = self.axis.inverse_step;
        Jet {
            value: a + t * (b + t * (c + t * d)),
            slope: h * (b + t * (2.0 * c + t * 3.0 * d)),
            curvature: h * h * (2.0 * c + t * 6.0 * d),
        }
    }
}

/// `N` bicubic surfaces over one even grid.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Surfaces<const N: usize> {
    x: Axis,
    y: Axis,
    /// Row by row of x.
    body: Vec<[f64; N]>,
}

impl<const N: usize> Surfaces<N> {
    /// Through the values `rows[i][j]` at the nodes (x_i, y_j).
    pub fn new(x: Axis, y: Axis, rows: &[Vec<[f64; N]>]) -> Self {
        Surfaces {
            x,
            y,
            body: bspline::surfaces(rows),
        }
    }

    /// Through what a function gives at the nodes.
    pub fn of(x: Axis, y: Axis, node: impl Fn(f64, f64) -> [f64; N]) -> Self {
        let row = |at: f64| y.nodes().map(|along| node(at, along)).collect();
        let rows: Vec<Vec<_>> = x.nodes().map(row).collect();
        Surfaces::new(x, y, &rows)
    }

    /// Value of each surface.
    #[inline]
    pub fn values(&self, x: f64, y: f64) -> [f64; N] {
        let across = Place::new(self.x.scaled(x), self.x.intervals);
        let along = Place::new(self.y.scaled(y), self.y.intervals);
        let width = self.y.intervals + 3;
        let (x_weights, y_weights) = (across.weights(), along.weights());
        let mut out = [0.0; N];
        for (i, weight) in x_weights.into_iter().enumerate() {
            let start = (across.cell + i) * width + along.cell;
            for (c, along) in self.body[start..start + 4].iter().zip(y_weights) {
                for (out, c) in out.iter_mut().zip(c) {
                    *out += weight * along * c;
                }
            }
        }
        out
    }

    /// Value, derivative by x and by y of each surface.
    #[inline]
    pub fn at(&self, x: f64, y: f64) -> [[f64; 3]; N] {
        let across = Place::new(self.x.scaled(x), self.x.intervals);
        let along = Place::new(self.y.scaled(y), self.y.intervals);
        let width = self.y.intervals + 3;
        let ((x_weights, x_slopes), (y_weights, y_slopes)) = (
            (across.weights(), across.slopes()),
            (along.weights(), along.slopes()),
        );
        let mut out = [[0.0; 3]; N];
        for i in 0..4 {
            let start = (across.cell + i) * width + along.cell;
            let (mut value, mut slope) = ([0.0; N], [0.0; N]);
            for (j, c) in self.body[start..start + 4].iter().enumerate() {
                for k in 0..N {
                    value[k] += y_weights[j] * c[k];
                    slope[k] += y_slopes[j] * c[k];
                }
            }
            for k in 0..N {
                out[k][0] += x_weights[i] * value[k];
                out[k][1] += x_slopes[i] * value[k] * self.x.inverse_step;
                out[k][2] += x_weights[i] * slope[k] * self.y.inverse_step;
            }
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A spline holds every cubic: only rounding is left.
    const ROUNDING: f64 = 1e-12;

    #[test]
    fn a_cubic_is_reproduced_with_its_derivatives() {
        let axis = Axis::new(1.0, 4.0, 6);
        let values: Vec<_> = axis.nodes().map(|x| [x * x * (x - 2.0)]).collect();
        let curve = Curves::new(axis, &values);
        for x in [0.7, 1.0, 2.3, 4.0, 4.2] {
            let [jet] = curve.at(x);
            assert!((jet.value - x * x * (x - 2.0)).abs() < ROUNDING * 50.0);
            assert!((jet.slope - (3.0 * x * x - 4.0 * x)).abs() < ROUNDING * 50.0);
            assert!((jet.curvature - (6.0 * x - 4.0)).abs() < ROUNDING * 50.0);
        }
    }

    #[test]
    fn a_bicubic_is_reproduced_with_its_slopes() {
        let (x, y) = (Axis::new(0.0, 2.0, 5), Axis::new(-1.0, 1.0, 4));
        let f = |x: f64, y: f64| [x.powi(3) * y - y * y, 2.0 * x - y.powi(3)];
        let rows: Vec<Vec<_>> = x
            .nodes()
            .map(|x| y.nodes().map(|y| f(x, y)).collect())
            .collect();
        let surfaces = Surfaces::new(x, y, &rows);
        let (x, y): (f64, f64) = (1.3, 0.45);
        let [one, two] = surfaces.at(x, y);
        let expected = [
            [f(x, y)[0], 3.0 * x * x * y, x.powi(3) - 2.0 * y],
            [f(x, y)[1], 2.0, -3.0 * y * y],
        ];
        for (got, expected) in one.iter().chain(&two).zip(expected.iter().flatten()) {
            assert!((got - expected).abs() < ROUNDING, "{got} {expected}");
        }
    }
}
