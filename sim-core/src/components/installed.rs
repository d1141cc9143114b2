//! A valve between reducers, and one in flow that is not turbulent, by IEC 60534-2-1:2011 (theory 2.9 and 4.12).
//!
//! Loss coefficients on the velocity head in the valve's bore *d*: contraction `K_1 = 0.5 (1 - (d/D_1)^2)^2`,
//! expansion `K_2 = (1 - (d/D_2)^2)^2`, and what static pressures gain or lose as the speed changes,
//! `K_B = 1 - (d/D)^4`. Written with `r = (CdA/A_d)^2`, which is `(Kv/d^2)^2 / N2` of the standard:
//!
//! `F_P^-2 = 1 + (K_1 + K_2 + K_B1 - K_B2) r`,
//! `x_TP = x_T / F_P^2 / (1 + x_T (K_1 + K_B1) r N2/N5)`,
//! `F_LP^-2 = F_L^-2 + (K_1 + K_B1) r`.

use crate::network::{Pipes, Style};
use shared::{Dual, Scalar, bracketed};
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

/// Reynolds number below which a gas expands as in laminar flow.
const LAMINAR: f64 = 1e3;

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
    /// How its trim takes the flow.
    pub style: Style,
    /// Bores around it.
    pub pipes: Pipes,
}

impl<S: Scalar> Throttle<S> {
    /// Reynolds number `N4 F_d Q / (nu sqrt(C F_L)) (F_L^2 C^2 / (N2 D^4) + 1)^(1/4)`, from a flow in m3/s
    /// and a viscosity in m2/s or, of gas, in kg/s and Pa s.
    pub fn reynolds(&self, flow: S, viscosity: S) -> S {
        let recovery = self.style.recovery;
        let pipe_mm = self.pipes.before_m * 1e3;
        let approach = self.kv_m3_h.squared() * (recovery / (pipe_mm * pipe_mm)).powi(2) / N2;
        let speed = flow.abs() * (3600.0 * N4 * self.style.modifier) / viscosity;
        speed / (self.kv_m3_h * recovery).sqrt() * (approach + 1.0).sqrt().sqrt()
    }

