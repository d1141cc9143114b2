//! The saturation line of a pure fluid: equal pressure and Gibbs energy of both phases.
//!
//! The line is followed once, from the coldest equilibrium of the data file to the critical
//! point, on equal steps of s = sqrt(1 - T/Tc): in s all its properties are smooth there.
//! Between the nodes stand quintic Hermite polynomials of ln p, ln rho and u of both phases.
//! They serve as the starting point of the exact solution, and alone where speed matters.

use crate::helmholtz::{Helmholtz, State};
use crate::solve::bracketed_root;

/// Intervals of s. With 80 the polynomials are good to 1e-9 outside the last percent below Tc.
const INTERVALS: usize = 80;

/// Share of Tc, below it, in which an unsolvable equilibrium is taken from the spline.
const CRITICAL_MARGIN: f64 = 1e-4;

/// ln p, ln rho_l, ln rho_v, u_l, u_v.
const COLUMNS: usize = 5;

/// Both phases in equilibrium, as the spline gives them, with derivatives by temperature.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pair {
    /// (ln p, d/dT).
    pub log_pressure: (f64, f64),
    /// Volumes of liquid and vapour, m3/kg.
    pub volume: [(f64, f64); 2],
    /// Energies of liquid and vapour, J/kg.
    pub energy: [(f64, f64); 2],
}

/// The tabled saturation line of one fluid.
#[derive(Debug)]
pub(crate) struct SaturationLine {
    pub critical_temperature_k: f64,
    pub critical_density_kg_m3: f64,
    pub critical_pressure_pa: f64,
    pub t_min_k: f64,
    step: f64,
    /// Value, h times first and h^2 times second derivative by s at each node, from s = 0 on.
    nodes: Vec<[[f64; 3]; COLUMNS]>,
    /// Largest s (coldest state) up to which the liquid's density rises with s: water has a
    /// maximum at 4 degC.
    monotone_liquid: f64,
}

impl SaturationLine {
    /// Follows the line from the equilibrium (T, rho_l, rho_v) upwards.
    pub fn new(equation: &Helmholtz, t_min_k: f64, start_kg_m3: [f64; 2]) -> Option<Self> {
        let tc = equation.reducing_temperature_k;
        let step = (1.0 - t_min_k / tc).sqrt() / INTERVALS as f64;
        let critical = equation.state(equation.reducing_density_kg_m3, tc);
        let mut values = vec![[0.0; COLUMNS]; INTERVALS + 1];
        let mut slopes = values.clone();
        let mut guess = start_kg_m3;
        for i in (1..=INTERVALS).rev() {
            let s = i as f64 * step;
            let pair = equilibrium(equation, tc * (1.0 - s * s), guess)?;
            (values[i], slopes[i]) = columns(&pair, -2.0 * tc * s);
            guess = [0, 1].map(|k| (values[i][1 + k] - step * slopes[i][1 + k]).exp());
        }
        let (p, rho, u) = (
            critical.pressure_pa().ln(),
            critical.density_kg_m3.ln(),
            critical.internal_energy_j_kg(),
        );
        values[0] = [p, rho, rho, u, u];
        let nodes = hermite_nodes(&values, &slopes, step);
        let top = (1..=INTERVALS)
            .rev()
            .find(|&i| values[i][1] > values[i - 1][1])
            .unwrap_or(1);
        Some(SaturationLine {
            critical_temperature_k: tc,
            critical_density_kg_m3: critical.density_kg_m3,
            critical_pressure_pa: critical.pressure_pa(),
            t_min_k,
            step,
            nodes,
            monotone_liquid: top as f64 * step,
        })
    }

    /// Pressure at the cold end, Pa.
    pub fn pressure_min_pa(&self) -> f64 {
        self.column(0, self.s_max()).0.exp()
    }

    fn s_max(&self) -> f64 {
        INTERVALS as f64 * self.step
    }

    fn temperature(&self, s: f64) -> f64 {
        self.critical_temperature_k * (1.0 - s * s)
    }

    /// Value and derivative by s of one column.
    fn column(&self, k: usize, s: f64) -> (f64, f64) {
        let x = s / self.step;
        let i = (x as usize).min(INTERVALS - 1);
        let (value, slope) = quintic(&self.nodes[i][k], &self.nodes[i + 1][k], x - i as f64);
        (value, slope / self.step)
    }

