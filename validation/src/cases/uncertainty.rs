//! Draws, propagation and sensitivity on problems whose answer is known.

use crate::report::{Case, Figure, Section};
use nalgebra::{DMatrix, DVector, Matrix3, Vector3};
use scenarios::Distribution;
use scenarios::studies::factor::{SIGMAS_95, values_at};
use scenarios::studies::parallel::silent;
use scenarios::studies::percentile::{HIGH, LOW, Sorted};
use scenarios::studies::ranking::least_squares;
use scenarios::studies::sobol_indices::{Indices, exchanges};
use scenarios::studies::tornado::tornado;
use scenarios::studies::{Draws, Factor, SEED};
use std::f64::consts::PI;

const DRAWS: u64 = 1 << 16;
const POINTS: usize = 1 << 12;

/// The section.
pub fn section() -> Section {
    Section {
        title: "Uncertainty and sensitivity",
        method: "The draws, bands and indices of the studies, given a textbook's function in place \
                 of a stand: it goes through the same code.",
        cases: vec![
            gauge_block(),
            impedance(),
            calibration_line(),
            sum_of_four(
                "normal",
                Distribution::Normal {
                    half_width_95: SIGMAS_95,
                },
                3.92,
            ),
            sum_of_four("rectangular", rectangular(3.0_f64.sqrt()), 3.88),
            linear_band(),
            ishigami(),
            g_function(),
        ],
    }
}

fn factor(nominal: f64, distribution: Distribution) -> Factor {
    Factor {
        name: String::new(),
        nominal,
        distribution,
    }
}

/// A normal factor by its standard uncertainty.
fn normal(mean: f64, standard: f64) -> Factor {
    let half_width_95 = SIGMAS_95 * standard;
    factor(mean, Distribution::Normal { half_width_95 })
}

fn rectangular(half_width: f64) -> Distribution {
    Distribution::Uniform {
        low: -half_width,
        high: half_width,
    }
}

/// What a function gives over the draws.
fn drawn(factors: &[Factor], f: impl Fn(&[f64]) -> f64) -> Result<Vec<f64>, String> {
    let draws = Draws::new(factors.len(), SEED).map_err(|e| e.to_string())?;
    let values = (0..DRAWS).map(|i| f(&values_at(factors, &draws.point(i))));
    Ok(values.collect())
}

fn standard_deviation(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
}

fn gauge_block() -> Case {
    let factors = [
        normal(50_000_623.0, 25.0),
        normal(215.0, 9.7),
        factor(
            11.5e-6,
            Distribution::Uniform {
                low: 9.5e-6,
                high: 13.5e-6,
            },
        ),
        normal(-0.1, 0.41),
        factor(0.0, rectangular(1e-6)),
        factor(0.0, rectangular(0.05)),
    ];
    let length = |x: &[f64]| Ok(vec![x[0] + x[1] - x[0] * (x[4] * x[3] + x[2] * x[5])]);
    let figures = tornado(&factors, &silent, length).map(|t| {
        let u = t.combined_standard_uncertainty(&factors, 0);
        vec![
            Figure::absolute("length", "nm", 50_000_838.0, t.nominal[0], 0.5),
            Figure::absolute("combined standard uncertainty", "nm", 32.0, u, 0.5),
        ]
    });
    Case {
        title: "End gauge".to_owned(),
        source: "JCGM 100:2008 (GUM), example H.1",
        reason: "half a unit of the last printed digit",
        figures,
    }
}

/// Voltage in V, current in mA, phase in rad.
const READINGS: [[f64; 3]; 5] = [
    [5.007, 19.663, 1.0456],
    [4.994, 19.639, 1.0438],
    [5.005, 19.640, 1.0468],
    [4.990, 19.685, 1.0428],
    [4.999, 19.678, 1.0433],
];

/// Means of the readings and the lower triangle of their covariance, by Cholesky.
fn means_and_root() -> Result<(Vector3<f64>, Matrix3<f64>), String> {
    let rows = READINGS.map(Vector3::from);
    let n = rows.len() as f64;
    let mean = rows.iter().sum::<Vector3<f64>>() / n;
    let squares = rows.iter().map(|r| (r - mean) * (r - mean).transpose());
    let covariance = squares.sum::<Matrix3<f64>>() / (n * (n - 1.0));
    let root = covariance.cholesky().ok_or("the covariance has no root")?;
    Ok((mean, root.l()))
}

