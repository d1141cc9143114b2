//! Panels that share one horizontal axis, under a title that says what one sees.

use super::chart::{self, Axis, Chart, Frame};
use super::lettering::{fitted, text_width};
use super::look;
use super::readout::{ReadMark, end};
use super::scene::{Anchor, Scene};
use super::subject::{LEGEND_GAP, Subject};

/// Something that happened, marked through all panels.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// Where on the horizontal axis.
    pub x: f64,
    /// A few words; none for one that is a mere tick.
    pub label: String,
    /// Whether it happens many times: its words yield to those of what happens a few times.
    pub is_often: bool,
}

/// A column of panels.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// What one sees.
    pub title: String,
    /// The horizontal quantity and unit.
    pub x_quantity: String,
    /// The horizontal range.
    pub x_range: (f64, f64),
    /// What happened when.
    pub marks: Vec<Mark>,
    /// The panels, from the top.
    pub charts: Vec<Chart>,
}

impl Stack {
    /// Panels over the time of a run; none without a panel.
    #[must_use]
    pub fn over_time(
        subject: &Subject,
        title: impl FnOnce(&Subject) -> String,
        charts: impl IntoIterator<Item = Chart>,
    ) -> Option<Self> {
        let charts: Vec<Chart> = charts.into_iter().collect();
        let (first_s, last_s) = subject.time_range_s();
        (!charts.is_empty()).then(|| Self {
            title: title(subject),
            x_quantity: subject.time_axis("Time"),
            x_range: (subject.shown_time(first_s), subject.shown_time(last_s)),
            marks: subject.marks(),
            charts,
        })
    }
}

const TITLE_HEIGHT: f64 = 30.0;
const MARK_PITCH: f64 = 14.0;
/// Rows of words over the panels, so that these keep their height whatever happens.
const MOST_ROWS: usize = 4;
/// Length of a tick, and the least distance at which two are seen apart.
const TICK: f64 = 6.0;
const TICKS_APART: f64 = 0.5;
const CHART_TITLE_HEIGHT: f64 = 32.0;
const X_AXIS_HEIGHT: f64 = 40.0;
const NUMBERS_WIDTH: f64 = 46.0;

/// Room that the names beside the panels need.
#[must_use]
pub fn name_room(stack: &Stack) -> f64 {
    stack
        .charts
        .iter()
        .map(chart::name_room)
        .fold(0.0, f64::max)
}

/// Draws the stack into a part of a picture, with `names` pixels for the names beside it.
pub fn draw(scene: &mut Scene, stack: &Stack, area: Frame, names: f64) {
    let title = (area.left, area.top + look::TITLE.size);
    let room = area.right - area.left;
    let fitted = fitted(&stack.title, look::TITLE, room);
    scene.text(title, fitted, look::TITLE, Anchor::Start);

    let (left, right) = (area.left + NUMBERS_WIDTH, area.right - names);
    let x = Axis {
        range: stack.x_range,
        pixels: (left, right),
    };
    let marks = arrange(&stack.marks, x, area.right);
    let rows = marks
        .iter()
        .filter_map(|m| m.row)
        .max()
        .map_or(0, |r| r + 1);
    let marks_top = area.top + TITLE_HEIGHT;
    let charts_top = marks_top + MARK_PITCH * rows as f64 - 6.0;

    let frames = share(
        &stack.charts,
        left,
        right,
        charts_top,
        area.bottom - X_AXIS_HEIGHT,
    );
    let bottom = frames.last().map_or(charts_top, |f| f.bottom);
    draw_ticks(scene, &marks, &frames);
    draw_marks(scene, &marks, marks_top, bottom);
    let axis = stack.x_quantity.rsplit(LEGEND_GAP).next();
    scene.readout.x_quantity = axis.unwrap_or_default().to_owned();
    let read = marks.iter().map(|mark| mark.read(marks_top));
    scene.readout.marks.extend(read);
    for (i, (chart, &frame)) in stack.charts.iter().zip(&frames).enumerate() {
        chart::draw(scene, chart, frame, stack.x_range, i + 1 == frames.len());
    }
    let label = (right, bottom + 21.0 + look::TICK.size);
    scene.text(label, &stack.x_quantity, look::AXIS_TITLE, Anchor::End);
}

