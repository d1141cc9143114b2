//! A smooth curve through measured points that overshoots none of them.
//!
//! Piecewise cubic Hermite interpolation whose slopes are limited so that the curve is
//! monotone wherever the points are: F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17
//! (1980) 238-246, with the slope formula of F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
//! Comput. 5 (1984) 300-304. The curve and its slope are continuous.

use crate::Scalar;
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
    pieces: Vec<Piece>,
    /// The given values, of which a piece's end is a rounding off.
    y: Vec<f64>,
    /// First and last `x`.
    domain: (f64, f64),
    /// The domain in equal bins: the interval in which each bin begins. A look-up starts there
    /// and walks, which is shorter than a bisection.
    bins: Vec<usize>,
    beyond: Extrapolation,
}

/// The cubic between two points: made once, because a look-up reads nothing but its own piece.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Piece {
    x: f64,
    width: f64,
    /// Coefficients in powers of the piece's part from 0 to 1.
    coefficients: [f64; 4],
    /// Integral of the curve from its first point to this piece.
    area: f64,
}

impl Piece {
    /// Between two points (x, y, slope).
    fn between(left: (f64, f64, f64), right: (f64, f64, f64), area: f64) -> Self {
        let width = right.0 - left.0;
        let rise = right.1 - left.1;
        let (d0, d1) = (width * left.2, width * right.2);
        Self {
            x: left.0,
            width,
            coefficients: [left.1, d0, 3.0 * rise - 2.0 * d0 - d1, d0 + d1 - 2.0 * rise],
            area,
        }
    }

    fn part(&self, x: f64) -> f64 {
        (x - self.x) / self.width
    }

    fn value(&self, t: f64) -> f64 {
        let [c0, c1, c2, c3] = self.coefficients;
        c0 + t * (c1 + t * (c2 + t * c3))
    }

    fn slope(&self, t: f64) -> f64 {
        let [_, c1, c2, c3] = self.coefficients;
        (c1 + t * (2.0 * c2 + t * 3.0 * c3)) / self.width
    }

    /// Slope of the slope.
    fn bend(&self, t: f64) -> f64 {
        let [_, _, c2, c3] = self.coefficients;
        (2.0 * c2 + t * 6.0 * c3) / (self.width * self.width)
    }

