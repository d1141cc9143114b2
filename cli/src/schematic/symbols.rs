//! Plain symbols of vessels and valves after ISO 14617 and ISA-5.1, centred on their pipe. A valve
//! that is shut at the start is filled; what its own pressure opens is not, and the legend says that
//! it is shut.

use super::parts::Symbol;
use crate::plot::look;
use crate::plot::scene::{Point, Scene, Stroke};
use std::f64::consts::PI;

const OUTLINE: Stroke = Stroke {
    colour: look::INK,
    width: 1.6,
    dash: &[],
};
const SENSING: Stroke = Stroke {
    colour: look::MUTED,
    width: 1.2,
    dash: &[3.0, 2.5],
};
/// Half the width of a tank, as it stands and as it lies.
const TANK_HALF: f64 = 30.0;
const LYING_TANK_HALF: f64 = 50.0;
/// Half length and half height of a valve body.
const BODY: Point = (15.0, 9.0);

/// Half the width of a symbol beside which its labels stand; none of one that has them below.
pub(super) fn half_width(symbol: Symbol) -> Option<f64> {
    match symbol {
        Symbol::Tank { is_lying: true, .. } => Some(LYING_TANK_HALF),
        Symbol::Tank { .. } => Some(TANK_HALF),
        _ => None,
    }
}

/// Draws a symbol.
pub(super) fn draw(scene: &mut Scene, symbol: Symbol, at: Point) {
    let mut pen = Pen { scene, at };
    match symbol {
        Symbol::Bottle => pen.bottle(),
        Symbol::Plenum => pen.plenum(),
        Symbol::Tank { filled, is_lying } => pen.tank(filled, is_lying),
        Symbol::Ambient => pen.arrow(),
        Symbol::Elsewhere => pen.flag(),
        Symbol::Regulator => pen.regulator(),
        Symbol::Valve { is_open } => pen.valve(is_open),
        Symbol::Check => pen.check(),
        Symbol::Relief => pen.relief(),
        Symbol::BurstDisc => pen.burst_disc(),
        Symbol::Orifice => pen.orifice(),
        Symbol::Venturi => pen.venturi(),
        Symbol::Line => pen.pipe_run(),
    }
}

struct Pen<'a> {
    scene: &'a mut Scene,
    at: Point,
}

