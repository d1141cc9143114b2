//! The edge of the values that do: where the margin changes its sign.

use super::room::Rooms;
use super::written::{DIGITS, DIGITS_OF_DRAWS};
use super::{Answer, Sizer, TOLERANCE};
use crate::studies::parallel::Progress;
use shared::bracketed;
use std::cell::RefCell;
use std::rc::Rc;

/// [`TOLERANCE`] where draws have to succeed.
const TOLERANCE_OF_DRAWS: f64 = 2e-3;
/// Most digits of an answer, for a window so narrow that it holds no number with fewer.
const MOST_DIGITS: i32 = 8;
/// Part of a value by which is stepped to enclose the edge that fewer draws have.
const STEP: f64 = 0.02;

impl Sizer<'_> {
    /// Between a value that does not do and one that does: nearest to the first.
    pub(super) fn between(&self, fails: f64, does: f64, progress: Progress<'_>) -> Answer {
        let rooms = remembered(|x| self.rooms_at(x, progress));
        let margin = |x| rooms(x).margin();
        let edge = match self.knob.whole_steps() {
            true => halved(margin, fails, does),
            false => self.edge(margin, (fails, does), (DIGITS, TOLERANCE)),
        };
        match self.confidence.draws {
            0 => self.answer(edge, &rooms(edge)),
            _ => self.finer().settled(edge, (fails, does), progress),
        }
    }

    /// The edge of these draws next to the one that fewer of them have.
    fn settled(&self, near: f64, (fails, does): (f64, f64), progress: Progress<'_>) -> Answer {
        let rooms = remembered(|x| self.rooms_at(x, progress));
        let margin = |x| rooms(x).margin();
        let whole = self.knob.whole_steps();
        let step = if whole { 1.0 } else { STEP * near.abs() };
        // Downhill where the edge of few does, uphill where it does not.
        let at_near = (near, margin(near));
        let toward = if at_near.1 >= 0.0 { fails } else { does };
        let reach = (toward - near).abs();
        let doubled = std::iter::successors(Some(step), |s| (*s < reach).then_some(2.0 * s));
        let steps = doubled.map(|s| near + s.min(reach) * (toward - near).signum());
        let mut steps = steps.map(|x| (x, margin(x)));
        let other = steps.find(|s| (s.1 >= 0.0) != (at_near.1 >= 0.0));
        let Some(other) = other else {
            // These draws do nowhere, or as far as there is: the end that does is kept.
            let kept = if at_near.1 >= 0.0 { near } else { does };
            return self.answer(kept, &rooms(kept));
        };
        let (out, within) = if at_near.1 >= 0.0 {
            (other, at_near)
        } else {
            (at_near, other)
        };
        let slope = (within.1 - out.1) / (within.0 - out.0);
        let edge = match whole {
            true => halved(margin, out.0, within.0),
            false => {
                let (low, high) = rooms(within.0).margin_95();
                let digits = digits_within((high - low) / slope, near);
                self.edge(margin, (out.0, within.0), (digits, TOLERANCE_OF_DRAWS))
            }
        };
        let rooms = rooms(edge);
        Answer {
            edge_95: self.edge_95(edge, rooms.margin_95(), slope),
            ..self.answer(edge, &rooms)
        }
    }

    /// Between what an edge lies, by the ends of its margin and the slope there.
    fn edge_95(&self, at: f64, (low, high): (f64, f64), slope: f64) -> Option<(f64, f64)> {
        let range = self.knob.range;
        let ends = [low, high].map(|margin| (at - margin / slope).clamp(range.0, range.1));
        let is_known = ends.iter().all(|end| end.is_finite());
        is_known.then(|| (ends[0].min(ends[1]), ends[0].max(ends[1])))
    }

    /// The root, rounded to the side that does; to more digits where that misses the window.
    fn edge(
        &self,
        margin: impl Fn(f64) -> f64,
        (fails, does): (f64, f64),
        (digits, tolerance): (i32, f64),
    ) -> f64 {
        let width = tolerance * does.abs().max(fails.abs());
        let root = bracketed(&margin, fails, does, width).unwrap_or(does);
        let toward = (does - fails).signum();
        let rounded = |digits: i32| {
            let at = move |x: f64| self.knob.rounded(x, digits, toward);
            let next = move |x: &f64| ((does - x) * toward > 0.0).then(|| at(x + toward * width));
            std::iter::successors(Some(at(root)), next)
        };
        let mut values = (digits..=MOST_DIGITS).flat_map(rounded);
        values.find(|&x| margin(x) >= 0.0).unwrap_or(does)
    }
}

/// Digits with which a value is rounded by no more than a quarter of what it is known to.
fn digits_within(known_to: f64, value: f64) -> i32 {
    let first = value.abs().log10().floor();
    let step = |digits: i32| 10.0_f64.powf(first - f64::from(digits - 1));
    let enough = |digits: &i32| step(*digits) <= 0.25 * known_to.abs();
    (DIGITS_OF_DRAWS..DIGITS).find(enough).unwrap_or(DIGITS)
}

/// Rooms that are worked out once for each value.
fn remembered(rooms: impl Fn(f64) -> Rooms) -> impl Fn(f64) -> Rc<Rooms> {
    let known: RefCell<Vec<(f64, Rc<Rooms>)>> = RefCell::default();
    move |x| {
        let before = known
            .borrow()
            .iter()
            .find(|k| k.0 == x)
            .map(|k| k.1.clone());
        before.unwrap_or_else(|| {
            let found = Rc::new(rooms(x));
            known.borrow_mut().push((x, found.clone()));
            found
        })
    }
}

/// Between a whole number that does not do and one that does: the one that does next to the
/// first, where the margin changes its sign but once.
fn halved(margin: impl Fn(f64) -> f64, mut fails: f64, mut does: f64) -> f64 {
    while (does - fails).abs() > 1.0 {
        let middle = (0.5 * (does + fails)).floor();
        if margin(middle) >= 0.0 {
            does = middle;
        } else {
            fails = middle;
        }
    }
    does
}
