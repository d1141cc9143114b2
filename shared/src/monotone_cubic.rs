//! A smooth curve through measured points that overshoots none of them.
//!
//! Piecewise cubic Hermite interpolation whose slopes are limited so that the curve is
//! monotone wherever the points are: F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17
//! (1980) 238-246, with the slope formula of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
//! Comput. 5 (1984) 300-304. The curve and its slope are continuous.

use crate::Scalar;
use crate::root;
use std::fmt;

/// What the curve does beyond its first and last point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Extrapolation {
    /// It keeps the end value.
    #[default]
    Constant,
    /// It goes on with the end slope.
    Linear,
}

/// A monotone piecewise cubic `y(x)`.
#[derive(Clone, Debug, PartialEq)]
pub struct MonotoneCubic {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
    /// Integral of the curve from its first point to each point.
    area: Vec<f64>,
    /// The domain in equal bins: the interval in which each bin begins. A look-up starts there
    /// and walks, which is shorter than a bisection.
    bins: Vec<usize>,
    beyond: Extrapolation,
}

/// Why points make no curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveError {
    /// Fewer than two points.
    TooFew {
        /// How many there are.
        count: usize,
    },
    /// A point is not finite.
    NotFinite {
        /// Which, from zero.
        index: usize,
    },
    /// The first numbers do not rise.
    NotRising {
        /// Which point does not lie right of the one before it, from zero.
        index: usize,
    },
}

impl fmt::Display for CurveError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooFew { count } => {
                write!(f, "a curve needs at least two points, this has {count}")
            }
            Self::NotFinite { index } => {
                write!(f, "point {} is not a finite number", index + 1)
            }
            Self::NotRising { index } => write!(
                f,
                "the first number of point {} does not lie above that of the point before it; order the points",
                index + 1
            ),
        }
    }
}

impl std::error::Error for CurveError {}

impl MonotoneCubic {
    /// The curve through `points`, constant beyond its ends.
    ///
    /// # Errors
    /// [`CurveError`] for fewer than two points, for points that are not finite, and for `x`
    /// that do not rise.
    pub fn new(points: &[(f64, f64)]) -> Result<Self, CurveError> {
        if points.len() < 2 {
            return Err(CurveError::TooFew {
                count: points.len(),
            });
        }
        if let Some(index) = points
            .iter()
            .position(|p| !(p.0.is_finite() && p.1.is_finite()))
        {
            return Err(CurveError::NotFinite { index });
        }
        if let Some(index) = points.windows(2).position(|p| p[1].0 <= p[0].0) {
            return Err(CurveError::NotRising { index: index + 1 });
        }
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let slope = slopes(&x, &y);
        Ok(Self::through(x, y, slope))
    }

    /// The straight line from the origin to `(x, y)`; an `x` that is not above zero gives the
    /// constant `y`.
    #[must_use]
    pub fn line(x: f64, y: f64) -> Self {
        let proper = x > 0.0 && x.is_finite();
        let (end, start) = if proper { (x, 0.0) } else { (1.0, y) };
        let slope = vec![(y - start) / end; 2];
        Self::through(vec![0.0, end], vec![start, y], slope)
    }

    fn through(x: Vec<f64>, y: Vec<f64>, slope: Vec<f64>) -> Self {
        let mut curve = Self {
            bins: bins(&x),
            area: vec![0.0],
            x,
            y,
            slope,
            beyond: Extrapolation::Constant,
        };
        for i in 0..curve.x.len() - 1 {
            let piece = curve.piece_area(i, 1.0);
            curve.area.push(curve.area[i] + piece);
        }
        curve
    }

    /// The same curve with the stated behaviour beyond its ends.
    #[must_use]
    pub fn extrapolated(mut self, beyond: Extrapolation) -> Self {
        self.beyond = beyond;
        self
    }

    /// First and last `x`.
    #[must_use]
    pub fn domain(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }

    /// Value and slope at `x`.
    #[must_use]
    pub fn value_slope(&self, x: f64) -> (f64, f64) {
        let (first, last) = self.domain();
        if x < first {
            self.beyond_end(0, x)
        } else if x > last {
            self.beyond_end(self.x.len() - 1, x)
        } else {
            self.within(x)
        }
    }

    /// Value at `x`, with derivatives.
    #[must_use]
    pub fn at<S: Scalar>(&self, x: S) -> S {
        let (value, slope) = self.value_slope(x.value());
        x.lift(value, slope)
    }

    /// Value at `x`, and integral from the first point to `x`.
    #[must_use]
    pub fn value_area(&self, x: f64) -> (f64, f64) {
        let (first, last) = self.domain();
        if x >= first && x <= last {
            let i = self.interval(x);
            let t = (x - self.x[i]) / (self.x[i + 1] - self.x[i]);
            return (self.within(x).0, self.area[i] + self.piece_area(i, t));
        }
        let end = if x < first { 0 } else { self.x.len() - 1 };
        let (value, slope) = self.beyond_end(end, x);
        let past = x - self.x[end];
        (value, self.area[end] + past * (value - 0.5 * slope * past))
    }

