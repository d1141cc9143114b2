//! Text against its ground on the pages: contrast by WCAG 2.1 (W3C, 2018), success criterion 1.4.3,
//! at least 4.5 to 1.

const STYLES: [&str; 2] = [
    include_str!("../../src/page/style.css"),
    include_str!("../../src/page/card.css"),
];
/// Colours of text, and those of what lies behind it.
const TEXT: [&str; 4] = ["ink", "muted", "accent", "alert"];
const GROUND: [&str; 2] = ["paper", "soft"];

/// Relative luminance of `#rgb` or `#rrggbb` (WCAG 2.1, definitions).
fn luminance(colour: &str) -> f64 {
    let digits: Vec<u32> = colour
        .chars()
        .skip(1)
        .map(|c| c.to_digit(16).expect("a colour in hexadecimal digits"))
        .collect();
    let channels: Vec<u32> = match digits.len() {
        3 => digits.iter().map(|d| 17 * d).collect(),
        _ => digits.chunks(2).map(|d| 16 * d[0] + d[1]).collect(),
    };
    let linear = |channel: &u32| {
        let part = f64::from(*channel) / 255.0;
        if part <= 0.03928 {
            part / 12.92
        } else {
            ((part + 0.055) / 1.055).powf(2.4)
        }
    };
    let weights = [0.2126, 0.7152, 0.0722];
    channels
        .iter()
        .map(linear)
        .zip(weights)
        .map(|(c, w)| c * w)
        .sum()
}

fn contrast(a: &str, b: &str) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// The palettes of a style: what stands between the braces behind each `:root`.
fn palettes(style: &str) -> impl Iterator<Item = &str> {
    let behind = style.split(":root{").skip(1);
    behind.map(|rest| rest.split('}').next().unwrap_or_default())
}

fn colour<'a>(palette: &'a str, name: &str) -> &'a str {
    let found = palette
        .split(';')
        .find_map(|entry| entry.strip_prefix(&format!("--{name}:")));
    found.unwrap_or_else(|| panic!("no {name} in {palette}"))
}

#[test]
fn the_contrast_of_black_on_white_is_that_of_the_standard() {
    // WCAG 2.1 gives 21 to 1 as the most there is.
    assert!((contrast("#000", "#ffffff") - 21.0).abs() < 1e-9);
}

#[test]
fn text_stands_out_from_its_ground_in_light_dark_and_print() {
    let palettes: Vec<&str> = STYLES.into_iter().flat_map(palettes).collect();
    assert_eq!(palettes.len(), 3);
    for palette in palettes {
        for text in TEXT {
            for ground in GROUND {
                let ratio = contrast(colour(palette, text), colour(palette, ground));
                assert!(
                    ratio >= 4.5,
                    "{text} on {ground} has {ratio:.2} in {palette}"
                );
            }
        }
    }
}
