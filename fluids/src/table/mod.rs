//! Temperature and p/rho tabled over density and internal energy.
//!
//! A control volume knows its density and energy; this table gives T and p from them without
//! iteration. Coordinates:
//!
//! - x of the density, see [`coordinate`];
//! - y = (u - u_lo(x))/(u_hi(x) - u_lo(x)) between the [`edges`], graded as
//!   v = scale ((y + g)^(1/4) - g^(1/4)), because the cold edge bends most.
//!
//! (Logarithms in their place are as accurate but take two fifths of the whole time.)
//!
//! T and p/rho stand on uniform bicubic B-splines, so both have continuous second derivatives.

pub(crate) mod bspline;
mod coordinate;
mod edges;

use self::bspline::{Place, surfaces};
use self::edges::{Edges, Node};
use crate::data::TableRange;
use crate::helmholtz::Helmholtz;
use crate::phases::Phases;

/// Grading g of v, in T_r/T_max.
const GRADING: f64 = 0.005;
/// Intervals of v.
const V_INTERVALS: usize = 48;

/// A value with its partials by density and by energy.
pub(crate) type Surface = [f64; 3];

/// Coefficients in a row.
const ROW: usize = V_INTERVALS + 3;

/// A state's place in the table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Location {
    /// How far the state lies below the phase boundary on its isochore, J/kg.
    pub depth_j_kg: f64,
    density: f64,
    across: Place,
    x_rho: f64,
    along: Place,
    /// (r y + offset)^(1/4); energy above the cold edge; r/(u_hi - u_lo).
    root: f64,
    above: f64,
    inverse: f64,
}

/// The table of one fluid.
#[derive(Debug)]
pub(crate) struct Table {
    edges: Edges,
    grading: Grading,
    /// Coefficients of (T, p/rho), a row of v for each x.
    body: Vec<[f64; 2]>,
}

/// The map of y in 0..=1 to v in 0..=V_INTERVALS, v = scale ((y + g)^(1/4) - g^(1/4)), written
/// v = (r y + offset)^(1/4) - start with r = scale^4.
#[derive(Clone, Copy, Debug)]
struct Grading {
    reach: f64,
    offset: f64,
    start: f64,
}

impl Grading {
    fn new(g: f64) -> Self {
        let scale = V_INTERVALS as f64 / (fourth_root(1.0 + g) - fourth_root(g));
        let reach = scale.powi(4);
        Grading {
            reach,
            offset: reach * g,
            start: scale * fourth_root(g),
        }
    }

    /// Height r y of a node.
    fn height(&self, v: usize) -> f64 {
        (self.start + v as f64).powi(4) - self.offset
    }
}

#[inline]
fn fourth_root(x: f64) -> f64 {
    x.sqrt().sqrt()
}

impl Table {
    /// Fills the table from the exact equation. `None` if an edge cannot be found.
    pub fn new(equation: &Helmholtz, phases: &Phases, range: &TableRange) -> Option<Self> {
        let grading = Grading::new(GRADING * equation.reducing_temperature_k / range.t_max_k);
        let (edges, nodes) = Edges::new(equation, phases, range, grading.reach)?;
        let rows: Option<Vec<_>> = nodes
            .iter()
            .map(|node| isochore(equation, node, &grading))
            .collect();
        Some(Table {
            edges,
            grading,
            body: surfaces(&rows?),
        })
    }

    /// Where (rho, u) lies in the table; `None` outside.
    #[inline]
    pub fn locate(&self, density: f64, energy: f64) -> Option<Location> {
        let (across, x_rho) = self.edges.place(density)?;
        let [low, inverse, boundary] = self.edges.at(&across);
        let above = energy - low;
        let height = above * inverse;
        if !(0.0..=self.grading.reach).contains(&height) {
            return None;
        }
        let root = fourth_root(height + self.grading.offset);
        let along = Place::new(root - self.grading.start, V_INTERVALS);
        Some(Location {
            depth_j_kg: boundary - energy,
            density,
            across,
            x_rho,
            along,
            root,
            above,
            inverse,
        })
    }

