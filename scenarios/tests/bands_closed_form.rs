//! Draws and bands against closed forms.

use scenarios::Distribution;
use scenarios::studies::chance::Chance;
use scenarios::studies::factor::{SIGMAS_95, values_at};
use scenarios::studies::percentile::{HIGH, LOW, Sorted};
use scenarios::studies::ranking::ranking;
use scenarios::studies::{Draws, Factor};

const COUNT: u64 = 4096;

fn normal(half_width_95: f64) -> Factor {
    factor(Distribution::Normal { half_width_95 })
}

fn factor(distribution: Distribution) -> Factor {
    Factor {
        name: String::new(),
        nominal: 2.0,
        distribution,
    }
}

fn drawn(factors: &[Factor]) -> Vec<Vec<f64>> {
    let draws = Draws::new(factors.len(), 1).expect("few factors");
    (0..COUNT)
        .map(|i| values_at(factors, &draws.point(i)))
        .collect()
}

fn close(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} {expected}");
}

/// Half widths add in squares for a sum of normals.
#[test]
fn a_linear_model_has_the_band_of_its_closed_form() {
    let factors = [normal(0.3), normal(0.4), normal(1.2)];
    let sums = drawn(&factors).into_iter().map(|x| x.iter().sum());
    let sorted = Sorted::of(sums);
    // sqrt(0.09 + 0.16 + 1.44) = 1.3; within 95 % of what as many independent draws scatter.
    for (part, expected) in [(LOW, 6.0 - 1.3), (HIGH, 6.0 + 1.3), (0.5, 6.0)] {
        let bound = 1.3 * standard_error(part, COUNT as f64);
        close(sorted.percentile(part), expected, bound);
    }
}

/// Standard error of a percentile of independent draws from a standard normal distribution:
/// sqrt(p (1 - p)/n)/density there (A. Stuart and J. K. Ord, Kendall's Advanced Theory of
/// Statistics, vol. 1, 10.10; from memory).
fn standard_error(part: f64, count: f64) -> f64 {
    let z = z_of(part);
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    (part * (1.0 - part) / count).sqrt() / density
}

fn z_of(part: f64) -> f64 {
    // Of mean 2 and half width SIGMAS_95: of standard deviation one.
    normal(SIGMAS_95).quantile(part) - 2.0
}

/// The indicator that makes a percentile is a mean over the points, and that of a scrambled net
/// scatters less than that of independent draws (A. B. Owen, Ann. Stat. 25 (1997) 1541). So the
/// order statistics, which take draws as independent, state too much rather than too little.
/// Over 64 scrambles an estimate of a standard deviation is itself good to 1/sqrt(128), 9 %.
#[test]
fn percentiles_scatter_less_than_those_of_independent_draws() {
    let factors = [normal(0.3), normal(0.4), normal(1.2), normal(0.5)];
    let sigma = (1.69_f64 + 0.25).sqrt() / SIGMAS_95;
    for part in [LOW, 0.5, HIGH] {
        let true_value = 8.0 + sigma * z_of(part);
        let errors = (0..64).map(|seed| {
            let draws = Draws::new(factors.len(), seed).expect("few factors");
            let sums = (0..1024).map(|i| values_at(&factors, &draws.point(i)).iter().sum());
            Sorted::of(sums).percentile(part) - true_value
        });
        let mean_square = errors.map(|e| e * e).sum::<f64>() / 64.0;
        let independent = sigma * standard_error(part, 1024.0);
        let ratio = mean_square.sqrt() / independent;
        assert!(ratio < 1.0, "{part}: {ratio}");
    }
}

#[test]
fn each_distribution_holds_its_95_percent() {
    let cases = [
        (Distribution::Normal { half_width_95: 0.5 }, 1.5, 2.5),
        (Distribution::LogNormal { factor_95: 1.3 }, 2.0 / 1.3, 2.6),
        (
            Distribution::Uniform {
                low: 1.0,
                high: 3.0,
            },
            1.05,
            2.95,
        ),
        (Distribution::Exact, 2.0, 2.0),
    ];
    for (distribution, low, high) in cases {
        let (got_low, got_high) = factor(distribution).interval_95();
        // The inverse of the error function is good to about 1e-13.
        close(got_low, low, 1e-11);
        close(got_high, high, 1e-11);
    }
}

/// Each coordinate of a scrambled net of 2^m points has one point in each of 2^m equal boxes.
#[test]
fn points_are_stratified_in_each_dimension() {
    let draws = Draws::new(40, 7).expect("few factors");
    for dimension in 0..40 {
        let mut boxes = vec![0; 256];
        for index in 0..256 {
            boxes[(256.0 * draws.coordinate(index, dimension)) as usize] += 1;
        }
        assert!(boxes.iter().all(|&n| n == 1), "{dimension}");
    }
}

#[test]
fn points_go_on_beyond_the_length_of_one_sequence() {
    let draws = Draws::new(1, 1).expect("few factors");
    let far: Vec<f64> = (0..64)
        .map(|i| draws.coordinate(1_000_000 + i, 0))
        .collect();
    let near: Vec<f64> = (0..64).map(|i| draws.coordinate(i, 0)).collect();
    assert!(far.iter().all(|u| *u > 0.0 && *u < 1.0));
    assert_ne!(far, near);
}

#[test]
fn too_many_dimensions_are_refused() {
    assert!(Draws::new(256, 1).is_ok());
    let refused = Draws::new(257, 1).expect_err("too many");
    assert!(refused.to_string().contains("257"));
}

/// y = 3 a + 4 b with unit variances: shares 9/25 and 16/25, all of it linear.
#[test]
fn a_linear_model_is_ranked_by_its_coefficients() {
    let inputs = drawn(&[normal(1.96), normal(1.96), normal(1.96)]);
    let figure: Vec<f64> = inputs.iter().map(|x| 3.0 * x[0] + 4.0 * x[1]).collect();
    let ranking = ranking(&inputs, &figure).expect("enough draws");
    let first = &ranking.influences[0];
    // Coordinates of the points correlate by less than 1/sqrt(COUNT).
    assert_eq!(first.factor, 1);
    close(first.share, 0.64, 0.02);
    close(ranking.influences[1].share, 0.36, 0.02);
    close(ranking.r_squared, 1.0, 1e-9);
}

/// Percentiles of 1 to 10 by definition 5: the i-th of ten stands for (i - 1/2)/10.
#[test]
fn percentiles_follow_their_definition() {
    let sorted = Sorted::of((1..=10).rev().map(f64::from));
    close(sorted.percentile(0.25), 3.0, 1e-12);
    close(sorted.percentile(0.5), 5.5, 1e-12);
    close(sorted.percentile(0.0), 1.0, 0.0);
    assert!(Sorted::of([f64::NAN]).percentile(0.5).is_nan());
}

/// 81 of 263: Wilson 1927 gives 0.255 to 0.366 (worked example 1 of R. G. Newcombe, Stat. Med. 17
/// (1998) 857, method 3, printed as 0.2553 to 0.3662).
#[test]
fn a_chance_has_its_published_interval() {
    let chance = Chance { count: 81, of: 263 };
    let (low, high) = chance.interval_95();
    close(low, 0.2553, 5e-5);
    close(high, 0.3662, 5e-5);
}
