//! Inherent characteristics of valves: fraction of full capacity against travel (theory 4.3).

use crate::network::Characteristic;
use shared::{Extrapolation, MonotoneCubic, Scalar};
use std::f64::consts::FRAC_PI_2;

/// Loss coefficient of a cock against the angle from open in degrees: J. Weisbach's
/// experiments (1855) as reprinted in hydraulics handbooks; figures from memory. Shut at 82.5.
const WEISBACH_COCK: [(f64, f64); 13] = [
    (5.0, 0.05),
    (10.0, 0.29),
    (15.0, 0.75),
    (20.0, 1.56),
    (25.0, 3.10),
    (30.0, 5.47),
    (35.0, 9.68),
    (40.0, 17.3),
    (45.0, 31.2),
    (50.0, 52.6),
    (55.0, 106.0),
    (60.0, 206.0),
    (65.0, 486.0),
];

/// Angle from open at which the ball's bore is covered, degrees.
const COVERED_DEGREES: f64 = 82.5;

/// Points of a cock's curve, one for each half degree.
const COCK_STEPS: u32 = 165;

/// Loss coefficient of the open full-port ball on its own bore: a short smooth pipe
/// (common practice, no source).
const OPEN_LOSS: f64 = 0.05;

/// Constants of a ball's loss `factor sin^rising(a) / cos^closing(a)`, with the angle `a` stretched so that
/// the covered bore is at 90 degrees: least squares through the logarithms of the cock's table, 7 % at the
/// most from any row. A curve through every row would have the scatter of the experiments in its bend.
const BALL_FACTOR: f64 = 13.912;
const BALL_RISING: f64 = 2.3983;
const BALL_CLOSING: f64 = 3.3414;

/// Travel over which an equal-percentage trim leaves its seat (common practice, no source).
const SEATING: f64 = 0.05;

/// A characteristic made ready to run.
#[derive(Clone, Debug)]
pub enum Trim {
    /// A curve through points.
    Curve(MonotoneCubic),
    /// A full-port ball.
    Ball,
    /// Proportional.
    Linear,
    /// R^(x-1), with a straight line to the seat over the first [`SEATING`] of travel.
    EqualPercentage(f64),
    /// Square root.
    QuickOpening,
}

impl Trim {
    /// Prepares a characteristic. An unusable table falls back on proportional.
    #[must_use]
    pub fn new(characteristic: &Characteristic) -> Self {
        let curve =
            |points: &[(f64, f64)]| MonotoneCubic::new(points).map_or(Self::Linear, Self::Curve);
        match characteristic {
            Characteristic::Ball => Self::Ball,
            Characteristic::Cock { open_loss } => curve(&cock_points(*open_loss)),
            Characteristic::Linear => Self::Linear,
            Characteristic::EqualPercentage { rangeability } => {
                Self::EqualPercentage(*rangeability)
            }
            Characteristic::QuickOpening => Self::QuickOpening,
            Characteristic::Table { points } => curve(points),
        }
    }

    /// Fraction of the full capacity at a travel.
    #[must_use]
    pub fn fraction<S: Scalar>(&self, travel: S) -> S {
        let x = travel.value();
        if x <= 0.0 {
            return S::zero();
        }
        if x >= 1.0 {
            return S::constant(1.0);
        }
        match self {
            Self::Curve(curve) => curve.at(travel),
            Self::Ball => ball(travel),
            Self::Linear => travel,
            Self::EqualPercentage(r) if x < SEATING => travel * (r.powf(SEATING - 1.0) / SEATING),
            Self::EqualPercentage(r) => ((travel - 1.0) * r.ln()).exp(),
            Self::QuickOpening => travel.sqrt(),
        }
    }
}

/// Fraction of the full capacity of a ball between open and shut.
fn ball<S: Scalar>(travel: S) -> S {
    let degrees = 90.0 * (1.0 - travel.value());
    if degrees >= COVERED_DEGREES {
        return S::zero();
    }
    let per_degree = FRAC_PI_2 / COVERED_DEGREES;
    let (sin, cos) = (degrees * per_degree).sin_cos();
    let loss = BALL_FACTOR * sin.powf(BALL_RISING) / cos.powf(BALL_CLOSING);
    let fraction = (OPEN_LOSS / (OPEN_LOSS + loss)).sqrt();
    // Of the logarithm of the loss, by the angle.
    let slope = BALL_RISING * cos / sin + BALL_CLOSING * sin / cos;
    let falls = 0.5 * fraction * loss / (OPEN_LOSS + loss) * slope;
    travel.lift(fraction, 90.0 * per_degree * falls)
}

