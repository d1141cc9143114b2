//! The nozzle of a real gas: choked flux, critical ratio and the shape between rest and choking,
//! tabled over stagnation pressure and temperature from isentropes of the equation of state.
//!
//! With phi = G/G* and x = (p0 - p)/(p0 - p*),
//! phi^2 = x (2 - x) + x (1 - x)^2 (a + b x + c x^2 + d x^3):
//! level where choked (x = 1) whatever the constants, and rising from rest at the rate 2 + a, which
//! is that of Bernoulli's formula, 2 rho0 (p0 - p*)/G*^2. The other three follow from three stations.
//!
//! C* = G* sqrt(R T0)/p0, r*, a, b, c, d stand on bicubic splines of ln(1 + p/p_1) and of
//! ln(1 + (T/T_lo(p) - 1)/g): even steps near vacuum and near the cold edge.

use shared::Scalar;

use super::isentrope::{Isentrope, gas_density};
use super::{Operation, SpeciesFlux, Trio};
use crate::helmholtz::Helmholtz;
use crate::saturation::equilibrium;
use crate::spline::{Axis, Curves, Surfaces};

const PRESSURE_INTERVALS: usize = 40;
const TEMPERATURE_INTERVALS: usize = 32;
/// Highest stagnation pressure, Pa, and temperature, K.
const HIGHEST_PA: f64 = 5e7;
const HIGHEST_K: f64 = 700.0;
/// Pressure p_1 up to which the steps are even, in critical pressures.
const EVEN_TO: f64 = 0.01;
/// Grading g of the temperature above its lower edge.
const GRADING: f64 = 0.3;
/// Stands for zero pressure, where no equation of state is evaluated, in p_1.
const THIN: f64 = 1e-6;

/// C*, r*, a, b, c, d.
type Row = [f64; 6];

/// The nozzle of one gas over its range.
#[derive(Debug)]
pub(crate) struct FluxTable {
    /// Cold edge over x.
    edge: Curves<1>,
    inverse_even_to: f64,
    surfaces: Surfaces<6>,
}

impl FluxTable {
    /// Tabulates a gas with its critical temperature (K) and pressure (Pa); `None` if its equation of state gives no throat somewhere in the range.
    pub fn new(equation: &Helmholtz, critical: (f64, f64)) -> Option<Self> {
        let edge = Edge::new(equation, critical);
        let even_to_pa = EVEN_TO * edge.critical_pa;
        let end = (HIGHEST_PA / even_to_pa).ln_1p();
        let across = Axis::new(0.0, end, PRESSURE_INTERVALS);
        let reach = HIGHEST_K / edge.at(0.0) - 1.0;
        let along = Axis::new(0.0, (reach / GRADING).ln_1p(), TEMPERATURE_INTERVALS);
        let pressure = |x: f64| even_to_pa * x.exp_m1().max(THIN);
        let isobar = |x: f64| {
            let coldest = edge.at(pressure(x));
            let temperature = |v: f64| coldest * (1.0 + GRADING * v.exp_m1());
            let temperatures: Vec<f64> = along.nodes().map(temperature).collect();
            isobar(equation, pressure(x), &temperatures)
        };
        let rows = across.nodes().map(isobar).collect::<Option<Vec<_>>>()?;
        let edges: Vec<_> = across.nodes().map(|x| [edge.at(pressure(x))]).collect();
        Some(FluxTable {
            edge: Curves::new(across, &edges),
            inverse_even_to: 1.0 / even_to_pa,
            surfaces: Surfaces::new(across, along, &rows),
        })
    }

    /// Highest stagnation pressure, Pa.
    pub fn highest_pa(&self) -> f64 {
        HIGHEST_PA
    }

    /// Lowest and highest stagnation temperature at a pressure, K.
    pub fn temperatures_k(&self, p0_pa: f64) -> (f64, f64) {
        let [edge] = self.edge.at(self.x(p0_pa));
        (edge.value, HIGHEST_K)
    }

    fn x(&self, p: f64) -> f64 {
        (1.0 + p * self.inverse_even_to).ln()
    }

