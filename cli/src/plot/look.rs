//! Colours, line styles and type sizes of the plots.
//!
//! The line colours differ in lightness as well as in hue, so that they stay apart for
//! colour-blind readers and on a grey printer; a test holds them to that. Lines carry
//! their name at their end, and lines of one panel differ in their dashes.

use super::scene::{Colour, Stroke, Type};

/// Text and axes.
pub const INK: Colour = Colour(0x22, 0x2b, 0x33);
/// Secondary text.
pub const MUTED: Colour = Colour(0x5a, 0x66, 0x70);
/// Grid lines.
pub const GRID: Colour = Colour(0xe3, 0xe7, 0xea);
/// Marks of events.
pub const EVENT: Colour = Colour(0xa9, 0xb3, 0xbb);
/// Paper.
pub const PAPER: Colour = Colour(0xff, 0xff, 0xff);

/// Paper by night: the ground of a page.
const PAPER_BY_NIGHT: Colour = Colour(0x14, 0x19, 0x1e);

/// Line colours.
pub const LINES: [Colour; 6] = [
    Colour(0x06, 0x28, 0x6b),
    Colour(0xc2, 0x72, 0x00),
    Colour(0x00, 0x80, 0x84),
    Colour(0xbc, 0x00, 0x61),
    Colour(0x08, 0x9d, 0xeb),
    Colour(0x4a, 0x56, 0x11),
];

/// The same on dark paper.
pub const LINES_BY_NIGHT: [Colour; 6] = [
    Colour(0x9f, 0xaf, 0xea),
    Colour(0xe2, 0xbf, 0x87),
    Colour(0x0f, 0xf0, 0xe6),
    Colour(0xed, 0x76, 0x98),
    Colour(0x27, 0x87, 0xdb),
    Colour(0xd2, 0xfa, 0x6a),
];

const DASHES: [&[f64]; 4] = [&[], &[9.0, 3.5], &[2.5, 2.5], &[9.0, 3.0, 2.5, 3.0]];

/// The stroke of the `index`-th line of a run, the same on every picture.
#[must_use]
pub fn line(index: usize) -> Stroke {
    Stroke {
        colour: LINES[index % LINES.len()],
        width: 2.0,
        dash: &[],
    }
}

/// The dash pattern of the `index`-th line of a panel.
#[must_use]
pub fn dash(index: usize) -> &'static [f64] {
    DASHES[index % DASHES.len()]
}

/// A thin solid line.
#[must_use]
pub fn hairline(colour: Colour) -> Stroke {
    Stroke {
        colour,
        width: 1.0,
        dash: &[],
    }
}

/// A thin dashed line: a set point.
#[must_use]
pub fn set_point() -> Stroke {
    Stroke {
        colour: MUTED,
        width: 1.2,
        dash: &[5.0, 4.0],
    }
}

/// A limit.
#[must_use]
pub fn limit() -> Stroke {
    Stroke {
        colour: INK,
        width: 1.6,
        dash: &[],
    }
}

/// The heading of a sheet.
pub const HEADING: Type = Type {
    size: 19.0,
    bold: true,
    colour: INK,
};

/// What one sees, above a picture.
pub const TITLE: Type = Type {
    size: 15.0,
    bold: true,
    colour: INK,
};

/// The quantity and unit of a panel.
pub const AXIS_TITLE: Type = Type {
    size: 12.0,
    bold: false,
    colour: MUTED,
};

/// Numbers on the axes.
pub const TICK: Type = Type {
    size: 12.0,
    bold: false,
    colour: INK,
};

/// Small labels of events and guides.
pub const NOTE: Type = Type {
    size: 11.0,
    bold: false,
    colour: MUTED,
};

/// The name at the end of a line.
#[must_use]
pub fn line_name(colour: Colour) -> Type {
    Type {
        size: 12.0,
        bold: true,
        colour: readable(colour),
    }
}

/// Contrast of text against paper that WCAG 2.1 asks for.
const LEAST_CONTRAST: f64 = 4.5;

/// A line's colour, darkened until text in it is readable on paper.
#[must_use]
pub fn readable(colour: Colour) -> Colour {
    let darker = |part: u8, step: u32| (f64::from(part) * 0.97f64.powi(step as i32)) as u8;
    let shades = (0..100).map(|n| {
        Colour(
            darker(colour.0, n),
            darker(colour.1, n),
            darker(colour.2, n),
        )
    });
    let mut readable = shades.filter(|&c| 1.05 / (luminance(c) + 0.05) >= LEAST_CONTRAST);
    readable.next().unwrap_or(INK)
}

/// A colour for dark paper: that of the same line, else a grey as light as it was dark.
#[must_use]
pub fn by_night(colour: Colour) -> Colour {
    if colour == PAPER {
        return PAPER_BY_NIGHT;
    }
    let is_line = |&line: &Colour| line == colour || readable(line) == colour;
    match LINES.iter().position(is_line) {
        Some(line) => LINES_BY_NIGHT[line],
        None => turned(colour),
    }
}

/// Lightness of white and of black on dark paper: neither is the extreme, which would glare.
const NIGHT: (f64, f64) = (0.1, 0.96);
/// How much of the strength of a colour is kept.
const MUTE: f64 = 0.85;

/// A colour of the same hue, as light as it was dark.
fn turned(colour: Colour) -> Colour {
    let parts = [colour.0, colour.1, colour.2].map(|part| f64::from(part) / 255.0);
    let most = parts.into_iter().fold(0.0, f64::max);
    let least = parts.into_iter().fold(1.0, f64::min);
    let lightness = 0.5 * (most + least);
    // How far colours of such a lightness reach from grey.
    let reach = |lightness: f64| 0.5 - (lightness - 0.5).abs();
    let new = NIGHT.0 + (NIGHT.1 - NIGHT.0) * (1.0 - lightness);
    let strength = match reach(lightness) > 0.0 {
        true => MUTE * reach(new) / reach(lightness),
        false => 0.0,
    };
    let [r, g, b] = parts.map(|part| (255.0 * (new + strength * (part - lightness))).round() as u8);
    Colour(r, g, b)
}

/// Relative luminance of an sRGB colour (WCAG 2.1).
#[must_use]
pub fn luminance(Colour(r, g, b): Colour) -> f64 {
    let linear = |part: u8| {
        let c = f64::from(part) / 255.0;
        if c <= 0.03928 {
            c / 12.92
        } else {
            ((c + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(r) + 0.7152 * linear(g) + 0.0722 * linear(b)
}