/// Shares the height among panels by their weights.
fn share(charts: &[Chart], left: f64, right: f64, top: f64, bottom: f64) -> Vec<Frame> {
    let room = bottom - top - CHART_TITLE_HEIGHT * charts.len() as f64;
    let weights: f64 = charts.iter().map(|c| c.weight).sum();
    let mut next = top;
    charts
        .iter()
        .map(|chart| {
            let frame_top = next + CHART_TITLE_HEIGHT;
            next = frame_top + room * chart.weight / weights;
            Frame {
                left,
                top: frame_top,
                right,
                bottom: next,
            }
        })
        .collect()
}

struct Placed<'a> {
    x: f64,
    label: &'a str,
    anchor: Anchor,
    /// That of its words; none for a tick.
    row: Option<usize>,
}

impl Placed<'_> {
    /// Baseline of the words.
    fn base(&self, top: f64) -> f64 {
        top + MARK_PITCH * self.row.unwrap_or(0) as f64 + 10.0
    }

    fn read(&self, top: f64) -> ReadMark {
        ReadMark {
            x: self.x,
            y: self.base(top),
            label: self.label.to_owned(),
            anchor: end(self.anchor),
        }
    }
}

/// Puts each label beside its mark, in the first row with room for it; a mark without is a tick.
fn arrange<'a>(marks: &'a [Mark], axis: Axis, right_edge: f64) -> Vec<Placed<'a>> {
    let mut taken: Vec<Vec<(f64, f64)>> = vec![Vec::new(); MOST_ROWS];
    let mut marks: Vec<&Mark> = marks.iter().collect();
    marks.sort_by(|a, b| {
        let by_place = a.x.total_cmp(&b.x);
        a.is_often.cmp(&b.is_often).then(by_place)
    });
    marks
        .into_iter()
        .map(|mark| {
            let x = axis.at(mark.x);
            let width = text_width(&mark.label, look::NOTE) + 8.0;
            let fits = x + width <= right_edge;
            let (anchor, span) = if fits {
                (Anchor::Start, (x, x + width))
            } else {
                (Anchor::End, (x - width, x))
            };
            let free = |row: &Vec<(f64, f64)>| row.iter().all(|r| span.1 < r.0 || r.1 < span.0);
            let rows = || taken.iter().position(free);
            let row = (!mark.label.is_empty()).then(rows).flatten();
            if let Some(row) = row {
                taken[row].push(span);
            }
            Placed {
                x,
                label: row.map_or("", |_| &mark.label),
                anchor,
                row,
            }
        })
        .collect()
}

/// The marks without words, at the upper edge of each panel.
fn draw_ticks(scene: &mut Scene, marks: &[Placed], frames: &[Frame]) {
    let ticks = marks.iter().filter(|m| m.row.is_none());
    let mut places: Vec<f64> = ticks.map(|m| m.x).collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|next, kept| *next - *kept < TICKS_APART);
    for frame in frames {
        for &x in &places {
            let line = vec![(x, frame.top), (x, frame.top + TICK)];
            scene.line(line, look::hairline(look::EVENT));
        }
    }
}

/// The lines of the marks with words, and over them the labels, each on cleared paper.
fn draw_marks(scene: &mut Scene, marks: &[Placed], top: f64, bottom: f64) {
    let labelled = || marks.iter().filter_map(|m| Some((m, m.row?)));
    for (mark, row) in labelled() {
        let label_top = top + MARK_PITCH * row as f64;
        let line = vec![(mark.x, label_top), (mark.x, bottom)];
        scene.line(line, look::hairline(look::EVENT));
    }
    for (mark, _) in labelled() {
        let aside = if mark.anchor == Anchor::Start {
            4.0
        } else {
            -4.0
        };
        let at = (mark.x + aside, mark.base(top));
        chart::text_on_paper(scene, at, mark.label, look::NOTE, mark.anchor);
    }
}
