//! The nozzle of a real gas, tabulated once per gas from its equation of state.
//!
//! At a stagnation state (p0, T0) the isentrope is followed in density, T(rho) at constant
//! entropy. The flux G = rho sqrt(2 (h0 - h)) is greatest where the velocity is that of sound:
//! that is G*, and the pressure there is the critical ratio r*. Between rest and choking
//! phi^2 = (G/G*)^2 over the share x = (p0 - p)/(p0 - p*) is x (2 - x) + x (1 - x)^2 (a + b x + c x^2):
//! zero at rest, one and level where choked. The three constants are fitted.
//!
//! Tabulated are C* = G* sqrt(R T0)/p0, r*, a, b, c as bicubic splines of ln p0 and of
//! ln T0 between a floor a little above condensation, T_floor = Tc pr^0.15 (1.05 + 0.012 pr),
//! pr = p0/pc, and the hottest temperature. The isentrope may run into the two-phase region; it is then
//! followed as a single (metastable) phase, as a short nozzle does.

use shared::{Scalar, bracketed};

use super::{Operation, SpeciesFlux, Trio};
use crate::helmholtz::{Helmholtz, State};
use crate::table::bspline::{self, Place};

/// Intervals in ln p0 and in ln T0.
const PRESSURES: usize = 36;
const TEMPERATURES: usize = 40;

/// Lowest pressure tabulated, as a part of the critical pressure. Below it a gas is ideal to
/// 1e-4, where the numbers depend on temperature alone and those of this pressure hold.
const LOWEST_REDUCED: f64 = 1e-3;

/// Highest pressure, Pa.
const HIGHEST_PA: f64 = 5e7;

/// Hottest stagnation temperature, K.
const HIGHEST_K: f64 = 1200.0;

/// The floor of the temperature: it follows the saturation line, and rises where a dense fluid
/// would have to boil in the nozzle.
const FLOOR_EXPONENT: f64 = 0.15;
const FLOOR_FACTOR: f64 = 1.05;
const FLOOR_RISE: f64 = 0.012;

/// Numbers kept at a node: C*, r*, a, b, c.
const KEPT: usize = 5;

/// Shares x at which phi^2 is sampled for the fit.
const SAMPLES: usize = 8;

/// The nozzle of one gas over its range.
#[derive(Debug)]
pub(crate) struct FluxTable {
    ln_low: f64,
    ln_high: f64,
    ln_critical: (f64, f64),
    coefficients: Vec<[f64; KEPT]>,
}

impl FluxTable {
    /// Tabulates a gas with its critical temperature (K) and pressure (Pa); `None` if its
    /// equation of state has no isentrope somewhere in the range.
    pub fn new(equation: &Helmholtz, critical: (f64, f64)) -> Option<Self> {
        let (critical_k, critical_pa) = critical;
        let mut table = FluxTable {
            ln_low: (LOWEST_REDUCED * critical_pa).ln(),
            ln_high: HIGHEST_PA.ln(),
            ln_critical: (critical_k.ln(), critical_pa.ln()),
            coefficients: Vec::new(),
        };
        let mut nodes = Vec::with_capacity((PRESSURES + 1) * (TEMPERATURES + 1));
        for i in 0..=PRESSURES {
            let share = i as f64 / PRESSURES as f64;
            let ln_p = table.ln_low + share * (table.ln_high - table.ln_low);
            let floor = table.ln_floor(ln_p);
            // Hot to cold, so that each density starts from its neighbour's.
            let mut row = Vec::with_capacity(TEMPERATURES + 1);
            for j in (0..=TEMPERATURES).rev() {
                let ln_t = floor + j as f64 / TEMPERATURES as f64 * (HIGHEST_K.ln() - floor);
                row.push(Nozzle::new(equation, ln_p.exp(), ln_t.exp())?.numbers());
            }
            nodes.extend(row.into_iter().rev());
        }
        table.coefficients = spline(&nodes);
        Some(table)
    }

    /// Highest stagnation pressure, Pa.
    pub fn highest_pa(&self) -> f64 {
        HIGHEST_PA
    }

    /// Lowest and highest stagnation temperature at a pressure, K.
    pub fn temperatures_k(&self, p0_pa: f64) -> (f64, f64) {
        (self.ln_floor(p0_pa.ln().max(self.ln_low)).exp(), HIGHEST_K)
    }

