//! The residual part, a sum of three families of terms (each an [n, ..] row of the data):
//!
//! - power: n delta^d tau^t exp(-delta^l), without the exponential where l = 0;
//! - Gaussian: n delta^d tau^t exp(-eta (delta - epsilon)^2 - beta (tau - gamma)^2);
//! - non-analytic (IAPWS-95): n Delta^b delta psi, see [`NonAnalytic`].
//!
//! The cost is in the exponentials, so each exp(-delta^l) is formed once, and a power of tau
//! is the product of two earlier ones wherever their exponents add up to its own (nitrogen
//! needs two exponentials for its twenty powers). A term is then a few products.

use serde::Deserialize;

use super::Derivatives;

/// Most distinct exponents of tau in one equation (26 in IAPWS-95, with 0 and 1).
const MAX_TAU_POWERS: usize = 40;
/// Highest power of delta (15 in IAPWS-95).
const MAX_DELTA_POWER: usize = 20;
/// A Gaussian below exp(-80) = 2e-35 is under the rounding of every sum it enters.
const NEGLIGIBLE_EXPONENT: f64 = -80.0;

/// Coefficients as they stand in the data files; the rows are described above.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct ResidualData {
    /// Rows [n, d, t, l].
    pub power: Vec<[f64; 4]>,
    /// Rows [n, d, t, eta, epsilon, beta, gamma].
    pub gaussian: Vec<[f64; 7]>,
    /// Rows [n, a, b, beta, A, B, C, D].
    pub non_analytic: Vec<[f64; 8]>,
}

/// How a power of tau is formed.
#[derive(Clone, Copy, Debug)]
enum TauPower {
    One,
    Tau,
    Product(usize, usize),
    Exponential(f64),
}

/// The product delta^d tau^t by its factors' places among the [`Powers`], and with it the six
/// derivatives that n delta^d tau^t has: n times [1, d, t, d (d - 1), d t, t (t - 1)].
#[derive(Clone, Copy, Debug)]
struct PowerTerm {
    delta_power: usize,
    tau_power: usize,
    factors: [f64; 6],
}

/// Power terms that share exp(-delta^l).
#[derive(Clone, Debug)]
struct PowerGroup {
    l: usize,
    terms: Vec<PowerTerm>,
}

#[derive(Clone, Copy, Debug)]
struct GaussianTerm {
    power: PowerTerm,
    d: f64,
    t: f64,
    eta: f64,
    epsilon: f64,
    beta: f64,
    gamma: f64,
}

/// The residual part of an equation of state, or a departure function of a mixture.
#[derive(Clone, Debug)]
pub struct Residual {
    tau_powers: Vec<TauPower>,
    highest_delta_power: usize,
    groups: Vec<PowerGroup>,
    gaussians: Vec<GaussianTerm>,
    non_analytic: Vec<NonAnalytic>,
}

impl Residual {
    /// Sorts the terms for evaluation. `None` if an exponent is not one this engine can take
    /// (a power of delta that is no integer up to 20, more than 40 different powers of tau).
    pub fn new(data: &ResidualData) -> Option<Self> {
        let exponents = tau_exponents(data);
        let mut residual = Residual {
            tau_powers: tau_powers(&exponents),
            highest_delta_power: 1,
            groups: Vec::new(),
            gaussians: Vec::new(),
            non_analytic: data.non_analytic.iter().map(NonAnalytic::new).collect(),
        };
        for &[n, d, t, l] in &data.power {
            let (term, l) = (residual.term(&exponents, n, d, t)?, integer(l)?);
            residual.highest_delta_power = residual.highest_delta_power.max(l);
            residual.group(l).terms.push(term);
        }
        for &[n, d, t, eta, epsilon, beta, gamma] in &data.gaussian {
            let power = residual.term(&exponents, n, d, t)?;
            residual.gaussians.push(GaussianTerm {
                power,
                d,
                t,
                eta,
                epsilon,
                beta,
                gamma,
            });
        }
        (exponents.len() <= MAX_TAU_POWERS).then_some(residual)
    }

    fn term(&mut self, exponents: &[f64], n: f64, d: f64, t: f64) -> Option<PowerTerm> {
        let delta_power = integer(d)?;
        self.highest_delta_power = self.highest_delta_power.max(delta_power);
        let tau_power = exponents.iter().position(|&known| known == t)?;
        let factors = [1.0, d, t, d * (d - 1.0), d * t, t * (t - 1.0)].map(|factor| n * factor);
        Some(PowerTerm {
            delta_power,
            tau_power,
            factors,
        })
    }