    /// Reynolds factor F_R (equations 31 to 34): what part of its turbulent flow a valve passes.
    ///
    /// The transitional branch is left where it would fall faster than the flow, so that a loss falls
    /// with the flow: there is the laminar one, which the standard has alone below Re 10.
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
        let recovery = self.style.recovery;
        let laminar = ((n * reynolds).sqrt() * (0.026 / recovery)).min(one);
        let slope = S::constant(0.33 * recovery.sqrt() / LN_10) / n.sqrt().sqrt();
        let transitional = slope * (reynolds / TURBULENT).ln() + 1.0;
        laminar.min(transitional.max(laminar.min(slope)))
    }

    /// What part of its turbulent flow of gas a valve passes, from the Reynolds number of that flow and from
    /// what the gas would expand to, Y, in laminar flow over turbulent. The number that counts is that of
    /// the flow which passes; found for the values, its derivatives by one step of Newton's method.
    pub fn gas_factor(&self, turbulent: S, laminar: S) -> S {
        let number = turbulent.value();
        // One that is shut has no Reynolds number.
        if number >= TURBULENT || number.is_nan() {
            return S::constant(1.0);
        }
        let (values, gain) = (self.constant::<f64>(), laminar.value());
        let left = |reynolds: f64| number * values.gas_part(reynolds, gain) - reynolds;
        let found = bracketed(left, 0.0, TURBULENT, 0.0).unwrap_or(TURBULENT);
        let part =
            (self.constant::<Dual<1>>()).gas_part(Dual::variable(found, 0), Dual::constant(gain));
        let reynolds = S::constant(found);
        let left = turbulent * self.gas_part(reynolds, laminar) - reynolds;
        let reynolds = reynolds - left / (number * part.slope[0] - 1.0);
        self.gas_part(reynolds, laminar)
    }

    /// The same at the Reynolds number of what passes.
    fn gas_part(&self, reynolds: S, laminar: S) -> S {
        let share = (-reynolds + TURBULENT) / (TURBULENT - LAMINAR);
        let share = share.max(S::zero()).min(S::constant(1.0));
        self.factor(reynolds) * ((laminar - 1.0) * share + 1.0)
    }

    /// The same without derivatives.
    fn constant<T: Scalar>(&self) -> Throttle<T> {
        Throttle {
            kv_m3_h: T::constant(self.kv_m3_h.value()),
            rated_kv_m3_h: self.rated_kv_m3_h,
            style: self.style,
            pipes: self.pipes,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Pipes, Style, TURBULENT, Throttle};
    use shared::Dual;

    fn throttle(rated: f64, opening: f64, recovery: f64) -> Throttle<f64> {
        let modifier = 0.3;
        Throttle {
            kv_m3_h: rated * opening,
            rated_kv_m3_h: rated,
            style: Style { modifier, recovery },
            pipes: Pipes {
                bore_m: 0.02,
                before_m: 0.02,
                after_m: 0.02,
                style: None,
            },
        }
    }

    /// Full-size trims and reduced ones, wide open and nearly shut.
    fn throttles() -> impl Iterator<Item = Throttle<f64>> {
        [
            (8.0, 1.0, 0.9),
            (8.0, 0.01, 0.6),
            (0.003, 1.0, 1.0),
            (0.003, 0.001, 0.7),
            (2.0, 0.5, 0.98),
        ]
        .into_iter()
        .map(|(rated, opening, recovery)| throttle(rated, opening, recovery))
    }

    /// Hundredths of a decade.
    fn numbers() -> impl Iterator<Item = f64> {
        (-200..=401).map(|step| f64::powf(10.0, f64::from(step) / 100.0))
    }

    /// The factor never falls as the Reynolds number rises, nor rises faster than it, and is one from
    /// 10^4 on.
    #[test]
    fn the_reynolds_factor_rises_evenly() {
        for throttle in throttles() {
            let factors: Vec<f64> = numbers().map(|number| throttle.factor(number)).collect();
            for pair in factors.windows(2) {
                assert!(
                    pair[1] >= pair[0] && pair[1] < 1.0233 * pair[0],
                    "{throttle:?}: {pair:?}"
                );
            }
            assert_eq!(factors.last(), Some(&1.0));
        }
    }

    /// Gas: the part that passes is that of its own Reynolds number (to rounding), what passes rises with
    /// what would pass in turbulent flow, has no jump, and is all of it from 10^4 on.
    #[test]
    fn the_flow_of_gas_rises_evenly() {
        for throttle in throttles() {
            let mut before = 0.0;
            for number in numbers() {
                let passed = number * throttle.gas_factor(number, 1.1);
                if number < TURBULENT {
                    let own = number * throttle.gas_part(passed, 1.1);
                    assert!((own / passed - 1.0).abs() < 1e-12, "{throttle:?}: {number}");
                }
                // In laminar flow it goes with the square.
                assert!(
                    passed > before && (before == 0.0 || passed < 1.06 * before),
                    "{throttle:?}: {number} passes {passed} after {before}"
                );
                before = passed;
            }
            assert_eq!(throttle.gas_factor(TURBULENT, 1.1), 1.0);
        }
    }

    /// The derivatives are those of central differences, whose error is some 1e-8.
    #[test]
    fn the_flow_of_gas_has_its_slope() {
        for throttle in throttles() {
            let dual = throttle.constant::<Dual<2>>();
            for number in [0.3, 40.0, 700.0, 6e3] {
                let [by_number, by_gain] = dual
                    .gas_factor(Dual::variable(number, 0), Dual::variable(1.1, 1))
                    .slope;
                let h = 1e-5;
                let across = |plus: f64, minus: f64, width: f64| (plus - minus) / width;
                let of = |x: f64, gain: f64| throttle.gas_factor(x, gain);
                let (up, down) = (number * (1.0 + h), number * (1.0 - h));
                let expected = across(of(up, 1.1), of(down, 1.1), up - down);
                assert!((by_number - expected).abs() <= 1e-6 * expected.abs().max(1e-9));
                let expected = across(of(number, 1.1 + h), of(number, 1.1 - h), 2.0 * h);
                assert!((by_gain - expected).abs() <= 1e-6 * expected.abs().max(1e-3));
            }
        }
    }
}
