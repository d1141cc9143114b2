//! The residual part, a sum of four families of terms (each an [n, ..] row of the data):
//!
//! - power: n delta^d tau^t exp(-delta^l), without the exponential where l = 0;
//! - Gaussian: n delta^d tau^t exp(-eta (delta - epsilon)^2 - beta (tau - gamma)^2);
//! - exponential: n delta^d tau^t exp(-gd delta^ld - gt tau^lt), see [`Exponential`];
//! - non-analytic (IAPWS-95): n Delta^b delta psi, see [`NonAnalytic`].
//!
//! The cost is in the exponentials, so each exp(-delta^l) is formed once, and a power of tau
//! is the product of two earlier ones wherever their exponents add up to its own (nitrogen
//! needs two exponentials for its twenty powers). A term is then a few products. A Gaussian, which
//! has an exponential of its own, takes its power of tau into it.

use serde::Deserialize;

use super::Derivatives;
use super::exponential::Exponential;
use super::non_analytic::NonAnalytic;

/// Most distinct exponents of tau in one equation (26 in IAPWS-95, with 0 and 1).
const MAX_TAU_POWERS: usize = 32;
/// Highest power of delta (15 in IAPWS-95).
const MAX_DELTA_POWER: usize = 20;
/// A Gaussian below exp(-80) = 2e-35 is under the rounding of every sum it enters.
pub(super) const NEGLIGIBLE_EXPONENT: f64 = -80.0;

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
    /// Rows [n, d, t, gd, ld, gt, lt].
    pub exponential: Vec<[f64; 7]>,
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
    n: f64,
    delta_power: usize,
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
    exponentials: Vec<Exponential>,
}

impl Residual {
    /// Sorts the terms for evaluation. `None` if an exponent is not one this engine can take
    /// (a power of delta that is no integer up to 20, more than 32 different powers of tau).
    pub fn new(data: &ResidualData) -> Option<Self> {
        let exponents = tau_exponents(data);
        let mut residual = Residual {
            tau_powers: tau_powers(&exponents),
            highest_delta_power: 1,
            groups: Vec::new(),
            gaussians: Vec::new(),
            non_analytic: data.non_analytic.iter().map(NonAnalytic::new).collect(),
            exponentials: data.exponential.iter().map(Exponential::new).collect(),
        };
        for &[n, d, t, l] in &data.power {
            let (term, l) = (residual.term(&exponents, n, d, t)?, integer(l)?);
            residual.highest_delta_power = residual.highest_delta_power.max(l);
            residual.group(l).terms.push(term);
        }
        for &[n, d, t, eta, epsilon, beta, gamma] in &data.gaussian {
            let delta_power = integer(d)?;
            residual.highest_delta_power = residual.highest_delta_power.max(delta_power);
            residual.gaussians.push(GaussianTerm {
                n,
                delta_power,
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
        for term in &self.exponentials {
            term.add(delta, tau, &mut sum);
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

/// Room for the powers of each: a place is masked to it, which costs less than a check.
const ROOM: usize = 32;
const _: () = assert!(ROOM.is_power_of_two() && ROOM >= MAX_TAU_POWERS && ROOM > MAX_DELTA_POWER);

/// The powers of delta and tau that the terms of one equation share.
struct Powers {
    log_tau: f64,
    delta: [f64; ROOM],
    tau: [f64; ROOM],
}

impl Powers {
    fn new(residual: &Residual, delta: f64, tau: f64) -> Self {
        let log_tau = tau.ln();
        let mut powers = Powers {
            log_tau,
            delta: [1.0; ROOM],
            tau: [1.0; ROOM],
        };
        for i in 1..=residual.highest_delta_power {
            powers.delta[i] = if i == 1 {
                delta
            } else {
                powers.delta[i / 2] * powers.delta[i - i / 2]
            };
        }
        for (i, power) in residual.tau_powers.iter().enumerate() {
            powers.tau[i] = match *power {
                TauPower::One => 1.0,
                TauPower::Tau => tau,
                TauPower::Product(a, b) => powers.tau[a % ROOM] * powers.tau[b % ROOM],
                TauPower::Exponential(t) => (t * log_tau).exp(),
            };
        }
        powers
    }

    #[inline]
    fn term(&self, term: &PowerTerm) -> f64 {
        self.delta[term.delta_power % ROOM] * self.tau[term.tau_power % ROOM]
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
        let (d, t) = (self.d, self.t);
        let power = powers.delta[self.delta_power % ROOM];
        let w = self.n * power * (exponent + t * powers.log_tau).exp();
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
