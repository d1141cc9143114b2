//! A figure over two axes: tinted cells with contour lines.

use super::chart::Axis;
use super::contour::{self, Contour};
use super::lettering::{fitted, text_width};
use super::look;
use super::scene::{Anchor, Colour, Point, Scene, Stroke};
use super::ticks::Ticks;
use super::{Picture, SIZE};

/// One side of a field.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// Quantity and unit.
    pub quantity: String,
    /// Its values, rising or falling.
    pub values: Vec<f64>,
}

/// A figure over two axes.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// What one sees.
    pub title: String,
    /// Horizontal.
    pub x: Side,
    /// Vertical.
    pub y: Side,
    /// The figure and its unit.
    pub quantity: String,
    /// Row by row, x fastest; NaN where there is none.
    pub values: Vec<f64>,
    /// A value whose contour is drawn thick.
    pub marked: Option<f64>,
}

const MARGIN: f64 = 22.0;
const LEFT: f64 = 84.0;
const TOP: f64 = 84.0;
const BOTTOM: f64 = 62.0;
const LEGEND: f64 = 130.0;
/// Ends of the tints.
const LIGHT: Colour = Colour(0xe9, 0xf1, 0xf8);
const DARK: Colour = Colour(0x2c, 0x5d, 0x9e);

impl Field {
    /// The picture; as many cells as values.
    #[must_use]
    pub fn picture(&self, name: String) -> Picture {
        let mut scene = Scene::new(SIZE.0, SIZE.1, &self.title);
        let title = fitted(&self.title, look::TITLE, SIZE.0 - 2.0 * MARGIN);
        let at = (MARGIN, MARGIN + look::TITLE.size);
        scene.text(at, title, look::TITLE, Anchor::Start);
        let x = axis(&self.x.values, (LEFT, SIZE.0 - MARGIN - LEGEND));
        let y = axis(&self.y.values, (SIZE.1 - BOTTOM, TOP));
        let finite = || self.values.iter().copied().filter(|v| v.is_finite());
        let low = finite().fold(f64::INFINITY, f64::min);
        let high = finite().fold(f64::NEG_INFINITY, f64::max);
        let scale = Scale { low, high };
        self.draw_cells(&mut scene, x, y, scale);
        let ticks = Ticks::within(low, high, 8);
        let [(left, right), (bottom, top)] = [x.pixels, y.pixels];
        let contours = self.contours(x, y, &ticks);
        contour::draw(&mut scene, &contours, [left, top, right, bottom]);
        self.draw_axes(&mut scene, x, y);
        self.draw_legend(&mut scene, scale, &ticks);
        Picture { name, scene }
    }

    fn at(&self, i: usize, j: usize) -> f64 {
        let place = j * self.x.values.len() + i;
        self.values.get(place).copied().unwrap_or(f64::NAN)
    }

    /// A cell about each point.
    fn draw_cells(&self, scene: &mut Scene, x: Axis, y: Axis, scale: Scale) {
        let (columns, rows) = (edges(&self.x.values), edges(&self.y.values));
        for j in 0..self.y.values.len() {
            for i in 0..self.x.values.len() {
                let value = self.at(i, j);
                if value.is_finite() {
                    let from = (x.at(columns[i]), y.at(rows[j]));
                    let to = (x.at(columns[i + 1]), y.at(rows[j + 1]));
                    scene.rectangle(from, to, scale.tint(value));
                }
            }
        }
    }

    /// The lines at the ticks of the scale, and at the marked level.
    fn contours(&self, x: Axis, y: Axis, ticks: &Ticks) -> Vec<Contour> {
        let line = |level: f64, label: String, stroke: Stroke| Contour {
            label,
            stroke,
            pieces: self.pieces(x, y, level),
        };
        let is_marked = |level: f64| self.marked.is_some_and(|m| (m - level).abs() < 1e-9);
        let levels = ticks.at.iter().map(|&level| {
            let stroke = match is_marked(level) {
                true => look::limit(),
                false => look::hairline(look::INK),
            };
            line(level, ticks.label(level), stroke)
        });
        let apart = self
            .marked
            .filter(|&m| ticks.at.iter().all(|t| (t - m).abs() >= 1e-9));
        let marked = apart.map(|level| line(level, String::new(), look::limit()));
        levels.chain(marked).collect()
    }

    /// The line at a level in pixels, straight across each square of four points.
    fn pieces(&self, x: Axis, y: Axis, level: f64) -> Vec<[Point; 2]> {
        let pixels = |p: Point| (x.at(p.0), y.at(p.1));
        let rows = 1..self.y.values.len();
        let squares = rows.flat_map(|j| (1..self.x.values.len()).map(move |i| (i, j)));
        let pieces = squares.filter_map(|(i, j)| self.crossings(i, j, level));
        pieces.map(|piece| piece.map(pixels)).collect()
    }

