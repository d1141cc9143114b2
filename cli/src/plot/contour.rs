//! Contour lines, and labels on them that meet neither each other nor another line.

use super::chart::text_on_paper;
use super::lettering::text_width;
use super::look;
use super::scene::{Anchor, Point, Scene, Stroke};

/// Left, top, right, bottom.
type Edges = [f64; 4];

/// Paper around a label that nothing else may touch, in pixels.
const CLEAR: f64 = 4.0;

/// The line of one level.
#[derive(Clone, Debug, PartialEq)]
pub struct Contour {
    /// The level in words; empty for none.
    pub label: String,
    /// How it is drawn.
    pub stroke: Stroke,
    /// Its straight pieces in pixels.
    pub pieces: Vec<[Point; 2]>,
}

/// Draws lines, then their labels, within a frame. A line on which no label finds room stays without.
pub fn draw(scene: &mut Scene, contours: &[Contour], frame: Edges) {
    for contour in contours {
        for piece in &contour.pieces {
            scene.line(piece.to_vec(), contour.stroke);
        }
    }
    let mut placed: Vec<Edges> = Vec::new();
    for (i, contour) in contours.iter().enumerate() {
        let others = contours.iter().enumerate().filter(|(k, _)| *k != i);
        let others: Vec<&[Point; 2]> = others.flat_map(|(_, c)| &c.pieces).collect();
        let is_free = |at: &Point| {
            let room = room(*at, &contour.label);
            lies_within(room, frame)
                && placed.iter().all(|p| !meet(room, *p))
                && others.iter().all(|piece| !touches(room, piece))
        };
        let free = from_the_middle(&contour.pieces).find(is_free);
        if let Some(at) = free.filter(|_| !contour.label.is_empty()) {
            placed.push(room(at, &contour.label));
            let base = (at.0, at.1 + 0.35 * look::NOTE.size);
            text_on_paper(scene, base, &contour.label, look::NOTE, Anchor::Middle);
        }
    }
}

/// Middles of the pieces, those in the middle of the line first.
fn from_the_middle(pieces: &[[Point; 2]]) -> impl Iterator<Item = Point> {
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    order.sort_by_key(|i| i.abs_diff(pieces.len() / 2));
    let middle = |[a, b]: [Point; 2]| (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1));
    order.into_iter().map(move |i| middle(pieces[i]))
}

/// What a label about a point takes, with paper around.
fn room((x, y): Point, label: &str) -> Edges {
    let half = 0.5 * text_width(label, look::NOTE) + CLEAR;
    let high = 0.5 * look::NOTE.size + CLEAR;
    [x - half, y - high, x + half, y + high]
}

fn lies_within([left, top, right, bottom]: Edges, frame: Edges) -> bool {
    left >= frame[0] && top >= frame[1] && right <= frame[2] && bottom <= frame[3]
}

fn meet(one: Edges, other: Edges) -> bool {
    one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3]
}

/// Whether a straight piece has a part within a box.
fn touches([left, top, right, bottom]: Edges, [a, b]: &[Point; 2]) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, end, low, high) in [(a.0, b.0, left, right), (a.1, b.1, top, bottom)] {
        let step = end - start;
        if step == 0.0 {
            if start < low || start > high {
                return false;
            }
            continue;
        }
        let (p, q) = ((low - start) / step, (high - start) / step);
        from = from.max(p.min(q));
        to = to.min(p.max(q));
    }
    from <= to
}

#[cfg(test)]
mod tests {
    use super::{Contour, draw, meet, room, touches};
    use crate::plot::look;
    use crate::plot::scene::{Item, Scene};

    #[test]
    fn a_piece_touches_the_box_that_it_crosses_and_no_other() {
        let around = [0.0, 0.0, 10.0, 4.0];
        for (piece, is_touched) in [
            ([(-5.0, 2.0), (15.0, 2.0)], true),
            ([(5.0, -5.0), (5.0, 9.0)], true),
            ([(2.0, 1.0), (3.0, 2.0)], true),
            ([(-5.0, 5.0), (15.0, 5.0)], false),
            ([(-2.0, 3.0), (3.0, 8.0)], false),
            ([(11.0, 0.0), (11.0, 4.0)], false),
        ] {
            assert_eq!(touches(around, &piece), is_touched, "{piece:?}");
        }
    }

    /// Lines that are as near to each other as letters are high: most stay without label, and no
    /// two labels meet. Property.
    #[test]
    fn labels_of_dense_lines_stand_apart() {
        let contours: Vec<Contour> = (0..20)
            .map(|i| {
                let y = 20.0 + 12.0 * f64::from(i) * f64::from(i) / 10.0;
                let pieces = (0..30).map(|k| {
                    let x = 10.0 * f64::from(k);
                    [(x, y), (x + 10.0, y)]
                });
                Contour {
                    label: format!("-{i}"),
                    stroke: look::hairline(look::INK),
                    pieces: pieces.collect(),
                }
            })
            .collect();
        let mut scene = Scene::new(400.0, 600.0, "");
        draw(&mut scene, &contours, [0.0, 0.0, 300.0, 500.0]);
        let labels: Vec<_> = scene
            .items
            .iter()
            .filter_map(|item| match item {
                Item::Text { at, text, .. } => Some(room(*at, text)),
                _ => None,
            })
            .collect();
        assert!(
            labels.len() > 3 && labels.len() < contours.len(),
            "{}",
            labels.len()
        );
        for (i, one) in labels.iter().enumerate() {
            assert!(labels[i + 1..].iter().all(|other| !meet(*one, *other)));
        }
    }
}