    /// The temperature alone.
    #[inline]
    pub fn temperature_k(&self, at: &Location) -> f64 {
        let (w, across) = (at.along.weights(), at.across.weights());
        let row = |i: usize| {
            let c = self.row(at, i);
            across[i] * ((w[0] * c[0] + w[1] * c[2]) + (w[2] * c[4] + w[3] * c[6]))
        };
        (row(0) + row(1)) + (row(2) + row(3))
    }

    /// T and p with their partials.
    #[inline]
    pub fn surfaces(&self, at: &Location) -> [Surface; 2] {
        let [value, by_x, by_v] = self.bicubic(at);
        let [low_x, inverse_x] = self.edges.slopes(&at.across);
        let v_height = 0.25 / (at.root * at.root * at.root);
        let v_u = v_height * at.inverse;
        let v_x = v_height * (at.above * inverse_x - low_x * at.inverse);
        let surface = |k: usize| {
            [
                value[k],
                (by_x[k] + by_v[k] * v_x) * at.x_rho,
                by_v[k] * v_u,
            ]
        };
        let (t, q) = (surface(0), surface(1));
        [
            t,
            [
                at.density * q[0],
                q[0] + at.density * q[1],
                at.density * q[2],
            ],
        ]
    }

    /// The coefficients of one row around a location: four pairs in a line, so that the sums
    /// over rows below are plain vector sums.
    #[inline]
    fn row(&self, at: &Location, i: usize) -> &[f64; 8] {
        let start = (at.across.cell + i) * ROW + at.along.cell;
        let pairs = self.body[start..].as_flattened().first_chunk();
        pairs.expect("a spline has three more coefficients than intervals")
    }

    /// Values and derivatives by x and v of both columns.
    #[inline]
    fn bicubic(&self, at: &Location) -> [[f64; 2]; 3] {
        let (weights, slopes) = (at.across.weights(), at.across.slopes());
        let (w, s) = (at.along.weights(), at.along.slopes());
        let [mut value, mut by_x, mut by_v] = [[0.0; 2]; 3];
        for i in 0..4 {
            let c = self.row(at, i);
            for k in 0..2 {
                let v = (w[0] * c[k] + w[1] * c[2 + k]) + (w[2] * c[4 + k] + w[3] * c[6 + k]);
                let d = (s[0] * c[k] + s[1] * c[2 + k]) + (s[2] * c[4 + k] + s[3] * c[6 + k]);
                value[k] += weights[i] * v;
                by_x[k] += slopes[i] * v;
                by_v[k] += weights[i] * d;
            }
        }
        [value, by_x, by_v]
    }
}

/// T and p/rho on one isochore, from its cold end on: each state is the start of the next.
fn isochore(equation: &Helmholtz, node: &Node, grading: &Grading) -> Option<Vec<[f64; 2]>> {
    let mut t = node.t_low_k;
    let at = |v: usize| {
        let (next, pressure) = temperature(
            equation,
            node.density,
            node.low + grading.height(v) * node.unit,
            t,
        )?;
        t = next;
        Some([t, pressure / node.density])
    };
    (0..=V_INTERVALS).map(at).collect()
}

/// T and p at (rho, u) by Newton's method from a guess of T. The last step is not evaluated
/// again but followed to first order: below 3e-6 its square is nothing to the table.
fn temperature(equation: &Helmholtz, density: f64, energy: f64, guess: f64) -> Option<(f64, f64)> {
    let mut t = guess;
    for _ in 0..30 {
        let state = equation.state(density, t);
        let step = (energy - state.internal_energy_j_kg()) / state.cv_j_kg_k();
        if !step.is_finite() {
            return None;
        }
        let next = t + step.clamp(-0.3 * t, 0.5 * t);
        if step.abs() < 3e-6 * t {
            return Some((
                next,
                state.pressure_pa() + state.pressure_by_temperature() * step,
            ));
        }
        t = next;
    }
    None
}

#[cfg(test)]
mod tests {
    use crate::PureFluid;

    /// Without its table a gas would still be right, but twenty times slower; without that of the nozzle
    /// it could not flow.
    #[test]
    fn every_gas_has_its_tables() {
        for name in crate::names() {
            let fluid = PureFluid::named(name).expect("a known fluid");
            let wanted = fluid.data.table.is_some();
            assert_eq!(fluid.table().is_some(), wanted, "{name}");
            assert_eq!(wanted && fluid.nozzle().is_some(), wanted, "{name}");
        }
    }
}
