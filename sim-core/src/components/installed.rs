//! A valve between reducers, and one in viscous flow, by IEC 60534-2-1:2011 (theory 2.9 and 4.12).
//!
//! Loss coefficients on the velocity head in the valve's bore *d*: contraction `K_1 = 0.5 (1 - (d/D_1)^2)^2`,
//! expansion `K_2 = (1 - (d/D_2)^2)^2`, and what static pressures gain or lose as the speed changes,
//! `K_B = 1 - (d/D)^4`. Written with `r = (CdA/A_d)^2`, which is `(Kv/d^2)^2 / N2` of the standard:
//!
//! `F_P^-2 = 1 + (K_1 + K_2 + K_B1 - K_B2) r`,
//! `x_TP = x_T / F_P^2 / (1 + x_T (K_1 + K_B1) r N2/N5)`,
//! `F_LP^-2 = F_L^-2 + (K_1 + K_B1) r`.

use crate::network::Pipes;
use shared::Scalar;
use std::f64::consts::{LN_10, PI};

/// Constants of the standard for Kv, m3/h, mm.
const N2: f64 = 1.6e-3;
const N4: f64 = 7.07e-2;
const N5: f64 = 1.8e-3;
const N18: f64 = 0.865;
const N32: f64 = 140.0;

/// `r` above which a valve is outside the standard: `C/(N18 d^2) < 0.047`.
pub const MOST_RATIO: f64 = (0.047 * N18) * (0.047 * N18) / N2;

/// `C/d^2` from which a trim counts as full size, over N18.
const FULL_SIZE: f64 = 0.016;

/// Largest `C/d^2` that the Reynolds factor of full-size trims knows.
const MOST_FULL_SIZE: f64 = 0.04;

/// Reynolds number from which the flow is turbulent.
const TURBULENT: f64 = 1e4;

/// Least Reynolds number of the factor's transitional branch.
const TRANSITIONAL: f64 = 10.0;

/// Reynolds number below which the factor is held, so that a resting column has no infinite loss; its
/// product with the flow squared still vanishes.
const RESTING: f64 = 1e-6;

/// Least `F_P^-2`: outside the standard's range a wide pipe behind would give more than it can.
const LEAST_INVERSE: f64 = 0.25;

impl Pipes {
    /// Area of the valve's bore.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        PI / 4.0 * self.bore_m * self.bore_m
    }

    /// The same for a flow that runs back.
    #[must_use]
    pub fn reversed(self) -> Self {
        Self {
            before_m: self.after_m,
            after_m: self.before_m,
            ..self
        }
    }

    /// `K_1`.
    #[must_use]
    pub fn contraction(&self) -> f64 {
        0.5 * (1.0 - area_ratio(self.bore_m, self.before_m)).powi(2)
    }

    /// `K_1 + K_2`: what total pressure loses.
    #[must_use]
    pub fn lost(&self) -> f64 {
        let expansion = (1.0 - area_ratio(self.bore_m, self.after_m)).powi(2);
        self.contraction() + expansion
    }

    /// `K_1 + K_B1`.
    fn inlet(&self) -> f64 {
        self.contraction() + 1.0 - area_ratio(self.bore_m, self.before_m).powi(2)
    }

    /// `K_1 + K_2 + K_B1 - K_B2`.
    fn sum(&self) -> f64 {
        let behind = 1.0 - area_ratio(self.bore_m, self.after_m).powi(2);
        self.lost() + self.inlet() - self.contraction() - behind
    }

    /// `F_P^2` and `x_TP` of a valve whose effective area is `r`, squared, of that of its bore.
    pub fn for_gas<S: Scalar>(&self, ratio: S, xt: f64) -> (S, S) {
        let inverse = (ratio * self.sum() + 1.0).max(S::constant(LEAST_INVERSE));
        let inlet = ratio * (xt * self.inlet() * N2 / N5) + 1.0;
        let squared = S::constant(1.0) / inverse;
        (squared, inverse * xt / inlet)
    }
}

/// `(d/D)^2`; one where the pipe is the narrower.
fn area_ratio(bore_m: f64, pipe_m: f64) -> f64 {
    (bore_m / pipe_m).powi(2).min(1.0)
}

