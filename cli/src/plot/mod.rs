//! Plots of a run: scenes built here, painted as SVG and PNG.

pub mod chart;
mod contents;
pub mod design_map;
pub mod field;
mod flow;
pub mod lettering;
pub mod look;
mod opening;
mod overview;
pub mod paint;
mod pressures;
pub mod properties;
mod regulator;
pub mod scene;
pub mod sensitivity;
pub mod stack;
pub mod subject;
pub mod sweep;
mod temperatures;
pub mod ticks;

use chart::Frame;
use scene::Scene;
use stack::Stack;
use subject::Subject;

/// A picture and the name of its files.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    /// File name without extension.
    pub name: String,
    /// What it shows.
    pub scene: Scene,
}

pub(crate) const SIZE: (f64, f64) = (1000.0, 620.0);
const MARGIN: f64 = 22.0;

/// All pictures of a run.
#[must_use]
pub fn pictures(subject: &Subject) -> Vec<Picture> {
    let whole_run = [
        ("pressures", pressures::stack(subject)),
        ("flow", flow::stack(subject)),
        ("contents", contents::stack(subject)),
        ("temperatures", temperatures::stack(subject)),
    ];
    let whole_run = whole_run
        .into_iter()
        .filter_map(|(name, stack)| Some((name.to_owned(), stack?)));
    let openings = opening::stacks(subject).into_iter();
    let openings = openings.map(|(valve, stack)| (format!("opening-{valve}"), stack));
    let regulators = regulator::stacks(subject).into_iter();
    let regulators = regulators.map(|(name, stack)| (format!("regulator-{name}"), stack));
    let stacks = whole_run.chain(openings).chain(regulators);
    let mut pictures: Vec<Picture> = stacks.map(|(name, stack)| picture(name, &stack)).collect();
    pictures.extend(overview::picture(subject));
    pictures
}

fn picture(name: String, stack: &Stack) -> Picture {
    let mut scene = Scene::new(SIZE.0, SIZE.1, &stack.title);
    let area = Frame {
        left: MARGIN,
        top: MARGIN,
        right: SIZE.0 - MARGIN,
        bottom: SIZE.1 - MARGIN + 8.0,
    };
    stack::draw(&mut scene, stack, area, stack::name_room(stack));
    Picture { name, scene }
}
