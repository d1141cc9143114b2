//! The sheet that shows a whole run at a glance.

use super::chart::Frame;
use super::lettering::fitted;
use super::look;
use super::scene::{Anchor, Scene};
use super::stack::{self, Stack};
use super::subject::Subject;
use super::{Picture, contents, flow, pressures, temperatures};

const SIZE: (f64, f64) = (1640.0, 1130.0);
const MARGIN: f64 = 26.0;
const GUTTER: f64 = 34.0;
const HEADING_HEIGHT: f64 = 40.0;

/// Pressures, flow, contents and temperatures in two columns.
pub(super) fn picture(subject: &Subject) -> Option<Picture> {
    let stacks = [
        pressures::stack(subject),
        flow::stack(subject),
        contents::stack(subject),
        temperatures::stack(subject),
    ];
    let stacks: Vec<Stack> = stacks.into_iter().flatten().collect();
    let rows = stacks.len().div_ceil(2);
    if rows == 0 {
        return None;
    }
    let mut scene = Scene::new(SIZE.0, SIZE.1, subject.title);
    let heading = (MARGIN, MARGIN + look::HEADING.size);
    let title = fitted(subject.title, look::HEADING, SIZE.0 - 2.0 * MARGIN);
    scene.text(heading, title, look::HEADING, Anchor::Start);
    let width = (SIZE.0 - 2.0 * MARGIN - GUTTER) / 2.0;
    let top = MARGIN + HEADING_HEIGHT;
    let height = (SIZE.1 - top - MARGIN + 12.0) / rows as f64;
    let names = stacks.iter().map(stack::name_room).fold(0.0, f64::max);
    for (i, stack) in stacks.iter().enumerate() {
        let left = MARGIN + (i % 2) as f64 * (width + GUTTER);
        let cell_top = top + (i / 2) as f64 * height;
        let cell = Frame {
            left,
            top: cell_top,
            right: left + width,
            bottom: cell_top + height - 14.0,
        };
        stack::draw(&mut scene, stack, cell, names);
    }
    Some(Picture {
        name: super::OVERVIEW.to_owned(),
        scene,
    })
}
