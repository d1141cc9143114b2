//! One panel: an axis of numbers, lines with their names at their ends, guides.

use super::lettering::text_width;
use super::look;
use super::readout::{self, Look, Panel, ReadGuide, ReadLine, ReadNote};
use super::scene::{Anchor, Colour, Point, Scene, Stroke, Type};
use super::ticks::{Ticks, roomy_range};

/// A line of a panel, in the units that are shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Series {
    /// Name written at its end.
    pub name: String,
    /// How it is drawn.
    pub stroke: Stroke,
    /// Its points, rising in x for a history.
    pub points: Vec<Point>,
    /// Its band as x, lower and upper end; empty if it has none.
    pub band: Vec<(f64, f64, f64)>,
}

impl Series {
    /// The only line of a panel, which needs no name.
    #[must_use]
    pub fn alone(points: Vec<Point>) -> Self {
        Self {
            name: String::new(),
            stroke: look::line(0),
            points,
            band: Vec::new(),
        }
    }
}

/// Gives the lines of one panel different dashes.
#[must_use]
pub fn told_apart(mut series: Vec<Series>) -> Vec<Series> {
    for (i, line) in series.iter_mut().enumerate() {
        line.stroke.dash = look::dash(i);
    }
    series
}

/// A horizontal line that a reader compares with: a set point or a limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Guide {
    /// What it is.
    pub label: String,
    /// Where.
    pub y: f64,
    /// How it is drawn.
    pub stroke: Stroke,
}

/// A few words at a point of a panel.
#[derive(Clone, Debug, PartialEq)]
pub struct Note {
    /// Where, in the units shown.
    pub at: Point,
    /// The words.
    pub label: String,
    /// Their colour.
    pub colour: Colour,
    /// Whether a dot marks the point.
    pub dot: bool,
    /// Which end of the words stands at the point; the middle stands under it.
    pub anchor: Anchor,
}

/// A panel.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// Quantity and unit.
    pub quantity: String,
    /// Its lines.
    pub series: Vec<Series>,
    /// Its guides.
    pub guides: Vec<Guide>,
    /// Words at points.
    pub notes: Vec<Note>,
    /// Where the panel ends, if it does not show all of its lines.
    pub shown: Shown,
    /// Share of the height of a stack.
    pub weight: f64,
}

/// Where a panel ends that does not show all of its lines.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Shown {
    /// Downwards.
    pub bottom: Option<f64>,
    /// Upwards.
    pub top: Option<f64>,
}

/// A rectangle in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

/// Numbers to pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Axis {
    /// Range of numbers.
    pub range: (f64, f64),
    /// Their pixels.
    pub pixels: (f64, f64),
}

impl Axis {
    /// Pixel of a number.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let (low, high) = self.range;
        let (from, to) = self.pixels;
        from + (value - low) / (high - low) * (to - from)
    }
}

/// What the eye sees of a line, pixels; and what it sees when the line is zoomed.
const SEEN: f64 = 0.1;
const FINE: f64 = 0.02;
const TICK_GAP: f64 = 6.0;
const NAME_GAP: f64 = 8.0;
const NAME_PITCH: f64 = 14.0;

/// Draws a panel; `frame` holds its lines, numbers and names stand around it.
pub fn draw(scene: &mut Scene, chart: &Chart, frame: Frame, x_range: (f64, f64), with_x: bool) {
    let x = Axis {
        range: x_range,
        pixels: (frame.left, frame.right),
    };
    let visible: Vec<Vec<Point>> = chart
        .series
        .iter()
        .map(|s| cut(within(&s.points, x_range), chart.shown))
        .collect();
    let y = Axis {
        range: y_range(chart, &visible, x_range),
        pixels: (frame.bottom, frame.top),
    };
    draw_grid(scene, chart, frame, y);
    draw_x_axis(scene, frame, x, with_x);
    for guide in chart.guides.iter().filter(|g| holds(y.range, g.y)) {
        let at = y.at(guide.y);
        scene.line(vec![(frame.left, at), (frame.right, at)], guide.stroke);
    }
    for series in &chart.series {
        draw_band(scene, series, x, y);
    }
    for (series, points) in chart.series.iter().zip(&visible) {
        draw_series(scene, points, series.stroke, x, y);
    }
    for note in &chart.notes {
        draw_note(scene, note, x, y);
    }
    draw_names(scene, chart, &visible, frame, y);
    let panel = read(chart, &visible, frame, x, y);
    scene.readout.panels.push(panel);
}

