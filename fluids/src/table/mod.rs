//! Temperature and p/rho tabled over density and internal energy.
//!
//! A control volume knows its density and energy; this table gives T and p from them without
//! iteration. Coordinates:
//!
//! - x = ln d + k d with d = rho/rho_r: even steps of ln d in a thin gas, of d in a dense one;
//! - y = (u - u_lo(x))/(u_hi(x) - u_lo(x)), graded as v = ln(1 + y/g)/ln(1 + 1/g), because the
//!   cold edge bends most.
//!
//! T and p/rho stand on uniform bicubic B-splines, so both have continuous second derivatives.

pub(crate) mod bspline;
mod edges;

use self::bspline::{Place, coefficients};
use self::edges::{Edges, Node};
use crate::data::TableRange;
use crate::helmholtz::Helmholtz;
use crate::phases::Phases;

/// Grading g of v, in T_r/T_max.
const GRADING: f64 = 0.1;
/// Intervals of v.
const V_INTERVALS: usize = 56;

/// A value with its partials by density and by energy.
pub(crate) type Surface = [f64; 3];

/// Coefficients in a row.
const ROW: usize = V_INTERVALS + 3;

/// A state's place in the table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Location {
    /// How far the state lies below the phase boundary, in heights of the table.
    pub depth: f64,
    density: f64,
    tabled_density: f64,
    across: Place,
    along: Place,
    x_rho: f64,
    y: f64,
    inverse_span: f64,
}

/// The table of one fluid.
#[derive(Debug)]
pub(crate) struct Table {
    edges: Edges,
    grading: f64,
    inverse_grading: f64,
    v_scale: f64,
    /// Coefficients of (T, p/rho), a row of v for each x.
    body: Vec<[f64; 2]>,
}

impl Table {
    /// Fills the table from the exact equation. `None` if an edge cannot be found.
    pub fn new(equation: &Helmholtz, phases: &Phases, range: &TableRange) -> Option<Self> {
        let (edges, nodes) = Edges::new(equation, phases, range)?;
        let grading = GRADING * equation.reducing_temperature_k / range.t_max_k;
        let v_scale = V_INTERVALS as f64 / (1.0 / grading).ln_1p();
        let heights: Vec<f64> = (0..=V_INTERVALS)
            .map(|v| grading * (v as f64 / v_scale).exp_m1())
            .collect();
        let rows: Option<Vec<_>> = nodes
            .iter()
            .map(|node| isochore(equation, node, &heights))
            .collect();
        Some(Table {
            edges,
            grading,
            inverse_grading: 1.0 / grading,
            v_scale,
            body: fit(&rows?),
        })
    }

    /// Where (rho, u) lies in the table; `None` outside. A gas thinner than the table lies on
    /// its thinnest isochore.
    #[inline]
    pub fn locate(&self, density: f64, energy: f64) -> Option<Location> {
        let tabled_density = density.max(self.edges.density_min);
        let (across, x_rho) = self.edges.place(tabled_density)?;
        let [low, span, boundary] = self.edges.at(&across, &across.weights);
        let inverse_span = 1.0 / span;
        let y = (energy - low) * inverse_span;
        if !(0.0..=1.0).contains(&y) {
            return None;
        }
        let along = Place::new(
            (1.0 + y * self.inverse_grading).ln() * self.v_scale,
            V_INTERVALS,
        );
        let depth = (boundary - energy) * inverse_span;
        Some(Location {
            density,
            tabled_density,
            across,
            along,
            x_rho,
            y,
            inverse_span,
            depth,
        })
    }

    /// The temperature, as a starting point: not extended to thin gases.
    #[inline]
    pub fn temperature_k(&self, at: &Location) -> f64 {
        let mut sum = 0.0;
        for (i, weight) in at.across.weights.iter().enumerate() {
            let along = self.row(at, i).iter().zip(&at.along.weights);
            sum += weight * along.map(|(c, w)| c[0] * w).sum::<f64>();
        }
        sum
    }

    /// T and p with their partials. In a thin gas T and p/rho go on linearly in density, as
    /// the virial series does.
    #[inline]
    pub fn surfaces(&self, at: &Location) -> [Surface; 2] {
        let [value, by_x, by_v] = self.bicubic(at);
        let [low_x, span_x, _] = self.edges.at(&at.across, &at.across.slopes);
        let v_u = self.v_scale * at.inverse_span / (self.grading + at.y);
        let v_x = -v_u * (low_x + at.y * span_x);
        let beyond = at.density - at.tabled_density;
        let surface = |k: usize| {
            let by_density = (by_x[k] + by_v[k] * v_x) * at.x_rho;
            [value[k] + beyond * by_density, by_density, by_v[k] * v_u]
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

    /// The four coefficients of one row around a location.
    #[inline]
    fn row(&self, at: &Location, i: usize) -> &[[f64; 2]] {
        let start = (at.across.cell + i) * ROW + at.along.cell;
        &self.body[start..start + 4]
    }

    /// Values and derivatives by x and v of both columns.
    #[inline]
    fn bicubic(&self, at: &Location) -> [[f64; 2]; 3] {
        let mut sums = [[0.0; 2]; 3];
        for i in 0..4 {
            let (mut value, mut slope) = ([0.0; 2], [0.0; 2]);
            for (j, c) in self.row(at, i).iter().enumerate() {
                for k in 0..2 {
                    value[k] += at.along.weights[j] * c[k];
                    slope[k] += at.along.slopes[j] * c[k];
                }
            }
            for k in 0..2 {
                sums[0][k] += at.across.weights[i] * value[k];
                sums[1][k] += at.across.slopes[i] * value[k];
                sums[2][k] += at.across.weights[i] * slope[k];
            }
        }
        sums
    }
}

/// T and p/rho on one isochore, from its cold end on: each state is the start of the next.
fn isochore(equation: &Helmholtz, node: &Node, heights: &[f64]) -> Option<Vec<[f64; 2]>> {
    let mut t = node.t_low_k;
    let at = |height: &f64| {
        let (next, pressure) =
            temperature(equation, node.density, node.low + height * node.span, t)?;
        t = next;
        Some([t, pressure / node.density])
    };
    heights.iter().map(at).collect()
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

/// Coefficients of both columns: splines along each row, then across the rows.
fn fit(rows: &[Vec<[f64; 2]>]) -> Vec<[f64; 2]> {
    let mut body = vec![[0.0; 2]; (rows.len() + 2) * ROW];
    for k in 0..2 {
        let along: Vec<Vec<f64>> = rows
            .iter()
            .map(|row| coefficients(&row.iter().map(|c| c[k]).collect::<Vec<_>>()))
            .collect();
        for j in 0..ROW {
            let column: Vec<f64> = along.iter().map(|row| row[j]).collect();
            for (i, c) in coefficients(&column).into_iter().enumerate() {
                body[i * ROW + j][k] = c;
            }
        }
    }
    body
}