    fn group(&mut self, l: usize) -> &mut PowerGroup {
        let known = self.groups.iter().position(|group| group.l == l);
        let index = known.unwrap_or_else(|| {
            self.groups.push(PowerGroup {
                l,
                terms: Vec::new(),
            });
            self.groups.len() - 1
        });
        &mut self.groups[index]
    }

    /// Value and scaled derivatives to second order.
    pub fn at(&self, delta: f64, tau: f64) -> Derivatives {
        let powers = Powers::new(self, delta, tau);
        let mut sum = Derivatives::default();
        for group in &self.groups {
            group.add(&powers, &mut sum);
        }
        for term in &self.gaussians {
            term.add(&powers, delta, tau, &mut sum);
        }
        for term in &self.non_analytic {
            term.add(delta, tau, &mut sum);
        }
        sum
    }
}

/// The distinct exponents of tau, small ones first, behind 0 and 1.
fn tau_exponents(data: &ResidualData) -> Vec<f64> {
    let mut rest: Vec<f64> = data.power.iter().map(|row| row[2]).collect();
    rest.extend(data.gaussian.iter().map(|row| row[2]));
    rest.retain(|&t| t != 0.0 && t != 1.0);
    rest.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    rest.dedup();
    [0.0, 1.0].into_iter().chain(rest).collect()
}

/// How to form each power from those before it: of the pairs that add up, the one that needs
/// the shortest chain of products.
fn tau_powers(exponents: &[f64]) -> Vec<TauPower> {
    let mut powers = vec![TauPower::One, TauPower::Tau];
    let mut lengths = vec![0, 0];
    for (i, &t) in exponents.iter().enumerate().skip(2) {
        let adds_up = |&(a, b): &(usize, usize)| (exponents[a] + exponents[b] - t).abs() < 1e-12;
        let pairs = (1..i).flat_map(|a| (1..=a).map(move |b| (a, b)));
        let length = |&(a, b): &(usize, usize)| 1 + usize::max(lengths[a], lengths[b]);
        let best = pairs.filter(adds_up).min_by_key(length);
        powers.push(best.map_or(TauPower::Exponential(t), |(a, b)| TauPower::Product(a, b)));
        lengths.push(best.as_ref().map_or(0, length));
    }
    powers
}

fn integer(exponent: f64) -> Option<usize> {
    let fits = exponent >= 0.0 && exponent <= MAX_DELTA_POWER as f64 && exponent.fract() == 0.0;
    fits.then_some(exponent as usize)
}

/// The powers of delta and tau that the terms of one equation share.
struct Powers {
    delta: [f64; MAX_DELTA_POWER + 1],
    tau: [f64; MAX_TAU_POWERS],
}

impl Powers {
    fn new(residual: &Residual, delta: f64, tau: f64) -> Self {
        let mut powers = Powers {
            delta: [1.0; MAX_DELTA_POWER + 1],
            tau: [1.0; MAX_TAU_POWERS],
        };
        for i in 1..=residual.highest_delta_power {
            powers.delta[i] = if i == 1 {
                delta
            } else {
                powers.delta[i / 2] * powers.delta[i - i / 2]
            };
        }
        let log = tau.ln();
        for (i, power) in residual.tau_powers.iter().enumerate() {
            powers.tau[i] = match *power {
                TauPower::One => 1.0,
                TauPower::Tau => tau,
                TauPower::Product(a, b) => powers.tau[a] * powers.tau[b],
                TauPower::Exponential(t) => (t * log).exp(),
            };
        }
        powers
    }

    fn term(&self, term: &PowerTerm) -> f64 {
        self.delta[term.delta_power] * self.tau[term.tau_power]
    }
}

impl PowerGroup {
    fn add(&self, powers: &Powers, sum: &mut Derivatives) {
        let mut plain = [0.0; 6];
        for term in &self.terms {
            let product = powers.term(term);
            for (sum, factor) in plain.iter_mut().zip(term.factors) {
                *sum += product * factor;
            }
        }
        let [value, d, t, dd, dt, tt] = plain;
        let plain = Derivatives {
            value,
            d,
            t,
            dd,
            dt,
            tt,
        };
        if self.l == 0 {
            sum.add_scaled(1.0, &plain);
            return;
        }
        let power = powers.delta[self.l];
        let (l, exp) = (self.l as f64, (-power).exp());
        let c = l * power;
        sum.value += exp * plain.value;
        sum.d += exp * (plain.d - c * plain.value);
        sum.t += exp * plain.t;
        sum.dd += exp * (plain.dd - 2.0 * c * plain.d + c * (c + 1.0 - l) * plain.value);
        sum.dt += exp * (plain.dt - c * plain.t);
        sum.tt += exp * plain.tt;
    }
}