    /// Both phases at T < Tc from the spline. Outside [t_min, Tc] it extrapolates.
    pub fn pair(&self, temperature_k: f64) -> Pair {
        let s = (1.0 - temperature_k / self.critical_temperature_k)
            .max(1e-16)
            .sqrt();
        let s_by_t = -0.5 / (self.critical_temperature_k * s);
        let by_t = |k| {
            let (value, slope) = self.column(k, s);
            (value, slope * s_by_t)
        };
        let volume = |(log, slope): (f64, f64)| {
            let volume = (-log).exp();
            (volume, -volume * slope)
        };
        Pair {
            log_pressure: by_t(0),
            volume: [volume(by_t(1)), volume(by_t(2))],
            energy: [by_t(3), by_t(4)],
        }
    }

    /// Densities of liquid and vapour at T, solved exactly; from the spline alone where both
    /// phases are so alike that their difference drowns in rounding.
    pub fn densities(&self, equation: &Helmholtz, temperature_k: f64) -> Option<[f64; 2]> {
        let guess = self
            .pair(temperature_k)
            .volume
            .map(|(volume, _)| 1.0 / volume);
        match equilibrium(equation, temperature_k, guess) {
            Some([liquid, vapour]) => Some([liquid.density_kg_m3, vapour.density_kg_m3]),
            None => (temperature_k > (1.0 - CRITICAL_MARGIN) * self.critical_temperature_k)
                .then_some(guess),
        }
    }

    /// Saturation temperature at p within the line, solved exactly.
    pub fn temperature_at(&self, equation: &Helmholtz, pressure_pa: f64) -> Option<f64> {
        let log = pressure_pa.ln();
        // ln p is nearly linear in 1/T; as a start take the line through both ends.
        let ends = [self.column(0, self.s_max()).0, self.column(0, 0.0).0];
        let share = (log - ends[0]) / (ends[1] - ends[0]);
        let inverse =
            1.0 / self.t_min_k + share * (1.0 / self.critical_temperature_k - 1.0 / self.t_min_k);
        let bracket = (self.t_min_k * (1.0 - 1e-9), self.critical_temperature_k);
        let tabled = bracketed_root(bracket, 1.0 / inverse, |t| {
            let (value, slope) = self.pair(t).log_pressure;
            Some((value - log, slope))
        })?;
        // One exact Newton step: the tabled root is good to 1e-9, its square is nothing.
        let guess = self.pair(tabled).volume.map(|(volume, _)| 1.0 / volume);
        let phases = equilibrium(equation, tabled, guess)?;
        let exact = phases[1].pressure_pa();
        Some(
            (tabled + (pressure_pa - exact) / clausius_clapeyron(&phases))
                .min(self.critical_temperature_k),
        )
    }

    /// Temperature at which a density meets the dome (spline accuracy), `None` where it passes by.
    pub fn boundary_temperature_k(&self, density_kg_m3: f64) -> Option<f64> {
        let log = density_kg_m3.ln();
        let critical = self.critical_density_kg_m3.ln();
        let (k, sign, end) = if log > critical {
            (1, 1.0, self.monotone_liquid)
        } else {
            (2, -1.0, self.s_max())
        };
        let last = self.column(k, end).0;
        if sign * (log - last) > 0.0 {
            return None;
        }
        // ln rho is close to linear in s all the way.
        let guess = end * (log - critical) / (last - critical);
        let s = bracketed_root((-1e-9, end * (1.0 + 1e-9)), guess, |s| {
            let (value, slope) = self.column(k, s.max(0.0));
            Some((sign * (value - log), sign * slope))
        })?;
        Some(self.temperature(s))
    }
}

impl Pair {
    /// Energy of the mixture of both phases with this volume, and its derivative by temperature.
    pub fn energy_at(&self, volume: f64) -> (f64, f64) {
        let [(vl, vl_t), (vv, vv_t)] = self.volume;
        let [(ul, ul_t), (uv, uv_t)] = self.energy;
        let (dv, dv_t) = (vv - vl, vv_t - vl_t);
        let (slope, slope_t) = ((uv - ul) / dv, ((uv_t - ul_t) - (uv - ul) / dv * dv_t) / dv);
        (
            ul + (volume - vl) * slope,
            ul_t - vl_t * slope + (volume - vl) * slope_t,
        )
    }
}

