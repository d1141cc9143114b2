//! Properties of the small numerics over many inputs.

use proptest::prelude::*;
use shared::{MonotoneCubic, bracketed};

/// Rising points with rising or falling values.
fn monotone_points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    let step = (0.01..10.0_f64, 0.0..10.0_f64);
    (prop::collection::vec(step, 2..12), prop::bool::ANY).prop_map(|(steps, rising)| {
        let sign = if rising { 1.0 } else { -1.0 };
        steps
            .into_iter()
            .scan((0.0, 0.0), |at, (dx, dy)| {
                *at = (at.0 + dx, at.1 + sign * dy);
                Some(*at)
            })
            .collect()
    })
}

/// At the minimum of a valley, and where points fall, a slope that rises is none of the curve's; one that
/// falls with them is kept as it is.
#[test]
fn a_known_slope_against_its_points_is_zero() {
    let valley = [(0.0, 2.0), (1.0, 1.0), (2.0, 0.0), (3.0, 1.0)];
    let known = [-1.5, 1.0, 0.5, 2.0];
    let curve = MonotoneCubic::with_slopes(&valley, &known).expect("points rise");
    let slopes = [0.0, 1.0, 2.0, 3.0].map(|x| curve.value_slope(x).1);
    assert_eq!(slopes, [-1.5, 0.0, 0.0, 2.0]);
}

proptest! {
    #[test]
    fn a_curve_through_monotone_points_is_monotone(points in monotone_points()) {
        let curve = MonotoneCubic::new(&points).expect("points rise");
        let (first, last) = curve.domain();
        let rises = points[points.len() - 1].1 >= points[0].1;
        for i in 0..=200 {
            let slope = curve.value_slope(first + (last - first) * f64::from(i) / 200.0).1;
            // Rounding only: slopes are of order up to 1000.
            let forward = if rises { slope } else { -slope };
            prop_assert!(forward >= -1e-9, "slope {}", slope);
        }
    }

    /// Rising, falling and turning points, slopes of either sign: no piece leaves what lies between its ends.
    #[test]
    fn known_slopes_of_any_sign_keep_each_piece_between_its_points(
        steps in prop::collection::vec((0.01..10.0_f64, -10.0..10.0_f64), 2..12),
        known in prop::collection::vec(-100.0..100.0_f64, 12),
    ) {
        let points: Vec<_> = steps
            .into_iter()
            .scan((0.0, 0.0), |at, (dx, dy)| {
                *at = (at.0 + dx, at.1 + dy);
                Some(*at)
            })
            .collect();
        let curve = MonotoneCubic::with_slopes(&points, &known).expect("points rise");
        for pair in points.windows(2) {
            let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
            for i in 0..=50 {
                let value = curve.value_slope(x0 + (x1 - x0) * f64::from(i) / 50.0).0;
                // Rounding only: values are of order up to 100.
                let within = y0.min(y1) - 1e-11..=y0.max(y1) + 1e-11;
                prop_assert!(within.contains(&value), "{} between {} and {}", value, y0, y1);
            }
        }
    }

    #[test]
    fn any_cubic_with_a_sign_change_has_its_root(a in -5.0..5.0_f64, b in 0.0..5.0_f64, c in -5.0..5.0_f64) {
        let f = |x: f64| (x - a) * ((x - c) * (x - c) + b * b + 0.1);
        let root = bracketed(f, a - 7.0, a + 3.0, 1e-10).expect("bracketed");
        prop_assert!((root - a).abs() <= 1e-10);
    }
}
