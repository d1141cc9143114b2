//! A picture as data: lines, areas, discs and text in pixels, y downwards. Charts fill a
//! [`Scene`]; `paint` turns it into SVG or PNG, so that both show the same picture.

use super::readout::ReadOut;

/// Colour as red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Colour(pub u8, pub u8, pub u8);

/// A point in pixels.
pub type Point = (f64, f64);

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Colour,
    /// Width in pixels.
    pub width: f64,
    /// Lengths of dash and gap in turn; empty is solid.
    pub dash: &'static [f64],
}

/// Which point of a text stands at its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Left end.
    Start,
    /// Middle.
    Middle,
    /// Right end.
    End,
}

/// How a text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Type {
    /// Height of the em square in pixels.
    pub size: f64,
    /// Bold.
    pub bold: bool,
    /// Colour.
    pub colour: Colour,
}

/// One thing on a picture.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// An open line through points.
    Line {
        /// The points.
        points: Vec<Point>,
        /// How.
        stroke: Stroke,
    },
    /// A filled polygon.
    Area {
        /// Its corners.
        points: Vec<Point>,
        /// Fill.
        colour: Colour,
    },
    /// A filled polygon that lets what is behind it through.
    Veil {
        /// Its corners.
        points: Vec<Point>,
        /// Fill.
        colour: Colour,
    },
    /// A filled disc.
    Disc {
        /// Centre.
        at: Point,
        /// Radius in pixels.
        radius: f64,
        /// Fill.
        colour: Colour,
    },
    /// A line of text.
    Text {
        /// Anchor point on the baseline.
        at: Point,
        /// The text.
        text: String,
        /// How it is set.
        style: Type,
        /// Which point of it stands at `at`.
        anchor: Anchor,
    },
}

/// A picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Width in pixels.
    pub width: f64,
    /// Height in pixels.
    pub height: f64,
    /// What the picture shows, for readers who cannot see it.
    pub description: String,
    /// Things, from back to front.
    pub items: Vec<Item>,
    /// What can be read off it.
    pub readout: ReadOut,
}

impl Scene {
    /// An empty picture.
    #[must_use]
    pub fn new(width: f64, height: f64, description: impl Into<String>) -> Self {
        Self {
            width,
            height,
            description: description.into(),
            items: Vec::new(),
            readout: ReadOut::default(),
        }
    }

    /// Adds a line, if it has any length.
    pub fn line(&mut self, points: Vec<Point>, stroke: Stroke) {
        if points.len() > 1 {
            self.items.push(Item::Line { points, stroke });
        }
    }

    /// Adds a filled rectangle from one corner to the opposite one.
    pub fn rectangle(&mut self, from: Point, to: Point, colour: Colour) {
        let points = vec![from, (to.0, from.1), to, (from.0, to.1)];
        self.items.push(Item::Area { points, colour });
    }

    /// Adds a veil: a filled polygon through which what is behind it can be seen.
    pub fn veil(&mut self, points: Vec<Point>, colour: Colour) {
        if points.len() > 2 {
            self.items.push(Item::Veil { points, colour });
        }
    }

    /// Adds a disc.
    pub fn disc(&mut self, at: Point, radius: f64, colour: Colour) {
        self.items.push(Item::Disc { at, radius, colour });
    }

    /// Adds a text.
    pub fn text(&mut self, at: Point, text: impl Into<String>, style: Type, anchor: Anchor) {
        self.items.push(Item::Text {
            at,
            text: text.into(),
            style,
            anchor,
        });
    }
}
