//! The cold and the hot edge of the table.
//!
//! The cold edge is the energy on T_lo(rho) = T_min + w softplus((T_b - T_min)/w) - w ln 2,
//! where T_b is the temperature at which the isochore meets the phase boundary: just inside
//! the dome, and smooth. The hot edge lies on a soft minimum of T_max and the isobar
//! 1.3 p_max. Cold edge, height and phase boundary are splines of x.

use super::bspline::{Place, coefficients, pieces};
use super::coordinate::{Coordinate, X_INTERVALS};
use crate::data::TableRange;
use crate::helmholtz::Helmholtz;
use crate::phases::Phases;
use crate::solve::bracketed_root;

/// The table reaches to the density of the highest pressure on this isotherm, in reducing
/// temperatures (what helium and hydrogen need), and beyond the coldest liquid by the factor below: a
/// cold liquid is denser at the highest pressure, until it freezes.
const DENSE_ISOTHERM: f64 = 1.05;
/// That isotherm is no colder than this, K: below it helium freezes under the highest pressure.
const DENSE_K: f64 = 15.5;
const COMPRESSED: f64 = 1.06;
/// Stands for no density at all, in reducing densities.
const VANISHING: f64 = 1e-12;
/// Width of the rounding of the hot edge, in T_max.
const HOT_WIDTH: f64 = 0.1;
/// The hot edge stands this far above the highest pressure.
const PRESSURE_MARGIN: f64 = 1.3;

/// One isochore of the table: density, coldest temperature, energy there, energy of a unit of
/// height.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub density: f64,
    pub t_low_k: f64,
    pub low: f64,
    pub unit: f64,
    boundary: f64,
}

/// Coordinate and edges.
#[derive(Debug)]
pub(super) struct Edges {
    coordinate: Coordinate,
    density_max: f64,
    /// In each interval the polynomials of (u_lo, r/(u_hi - u_lo), u at the phase boundary).
    curves: Vec<[[f64; 3]; 4]>,
}

impl Edges {
    /// Lays out the isochores, `reach` units of height each. `None` if an edge cannot be found.
    pub fn new(
        equation: &Helmholtz,
        phases: &Phases,
        range: &TableRange,
        reach: f64,
    ) -> Option<(Self, Vec<Node>)> {
        let reducing = equation.reducing_density_kg_m3;
        let dome = Dome::new(phases, range.t_min_k)?;
        let dense_k = DENSE_K.max(DENSE_ISOTHERM * equation.reducing_temperature_k);
        let dense = isotherm_density(equation, range.p_max_pa, dense_k)?;
        let density_max = dense.max(COMPRESSED * dome.liquid.0);
        let coordinate = Coordinate::new(density_max, reducing);
        let node = |i| {
            // p/rho needs a density, however small.
            let density = coordinate.density(i)?.max(VANISHING * reducing);
            Node::new(equation, &dome, range, reach, density)
        };
        let nodes = (0..=X_INTERVALS).map(node).collect::<Option<Vec<_>>>()?;
        let curves = curves(&nodes);
        Some((
            Edges {
                coordinate,
                density_max,
                curves,
            },
            nodes,
        ))
    }

    /// Place of a density and the derivative of its coordinate; `None` if it is too dense, or
    /// no density at all.
    #[inline]
    pub fn place(&self, density: f64) -> Option<(Place, f64)> {
        let inside = density > 0.0 && density <= self.density_max;
        let (x, slope) = self.coordinate.at(density);
        inside.then(|| (Place::new(x, X_INTERVALS), slope))
    }

    /// u_lo, r/(u_hi - u_lo) and the energy at the phase boundary.
    #[inline]
    pub fn at(&self, place: &Place) -> [f64; 3] {
        let (c, t) = (&self.curves[place.cell], place.t);
        let curve = |k: usize| (c[0][k] + t * c[1][k]) + t * t * (c[2][k] + t * c[3][k]);
        [curve(0), curve(1), curve(2)]
    }

    /// Derivatives by x of u_lo and r/(u_hi - u_lo).
    #[inline]
    pub fn slopes(&self, place: &Place) -> [f64; 2] {
        let (c, t) = (&self.curves[place.cell], place.t);
        let slope = |k: usize| c[1][k] + t * (2.0 * c[2][k] + t * 3.0 * c[3][k]);
        [slope(0), slope(1)]
    }
}