/// What the Reynolds number of a valve follows from.
#[derive(Clone, Copy, Debug)]
pub struct Throttle<S> {
    /// Flow coefficient at this opening, m3/h.
    pub kv_m3_h: S,
    /// Flow coefficient wide open, m3/h.
    pub rated_kv_m3_h: f64,
    /// Liquid pressure recovery factor F_L.
    pub recovery: f64,
    /// Style modifier F_d.
    pub style: f64,
    /// Bores around it.
    pub pipes: Pipes,
}

impl<S: Scalar> Throttle<S> {
    /// Reynolds number `N4 F_d Q / (nu sqrt(C F_L)) (F_L^2 C^2 / (N2 D^4) + 1)^(1/4)`.
    pub fn reynolds(&self, flow_m3_s: S, viscosity_m2_s: S) -> S {
        let pipe_mm = self.pipes.before_m * 1e3;
        let approach = self.kv_m3_h.squared() * (self.recovery / (pipe_mm * pipe_mm)).powi(2) / N2;
        let speed = flow_m3_s.abs() * (3600.0 * N4 * self.style) / viscosity_m2_s;
        speed / (self.kv_m3_h * self.recovery).sqrt() * (approach + 1.0).sqrt().sqrt()
    }

    /// Reynolds factor F_R (equations 31 to 34): what part of its turbulent flow a valve passes.
    ///
    /// At Re 10, where the laminar branch alone takes over, the transitional one may lie below it; it
    /// is held at the laminar factor there, so that the factor rises evenly.
    pub fn factor(&self, reynolds: S) -> S {
        let one = S::constant(1.0);
        if reynolds.value() >= TURBULENT {
            return one;
        }
        let reynolds = reynolds.max(S::constant(RESTING));
        let bore_mm2 = (self.pipes.bore_m * 1e3).powi(2);
        let size = self.kv_m3_h / bore_mm2;
        let n = if self.rated_kv_m3_h / bore_mm2 > FULL_SIZE * N18 {
            S::constant(N2) / size.min(S::constant(MOST_FULL_SIZE)).squared()
        } else {
            (size.ln() * (2.0 / 3.0)).exp() * N32 + 1.0
        };
        let laminar = |reynolds: S| ((n * reynolds).sqrt() * (0.026 / self.recovery)).min(one);
        if reynolds.value() < TRANSITIONAL {
            return laminar(reynolds);
        }
        let slope = S::constant(0.33 * self.recovery.sqrt() / LN_10) / n.sqrt().sqrt();
        let transitional = slope * (reynolds / TURBULENT).ln() + 1.0;
        let least = laminar(S::constant(TRANSITIONAL));
        laminar(reynolds).min(transitional.max(least))
    }
}

#[cfg(test)]
mod tests {
    use super::{Pipes, Throttle};

    /// The factor never falls as the Reynolds number rises, has no jump, and is one from 10^4 on; full-size
    /// trims and reduced ones, wide open and nearly shut.
    #[test]
    fn the_reynolds_factor_rises_evenly() {
        for (rated, opening, recovery) in [
            (8.0, 1.0, 0.9),
            (8.0, 0.01, 0.6),
            (0.003, 1.0, 1.0),
            (0.003, 0.001, 0.7),
            (2.0, 0.5, 0.98),
        ] {
            let throttle = Throttle {
                kv_m3_h: rated * opening,
                rated_kv_m3_h: rated,
                recovery,
                style: 0.3,
                pipes: Pipes {
                    bore_m: 0.02,
                    before_m: 0.02,
                    after_m: 0.02,
                    style: Some(0.3),
                },
            };
            let factors: Vec<f64> = (-200..=401)
                .map(|step| throttle.factor(f64::powf(10.0, f64::from(step) / 100.0)))
                .collect();
            for pair in factors.windows(2) {
                // Steps of a hundredth of a decade.
                assert!(
                    pair[1] >= pair[0] && pair[1] <= 1.06 * pair[0],
                    "{rated} {opening}: {pair:?}"
                );
            }
            assert_eq!(factors.last(), Some(&1.0));
        }
    }
}