    fn ln_floor<S: Scalar>(&self, ln_p: S) -> S {
        let (ln_t, ln_pc) = self.ln_critical;
        let reduced = ln_p - ln_pc;
        let factor = (reduced.exp() * FLOOR_RISE + FLOOR_FACTOR).ln();
        factor + reduced * FLOOR_EXPONENT + ln_t
    }

    /// The flux at an operation within the range.
    pub fn flux(&self, at: &Operation, gas_constant_j_kg_k: f64) -> SpeciesFlux {
        let ln_p = at.p0.ln().max(Trio::constant(self.ln_low));
        let x = (ln_p - self.ln_low) * (PRESSURES as f64 / (self.ln_high - self.ln_low));
        let floor = self.ln_floor(ln_p);
        let y = (at.t0.ln() - floor) / (-floor + HIGHEST_K.ln()) * TEMPERATURES as f64;
        let [critical_flow, ratio, a, b, c] = self.numbers(x, y);
        let choked = at.p0 / (at.t0 * gas_constant_j_kg_k).sqrt() * critical_flow;
        at.flux(choked, ratio, |share| {
            let left = -share + 1.0;
            left + 1.0 + left.squared() * (a + share * (b + share * c))
        })
    }

    fn numbers(&self, x: Trio, y: Trio) -> [Trio; KEPT] {
        let (px, py) = (
            Place::new(x.value, PRESSURES),
            Place::new(y.value, TEMPERATURES),
        );
        let (mut value, mut by_x, mut by_y) = ([0.0; KEPT], [0.0; KEPT], [0.0; KEPT]);
        for i in 0..4 {
            let from = (px.cell + i) * (TEMPERATURES + 3) + py.cell;
            for (j, c) in self.coefficients[from..from + 4].iter().enumerate() {
                let w = px.weights[i] * py.weights[j];
                let (wx, wy) = (px.slopes[i] * py.weights[j], px.weights[i] * py.slopes[j]);
                for k in 0..KEPT {
                    value[k] += w * c[k];
                    by_x[k] += wx * c[k];
                    by_y[k] += wy * c[k];
                }
            }
        }
        std::array::from_fn(|k| Trio::chain(value[k], &[(x, by_x[k]), (y, by_y[k])]))
    }
}

/// Spline coefficients of all five numbers, first along the temperatures, then across.
fn spline(nodes: &[[f64; KEPT]]) -> Vec<[f64; KEPT]> {
    let (rows, columns) = (PRESSURES + 1, TEMPERATURES + 1);
    let mut all = vec![[0.0; KEPT]; (rows + 2) * (columns + 2)];
    for k in 0..KEPT {
        let along: Vec<Vec<f64>> = (0..rows)
            .map(|i| {
                let row = &nodes[i * columns..(i + 1) * columns];
                bspline::coefficients(&row.iter().map(|n| n[k]).collect::<Vec<_>>())
            })
            .collect();
        for j in 0..columns + 2 {
            let across: Vec<f64> = along.iter().map(|row| row[j]).collect();
            for (i, c) in bspline::coefficients(&across).into_iter().enumerate() {
                all[i * (columns + 2) + j][k] = c;
            }
        }
    }
    all
}

/// One isentrope from a stagnation state.
struct Nozzle<'a> {
    equation: &'a Helmholtz,
    p0: f64,
    t0: f64,
    density: f64,
    entropy: f64,
    enthalpy: f64,
    /// ln(rho/rho0), pressure and flux where choked.
    choked: (f64, f64, f64),
}

impl<'a> Nozzle<'a> {
    fn new(equation: &'a Helmholtz, p0: f64, t0: f64) -> Option<Self> {
        let density = gas_density(equation, p0, t0)?;
        let rest = equation.state(density, t0);
        let mut nozzle = Nozzle {
            equation,
            p0,
            t0,
            density,
            entropy: rest.entropy_j_kg_k(),
            enthalpy: rest.enthalpy_j_kg(),
            choked: (0.0, p0, 0.0),
        };
        // Choked where the velocity has become that of sound: rho* is 0.4 to 0.8 of rho0.
        let excess = |ln_rho: f64| {
            let state = nozzle.expanded(ln_rho);
            state.sound_speed_squared() - nozzle.velocity_squared(&state)
        };
        let ln_rho = bracketed(excess, -1.6, 0.0, 1e-10).ok()?;
        let state = nozzle.expanded(ln_rho);
        nozzle.choked = (
            ln_rho,
            state.pressure_pa(),
            nozzle.flux_squared(&state).sqrt(),
        );
        nozzle.choked.2.is_finite().then_some(nozzle)
    }