    /// The flux at an operation within the range. Colder than the cold edge at the whole pressure,
    /// a vapour among other gases has the factors that it has at the edge of its temperature.
    pub fn flux(&self, at: &Operation, gas_constant_j_kg_k: f64) -> SpeciesFlux {
        let factors = if at.t0.value < self.temperatures_k(at.p0.value).0 {
            self.on_the_edge(at.t0.value)
        } else {
            self.within(at.p0.value, at.t0.value)
        };
        let [critical_flow, ratio, a, b, c, d] = factors;
        let choked = at.p0 / (at.t0 * gas_constant_j_kg_k).sqrt() * critical_flow;
        at.flux(choked, ratio, |x| {
            let rest = -x + 1.0;
            rest + 1.0 + rest.squared() * (a + x * (b + x * (c + x * d)))
        })
    }

    /// C*, r*, a, b, c, d at a pressure and a temperature.
    fn within(&self, p: f64, t: f64) -> [Trio; 6] {
        let x = self.x(p);
        let x_by_p = self.inverse_even_to / (1.0 + p * self.inverse_even_to);
        let [edge] = self.edge.at(x);
        let graded = 1.0 + (t / edge.value - 1.0) / GRADING;
        let v_by_t = 1.0 / (graded * GRADING * edge.value);
        let v_by_x = -v_by_t * t / edge.value * edge.slope;
        let rows = self.surfaces.at(x, graded.ln());
        rows.map(|[value, by_x, by_v]| {
            let by_p = (by_x + by_v * v_by_x) * x_by_p;
            Trio {
                value,
                slope: [by_p, by_v * v_by_t, 0.0],
            }
        })
    }

    /// The same where the cold edge has this temperature.
    fn on_the_edge(&self, t: f64) -> [Trio; 6] {
        let (mut low, mut high) = (0.0, self.x(HIGHEST_PA));
        for _ in 0..f64::MANTISSA_DIGITS {
            let middle = 0.5 * (low + high);
            if self.edge.one(0, middle).value < t {
                low = middle;
            } else {
                high = middle;
            }
        }
        let rows = self.surfaces.at(low, 0.0);
        let x_by_t = 1.0 / self.edge.one(0, low).slope;
        rows.map(|[value, by_x, _]| Trio {
            value,
            slope: [0.0, by_x * x_by_t, 0.0],
        })
    }
}

/// The coldest stagnation temperature at a pressure: just below the vapour pressure curve of
/// simple fluids, ln(p/pc) = A (1 - Tc/T), and beyond the critical pressure its tangent in
/// logarithms. From near the critical pressure on it lies a margin higher: a dense fluid colder
/// than that boils in the nozzle.
#[derive(Clone, Copy, Debug)]
struct Edge {
    critical_k: f64,
    critical_pa: f64,
    coldest_k: f64,
    steepness: f64,
    rise: (f64, f64),
}

/// A of the vapour pressure curve, low enough for the curves of argon and nitrogen (5.4, 5.6); what a
/// fluid's own A exceeds theirs by is added, with a little more that carbon dioxide (6.6) needs.
const STEEPNESS: f64 = 5.0;
const SIMPLE_STEEPNESS: f64 = 5.6;
const EXCESS_SHARE: f64 = 1.4;
/// Where a fluid's own A is read, in critical temperatures, and the densities of liquid and vapour from which
/// the search for that equilibrium starts, in critical densities.
const READ_AT: f64 = 0.7;
const NEAR: [f64; 2] = [2.4, 0.04];
/// The margin near and above the critical pressure.
const MARGIN: f64 = 0.12;
/// The place of its rise and the width, in ln(p/pc), for simple fluids and for steeper ones: the vapour of
/// these is used up to room temperature, near to its critical point, and stays a vapour in the nozzle longer.
const RISE: (f64, f64) = (-0.3, 0.3);
const STEEP_RISE: (f64, f64) = (0.0, 0.15);
/// Pressure below which the edge moves no more, in critical pressures: near the triple point's.
const THINNEST: f64 = 0.002;
/// Gases with a critical point below this (helium) do not follow the curve of simple fluids: they
/// are tabled from about a fixed temperature.
const QUANTUM_K: f64 = 50.0;
const QUANTUM_COLDEST_K: f64 = 20.0;