    /// Integral over the first part `t`.
    fn area(&self, t: f64) -> f64 {
        let [c0, c1, c2, c3] = self.coefficients;
        let mean = c0 + t * (c1 / 2.0 + t * (c2 / 3.0 + t * c3 / 4.0));
        self.width * t * mean
    }
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
        check(points)?;
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let slope = slopes(&x, &y);
        Ok(Self::through(&x, y, &slope))
    }

    /// The curve through `points` whose slopes are known: as smooth as what they were taken from, where
    /// the formula's own bend at every point. A slope with which the curve would not be monotone is cut to
    /// between zero and three times the secant on each side (Fritsch and Carlson): zero where it goes
    /// against one of them. One that is not finite is the formula's.
    ///
    /// # Errors
    /// As [`MonotoneCubic::new`].
    pub fn with_slopes(points: &[(f64, f64)], known: &[f64]) -> Result<Self, CurveError> {
        check(points)?;
        let (x, y): (Vec<f64>, Vec<f64>) = points.iter().copied().unzip();
        let mut slope = slopes(&x, &y);
        let secant: Vec<f64> = points
            .windows(2)
            .map(|p| (p[1].1 - p[0].1) / (p[1].0 - p[0].0))
            .collect();
        for (i, (slope, known)) in slope.iter_mut().zip(known).enumerate() {
            let beside = &secant[i.saturating_sub(1)..(i + 1).min(secant.len())];
            let low = beside
                .iter()
                .fold(f64::NEG_INFINITY, |low, s| low.max(3.0 * s.min(0.0)));
            let high = beside
                .iter()
                .fold(f64::INFINITY, |high, s| high.min(3.0 * s.max(0.0)));
            if known.is_finite() {
                *slope = known.clamp(low, high);
            }
        }
        Ok(Self::through(&x, y, &slope))
    }

    /// The straight line from the origin to `(x, y)`; an `x` that is not above zero gives the
    /// constant `y`.
    #[must_use]
    pub fn line(x: f64, y: f64) -> Self {
        let proper = x > 0.0 && x.is_finite();
        let (end, start) = if proper { (x, 0.0) } else { (1.0, y) };
        Self::through(&[0.0, end], vec![start, y], &[(y - start) / end; 2])
    }

    fn through(x: &[f64], y: Vec<f64>, slope: &[f64]) -> Self {
        let point = |i: usize| (x[i], y[i], slope[i]);
        let mut area = 0.0;
        let pieces = (1..x.len())
            .map(|i| {
                let piece = Piece::between(point(i - 1), point(i), area);
                area += piece.area(1.0);
                piece
            })
            .collect();
        Self {
            pieces,
            y,
            domain: (x[0], x[x.len() - 1]),
            bins: bins(x),
            beyond: Extrapolation::Constant,
        }
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
        self.domain
    }

    /// Value and slope at `x`.
    #[must_use]
    pub fn value_slope(&self, x: f64) -> (f64, f64) {
        match self.beyond(x) {
            Some(end) => (end.value + end.slope * (x - end.x), end.slope),
            None => {
                let piece = self.piece(x);
                let t = piece.part(x);
                (piece.value(t), piece.slope(t))
            }
        }
    }

    /// Value at `x`, with derivatives.
    #[must_use]
    pub fn at<S: Scalar>(&self, x: S) -> S {
        let (value, slope) = self.value_slope(x.value());
        x.lift(value, slope)
    }

    /// Slope at `x`, with derivatives.
    #[must_use]
    pub fn slope_at<S: Scalar>(&self, x: S) -> S {
        let place = x.value();
        match self.beyond(place) {
            Some(end) => S::constant(end.slope),
            None => {
                let piece = self.piece(place);
                let t = piece.part(place);
                x.lift(piece.slope(t), piece.bend(t))
            }
        }
    }

    /// Value at `x`, and integral from the first point to `x`.
    #[must_use]
    pub fn value_area(&self, x: f64) -> (f64, f64) {
        match self.beyond(x) {
            Some(end) => {
                let past = x - end.x;
                let mean = end.value + 0.5 * end.slope * past;
                (end.value + end.slope * past, end.area + past * mean)
            }
            None => {
                let piece = self.piece(x);
                let t = piece.part(x);
                (piece.value(t), piece.area + piece.area(t))
            }
        }
    }

    /// The end beyond which `x` lies.
    fn beyond(&self, x: f64) -> Option<End> {
        let (first, last) = self.domain;
        let end = self.y.len() - 1;
        let (x, piece, t, value) = if x < first {
            (first, &self.pieces[0], 0.0, self.y[0])
        } else if x > last {
            (last, &self.pieces[end - 1], 1.0, self.y[end])
        } else {
            return None;
        };
        let slope = match self.beyond {
            Extrapolation::Constant => 0.0,
            Extrapolation::Linear => piece.slope(t),
        };
        let area = piece.area + piece.area(t);
        Some(End {
            x,
            value,
            slope,
            area,
        })
    }

    /// The piece that holds `x`, the last one for what is not a number.
    fn piece(&self, x: f64) -> &Piece {
        let (first, end) = self.domain;
        let bin = (x - first) / (end - first) * self.bins.len() as f64;
        let mut i = self.bins[(bin as usize).min(self.bins.len() - 1)];
        // Rounding may put the bin a hair too far.
        while i > 0 && self.pieces[i].x > x {
            i -= 1;
        }
        while i + 1 < self.pieces.len() && self.pieces[i + 1].x <= x {
            i += 1;
        }
        &self.pieces[i]
    }
}

/// How the curve goes on beyond one of its ends.
struct End {
    x: f64,
    value: f64,
    slope: f64,
    area: f64,
}

/// Whether points make a curve.
fn check(points: &[(f64, f64)]) -> Result<(), CurveError> {
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
    Ok(())
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
