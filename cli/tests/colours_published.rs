//! Line colours stay apart for colour-blind readers, in print, and as text.

use cli::plot::look::{INK, LINES, LINES_BY_NIGHT, MUTED, PAPER, by_night, luminance, readable};
use cli::plot::scene::Colour;

/// Machado, Oliveira & Fernandes, "A physiologically-based model for simulation of color
/// vision deficiency", IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, severity 1.0, on
/// linear RGB (constants from memory).
const DEFICIENCIES: [(&str, [[f64; 3]; 3]); 3] = [
    (
        "protan",
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
    ),
    (
        "deutan",
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
    ),
    (
        "tritan",
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ),
];

/// CIE 1976 colour differences above some 2.3 are just noticed side by side; lines are thin
/// and stand apart, so several times that is asked.
const LEAST_DIFFERENCE: f64 = 15.0;

/// Steps of lightness that a grey printer still shows as different.
const LEAST_LIGHTNESS_STEP: f64 = 5.0;

fn linear(Colour(r, g, b): Colour) -> [f64; 3] {
    [r, g, b].map(|part| {
        let c = f64::from(part) / 255.0;
        if c <= 0.04045 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    })
}

fn product(m: [[f64; 3]; 3], v: [f64; 3]) -> [f64; 3] {
    m.map(|row| row.iter().zip(v).map(|(a, b)| a * b).sum())
}

/// CIE L*a*b* of linear sRGB under D65 (IEC 61966-2-1, CIE 15).
fn lab(rgb: [f64; 3]) -> [f64; 3] {
    const TO_XYZ: [[f64; 3]; 3] = [
        [0.4124, 0.3576, 0.1805],
        [0.2126, 0.7152, 0.0722],
        [0.0193, 0.1192, 0.9505],
    ];
    let xyz = product(TO_XYZ, rgb.map(|c| c.clamp(0.0, 1.0)));
    let f = |t: f64| {
        if t > 0.008856 {
            t.cbrt()
        } else {
            7.787 * t + 16.0 / 116.0
        }
    };
    let [x, y, z] = [f(xyz[0] / 0.9505), f(xyz[1]), f(xyz[2] / 1.089)];
    [116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z)]
}

fn difference(a: [f64; 3], b: [f64; 3]) -> f64 {
    a.iter()
        .zip(b)
        .map(|(a, b)| (a - b).powi(2))
        .sum::<f64>()
        .sqrt()
}

/// The lines on white paper and on dark.
fn palettes() -> impl Iterator<Item = [Colour; 6]> {
    [LINES, LINES_BY_NIGHT].into_iter()
}

#[test]
fn lines_differ_under_every_deficiency() {
    for (lines, (name, matrix)) in palettes().flat_map(|l| DEFICIENCIES.map(|d| (l, d))) {
        let seen = lines.map(|c| lab(product(matrix, linear(c))));
        for (i, &a) in seen.iter().enumerate() {
            for (j, &b) in seen.iter().enumerate().skip(i + 1) {
                let apart = difference(a, b);
                assert!(
                    apart > LEAST_DIFFERENCE,
                    "{name}: lines {i} and {j} differ by {apart:.1}"
                );
            }
        }
    }
}

#[test]
fn lines_differ_in_grey() {
    for lines in palettes() {
        let mut lightness = lines.map(|c| lab(linear(c))[0]);
        lightness.sort_by(f64::total_cmp);
        for pair in lightness.windows(2) {
            assert!(pair[1] - pair[0] > LEAST_LIGHTNESS_STEP, "{lightness:?}");
        }
    }
}

#[test]
fn names_of_lines_are_readable() {
    // WCAG 2.1, success criterion 1.4.3: 4.5 to 1 for text.
    for colour in LINES {
        let contrast = (luminance(PAPER) + 0.05) / (luminance(readable(colour)) + 0.05);
        assert!(
            contrast >= 4.5,
            "{colour:?} as text has a contrast of {contrast:.2}"
        );
    }
}

#[test]
fn text_is_readable_on_dark_paper() {
    // As above.
    let paper = luminance(by_night(PAPER)) + 0.05;
    for colour in LINES.map(readable).into_iter().chain([INK, MUTED]) {
        let contrast = (luminance(by_night(colour)) + 0.05) / paper;
        assert!(
            contrast >= 4.5,
            "{colour:?} has a contrast of {contrast:.2}"
        );
    }
}