    /// The least `x` of the domain where the curve is `y`; `None` if it never is.
    #[must_use]
    pub fn inverse(&self, y: f64) -> Option<f64> {
        let straddles = |i: usize| (self.y[i] - y) * (self.y[i + 1] - y) <= 0.0;
        let i = (0..self.x.len() - 1).find(|&i| straddles(i))?;
        root::bracketed(|x| self.within(x).0 - y, self.x[i], self.x[i + 1], 0.0).ok()
    }

    fn beyond_end(&self, end: usize, x: f64) -> (f64, f64) {
        match self.beyond {
            Extrapolation::Constant => (self.y[end], 0.0),
            Extrapolation::Linear => (
                self.y[end] + self.slope[end] * (x - self.x[end]),
                self.slope[end],
            ),
        }
    }

    /// The interval that holds `x`, the last one for what is not a number.
    fn interval(&self, x: f64) -> usize {
        let (first, end) = self.domain();
        let bin = (x - first) / (end - first) * self.bins.len() as f64;
        let mut i = self.bins[(bin as usize).min(self.bins.len() - 1)];
        // Rounding may put the bin a hair too far.
        while i > 0 && self.x[i] > x {
            i -= 1;
        }
        while i < self.x.len() - 2 && self.x[i + 1] <= x {
            i += 1;
        }
        i
    }

    /// Coefficients of the cubic in an interval, in powers of its part from 0 to 1.
    fn cubic(&self, i: usize) -> [f64; 4] {
        let h = self.x[i + 1] - self.x[i];
        let rise = self.y[i + 1] - self.y[i];
        let (d0, d1) = (h * self.slope[i], h * self.slope[i + 1]);
        [
            self.y[i],
            d0,
            3.0 * rise - 2.0 * d0 - d1,
            d0 + d1 - 2.0 * rise,
        ]
    }

    /// Integral over the first part `t` of an interval.
    fn piece_area(&self, i: usize, t: f64) -> f64 {
        let [c0, c1, c2, c3] = self.cubic(i);
        let mean = c0 + t * (c1 / 2.0 + t * (c2 / 3.0 + t * c3 / 4.0));
        (self.x[i + 1] - self.x[i]) * t * mean
    }

    /// Cubic Hermite value and slope; `x` lies in the domain (or is not a number).
    fn within(&self, x: f64) -> (f64, f64) {
        let i = self.interval(x);
        let h = self.x[i + 1] - self.x[i];
        let t = (x - self.x[i]) / h;
        let [c0, c1, c2, c3] = self.cubic(i);
        let value = c0 + t * (c1 + t * (c2 + t * c3));
        (value, (c1 + t * (2.0 * c2 + t * 3.0 * c3)) / h)
    }
}

/// As many equal bins as intervals; for each the interval that holds its lower edge.
fn bins(x: &[f64]) -> Vec<usize> {
    let count = x.len() - 1;
    let (first, width) = (x[0], (x[count] - x[0]) / count as f64);
    (0..count)
        .map(|bin| {
            let edge = first + width * bin as f64;
            x.partition_point(|&knot| knot <= edge).clamp(1, count) - 1
        })
        .collect()
}

/// Limited slopes at the points.
fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let secant: Vec<f64> = (0..h.len()).map(|i| (y[i + 1] - y[i]) / h[i]).collect();
    let n = x.len();
    if n == 2 {
        return vec![secant[0]; 2];
    }
    let mut slope = vec![end_slope(h[0], h[1], secant[0], secant[1])];
    for i in 1..n - 1 {
        slope.push(inner_slope(h[i - 1], h[i], secant[i - 1], secant[i]));
    }
    slope.push(end_slope(h[n - 2], h[n - 3], secant[n - 2], secant[n - 3]));
    slope
}

/// Weighted harmonic mean of the secants on both sides; zero at a turning point.
fn inner_slope(h0: f64, h1: f64, s0: f64, s1: f64) -> f64 {
    if s0 * s1 <= 0.0 {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / s0 + w1 / s1)
}

/// Three-point slope at an end, limited so that the first piece stays monotone. `h0`, `s0`
/// belong to the outermost interval.
fn end_slope(h0: f64, h1: f64, s0: f64, s1: f64) -> f64 {
    let slope = ((2.0 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
    if slope * s0 <= 0.0 {
        0.0
    } else if s0 * s1 <= 0.0 && slope.abs() > 3.0 * s0.abs() {
        3.0 * s0
    } else {
        slope
    }
}
