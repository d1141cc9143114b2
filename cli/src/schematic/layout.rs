//! Where the parts stand. Lanes are even; columns are as wide as their labels, so that labels
//! cannot meet. What leaves a tank's gas goes up, what leaves its liquid goes down.

use super::parts::{Node, Outlet, Part, Symbol};
use super::symbols;
use crate::plot::lettering::text_width;
use crate::plot::look;
use crate::plot::scene::{Anchor, Point, Scene, Stroke, Type};
use sim_core::network::Phase;

const LANE: f64 = 150.0;
const MARGIN: f64 = 26.0;
/// Room above the first lane: a bottle's upper half.
const HEAD: f64 = 60.0;
/// Room that labels of the usual number of lines below the last lane take beyond it.
const FOOT: f64 = 40.0;
/// Least width of a part, and room between two labels.
const LEAST_WIDTH: f64 = 74.0;
const GAP: f64 = 22.0;
const LINE: f64 = 14.0;
const NAME: Type = Type {
    size: 12.0,
    bold: true,
    colour: look::INK,
};
const PIPE: Stroke = Stroke {
    colour: look::INK,
    width: 1.6,
    dash: &[],
};

/// Draws trees below each other.
pub(super) fn draw(description: &str, trees: &[Node], shown: &str) -> Scene {
    let mut sheet = Sheet {
        scene: Scene::new(0.0, 0.0, description),
        symbols: Vec::new(),
        right: 0.0,
    };
    let mut lanes = 0;
    for tree in trees {
        let extent = Extent::of(tree);
        lanes += extent.above;
        let at = (MARGIN, HEAD + MARGIN + f64::from(lanes) * LANE);
        sheet.node(tree, at, 0.0);
        lanes += extent.below + 1;
    }
    let Sheet {
        mut scene,
        symbols,
        right,
    } = sheet;
    let mut bottom = FOOT + f64::from(lanes) * LANE;
    // Over the pipes that end in them.
    for (part, at) in symbols {
        symbols::draw(&mut scene, part.symbol, at);
        let lowest = label(&mut scene, part, at);
        bottom = bottom.max(lowest + 2.0 * LINE);
    }
    let mut right = right;
    for words in legend(trees, shown) {
        right = right.max(MARGIN + text_width(&words, look::NOTE));
        scene.text((MARGIN, bottom), words, look::NOTE, Anchor::Start);
        bottom += LINE;
    }
    scene.width = right + MARGIN;
    scene.height = bottom + MARGIN - LINE;
    scene
}

/// What the symbols of a drawing mean where they leave a choice.
fn legend(trees: &[Node], shown: &str) -> Vec<String> {
    let symbols: Vec<Symbol> = trees.iter().flat_map(symbols_of).collect();
    let has = |is: fn(&Symbol) -> bool| symbols.iter().any(is);
    let mut words = Vec::new();
    if has(|s| matches!(s, Symbol::Valve { .. })) {
        words.push(format!(
            "{shown}: a filled valve is shut, a plain one is open."
        ));
    }
    if has(|s| matches!(s, Symbol::Relief | Symbol::BurstDisc)) {
        words.push(
            "A relief valve or burst disc is shut until its own pressure opens it.".to_owned(),
        );
    }
    if has(|s| matches!(s, Symbol::Plenum)) {
        words.push(
            "Upright with a neck: gas bottle. Lying in its pipe: gas volume that is filled on the way."
                .to_owned(),
        );
    }
    words
}

/// The symbols of a tree.
fn symbols_of(node: &Node) -> Vec<Symbol> {
    let mut symbols = vec![node.part.symbol];
    for outlet in &node.outlets {
        symbols.extend(outlet.parts.iter().map(|part| part.symbol));
        symbols.extend(symbols_of(&outlet.end));
    }
    symbols.extend(node.inlets.iter().flatten().map(|part| part.symbol));
    symbols
}

/// Lanes that a tree takes above and below its own.
#[derive(Clone, Copy, Default)]
struct Extent {
    above: i32,
    below: i32,
}

impl Extent {
    fn of(node: &Node) -> Self {
        lanes(node).1
    }
}

/// The lane of each outlet, counted from that of the node, and what all of them take.
fn lanes(node: &Node) -> (Vec<i32>, Extent) {
    let is_tank = matches!(node.part.symbol, Symbol::Tank { .. });
    let mut taken = Extent::default();
    let mut straight_on = !is_tank;
    let mut lanes = Vec::new();
    for outlet in &node.outlets {
        let Extent { above, below } = Extent::of(&outlet.end);
        lanes.push(if is_tank && outlet.phase == Phase::Gas {
            taken.above += above + below + 1;
            above - taken.above
        } else if std::mem::take(&mut straight_on) {
            taken = Extent { above, below };
            0
        } else {
            taken.below += above + below + 1;
            taken.below - below
        });
    }
    // A tank's vessel hangs below its lane. Further bottles stand below to the left, where the lanes
    // of the outlets do not reach.
    let to_the_left = i32::try_from(node.inlets.len()).unwrap_or(i32::MAX);
    taken.below = taken.below.max(if is_tank { 1 } else { to_the_left });
    (lanes, taken)
}