/// `(travel, fraction)` of a cock that loses `open` velocity heads of its bore when it is open.
///
/// The losses of the table and the angles at which they were measured follow nearly a straight line
/// in the logarithms of loss and of the tangent of the angle, stretched so that the covered bore is
/// at 90 degrees. The curve between them is drawn there, which keeps it smooth up to both ends.
fn cock_points(open: f64) -> Vec<(f64, f64)> {
    let stretched = |degrees: f64| (degrees / COVERED_DEGREES * FRAC_PI_2).tan().ln();
    let table = WEISBACH_COCK.map(|(degrees, loss)| (stretched(degrees), loss.ln()));
    let Ok(losses) = MonotoneCubic::new(&table) else {
        return Vec::new();
    };
    let losses = losses.extrapolated(Extrapolation::Linear);
    let fraction = |degrees: f64| {
        let (loss, _) = losses.value_slope(stretched(degrees));
        (open / (open + loss.exp())).sqrt()
    };
    let between = (1..COCK_STEPS).rev().map(|step| {
        let degrees = COVERED_DEGREES * f64::from(step) / f64::from(COCK_STEPS);
        (travel(degrees), fraction(degrees))
    });
    let mut points = vec![(0.0, 0.0), (travel(COVERED_DEGREES), 0.0)];
    points.extend(between);
    points.push((1.0, 1.0));
    points
}

fn travel(degrees_from_open: f64) -> f64 {
    1.0 - degrees_from_open / 90.0
}

#[cfg(test)]
mod tests {
    use super::{BALL_CLOSING, BALL_FACTOR, BALL_RISING, COVERED_DEGREES, Trim, WEISBACH_COCK};
    use crate::network::Characteristic;
    use shared::Dual;
    use std::f64::consts::FRAC_PI_2;

    /// It rises all the way. A kink would change the slope however close two places are; here it
    /// bends by less than a hundredth of its steepest slope over a hundredth of a degree.
    #[test]
    fn a_cock_opens_evenly_and_without_kinks() {
        let cocks = [0.03, 0.1, 1.0, 10.0].map(|open_loss| Characteristic::Cock { open_loss });
        for characteristic in cocks.iter().chain([&Characteristic::Ball]) {
            let trim = Trim::new(characteristic);
            let rises: Vec<f64> = (0..9000)
                .map(|part| {
                    let at = |part: i32| trim.fraction(f64::from(part) / 9000.0);
                    at(part + 1) - at(part)
                })
                .collect();
            let steepest = rises.iter().copied().fold(0.0, f64::max);
            assert!(rises.iter().all(|&rise| rise >= 0.0));
            for pair in rises.windows(2) {
                assert!(
                    (pair[1] - pair[0]).abs() < 0.01 * steepest,
                    "{characteristic:?}: {pair:?}"
                );
            }
        }
    }

    /// Closed form: what least squares leave has no part along the terms of the fit. The constants have
    /// five digits, of which the sums over 13 rows keep 1e-3.
    #[test]
    fn a_ball_is_the_least_squares_of_the_cock() {
        let mut left = [0.0; 3];
        for (degrees, loss) in WEISBACH_COCK {
            let angle = degrees / COVERED_DEGREES * FRAC_PI_2;
            let terms = [1.0, angle.sin().ln(), angle.cos().ln()];
            let fit = BALL_FACTOR.ln() + BALL_RISING * terms[1] - BALL_CLOSING * terms[2];
            for (sum, term) in left.iter_mut().zip(terms) {
                *sum += (f64::ln(loss) - fit) * term;
            }
        }
        assert!(left.iter().all(|sum| sum.abs() < 1e-3), "{left:?}");
    }

    /// The slope of a ball is that of its curve: difference quotients over 1e-6 of the travel are good
    /// to some 1e-9 of its steepest slope.
    #[test]
    fn a_ball_has_the_slope_of_its_curve() {
        let trim = Trim::new(&Characteristic::Ball);
        for travel in [0.09, 0.3, 0.6, 0.9, 0.99, 0.9999] {
            let slope = trim.fraction(Dual::<1>::variable(travel, 0)).slope[0];
            let step = 1e-6;
            let rise = trim.fraction(travel + step) - trim.fraction(travel - step);
            assert!(
                (rise / (2.0 * step) - slope).abs() < 1e-6,
                "{travel}: {slope}"
            );
        }
    }
}
