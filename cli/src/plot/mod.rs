//! Plots of a run: scenes built here, painted as SVG and PNG.

pub mod chart;
mod contents;
mod contour;
pub mod design_map;
pub mod field;
mod flow;
pub mod lettering;
pub mod look;
mod overview;
pub mod paint;
mod pressurant;
mod pressures;
pub mod properties;
pub mod readout;
mod regulator;
pub mod scene;
pub mod sensitivity;
pub mod stack;
pub mod subject;
pub mod sweep;
mod temperatures;
pub mod ticks;
mod valve;

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

/// Pictures of a whole run, beside the overview.
const OF_RUN: [&str; 4] = ["pressures", "flow", "contents", "temperatures"];
pub(crate) const OVERVIEW: &str = "overview";
/// The drawing of the stand, which is not drawn here.
pub(crate) const SCHEMATIC: &str = "schematic";
/// The same with the values of a moment.
pub(crate) const SCHEMATIC_AT_WORK: &str = "schematic-at-work";
/// Pictures of single components.
const OF_COMPONENTS: [&str; 4] = ["opening", "shutting", "regulator", "pressurant"];

fn of_component(what: &str, component: &str) -> String {
    format!("{what}-{component}")
}

/// Names of all pictures that a run with such components may have.
#[must_use]
pub fn names(components: &[&str]) -> Vec<String> {
    let of_run = OF_RUN
        .into_iter()
        .chain([OVERVIEW, SCHEMATIC, SCHEMATIC_AT_WORK])
        .map(str::to_owned);
    let of_components = components
        .iter()
        .flat_map(|c| OF_COMPONENTS.map(|what| of_component(what, c)));
    of_run.chain(of_components).collect()
}

/// All pictures of a run.
#[must_use]
pub fn pictures(subject: &Subject) -> Vec<Picture> {
    let whole_run = [
        pressures::stack(subject),
        flow::stack(subject),
        contents::stack(subject),
        temperatures::stack(subject),
    ];
    let whole_run = OF_RUN.into_iter().zip(whole_run);
    let whole_run = whole_run.filter_map(|(name, stack)| Some((name.to_owned(), stack?)));
    let of_components = [
        valve::openings(subject),
        valve::shuttings(subject),
        regulator::stacks(subject),
        pressurant::stacks(subject),
    ];
    let of_components = OF_COMPONENTS.into_iter().zip(of_components);
    let of_components = of_components.flat_map(|(what, stacks)| {
        let named = stacks.into_iter();
        named.map(move |(component, stack)| (of_component(what, &component), stack))
    });
    let stacks = whole_run.chain(of_components);
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