/// What can be read off a panel.
fn read(chart: &Chart, visible: &[Vec<Point>], frame: Frame, x: Axis, y: Axis) -> Panel {
    let place = |p: &Point| (x.at(p.0), y.at(p.1));
    let within = |points: &[Point]| {
        let pixels: Vec<Point> = points.iter().map(place).collect();
        readout::flat(&thinned(&pixels, FINE))
    };
    let line = |(series, points): (&Series, &Vec<Point>)| {
        let runs = points.split(|p| !p.1.is_finite());
        ReadLine {
            name: series.name.clone(),
            look: Look::of(series.stroke),
            rises: points.is_sorted_by(|a, b| x.at(a.0) <= x.at(b.0) + FINE),
            runs: runs.filter(|r| !r.is_empty()).map(within).collect(),
            band: band_within(series, x.range).map(|edge| within(&edge)),
        }
    };
    let guides = chart.guides.iter().filter(|g| holds(y.range, g.y));
    let guide = |g: &Guide| ReadGuide {
        y: y.at(g.y),
        look: Look::of(g.stroke),
    };
    let grid = grid(frame, y);
    let notes = chart.notes.iter();
    Panel {
        quantity: chart.quantity.clone(),
        frame: readout::edges(frame),
        x: x.range,
        y: y.range,
        rules: grid.at.iter().map(|&v| y.at(v)).collect(),
        guides: guides.map(guide).collect(),
        lines: chart.series.iter().zip(visible).map(line).collect(),
        notes: notes.map(|n| ReadNote::of(n, place(&n.at))).collect(),
    }
}

fn draw_note(scene: &mut Scene, note: &Note, x: Axis, y: Axis) {
    let at = (x.at(note.at.0), y.at(note.at.1));
    if note.dot {
        scene.disc(at, 4.5, look::PAPER);
        scene.disc(at, 3.5, note.colour);
    }
    let style = Type {
        colour: look::readable(note.colour),
        bold: note.dot,
        ..look::NOTE
    };
    let (aside, down) = match note.anchor {
        Anchor::Start => (8.0, -6.0),
        Anchor::Middle => (0.0, 6.0 + style.size),
        Anchor::End => (-8.0, -6.0),
    };
    let base = (at.0 + aside, at.1 + down);
    text_on_paper(scene, base, &note.label, style, note.anchor);
}

/// Sets a text on cleared paper, so that no line runs through it.
pub fn text_on_paper(scene: &mut Scene, base: Point, text: &str, style: Type, anchor: Anchor) {
    let width = text_width(text, style);
    let left = match anchor {
        Anchor::Start => base.0,
        Anchor::Middle => base.0 - 0.5 * width,
        Anchor::End => base.0 - width,
    };
    if width > 0.0 {
        let corner = (left - 1.0, base.1 - 0.8 * style.size);
        let opposite = (left + width + 1.0, base.1 + 2.0);
        scene.rectangle(corner, opposite, look::PAPER);
    }
    scene.text(base, text, style, anchor);
}

fn holds(range: (f64, f64), value: f64) -> bool {
    (range.0..=range.1).contains(&value)
}

/// Covers the lines and their bands, and guides that lie near them.
fn y_range(chart: &Chart, visible: &[Vec<Point>], x_range: (f64, f64)) -> (f64, f64) {
    let bands = chart.series.iter().flat_map(|s| band_within(s, x_range));
    let bands: Vec<Point> = bands.flatten().collect();
    let values = || {
        let points = visible.iter().flatten().chain(&bands);
        points.map(|p| p.1).filter(|v| v.is_finite())
    };
    let mut low = values().fold(f64::INFINITY, f64::min);
    let mut high = values().fold(f64::NEG_INFINITY, f64::max);
    for guide in &chart.guides {
        let reach = (high - low).max(0.1 * high.abs());
        if holds((low - reach, high + reach), guide.y) {
            low = low.min(guide.y);
            high = high.max(guide.y);
        }
    }
    let (low, high) = roomy_range(low, high);
    let Shown { bottom, top } = chart.shown;
    (bottom.unwrap_or(low), top.unwrap_or(high))
}

/// The part of a line that is shown.
fn cut(points: Vec<Point>, shown: Shown) -> Vec<Point> {
    let upside_down = |points: Vec<Point>| points.into_iter().map(|(x, y)| (x, -y)).collect();
    let points = below(points, shown.top);
    upside_down(below(upside_down(points), shown.bottom.map(|y| -y)))
}