fn impedance() -> Case {
    let figures = means_and_root().and_then(|(mean, root)| {
        let factors = [normal(0.0, 1.0), normal(0.0, 1.0), normal(0.0, 1.0)];
        let reading = |z: &[f64]| mean + root * Vector3::new(z[0], z[1], z[2]);
        let ohms = |r: Vector3<f64>| 1e3 * r[0] / r[1];
        type Quantity<'a> = (&'a str, f64, f64, fn(f64) -> f64);
        let quantities: [Quantity<'_>; 3] = [
            ("resistance", 127.732, 0.071, f64::cos),
            ("reactance", 219.847, 0.295, f64::sin),
            ("impedance", 254.260, 0.236, |_| 1.0),
        ];
        let mut figures = Vec::new();
        for (name, value, uncertainty, part) in quantities {
            let f = |r: Vector3<f64>| ohms(r) * part(r[2]);
            let spread = standard_deviation(&drawn(&factors, |z| f(reading(z)))?);
            figures.push(Figure::absolute(name, "ohm", value, f(mean), 5e-4));
            let label = format!("{name}, standard uncertainty");
            figures.push(Figure::absolute(label, "ohm", uncertainty, spread, 1e-3));
        }
        Ok(figures)
    });
    Case {
        title: "Resistance and reactance from correlated readings".to_owned(),
        source: "JCGM 100:2008 (GUM), example H.2, approach 1",
        reason: "half a unit of the last printed digit of a value; one unit for the uncertainties, \
                 which are drawn",
        figures,
    }
}

const TEMPERATURES: [f64; 11] = [
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511,
];
const CORRECTIONS: [f64; 11] = [
    -0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160,
];

fn calibration_line() -> Case {
    let n = TEMPERATURES.len();
    let x = DMatrix::from_fn(
        n,
        2,
        |i, j| if j == 0 { 1.0 } else { TEMPERATURES[i] - 20.0 },
    );
    let y = DVector::from_row_slice(&CORRECTIONS);
    let figures = least_squares(&x, &y)
        .ok_or("no unique line".to_owned())
        .and_then(|fit| {
            let variance = (&y - &x * &fit).norm_squared() / (n - 2) as f64;
            let inverse = (x.transpose() * &x).try_inverse().ok_or("no inverse")? * variance;
            let correlation = inverse[(0, 1)] / (inverse[(0, 0)] * inverse[(1, 1)]).sqrt();
            let u = |i: usize| inverse[(i, i)].sqrt();
            Ok(vec![
                Figure::absolute("intercept", "degC", -0.1712, fit[0], 5e-5),
                Figure::absolute(
                    "intercept, standard uncertainty",
                    "degC",
                    0.0029,
                    u(0),
                    5e-5,
                ),
                Figure::absolute("slope", "", 0.00218, fit[1], 5e-6),
                Figure::absolute("slope, standard uncertainty", "", 0.00067, u(1), 5e-6),
                Figure::absolute("correlation", "", -0.930, correlation, 5e-4),
            ])
        });
    Case {
        title: "Calibration line of a thermometer".to_owned(),
        source: "JCGM 100:2008 (GUM), example H.3",
        reason: "half a unit of the last printed digit",
        figures,
    }
}

fn sum_of_four(name: &str, distribution: Distribution, half_width: f64) -> Case {
    let factors = vec![factor(0.0, distribution); 4];
    let figures = drawn(&factors, |x| x.iter().sum()).map(|sums| {
        let spread = standard_deviation(&sums);
        let sorted = Sorted::of(sums);
        vec![
            Figure::absolute("standard uncertainty", "", 2.0, spread, 0.005),
            Figure::absolute("2.5 % end", "", -half_width, sorted.percentile(LOW), 0.01),
            Figure::absolute("97.5 % end", "", half_width, sorted.percentile(HIGH), 0.01),
        ]
    });
    Case {
        title: format!("Sum of four {name} inputs"),
        source: "JCGM 101:2008, 9.2.2 and 9.2.3, closed forms quoted there",
        reason: "half a unit of the last printed digit, doubled for the ends, which are drawn",
        figures,
    }
}