impl GaussianTerm {
    fn add(&self, powers: &Powers, delta: f64, tau: f64, sum: &mut Derivatives) {
        let (x, y) = (delta - self.epsilon, tau - self.gamma);
        let exponent = -self.eta * x * x - self.beta * y * y;
        if exponent < NEGLIGIBLE_EXPONENT {
            return;
        }
        let w = self.power.factors[0] * powers.term(&self.power) * exponent.exp();
        let (d, t) = (self.d, self.t);
        let (ed, et) = (2.0 * self.eta * delta, 2.0 * self.beta * tau);
        let (by_d, by_t) = (d - ed * x, t - et * y);
        sum.value += w;
        sum.d += w * by_d;
        sum.t += w * by_t;
        sum.dd += w * (by_d * by_d - d - ed * delta);
        sum.dt += w * by_d * by_t;
        sum.tt += w * (by_t * by_t - t - et * tau);
    }
}

/// The term n Delta^b delta psi of IAPWS-95 (IAPWS R6-95(2018), table 5), with
/// Delta = theta^2 + B z^a, theta = (1 - tau) + A z^(1/(2 beta)), z = (delta - 1)^2,
/// psi = exp(-C z - D (tau - 1)^2).
#[derive(Clone, Copy, Debug)]
struct NonAnalytic {
    n: f64,
    a: f64,
    b: f64,
    half_inverse_beta: f64,
    amplitude: f64,
    offset: f64,
    c: f64,
    d: f64,
}

/// Nearest distance to delta = 1 at which the term is formed: its second derivative is
/// infinite there. Moving by 1e-10 changes nothing that the equation claims to know.
const CRITICAL_GAP: f64 = 1e-10;

impl NonAnalytic {
    fn new(row: &[f64; 8]) -> Self {
        let &[n, a, b, beta, amplitude, offset, c, d] = row;
        NonAnalytic {
            n,
            a,
            b,
            half_inverse_beta: 0.5 / beta,
            amplitude,
            offset,
            c,
            d,
        }
    }

    fn add(&self, delta: f64, tau: f64, sum: &mut Derivatives) {
        let x = if (delta - 1.0).abs() < CRITICAL_GAP {
            CRITICAL_GAP
        } else {
            delta - 1.0
        };
        let (y, z) = (tau - 1.0, x * x);
        let exponent = -self.c * z - self.d * y * y;
        if exponent < NEGLIGIBLE_EXPONENT {
            return;
        }
        let psi = exponent.exp();
        let (psi_d, psi_t) = (-2.0 * self.c * x, -2.0 * self.d * y);
        // theta and Delta with their derivatives by delta; d theta/d tau = -1.
        let h = self.half_inverse_beta;
        let root = self.amplitude * z.powf(h);
        let theta = -y + root;
        let (theta_d, theta_dd) = (2.0 * h * root / x, 2.0 * h * (2.0 * h - 1.0) * root / z);
        let hill = self.offset * z.powf(self.a);
        let (hill_d, hill_dd) = (
            2.0 * self.a * hill / x,
            2.0 * self.a * (2.0 * self.a - 1.0) * hill / z,
        );
        let big = theta * theta + hill;
        let big_d = 2.0 * theta * theta_d + hill_d;
        let big_dd = 2.0 * (theta_d * theta_d + theta * theta_dd) + hill_dd;
        // f = Delta^b: relative derivatives.
        let b = self.b;
        let (r_d, r_t) = (big_d / big, -2.0 * theta / big);
        let f_d = b * r_d;
        let f_t = b * r_t;
        let f_dd = b * (big_dd / big + (b - 1.0) * r_d * r_d);
        let f_dt = b * (-2.0 * theta_d / big + (b - 1.0) * r_d * r_t);
        let f_tt = b * (2.0 / big + (b - 1.0) * r_t * r_t);
        // The product n delta f psi.
        let w = self.n * delta * big.powf(b) * psi;
        let (g_d, g_t) = (f_d + psi_d, f_t + psi_t);
        let g_dd = f_dd + 2.0 * f_d * psi_d + psi_d * psi_d - 2.0 * self.c;
        let g_dt = f_dt + f_d * psi_t + f_t * psi_d + psi_d * psi_t;
        let g_tt = f_tt + 2.0 * f_t * psi_t + psi_t * psi_t - 2.0 * self.d;
        sum.value += w;
        sum.d += w * (1.0 + delta * g_d);
        sum.t += w * tau * g_t;
        sum.dd += w * delta * (2.0 * g_d + delta * g_dd);
        sum.dt += w * tau * (g_t + delta * g_dt);
        sum.tt += w * tau * tau * g_tt;
    }
}