/// The part of a line below a height, broken where it lies above.
fn below(points: Vec<Point>, top: Option<f64>) -> Vec<Point> {
    let Some(top) = top else {
        return points;
    };
    let mut kept: Vec<Point> = Vec::new();
    let mut before: Option<Point> = None;
    for p in points {
        if let Some(b) = before.filter(|b| (b.1 > top) != (p.1 > top)) {
            kept.push((b.0 + (top - b.1) / (p.1 - b.1) * (p.0 - b.0), top));
        }
        kept.push((p.0, if p.1 > top { f64::NAN } else { p.1 }));
        before = Some(p);
    }
    kept
}

/// The part of a line within a range of x, cut at its ends.
fn within(points: &[Point], (low, high): (f64, f64)) -> Vec<Point> {
    let cut = |a: Point, b: Point, x: f64| (x, a.1 + (x - a.0) / (b.0 - a.0) * (b.1 - a.1));
    let mut kept = Vec::new();
    for (i, &p) in points.iter().enumerate() {
        let before = i.checked_sub(1).map(|j| points[j]);
        for edge in [low, high] {
            if let Some(b) = before.filter(|b| b.0 < edge && edge < p.0) {
                kept.push(cut(b, p, edge));
            }
        }
        if holds((low, high), p.0) {
            kept.push(p);
        }
    }
    kept
}

fn draw_grid(scene: &mut Scene, chart: &Chart, frame: Frame, y: Axis) {
    let ticks = grid(frame, y);
    for &value in &ticks.at {
        let at = y.at(value);
        let line = vec![(frame.left, at), (frame.right, at)];
        scene.line(line, look::hairline(look::GRID));
        let label = (frame.left - TICK_GAP, at + 0.35 * look::TICK.size);
        scene.text(label, ticks.label(value), look::TICK, Anchor::End);
    }
    let title = (frame.left, frame.top - 8.0);
    text_on_paper(
        scene,
        title,
        &chart.quantity,
        look::AXIS_TITLE,
        Anchor::Start,
    );
}

/// The numbers beside a panel.
fn grid(frame: Frame, y: Axis) -> Ticks {
    Ticks::within(y.range.0, y.range.1, ticks_wanted(frame.bottom - frame.top))
}

/// As many as can be read without being counted.
fn ticks_wanted(height: f64) -> usize {
    ((height / 26.0) as usize).min(8)
}

fn draw_x_axis(scene: &mut Scene, frame: Frame, x: Axis, with_numbers: bool) {
    let base = vec![(frame.left, frame.bottom), (frame.right, frame.bottom)];
    scene.line(base, look::hairline(look::INK));
    let wanted = ((frame.right - frame.left) / 80.0) as usize;
    let ticks = Ticks::within(x.range.0, x.range.1, wanted);
    for &value in &ticks.at {
        let at = x.at(value);
        let mark = vec![(at, frame.bottom), (at, frame.bottom + 4.0)];
        scene.line(mark, look::hairline(look::INK));
        if with_numbers {
            let text = ticks.label(value);
            // A number at the end of the axis keeps clear of the names beside it.
            let half = 0.5 * text_width(&text, look::TICK);
            let centre = at.min(frame.right + TICK_GAP - half);
            let label = (centre, frame.bottom + 6.0 + look::TICK.size);
            scene.text(label, text, look::TICK, Anchor::Middle);
        }
    }
}

/// The lower and the upper edge of a band within a range of x.
fn band_within(series: &Series, range: (f64, f64)) -> [Vec<Point>; 2] {
    let is_drawn = |b: &&(f64, f64, f64)| b.1.is_finite() && b.2.is_finite();
    let band = || series.band.iter().filter(is_drawn);
    let low: Vec<Point> = band().map(|b| (b.0, b.1)).collect();
    let high: Vec<Point> = band().map(|b| (b.0, b.2)).collect();
    [within(&low, range), within(&high, range)]
}

/// Draws what the band of a line covers.
fn draw_band(scene: &mut Scene, series: &Series, x: Axis, y: Axis) {
    let [low, high] = band_within(series, x.range).map(|edge| {
        let pixels = edge.iter().map(|p| (x.at(p.0), y.at(p.1.min(y.range.1))));
        thinned(&pixels.collect::<Vec<Point>>(), SEEN)
    });
    let outline = high.into_iter().chain(low.into_iter().rev());
    scene.veil(outline.collect(), series.stroke.colour);
}

/// Draws a line, broken where a value is missing, no finer than the eye sees.
fn draw_series(scene: &mut Scene, points: &[Point], stroke: Stroke, x: Axis, y: Axis) {
    let place = |p: &Point| (x.at(p.0), y.at(p.1));
    for run in points.split(|p| !p.1.is_finite()) {
        let pixels: Vec<Point> = run.iter().map(place).collect();
        scene.line(thinned(&pixels, SEEN), stroke);
    }
}