    /// The state on the isentrope at a density, T by Newton's method on the entropy.
    fn expanded(&self, ln_rho: f64) -> State<'a> {
        let density = self.density * ln_rho.exp();
        let mut t = self.t0 * (0.4 * ln_rho).exp();
        for _ in 0..20 {
            let state = self.equation.state(density, t);
            let step = (self.entropy - state.entropy_j_kg_k()) * t / state.cv_j_kg_k();
            t = (t + step).max(0.5 * t);
            if step.abs() <= 1e-11 * t || !step.is_finite() {
                break;
            }
        }
        self.equation.state(density, t)
    }

    fn velocity_squared(&self, state: &State<'_>) -> f64 {
        2.0 * (self.enthalpy - state.enthalpy_j_kg())
    }

    fn flux_squared(&self, state: &State<'_>) -> f64 {
        state.density_kg_m3.powi(2) * self.velocity_squared(state)
    }

    /// C*, r*, and the constants of phi^2.
    fn numbers(&self) -> [f64; KEPT] {
        let (ln_star, p_star, flux) = self.choked;
        let samples = (1..=SAMPLES).map(|i| {
            let state = self.expanded(ln_star * i as f64 / (SAMPLES + 1) as f64);
            let x = (self.p0 - state.pressure_pa()) / (self.p0 - p_star);
            let phi_squared = self.flux_squared(&state) / (flux * flux);
            (
                x,
                (phi_squared / x - (2.0 - x)) / (1.0 - x).powi(2),
                (1.0 - x).powi(2),
            )
        });
        let [a, b, c] = parabola(samples);
        let critical_flow = flux * (self.equation.gas_constant_j_kg_k * self.t0).sqrt() / self.p0;
        [critical_flow, p_star / self.p0, a, b, c]
    }
}

/// The parabola a + b x + c x^2 nearest to weighted samples (x, y, weight): normal equations.
fn parabola(samples: impl Iterator<Item = (f64, f64, f64)>) -> [f64; 3] {
    let (mut moment, mut right) = ([0.0; 5], [0.0; 3]);
    for (x, y, weight) in samples {
        let w = weight * weight;
        for (k, m) in moment.iter_mut().enumerate() {
            *m += w * x.powi(k as i32);
        }
        for (k, r) in right.iter_mut().enumerate() {
            *r += w * y * x.powi(k as i32);
        }
    }
    let [m0, m1, m2, m3, m4] = moment;
    let [r0, r1, r2] = right;
    // Cramer's rule on the symmetric matrix of moments.
    let (c00, c01, c02) = (m2 * m4 - m3 * m3, m1 * m4 - m2 * m3, m1 * m3 - m2 * m2);
    let (c11, c12, c22) = (m0 * m4 - m2 * m2, m0 * m3 - m1 * m2, m0 * m2 - m1 * m1);
    let determinant = m0 * c00 - m1 * c01 + m2 * c02;
    [
        (r0 * c00 - r1 * c01 + r2 * c02) / determinant,
        (-r0 * c01 + r1 * c11 - r2 * c12) / determinant,
        (r0 * c02 - r1 * c12 + r2 * c22) / determinant,
    ]
}

/// Density of the gas at (p, T): Newton's method in ln rho from the ideal gas, whose pressure
/// rises along the way.
fn gas_density(equation: &Helmholtz, p: f64, t: f64) -> Option<f64> {
    let mut ln_rho = (p / (equation.gas_constant_j_kg_k * t)).ln();
    for _ in 0..60 {
        let state = equation.state(ln_rho.exp(), t);
        let slope = state.pressure_by_density() * state.density_kg_m3;
        let step = ((p - state.pressure_pa()) / slope).clamp(-0.3, 0.3);
        ln_rho += step;
        if step.abs() < 1e-11 {
            return (slope > 0.0).then(|| ln_rho.exp());
        }
    }
    None
}