struct Sheet<'a> {
    scene: Scene,
    symbols: Vec<(&'a Part, Point)>,
    right: f64,
}

impl<'a> Sheet<'a> {
    /// Places a volume whose cell begins at `x` in the lane at `y`, and all behind it; gives the
    /// place where a pipe into it ends. To the left of `x` its own lanes are free over `room`: where
    /// its further bottles need more, it moves to the right.
    fn node(&mut self, node: &'a Node, (x, y): Point, room: f64) -> Point {
        let needed = node.inlets.iter().map(|inlet| total_width(inlet));
        let needed = needed.fold(0.0, f64::max);
        let x = x + (needed - room).max(0.0);
        self.inlets(node, (x, y));
        let wide = width(&node.part);
        let tank_half = symbols::half_width(node.part.symbol);
        let is_tank = tank_half.is_some();
        let centre = tank_half.map_or(x + wide / 2.0, |half| x + GAP + half);
        self.symbols.push((&node.part, (centre, y)));
        self.right = self.right.max(x + wide);
        let (lanes, _) = lanes(node);
        for (outlet, lane) in node.outlets.iter().zip(lanes) {
            let lane_y = y + f64::from(lane) * LANE;
            let (riser, first) = if is_tank {
                (centre, centre + GAP)
            } else {
                (x + wide, x + wide)
            };
            let start = vec![(centre, y), (riser, y), (riser, lane_y)];
            let is_free = lane == 0 && !is_tank;
            // Lanes below go on under the volume, up to its own further bottles.
            let free = match (is_free, node.inlets.is_empty()) {
                (true, true) => room + wide,
                (true, false) => wide,
                (false, _) => 0.0,
            };
            self.outlet(outlet, start, (first, lane_y), free);
        }
        (centre, y)
    }

    /// Further bottles of a volume whose cell begins at `x`: each in a lane of its own, with its
    /// pipe up to that of the volume.
    fn inlets(&mut self, node: &'a Node, (x, y): Point) {
        for (lane, inlet) in (1..).zip(&node.inlets) {
            let lane_y = y + f64::from(lane) * LANE;
            let left = x - total_width(inlet);
            self.row(inlet, (left, lane_y));
            let centre = left + inlet.first().map_or(0.0, width) / 2.0;
            self.scene
                .line(vec![(centre, lane_y), (x, lane_y), (x, y)], PIPE);
        }
    }

    /// Parts in a row; gives where it ends.
    fn row(&mut self, parts: &'a [Part], (mut x, y): Point) -> f64 {
        for part in parts {
            let wide = width(part);
            self.symbols.push((part, (x + wide / 2.0, y)));
            x += wide;
        }
        x
    }

    fn outlet(&mut self, outlet: &'a Outlet, mut pipe: Vec<Point>, (x, y): Point, room: f64) {
        let end = self.row(&outlet.parts, (x, y));
        pipe.push(self.node(&outlet.end, (end, y), room + end - x));
        pipe.dedup();
        self.scene.line(pipe, PIPE);
    }
}

fn total_width(parts: &[Part]) -> f64 {
    parts.iter().map(width).sum()
}

fn width(part: &Part) -> f64 {
    let notes = part.notes.iter().map(|n| text_width(n, look::NOTE));
    let label = notes.fold(text_width(&part.name, NAME), f64::max);
    match symbols::half_width(part.symbol) {
        Some(half) => 2.0 * (GAP + half) + label + GAP,
        None => label.max(LEAST_WIDTH) + GAP,
    }
}

/// Below a symbol; beside a tank. Gives the baseline of the last line.
fn label(scene: &mut Scene, part: &Part, (x, y): Point) -> f64 {
    let (at, anchor) = match (part.symbol, symbols::half_width(part.symbol)) {
        (_, Some(half)) => ((x + half + 10.0, y + 44.0), Anchor::Start),
        (Symbol::Bottle, None) => ((x, y + 58.0), Anchor::Middle),
        _ => ((x, y + 34.0), Anchor::Middle),
    };
    scene.text(at, &part.name, NAME, anchor);
    for (i, note) in part.notes.iter().enumerate() {
        let below = (at.0, at.1 + LINE * (i + 1) as f64);
        scene.text(below, note, look::NOTE, anchor);
    }
    at.1 + LINE * part.notes.len() as f64
}