/// Drops the points that lie within so many pixels of the line through their neighbours.
fn thinned(points: &[Point], within: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    let mut skipped: Vec<Point> = Vec::new();
    for &p in points {
        let strays = kept.last().is_some_and(|&from| {
            skipped.len() > 200 || skipped.iter().any(|&s| distance(s, from, p) > within)
        });
        if strays {
            kept.extend(skipped.pop());
            skipped.clear();
        }
        if kept.is_empty() {
            kept.push(p);
        } else {
            skipped.push(p);
        }
    }
    kept.extend(skipped.pop());
    kept
}

/// Distance of a point from the segment `a`-`b`.
fn distance(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    let part = if square > 0.0 {
        (((p.0 - a.0) * dx + (p.1 - a.1) * dy) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (p.0 - a.0 - part * dx).hypot(p.1 - a.1 - part * dy)
}

struct Name {
    text: String,
    style: Type,
    wanted: f64,
    placed: f64,
}

/// Writes the names of lines and guides beside the frame, moved apart where they crowd.
fn draw_names(scene: &mut Scene, chart: &Chart, visible: &[Vec<Point>], frame: Frame, y: Axis) {
    let end_of = |points: &[Point]| {
        points
            .iter()
            .rev()
            .find(|p| p.1.is_finite())
            .map(|p| y.at(p.1))
    };
    let lines = chart
        .series
        .iter()
        .zip(visible)
        .filter_map(|(series, points)| {
            Some((
                series.name.clone(),
                look::line_name(series.stroke.colour),
                end_of(points)?,
            ))
        });
    let guides = chart
        .guides
        .iter()
        .filter(|g| holds(y.range, g.y))
        .map(|guide| {
            let style = Type {
                colour: guide.stroke.colour,
                ..look::NOTE
            };
            (guide.label.clone(), style, y.at(guide.y))
        });
    let mut names: Vec<Name> = lines
        .chain(guides)
        .map(|(text, style, wanted)| Name {
            text,
            style,
            wanted,
            placed: wanted,
        })
        .collect();
    spread(&mut names, frame);
    for name in names.iter().filter(|n| !n.text.is_empty()) {
        let left = frame.right + NAME_GAP;
        if (name.placed - name.wanted).abs() > 3.0 {
            let leader = vec![(frame.right + 1.0, name.wanted), (left - 1.0, name.placed)];
            scene.line(leader, look::hairline(name.style.colour));
        }
        let at = (left, name.placed + 0.35 * name.style.size);
        scene.text(at, &name.text, name.style, Anchor::Start);
    }
}

/// Moves names apart to one pitch: crowded neighbours form a block about their mean.
fn spread(names: &mut [Name], frame: Frame) {
    names.sort_by(|a, b| a.wanted.total_cmp(&b.wanted));
    let mut blocks: Vec<(usize, f64)> = Vec::new();
    for name in names.iter() {
        blocks.push((1, name.wanted));
        while let [.., above, below] = blocks[..] {
            let reach = NAME_PITCH * 0.5 * (above.0 + below.0) as f64;
            if below.1 - above.1 >= reach {
                break;
            }
            let count = above.0 + below.0;
            let mean = (above.0 as f64 * above.1 + below.0 as f64 * below.1) / count as f64;
            blocks.truncate(blocks.len() - 2);
            blocks.push((count, mean));
        }
    }
    let mut next = 0;
    for (count, mean) in blocks {
        let half = 0.5 * NAME_PITCH * (count - 1) as f64;
        let low = frame.top + half;
        let centre = mean.min(frame.bottom + 4.0 - half).max(low);
        for (i, name) in names[next..next + count].iter_mut().enumerate() {
            name.placed = centre - half + NAME_PITCH * i as f64;
        }
        next += count;
    }
    // A block that the frame's edge has moved may now reach into its neighbour.
    for i in 1..names.len() {
        names[i].placed = names[i].placed.max(names[i - 1].placed + NAME_PITCH);
    }
    let mut lowest = frame.bottom + 4.0;
    for name in names.iter_mut().rev() {
        name.placed = name.placed.min(lowest);
        lowest = name.placed - NAME_PITCH;
    }
}

/// Room that the names of a panel need beside its frame.
#[must_use]
pub fn name_room(chart: &Chart) -> f64 {
    let series = chart
        .series
        .iter()
        .map(|s| (&s.name, look::line_name(s.stroke.colour)));
    let guides = chart.guides.iter().map(|g| (&g.label, look::NOTE));
    let widest = series
        .chain(guides)
        .map(|(text, style)| text_width(text, style))
        .fold(0.0, f64::max);
    NAME_GAP + widest + 6.0
}