impl Edge {
    fn new(equation: &Helmholtz, (critical_k, critical_pa): (f64, f64)) -> Self {
        let own = own_steepness(equation, critical_k, critical_pa);
        Edge {
            rise: if own > SIMPLE_STEEPNESS {
                STEEP_RISE
            } else {
                RISE
            },
            steepness: STEEPNESS + EXCESS_SHARE * (own - SIMPLE_STEEPNESS).max(0.0),
            critical_k,
            critical_pa,
            coldest_k: if critical_k < QUANTUM_K {
                QUANTUM_COLDEST_K
            } else {
                0.0
            },
        }
    }

    fn at(&self, p: f64) -> f64 {
        let log = (p / self.critical_pa + THINNEST).ln();
        let boiling = if log < 0.0 {
            self.critical_k / (1.0 - log / self.steepness)
        } else {
            self.critical_k * (log / self.steepness).exp()
        };
        let (from, width) = self.rise;
        let rise = ((log - from) / width).tanh();
        let above = boiling * (1.0 + 0.5 * MARGIN * (1.0 + rise));
        above.hypot(self.coldest_k)
    }
}

/// A of a fluid's own vapour pressure curve; nothing where it has none there.
fn own_steepness(equation: &Helmholtz, critical_k: f64, critical_pa: f64) -> f64 {
    let guess = NEAR.map(|share| share * equation.reducing_density_kg_m3);
    let pair = equilibrium(equation, READ_AT * critical_k, guess);
    pair.map_or(0.0, |[_, vapour]| {
        (vapour.pressure_pa() / critical_pa).ln() / (1.0 - 1.0 / READ_AT)
    })
}

/// One pressure of the table, from the hottest state down: each density is the start of the next.
fn isobar(equation: &Helmholtz, p: f64, temperatures: &[f64]) -> Option<Vec<Row>> {
    let mut density = p / (equation.gas_constant_j_kg_k * temperatures.last()?);
    let mut hotter = *temperatures.last()?;
    let mut rows = Vec::with_capacity(temperatures.len());
    for &t in temperatures.iter().rev() {
        density = gas_density(equation, p, t, density * hotter / t)?;
        hotter = t;
        rows.push(row(equation, p, t, density)?);
    }
    rows.reverse();
    Some(rows)
}

/// Places of the three stations, as shares of the fall of density to the throat.
const STATIONS: [f64; 3] = [0.2, 0.5, 0.8];

fn row(equation: &Helmholtz, p: f64, t: f64, density: f64) -> Option<Row> {
    let expansion = Isentrope::new(equation, density, t);
    let throat = expansion.throat()?;
    let (top, ratio) = (throat.flux(), throat.pressure_pa() / p);
    let full = p * (1.0 - ratio);
    let a = 2.0 * density * full / (top * top) - 2.0;
    // x at a station, and what b + c x + d x^2 has to be there.
    let station = |share: f64| {
        let density = density + share * (throat.density_kg_m3() - density);
        let station = expansion.at(density, Some(&throat))?;
        let x = (p - station.pressure_pa()) / full;
        let rise = (station.flux() / top).powi(2) / x;
        Some((x, ((rise - (2.0 - x)) / (1.0 - x).powi(2) - a) / x))
    };
    let [(x1, y1), (x2, y2), (x3, y3)] = [
        station(STATIONS[0])?,
        station(STATIONS[1])?,
        station(STATIONS[2])?,
    ];
    // Newton's divided differences.
    let (first, second) = ((y2 - y1) / (x2 - x1), (y3 - y2) / (x3 - x2));
    let d = (second - first) / (x3 - x1);
    let c = first - d * (x1 + x2);
    let b = y1 - x1 * (c + d * x1);
    let critical_flow = top * (equation.gas_constant_j_kg_k * t).sqrt() / p;
    Some([critical_flow, ratio, a, b, c, d])
}
