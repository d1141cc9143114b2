//! What a pointer over a picture reads: the panels with their scales and lines, as data beside the
//! drawing, in pixels of the scene.

use super::chart::{Frame, Note};
use super::scene::{Anchor, Colour, Point, Stroke};
use serde::Serialize;

/// What can be read off a picture.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ReadOut {
    /// The horizontal quantity and unit.
    pub x_quantity: String,
    /// What happened where.
    pub marks: Vec<ReadMark>,
    /// From the top.
    pub panels: Vec<Panel>,
}

/// A mark through all panels.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadMark {
    /// Pixel on the horizontal axis.
    pub x: f64,
    /// Baseline of its words, pixel.
    pub y: f64,
    /// A few words.
    pub label: String,
    /// Which end of the words stands at the mark.
    pub anchor: &'static str,
}

/// One panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Panel {
    /// Quantity and unit.
    pub quantity: String,
    /// Left, top, right and bottom edge, pixels.
    pub frame: [f64; 4],
    /// Numbers at the left and the right edge.
    pub x: (f64, f64),
    /// Numbers at the lower and the upper edge.
    pub y: (f64, f64),
    /// Heights of the grid, pixels.
    pub rules: Vec<f64>,
    /// Lines across to compare with.
    pub guides: Vec<ReadGuide>,
    /// Its lines.
    pub lines: Vec<ReadLine>,
    /// Words at points.
    pub notes: Vec<ReadNote>,
}

/// A line across.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadGuide {
    /// Height, pixel.
    pub y: f64,
    /// How it is drawn.
    #[serde(flatten)]
    pub look: Look,
}

/// A line of a panel.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadLine {
    /// Its name.
    pub name: String,
    /// How it is drawn.
    #[serde(flatten)]
    pub look: Look,
    /// Whether it runs to the right throughout, so that it has one value at each place.
    pub rises: bool,
    /// Unbroken pieces as x, y, x, y, ... in pixels.
    pub runs: Vec<Vec<f64>>,
    /// Lower and upper edge of its band, written likewise; empty if it has none.
    pub band: [Vec<f64>; 2],
}

/// Words at a point.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadNote {
    /// Pixel.
    pub x: f64,
    /// Pixel.
    pub y: f64,
    /// The words.
    pub label: String,
    /// Their colour.
    pub colour: String,
}

/// How a line is drawn, in the terms of SVG.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Look {
    /// Colour.
    pub colour: String,
    /// Pixels.
    pub width: f64,
    /// Dash pattern.
    pub dash: String,
}

impl Look {
    /// Of a stroke.
    #[must_use]
    pub fn of(stroke: Stroke) -> Self {
        let dash: Vec<String> = stroke.dash.iter().map(f64::to_string).collect();
        Self {
            colour: hexadecimal(stroke.colour),
            width: stroke.width,
            dash: dash.join(" "),
        }
    }
}

impl ReadNote {
    /// Of a note that stands at a pixel.
    #[must_use]
    pub fn of(note: &Note, at: Point) -> Self {
        Self {
            x: at.0,
            y: at.1,
            label: note.label.clone(),
            colour: hexadecimal(super::look::readable(note.colour)),
        }
    }
}

impl ReadOut {
    /// The axes and lines in words, for readers who cannot see them.
    #[must_use]
    pub fn description(&self) -> String {
        let panels = self.panels.iter().map(|panel| {
            let names = panel.lines.iter().map(|l| l.name.as_str());
            let names: Vec<&str> = names.filter(|n| !n.is_empty()).collect();
            format!("{}: {}", panel.quantity, names.join(", "))
        });
        let panels: Vec<String> = panels.collect();
        format!("Over {}. {}.", self.x_quantity, panels.join(". "))
    }
}

/// The edges of a frame.
#[must_use]
pub fn edges(frame: Frame) -> [f64; 4] {
    [frame.left, frame.top, frame.right, frame.bottom]
}

/// The end of a text that stands at its position, in the terms of SVG.
#[must_use]
pub fn end(anchor: Anchor) -> &'static str {
    match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    }
}

/// Points as x, y, x, y, ..., along the axis finer than across it: it can be zoomed.
#[must_use]
pub fn flat(points: &[Point]) -> Vec<f64> {
    let to = |value: f64, parts: f64| (value * parts).round() / parts;
    let pairs = points.iter().map(|p| [to(p.0, 1e3), to(p.1, 1e2)]);
    pairs.flatten().collect()
}

/// `#RRGGBB`.
#[must_use]
pub fn hexadecimal(Colour(r, g, b): Colour) -> String {
    format!("#{r:02X}{g:02X}{b:02X}")
}