fn curves(nodes: &[Node]) -> Vec<[[f64; 3]; 4]> {
    let fit = |value: fn(&Node) -> f64| {
        let values: Vec<f64> = nodes.iter().map(value).collect();
        pieces(&coefficients(&values))
    };
    let (low, inverse) = (fit(|node| node.low), fit(|node| 1.0 / node.unit));
    let boundary = fit(|node| node.boundary);
    let piece =
        |i: usize| [0, 1, 2, 3].map(|power| [low[i][power], inverse[i][power], boundary[i][power]]);
    (0..low.len()).map(piece).collect()
}

impl Node {
    fn new(
        equation: &Helmholtz,
        dome: &Dome<'_>,
        range: &TableRange,
        reach: f64,
        density: f64,
    ) -> Option<Self> {
        let boundary_k = dome.temperature(density)?;
        let delta = density / equation.reducing_density_kg_m3;
        let width = cold_width(delta) * equation.reducing_temperature_k;
        let above = width * softplus((boundary_k - range.t_min_k) / width);
        let t_low_k = range.t_min_k + above - width * std::f64::consts::LN_2;
        let t_high = hot_temperature(equation, range, density, t_low_k)?;
        let energy = |t: f64| equation.state(density, t).internal_energy_j_kg();
        let low = energy(t_low_k);
        // Beyond the ends of the dome the boundary goes on below the cold edge.
        let boundary = energy(boundary_k.max(t_low_k - width));
        Some(Node {
            density,
            t_low_k,
            low,
            unit: (energy(t_high) - low) / reach,
            boundary,
        })
    }
}

/// Width w of the rounding of the cold edge, in reducing temperatures. Wider, the edge would
/// reach states near the critical point whose energy falls with temperature; a cold liquid
/// has none, and there the boundary's steep fall needs more room to turn.
fn cold_width(delta: f64) -> f64 {
    let dense = (delta / 1.5 - 1.0).max(0.0);
    0.02 + 0.06 * dense * dense
}

/// Soft minimum of T_max and the temperature of the hot isobar on an isochore.
fn hot_temperature(
    equation: &Helmholtz,
    range: &TableRange,
    density: f64,
    t_low: f64,
) -> Option<f64> {
    let (hottest, limit) = (4.0 * range.t_max_k, PRESSURE_MARGIN * range.p_max_pa);
    let at_hottest = equation.state(density, hottest).pressure_pa();
    // Where the isobar is far above T_max its place no longer matters.
    let isobar = if at_hottest < limit {
        hottest
    } else {
        bracketed_root((t_low, hottest), 0.5 * hottest, |t| {
            let state = equation.state(density, t);
            Some((state.pressure_pa() - limit, state.pressure_by_temperature()))
        })?
    };
    let width = HOT_WIDTH * range.t_max_k;
    Some(isobar - width * softplus((isobar - range.t_max_k) / width))
}

/// Density at p on a supercritical isotherm.
fn isotherm_density(equation: &Helmholtz, p: f64, t: f64) -> Option<f64> {
    let high = 6.0 * equation.reducing_density_kg_m3;
    bracketed_root((0.0, high), 0.0, |density| {
        let state = equation.state(density.max(1e-9 * high), t);
        Some((state.pressure_pa() - p, state.pressure_by_density()))
    })
}

fn softplus(x: f64) -> f64 {
    x.max(0.0) + (-x.abs()).exp().ln_1p()
}

/// Temperature of the phase boundary on every isochore: beyond both ends of the dome it goes
/// on along its tangent in ln rho.
struct Dome<'a> {
    phases: &'a Phases,
    /// (density, temperature, dT/d ln rho) at the cold ends.
    liquid: (f64, f64, f64),
    vapour: (f64, f64, f64),
}

impl<'a> Dome<'a> {
    fn new(phases: &'a Phases, t_min_k: f64) -> Option<Self> {
        const INWARD: f64 = 1e-4;
        let [liquid, vapour] = phases.tabled_densities_kg_m3(t_min_k);
        let end = |density: f64, sign: f64| {
            let [near, far] = [1.0, 2.0]
                .map(|n| phases.boundary_temperature_k(density * (1.0 + sign * n * INWARD)));
            let slope = (far? - near?) / (sign * INWARD);
            Some((density, near? - slope * sign * INWARD, slope))
        };
        Some(Dome {
            phases,
            liquid: end(liquid, -1.0)?,
            vapour: end(vapour, 1.0)?,
        })
    }

    fn temperature(&self, density: f64) -> Option<f64> {
        let beyond = |(end, t, slope): (f64, f64, f64)| Some(t + slope * (density / end).ln());
        if density >= self.liquid.0 {
            beyond(self.liquid)
        } else if density <= self.vapour.0 {
            beyond(self.vapour)
        } else {
            self.phases.boundary_temperature_k(density)
        }
    }
}
