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

    #[test]
    fn any_cubic_with_a_sign_change_has_its_root(a in -5.0..5.0_f64, b in 0.0..5.0_f64, c in -5.0..5.0_f64) {
        let f = |x: f64| (x - a) * ((x - c) * (x - c) + b * b + 0.1);
        let root = bracketed(f, a - 7.0, a + 3.0, 1e-10).expect("bracketed");
        prop_assert!((root - a).abs() <= 1e-10);
    }
}