/// Liquid and vapour in equilibrium at T, by Newton's method on equal p and g from a guess of
/// their densities. Stops at rounding, which near Tc is coarse in density.
pub(crate) fn equilibrium(
    equation: &Helmholtz,
    t: f64,
    guess_kg_m3: [f64; 2],
) -> Option<[State<'_>; 2]> {
    let [mut liquid, mut vapour] = guess_kg_m3;
    let mut last = f64::INFINITY;
    for _ in 0..40 {
        let phases = [equation.state(liquid, t), equation.state(vapour, t)];
        let [l, v] = &phases;
        let pressure = l.pressure_pa() - v.pressure_pa();
        let gibbs = l.gibbs_j_kg() - v.gibbs_j_kg();
        // Changes of pressure, a in the liquid and b in the vapour, that close both gaps.
        let a = (pressure / vapour - gibbs) / (1.0 / liquid - 1.0 / vapour);
        let b = a + pressure;
        let step = [
            a / (l.pressure_by_density() * liquid),
            b / (v.pressure_by_density() * vapour),
        ];
        let size = step[0].abs().max(step[1].abs());
        if size.is_nan() || size > 5.0 {
            return None;
        }
        if size < 1e-14 || (size < 1e-4 && size >= last) {
            return (liquid > vapour).then_some(phases);
        }
        last = size;
        liquid *= step[0].exp();
        vapour *= step[1].exp();
    }
    None
}

/// dp/dT along the line, Pa/K.
pub(crate) fn clausius_clapeyron([liquid, vapour]: &[State<'_>; 2]) -> f64 {
    let entropy = (vapour.enthalpy_j_kg() - liquid.enthalpy_j_kg()) / liquid.temperature_k;
    entropy / (1.0 / vapour.density_kg_m3 - 1.0 / liquid.density_kg_m3)
}

/// Values and derivatives by s of the columns, where dT/ds is given.
fn columns(phases: &[State<'_>; 2], t_by_s: f64) -> ([f64; COLUMNS], [f64; COLUMNS]) {
    let slope = clausius_clapeyron(phases);
    let [l, v] = phases;
    let density_slope =
        |p: &State<'_>| (slope - p.pressure_by_temperature()) / p.pressure_by_density();
    let [dl, dv] = [density_slope(l), density_slope(v)];
    let energy_slope = |p: &State<'_>, by_t: f64| p.cv_j_kg_k() + p.energy_by_density() * by_t;
    let pressure = v.pressure_pa();
    let values = [
        pressure.ln(),
        l.density_kg_m3.ln(),
        v.density_kg_m3.ln(),
        l.internal_energy_j_kg(),
        v.internal_energy_j_kg(),
    ];
    let by_t = [
        slope / pressure,
        dl / l.density_kg_m3,
        dv / v.density_kg_m3,
        energy_slope(l, dl),
        energy_slope(v, dv),
    ];
    (values, by_t.map(|slope| slope * t_by_s))
}

/// Nodes of the quintic: second derivatives by fourth-order differences of values and slopes.
/// At s = 0 the slopes are 0/0 and follow from the polynomial through the neighbours.
fn hermite_nodes(
    values: &[[f64; COLUMNS]],
    slopes: &[[f64; COLUMNS]],
    h: f64,
) -> Vec<[[f64; 3]; COLUMNS]> {
    let n = values.len() - 1;
    let mut nodes = vec![[[0.0; 3]; COLUMNS]; n + 1];
    for k in 0..COLUMNS {
        let f = |i: usize| values[i][k];
        let first = -3.0 * f(0) + 3.0 * f(2) - h * (4.0 * slopes[1][k] + slopes[2][k]);
        let d = |i: usize| if i == 0 { first } else { h * slopes[i][k] };
        let end = |a: usize, b: usize, c: usize, sign: f64| {
            0.5 * (-23.0 * f(a) + 16.0 * f(b) + 7.0 * f(c))
                - sign * (6.0 * d(a) + 8.0 * d(b) + d(c))
        };
        for (i, node) in nodes.iter_mut().enumerate() {
            let second = match i {
                0 => end(0, 1, 2, 1.0),
                i if i == n => end(n, n - 1, n - 2, -1.0),
                i => 2.0 * (f(i + 1) - 2.0 * f(i) + f(i - 1)) - 0.5 * (d(i + 1) - d(i - 1)),
            };
            node[k] = [f(i), d(i), second];
        }
    }
    nodes
}

/// Quintic Hermite polynomial on the unit interval and its derivative.
fn quintic(left: &[f64; 3], right: &[f64; 3], x: f64) -> (f64, f64) {
    let [f, d, c] = *left;
    let rise = right[0] - f - d - 0.5 * c;
    let slope = right[1] - d - c;
    let curve = right[2] - c;
    let c3 = 10.0 * rise - 4.0 * slope + 0.5 * curve;
    let c4 = -15.0 * rise + 7.0 * slope - curve;
    let c5 = 6.0 * rise - 3.0 * slope + 0.5 * curve;
    let value = f + x * (d + x * (0.5 * c + x * (c3 + x * (c4 + x * c5))));
    (
        value,
        d + x * (c + x * (3.0 * c3 + x * (4.0 * c4 + x * 5.0 * c5))),
    )
}