    /// Where a level crosses the square below and left of a point.
    fn crossings(&self, i: usize, j: usize, level: f64) -> Option<[Point; 2]> {
        let corner = |i: usize, j: usize| ((self.x.values[i], self.y.values[j]), self.at(i, j));
        let corners = [
            corner(i - 1, j - 1),
            corner(i, j - 1),
            corner(i, j),
            corner(i - 1, j),
        ];
        let mut found = Vec::new();
        for side in 0..4 {
            let (a, b) = (corners[side], corners[(side + 1) % 4]);
            // Not a number compares as neither, so that no line is drawn beside it.
            if (a.1 < level && b.1 >= level) || (b.1 < level && a.1 >= level) {
                let part = (level - a.1) / (b.1 - a.1);
                let between = |from: f64, to: f64| from + part * (to - from);
                found.push((between(a.0.0, b.0.0), between(a.0.1, b.0.1)));
            }
        }
        found
            .first()
            .copied()
            .zip(found.get(1).copied())
            .map(|(a, b)| [a, b])
    }

    fn draw_axes(&self, scene: &mut Scene, x: Axis, y: Axis) {
        let (left, right) = x.pixels;
        let (bottom, top) = y.pixels;
        scene.line(
            vec![(left, top), (left, bottom), (right, bottom)],
            look::hairline(look::INK),
        );
        let ticks = |axis: Axis| Ticks::within(axis.range.0, axis.range.1, 9);
        let along = ticks(x);
        for &value in &along.at {
            let at = (x.at(value), bottom + 6.0 + look::TICK.size);
            scene.text(at, along.label(value), look::TICK, Anchor::Middle);
        }
        let up = ticks(y);
        for &value in &up.at {
            let at = (left - 7.0, y.at(value) + 0.35 * look::TICK.size);
            scene.text(at, up.label(value), look::TICK, Anchor::End);
        }
        let below = (right, bottom + 24.0 + look::TICK.size);
        scene.text(below, &self.x.quantity, look::AXIS_TITLE, Anchor::End);
        scene.text(
            (MARGIN, top - 14.0),
            &self.y.quantity,
            look::AXIS_TITLE,
            Anchor::Start,
        );
    }

    fn draw_legend(&self, scene: &mut Scene, scale: Scale, ticks: &Ticks) {
        let left = SIZE.0 - MARGIN - LEGEND + 26.0;
        let strip = Axis {
            range: (scale.low, scale.high),
            pixels: (SIZE.1 - BOTTOM, TOP),
        };
        const STEPS: usize = 64;
        for step in 0..STEPS {
            let edge = |n: usize| scale.low + (scale.high - scale.low) * n as f64 / STEPS as f64;
            let (from, to) = (strip.at(edge(step)), strip.at(edge(step + 1)));
            scene.rectangle((left, from), (left + 18.0, to), scale.tint(edge(step)));
        }
        for &value in &ticks.at {
            let at = (left + 24.0, strip.at(value) + 0.35 * look::TICK.size);
            scene.text(at, ticks.label(value), look::TICK, Anchor::Start);
        }
        let right = SIZE.0 - MARGIN;
        let width = text_width(&self.quantity, look::AXIS_TITLE);
        let anchor = if left + width > right {
            Anchor::End
        } else {
            Anchor::Start
        };
        let at = if anchor == Anchor::End { right } else { left };
        scene.text((at, TOP - 14.0), &self.quantity, look::AXIS_TITLE, anchor);
    }
}

#[derive(Clone, Copy)]
struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    fn tint(self, value: f64) -> Colour {
        let width = self.high - self.low;
        let part = if width > 0.0 {
            (value - self.low) / width
        } else {
            0.5
        };
        let mix = |a: u8, b: u8| (f64::from(a) + part * (f64::from(b) - f64::from(a))) as u8;
        Colour(
            mix(LIGHT.0, DARK.0),
            mix(LIGHT.1, DARK.1),
            mix(LIGHT.2, DARK.2),
        )
    }
}

/// Covers the cells.
fn axis(values: &[f64], pixels: (f64, f64)) -> Axis {
    let edges = edges(values);
    let low = edges.iter().copied().fold(f64::INFINITY, f64::min);
    let high = edges.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Axis {
        range: (low, high),
        pixels,
    }
}

/// Edges of the cells: half way between neighbours; the outermost end at their values, beyond
/// which nothing was run.
fn edges(values: &[f64]) -> Vec<f64> {
    let half = |a: f64, b: f64| 0.5 * (a + b);
    match values {
        [] => Vec::new(),
        [only] => vec![only - 0.5, only + 0.5],
        [first, .., last] => {
            let inner = values.windows(2).map(|w| half(w[0], w[1]));
            std::iter::once(*first)
                .chain(inner)
                .chain([*last])
                .collect()
        }
    }
}
