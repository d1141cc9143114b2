//! The small numerics against published values and an independent library.

use shared::{Dual, Extrapolation, MonotoneCubic, RootError, Scalar, bracketed, smooth};

/// Test functions with one root in a bracket, among those of G. E. Alefeld, F. A. Potra and
/// Y. Shi, "Algorithm 748", ACM Trans. Math. Softw. 21 (1995) 327-344; their roots in closed
/// form.
#[test]
fn roots_of_published_test_functions() {
    type Case = (fn(f64) -> f64, f64, f64, f64);
    let cases: [Case; 5] = [
        (|x| x * x - 2.0, 0.0, 2.0, std::f64::consts::SQRT_2),
        (|x| x.powi(9), -1.0, 4.0, 0.0),
        (|x| x.sin() - 0.5, 0.0, 1.5, std::f64::consts::FRAC_PI_6),
        (|x| (x - 1.0).exp() - 1.0, -10.0, 30.0, 1.0),
        (|x| x.ln() - 1.0, 1.0, 1e6, std::f64::consts::E),
    ];
    for (index, (f, a, b, root)) in cases.into_iter().enumerate() {
        let got = bracketed(f, a, b, 1e-12).expect("bracketed");
        // The tolerance asked for.
        assert!((got - root).abs() <= 1e-12, "case {index}: {got}");
    }
}

#[test]
fn a_smooth_root_takes_few_evaluations() {
    let mut count = 0;
    let root = bracketed(
        |x| {
            count += 1;
            x.cos() - x
        },
        0.0,
        1.0,
        1e-14,
    );
    // The Dottie number; bisection alone would need 47 evaluations.
    assert!((root.expect("bracketed") - 0.739_085_133_215_160_6).abs() < 1e-14);
    assert!(count <= 12, "{count}");
}

#[test]
fn a_root_that_is_not_bracketed_or_not_finite_is_an_error() {
    let same = bracketed(|x| x * x + 1.0, -1.0, 1.0, 1e-9);
    assert!(matches!(same, Err(RootError::NotBracketed { .. })));
    let pole = bracketed(|x| x.ln(), -1.0, 2.0, 1e-9);
    assert_eq!(pole, Err(RootError::NotFinite { at: -1.0 }));
    let end = bracketed(|x| x, f64::NEG_INFINITY, 1.0, 1e-9);
    assert!(matches!(end, Err(RootError::NotFinite { .. })));
}

#[test]
fn the_whole_range_of_numbers_is_searched() {
    let root = bracketed(|x| x - 3e-200, -1e300, 1e300, 0.0).expect("bracketed");
    // Last bits were asked for.
    assert!((root / 3e-200 - 1.0).abs() < 1e-14, "{root}");
}

/// Values and slopes of `scipy.interpolate.PchipInterpolator`, SciPy 1.17.1 (the same two
/// papers).
#[test]
fn the_monotone_cubic_agrees_with_scipy() {
    let curve = MonotoneCubic::new(&[
        (0.0, 0.0),
        (0.1, 0.02),
        (0.35, 0.2),
        (0.5, 0.41),
        (0.8, 0.9),
        (1.0, 1.0),
    ])
    .expect("rising");
    let reference = [
        (0.05, 0.007_022_167_487_684_728, 0.214_729_064_039_408_83),
        (0.2, 0.070_338_151_635_006_44, 0.689_382_251_685_143_2),
        (0.35, 0.2, 0.977_059_773_828_756),
        (0.45, 0.333_191_436_281_713_16, 1.540_980_075_390_414),
        (0.7, 0.773_319_452_180_755_5, 1.679_472_693_032_015_9),
        (0.95, 0.989_994_718_309_859_1, 0.340_176_056_338_028_44),
    ];
    agree(&curve, &reference);
    let turning =
        MonotoneCubic::new(&[(0.0, 1.0), (1.0, 3.0), (2.0, 2.0), (4.0, 2.0)]).expect("rising");
    agree(
        &turning,
        &[(0.5, 2.4375, 2.125), (1.5, 2.5, -1.5), (3.0, 2.0, 0.0)],
    );
}

fn agree(curve: &MonotoneCubic, reference: &[(f64, f64, f64)]) {
    for &(x, value, slope) in reference {
        let got = curve.value_slope(x);
        // Rounding of a handful of operations.
        assert!((got.0 - value).abs() < 1e-14, "value at {x}: {}", got.0);
        assert!((got.1 - slope).abs() < 1e-13, "slope at {x}: {}", got.1);
    }
}

#[test]
fn beyond_its_ends_a_curve_does_what_was_stated() {
    let points = [(0.0, 0.0), (1.0, 2.0)];
    let held = MonotoneCubic::new(&points).expect("rising");
    assert_eq!(held.value_slope(3.0), (2.0, 0.0));
    let straight = held.clone().extrapolated(Extrapolation::Linear);
    assert_eq!(straight.value_slope(3.0), (6.0, 2.0));
    assert_eq!(straight.value_slope(-1.0), (-2.0, 2.0));
    assert_eq!(MonotoneCubic::line(1.0, 2.0), held);
}

#[test]
fn points_that_make_no_curve_are_refused() {
    for points in [
        &[(0.0, 0.0)][..],
        &[(0.0, 0.0), (0.0, 1.0)],
        &[(0.0, 0.0), (1.0, f64::NAN)],
    ] {
        assert!(MonotoneCubic::new(points).is_err(), "{points:?}");
    }
}

#[test]
fn the_regular_root_is_a_root_far_out_and_straight_at_zero() {
    let eps = 100.0;
    for ratio in [10.0_f64, 100.0, 1e4] {
        let shortfall = 1.0 - smooth::regular_sqrt(ratio * eps, eps) / (ratio * eps).sqrt();
        let stated = 0.25 / (ratio * ratio);
        // The next term of the series is 5/32 ratio^-4; 1e-15 is rounding.
        assert!((shortfall - stated).abs() < 0.2 / ratio.powi(4) + 1e-15);
    }
    let at_zero = smooth::regular_sqrt(Dual::<1>::variable(0.0, 0), eps);
    assert_eq!((at_zero.value, at_zero.slope[0]), (0.0, 0.1));
    assert_eq!(
        smooth::regular_sqrt(-400.0, eps),
        -smooth::regular_sqrt(400.0, eps)
    );
}

#[test]
fn derivatives_are_those_of_the_functions() {
    let h = 1e-5;
    let step = |x: f64| smooth::smooth_step(x);
    let root = |x: f64| smooth::regular_sqrt(x, 0.3);
    for x in [-0.7, 0.1, 0.4, 0.9, 1.3] {
        let s = smooth::smooth_step(Dual::<1>::variable(x, 0)).slope[0];
        let r = smooth::regular_sqrt(Dual::<1>::variable(x, 0), 0.3).slope[0];
        // Central difference: error of order h^2 times a third derivative of order 100.
        assert!((s - (step(x + h) - step(x - h)) / (2.0 * h)).abs() < 1e-8);
        assert!((r - (root(x + h) - root(x - h)) / (2.0 * h)).abs() < 1e-8);
    }
    let curve = MonotoneCubic::line(2.0, 4.0);
    let y = curve.at(Dual::<1>::variable(0.5, 0));
    assert_eq!((y.value(), y.slope[0]), (1.0, 2.0));
}