fn linear_band() -> Case {
    // Weights and half widths of 95 %: a sum of normals is normal, half widths add in squares.
    let terms: [(f64, f64); 4] = [(3.0, 0.1), (-2.0, 0.2), (0.5, 0.8), (1.0, 0.05)];
    let factors =
        terms.map(|(_, half_width_95)| factor(1.0, Distribution::Normal { half_width_95 }));
    let weighted = |x: &[f64]| x.iter().zip(terms).map(|(x, (w, _))| w * x).sum();
    let half: f64 = terms
        .iter()
        .map(|(w, h)| (w * h).powi(2))
        .sum::<f64>()
        .sqrt();
    let middle: f64 = terms.iter().map(|(w, _)| w).sum();
    let figures = drawn(&factors, weighted).map(|values| {
        let sorted = Sorted::of(values);
        let end = |name, sigmas: f64, part: f64| {
            let expected = middle + sigmas / SIGMAS_95 * half;
            let density = (-0.5 * sigmas * sigmas).exp() / (2.0 * PI).sqrt();
            let tolerance = half * (part * (1.0 - part) / DRAWS as f64).sqrt() / density;
            Figure::absolute(name, "", expected, sorted.percentile(part), tolerance)
        };
        vec![
            end("2.5 % end", -SIGMAS_95, LOW),
            end("median", 0.0, 0.5),
            end("97.5 % end", SIGMAS_95, HIGH),
        ]
    });
    Case {
        title: "Band of a linear model".to_owned(),
        source: "closed form: half widths of independent normal inputs add in squares",
        reason: "from the closed form alone: 1.96 standard errors, sqrt(p (1 - p)/n) over the density, of \
                 a percentile of as many independent draws; scrambled points scatter less (A. B. Owen, \
                 Ann. Stat. 25 (1997) 1541), which a test shows over 64 scrambles",
        figures,
    }
}

/// Names with the published first-order and total index of a factor.
type Published<'a> = &'a [(&'a str, f64, f64)];

fn indices(
    title: &str,
    source: &'static str,
    factors: &[Factor],
    published: Published<'_>,
    f: impl Fn(&[f64]) -> f64 + Sync,
) -> Case {
    let figures = exchanges(factors, POINTS, SEED, &silent, |x| Ok(vec![f(x)]))
        .map_err(|e| e.to_string())
        .map(|exchanged| {
            let (found, _) = exchanged.indices(0);
            let pairs = published.iter().zip(&found);
            pairs.flat_map(|(p, i)| index_figures(p, i)).collect()
        });
    Case {
        title: title.to_owned(),
        source,
        reason: "half the width of the 95 % confidence interval that the study itself states",
        figures,
    }
}

fn index_figures(&(name, first, total): &(&str, f64, f64), found: &Indices) -> [Figure; 2] {
    let figure = |order: &str, expected, index: scenarios::studies::sobol_indices::Index| {
        let label = format!("{name}, {order}");
        Figure::absolute(label, "", expected, index.value, index.half_width_95)
    };
    [
        figure("first order", first, found.first),
        figure("total", total, found.total),
    ]
}

fn ishigami() -> Case {
    let factors = vec![factor(0.0, rectangular(PI)); 3];
    let published = [
        ("x1", 0.313_905, 0.557_589),
        ("x2", 0.442_411, 0.442_411),
        ("x3", 0.0, 0.243_684),
    ];
    indices(
        "Ishigami's function, a = 7, b = 0.1",
        "T. Ishigami and T. Homma, ISUMA 1990; closed form of its indices",
        &factors,
        &published,
        |x| x[0].sin() + 7.0 * x[1].sin().powi(2) + 0.1 * x[2].powi(4) * x[0].sin(),
    )
}

fn g_function() -> Case {
    const A: [f64; 8] = [0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0];
    let unit = Distribution::Uniform {
        low: 0.0,
        high: 1.0,
    };
    let factors = vec![factor(0.5, unit); A.len()];
    let published = [
        ("x1", 0.716_192, 0.787_144),
        ("x2", 0.179_048, 0.242_198),
        ("x3", 0.023_676, 0.034_317),
        ("x4", 0.007_162, 0.010_460),
    ];
    indices(
        "Sobol's G function, a = 0, 1, 4.5, 9, 99, 99, 99, 99",
        "A. Saltelli and I. M. Sobol', Math. Model. 7 (1995) 16; closed form of its indices",
        &factors,
        &published,
        |x| {
            let terms = x.iter().zip(A);
            terms
                .map(|(x, a)| ((4.0 * x - 2.0).abs() + a) / (1.0 + a))
                .product()
        },
    )
}
