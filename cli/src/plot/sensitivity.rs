//! Two-sided bars of what each input does to a figure, with its total index beside them.

use super::chart::Axis;
use super::lettering::{fitted, text_width};
use super::look;
use super::scene::{Anchor, Scene};
use super::ticks::Ticks;
use super::{Picture, SIZE};
use crate::naming::in_words;
use crate::terminal::sensitivity::of_change;
use scenarios::studies::sensitivity::{Sensitive, Sensitivity};
use shared::quantity::Display;

/// Inputs that are drawn.
const SHOWN: usize = 15;
const MARGIN: f64 = 22.0;
const TOP: f64 = 92.0;
const BOTTOM: f64 = 60.0;
const INDEX_WIDTH: f64 = 190.0;
const GAP: f64 = 34.0;
/// Part of a row that its bar fills.
const BAR: f64 = 0.62;

/// The picture of one figure.
#[must_use]
pub fn picture(found: &Sensitivity, display: &Display) -> Picture {
    let title = title(found, display);
    let mut scene = Scene::new(SIZE.0, SIZE.1, &title);
    let shown = &found.inputs[..found.inputs.len().min(SHOWN)];
    let widths = shown.iter().map(|s| text_width(&s.factor.name, look::TICK));
    let left = MARGIN + widths.fold(0.0, f64::max) + 10.0;
    let split = SIZE.0 - MARGIN - INDEX_WIDTH;
    let words = fitted(&title, look::TITLE, SIZE.0 - 2.0 * MARGIN);
    scene.text(
        (MARGIN, MARGIN + look::TITLE.size),
        words,
        look::TITLE,
        Anchor::Start,
    );
    let rows = Rows::of(shown.len());
    for (i, s) in shown.iter().enumerate() {
        let at = (left - 10.0, rows.middle(i) + 0.35 * look::TICK.size);
        scene.text(at, &s.factor.name, look::TICK, Anchor::End);
    }
    draw_swings(
        &mut scene,
        found,
        shown,
        &rows,
        (left, split - GAP),
        display,
    );
    draw_indices(&mut scene, shown, &rows, (split, SIZE.0 - MARGIN));
    Picture {
        name: format!("sensitivity-{}", found.figure.name),
        scene,
    }
}

fn title(found: &Sensitivity, display: &Display) -> String {
    let first = found.inputs.first().map_or("nothing", |s| &s.factor.name);
    let figure = &found.figure;
    let nominal = display.text(figure.dimension, figure.value);
    format!(
        "{} ({nominal}) depends most on {first}",
        in_words(&figure.name)
    )
}

/// Where the rows lie.
struct Rows {
    height: f64,
}

impl Rows {
    fn of(count: usize) -> Self {
        let room = SIZE.1 - TOP - BOTTOM;
        Self {
            height: (room / count.max(1) as f64).min(44.0),
        }
    }

    fn middle(&self, row: usize) -> f64 {
        TOP + self.height * (row as f64 + 0.5)
    }

    /// Upper and lower edge of a bar.
    fn bar(&self, row: usize) -> (f64, f64) {
        let half = 0.5 * BAR * self.height;
        (self.middle(row) - half, self.middle(row) + half)
    }

    fn bottom(&self, count: usize) -> f64 {
        TOP + self.height * count as f64
    }
}

fn draw_swings(
    scene: &mut Scene,
    found: &Sensitivity,
    shown: &[Sensitive],
    rows: &Rows,
    pixels: (f64, f64),
    display: &Display,
) {
    let dimension = of_change(found.figure.dimension);
    let value = |si: f64| display.value(dimension, si);
    let ends = shown.iter().flat_map(|s| [s.swing.0, s.swing.1]);
    let reach = ends.map(|v| value(v).abs()).filter(|v| v.is_finite());
    let reach = reach.fold(f64::MIN_POSITIVE, f64::max) * 1.08;
    let axis = Axis {
        range: (-reach, reach),
        pixels,
    };
    let mut heading = "Change of the figure over the input's 95 % interval".to_owned();
    let unit = display.unit(dimension);
    if !unit.is_empty() {
        heading = format!("{heading}, {unit}");
    }
    draw_axis(scene, axis, rows.bottom(shown.len()), &heading);
    for (i, s) in shown.iter().enumerate() {
        let (top, bottom) = rows.bar(i);
        for (swing, colour) in [(s.swing.0, look::LINES[4]), (s.swing.1, look::LINES[0])] {
            if swing.is_finite() {
                scene.rectangle((axis.at(0.0), top), (axis.at(value(swing)), bottom), colour);
            }
        }
    }
    let zero = axis.at(0.0);
    let line = vec![(zero, TOP), (zero, rows.bottom(shown.len()))];
    scene.line(line, look::hairline(look::INK));
    let legend = [
        ("input at its low end", 4, 0.0),
        ("at its high end", 0, 150.0),
    ];
    for (words, colour, aside) in legend {
        let left = pixels.0 + aside;
        let y = SIZE.1 - 14.0;
        scene.rectangle((left, y - 9.0), (left + 12.0, y + 1.0), look::LINES[colour]);
        scene.text((left + 17.0, y), words, look::NOTE, Anchor::Start);
    }
}

fn draw_indices(scene: &mut Scene, shown: &[Sensitive], rows: &Rows, pixels: (f64, f64)) {
    let axis = Axis {
        range: (0.0, 1.0),
        pixels,
    };
    draw_axis(
        scene,
        axis,
        rows.bottom(shown.len()),
        "Part of the variance (total index)",
    );
    for (i, s) in shown.iter().enumerate() {
        let (top, bottom) = rows.bar(i);
        let index = s.indices.total;
        let within = |v: f64| axis.at(v.clamp(0.0, 1.0));
        scene.rectangle(
            (axis.at(0.0), top),
            (within(index.value), bottom),
            look::LINES[2],
        );
        let (low, high) = (
            index.value - index.half_width_95,
            index.value + index.half_width_95,
        );
        let line = vec![
            (within(low), rows.middle(i)),
            (within(high), rows.middle(i)),
        ];
        scene.line(line, look::limit());
    }
}

/// A heading above, numbers below, faint lines between.
fn draw_axis(scene: &mut Scene, axis: Axis, bottom: f64, heading: &str) {
    let at = (axis.pixels.0, TOP - 12.0);
    scene.text(at, heading, look::AXIS_TITLE, Anchor::Start);
    let wanted = ((axis.pixels.1 - axis.pixels.0) / 70.0) as usize;
    let ticks = Ticks::within(axis.range.0, axis.range.1, wanted.max(2));
    for &value in &ticks.at {
        let x = axis.at(value);
        scene.line(vec![(x, TOP), (x, bottom)], look::hairline(look::GRID));
        let label = (x, bottom + 6.0 + look::TICK.size);
        scene.text(label, ticks.label(value), look::TICK, Anchor::Middle);
    }
}
