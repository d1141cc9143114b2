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

/// Line colours.
pub const LINES: [Colour; 6] = [
    Colour(0x06, 0x28, 0x6b),
    Colour(0xc2, 0x72, 0x00),
    Colour(0x00, 0x80, 0x84),
    Colour(0xbc, 0x00, 0x61),
    Colour(0x08, 0x9d, 0xeb),
    Colour(0x4a, 0x56, 0x11),
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