impl Pen<'_> {
    fn moved(&self, points: &[Point]) -> Vec<Point> {
        let (x, y) = self.at;
        points.iter().map(|p| (x + p.0, y + p.1)).collect()
    }

    fn line(&mut self, points: &[Point]) {
        let points = self.moved(points);
        self.scene.line(points, OUTLINE);
    }

    /// A closed outline, filled with paper or ink.
    fn shape(&mut self, points: &[Point], is_filled: bool) {
        let colour = if is_filled { look::INK } else { look::PAPER };
        let mut outline = self.moved(points);
        self.scene.items.push(crate::plot::scene::Item::Area {
            points: outline.clone(),
            colour,
        });
        outline.extend(outline.first().copied());
        self.scene.line(outline, OUTLINE);
    }

    fn bow_tie(&mut self, is_filled: bool) {
        let (l, h) = BODY;
        self.shape(&[(-l, -h), (0.0, 0.0), (-l, h)], is_filled);
        self.shape(&[(l, -h), (0.0, 0.0), (l, h)], is_filled);
    }

    fn valve(&mut self, is_open: bool) {
        self.line(&[(0.0, 0.0), (0.0, -18.0)]);
        self.shape(
            &[(-8.0, -30.0), (8.0, -30.0), (8.0, -18.0), (-8.0, -18.0)],
            false,
        );
        self.bow_tie(!is_open);
    }

    /// With a diaphragm that senses the pressure behind it.
    fn regulator(&mut self) {
        self.line(&[(0.0, 0.0), (0.0, -16.0)]);
        self.shape(&arc((0.0, -16.0), (13.0, 13.0), PI, 2.0 * PI), false);
        let sensing = self.moved(&[(13.0, -18.0), (27.0, -18.0), (27.0, 0.0)]);
        self.scene.line(sensing, SENSING);
        self.bow_tie(false);
    }

    fn check(&mut self) {
        let (l, h) = BODY;
        self.shape(&[(-l, -h), (l, 0.0), (-l, h)], false);
        self.line(&[(l, -h - 2.0), (l, h + 2.0)]);
    }

    /// With a spring.
    fn relief(&mut self) {
        let spring = [
            (0.0, 0.0),
            (0.0, -11.0),
            (-6.0, -14.0),
            (6.0, -19.0),
            (-6.0, -24.0),
            (6.0, -29.0),
            (0.0, -32.0),
        ];
        self.line(&spring);
        self.bow_tie(false);
    }

    fn burst_disc(&mut self) {
        self.shape(
            &[(-8.0, -12.0), (8.0, -12.0), (8.0, 12.0), (-8.0, 12.0)],
            false,
        );
        self.line(&arc((-8.0, 0.0), (10.0, 12.0), -PI / 2.0, PI / 2.0));
    }

    fn orifice(&mut self) {
        self.line(&[(0.0, -13.0), (0.0, -3.5)]);
        self.line(&[(0.0, 3.5), (0.0, 13.0)]);
    }

    fn venturi(&mut self) {
        let upper = [(-17.0, -10.0), (-4.0, -3.0), (4.0, -3.0), (17.0, -10.0)];
        let lower = upper.map(|(x, y)| (x, -y));
        self.line(&upper);
        self.line(&lower);
    }

    /// A length of pipe, between two joints.
    fn pipe_run(&mut self) {
        for end in [-30.0, 30.0] {
            self.line(&[(end, -5.0), (end, 5.0)]);
        }
    }

    fn arrow(&mut self) {
        self.shape(&[(-6.0, -7.0), (8.0, 0.0), (-6.0, 7.0)], true);
    }

    /// Goes on elsewhere on the sheet: no way into the open.
    fn flag(&mut self) {
        let outline = [
            (-14.0, -8.0),
            (6.0, -8.0),
            (14.0, 0.0),
            (6.0, 8.0),
            (-14.0, 8.0),
        ];
        self.shape(&outline, false);
    }

    /// Stands upright on its foot, with shoulders and a neck.
    fn bottle(&mut self) {
        let (half, neck) = (16.0, 4.5);
        let (top, shoulder, foot, round) = (-46.0, -22.0, 41.0, 5.0);
        let mut outline = vec![(-neck, top), (neck, top), (neck, top + 8.0)];
        outline.extend(arc(
            (neck, shoulder),
            (half - neck, -top + shoulder - 8.0),
            -PI / 2.0,
            0.0,
        ));
        outline.extend(arc(
            (half - round, foot - round),
            (round, round),
            0.0,
            PI / 2.0,
        ));
        let mirrored: Vec<Point> = outline.iter().rev().map(|p| (-p.0, p.1)).collect();
        outline.extend(mirrored);
        self.shape(&outline, false);
        self.line(&[(-neck - 3.0, top), (neck + 3.0, top)]);
    }

    /// Lies in its pipe.
    fn plenum(&mut self) {
        let (half, straight) = (12.0, 18.0);
        let mut outline = arc((straight, 0.0), (half, half), -PI / 2.0, PI / 2.0);
        outline.extend(arc((-straight, 0.0), (half, half), PI / 2.0, 1.5 * PI));
        self.shape(&outline, false);
    }

    /// Hangs below its lane; the pipe of its gas comes in from above, that of its liquid leaves
    /// below. Its level is drawn between the ends of its straight sides, or across the whole of it if it
    /// lies.
    fn tank(&mut self, filled: f64, is_lying: bool) {
        let filled = filled.clamp(0.0, 1.0);
        if is_lying {
            self.lying_tank(filled);
        } else {
            self.upright_tank(filled);
        }
    }

    fn upright_tank(&mut self, filled: f64) {
        let (half, dome) = (TANK_HALF, 14.0);
        let (top, bottom) = (36.0, 106.0);
        let mut outline = arc((0.0, top), (half, dome), PI, 2.0 * PI);
        outline.extend(arc((0.0, bottom), (half, dome), 0.0, PI));
        self.line(&[(0.0, 0.0), (0.0, top)]);
        self.shape(&outline, false);
        let level = bottom - filled * (bottom - top);
        let mut liquid = vec![(half, level)];
        liquid.extend(arc((0.0, bottom), (half, dome), 0.0, PI));
        liquid.push((-half, level));
        self.filled_up(&liquid);
    }

    fn lying_tank(&mut self, filled: f64) {
        let (middle, half, dome) = (72.0, 26.0, 14.0);
        let straight = LYING_TANK_HALF - dome;
        // From an angle below the horizontal at the right around its foot to the same at the left.
        let below = |angle: f64| {
            let mut points = arc((straight, middle), (dome, half), angle, PI / 2.0);
            points.extend(arc((-straight, middle), (dome, half), PI / 2.0, PI - angle));
            points
        };
        self.line(&[(0.0, 0.0), (0.0, middle)]);
        self.shape(&below(-PI / 2.0), false);
        let liquid = below((1.0 - 2.0 * filled).asin());
        self.filled_up(&liquid);
    }

    /// Liquid up to the line between its first and its last point.
    fn filled_up(&mut self, liquid: &[Point]) {
        if let [first, .., last] = *liquid {
            let liquid = self.moved(liquid);
            self.scene.veil(liquid, look::LINES[4]);
            self.line(&[first, last]);
        }
    }
}

/// Points of an arc of an ellipse about `centre`, angles clockwise from the right.
fn arc(centre: Point, (rx, ry): Point, from: f64, to: f64) -> Vec<Point> {
    let steps = 16;
    let angle = |i: i32| from + (to - from) * f64::from(i) / f64::from(steps);
    let point = |i| {
        (
            centre.0 + rx * angle(i).cos(),
            centre.1 + ry * angle(i).sin(),
        )
    };
    (0..=steps).map(point).collect()
}
