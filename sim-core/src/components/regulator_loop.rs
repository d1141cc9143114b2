//! The loop of a regulator and of the volume that it fills, near lock-up (theory 2.10).
//!
//! - Volume: `C p' = W x`, with W the flow wide open (choked, so that it does not ask for p) and
//!   `C = V/(k R T)` what fills it by gas of temperature T.
//! - Lift: `tau x' = (p_L - p)/D - x` (theory 2.5, linear droop D).
//!
//! An integrator behind a first-order lag: with `K = W/(C D)` its damping ratio is
//! `1/(2 sqrt(K tau))`, that of `K/(s(J s + B))` in K. Ogata, Modern Control Engineering, 5th ed.,
//! section 5-3 (from memory).
//!
//! A regulator that closes comes with a lift `x_0` that its droop asks for, `p = p_L - D x_0`, and is shut by the
//! seat once p has reached lock-up: from there on the lift decays as exp(-t/tau) and the volume
//! keeps what it lets by. With `k = K tau` and `w = sqrt(k - 1/4)` lock-up is reached after
//! `t = tau atan2(w, k - 1/2)/w` with the lift `x_0 exp(-t/(2 tau))`; the overshoot is that lift
//! times k D. A loop with k <= 1/4 never gets there and does not overshoot.
//!
//! Any outflow, and any fall of W with p, damps besides: this is the least damped the loop can be.

use shared::bracketed;

/// Gain up to which a loop does not overshoot: there its damping ratio is one.
const CRITICAL: f64 = 0.25;

/// A regulator and what stands behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RegulatorLoop {
    /// Flow wide open, kg/s.
    pub wide_open_kg_s: f64,
    /// Gas that raises the volume behind by a pascal, kg/Pa.
    pub storage_kg_pa: f64,
    /// Fall from lock-up to wide open, Pa.
    pub droop_pa: f64,
    /// Time constant of the lift, s.
    pub response_s: f64,
}

impl RegulatorLoop {
    /// `K tau`: rise of the outlet in a response time, wide open, in droops.
    #[must_use]
    pub fn gain(&self) -> f64 {
        self.wide_open_kg_s * self.response_s / (self.storage_kg_pa * self.droop_pa)
    }

    /// Damping ratio.
    #[must_use]
    pub fn damping_ratio(&self) -> f64 {
        0.5 / self.gain().sqrt()
    }

    /// Rise above lock-up after the regulator has closed from wide open, Pa. From a part of the
    /// lift it is that part.
    #[must_use]
    pub fn overshoot_pa(&self) -> f64 {
        self.droop_pa * overshoot(self.gain())
    }

    /// By how much the storage has to grow, or the response time to shrink, so that the overshoot
    /// is no more than `most_pa` (above 0).
    #[must_use]
    pub fn calmed_by(&self, most_pa: f64) -> f64 {
        let most = most_pa / self.droop_pa;
        let gain = self.gain();
        if overshoot(gain) <= most {
            return 1.0;
        }
        // Rises with the gain, from nothing at the critical one.
        let calm = bracketed(|k| overshoot(k) - most, CRITICAL, gain, 1e-9 * gain);
        gain / calm.unwrap_or(CRITICAL)
    }
}

/// Overshoot in droops from wide open.
fn overshoot(gain: f64) -> f64 {
    if gain <= CRITICAL {
        return 0.0;
    }
    let w = (gain - CRITICAL).sqrt();
    let time = w.atan2(gain - 0.5) / w;
    gain * (-0.5 * time).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A loop of gain K tau; the rest is one.
    fn of_gain(gain: f64) -> RegulatorLoop {
        RegulatorLoop {
            wide_open_kg_s: gain,
            storage_kg_pa: 1.0,
            droop_pa: 1.0,
            response_s: 1.0,
        }
    }

    /// Published: K. Ogata, Modern Control Engineering, 5th ed., example 5-2 (from memory), a servo
    /// K/(s(J s + B + K K_h)) with J = 1 kg m2, B = 1 N m s, K = 12.5 N m, K_h = 0.178 s has the damping ratio
    /// 0.456. Printed to three digits, from K and K_h to three digits.
    #[test]
    fn the_damping_ratio_is_that_of_the_textbook_servo() {
        let damping = 1.0 + 12.5 * 0.178;
        let servo = of_gain(12.5 / damping / damping);
        assert!((servo.damping_ratio() - 0.456).abs() < 1e-3);
    }

    /// Closed form: a regulator far too fast for its volume has a gain of next to nothing and does not
    /// overshoot; one far too slow is still wide open at lock-up, after 1/K, and lets by W tau, less the
    /// part 1/(2 K tau) by which its lift has fallen till then.
    #[test]
    fn the_overshoot_has_its_limits() {
        for gain in [1e-3, 0.2, 0.25] {
            assert_eq!(of_gain(gain).overshoot_pa(), 0.0);
        }
        let slow = of_gain(1e4);
        // The next term of the series is of the order of 1/gain^2.
        assert!((slow.overshoot_pa() / (1e4 * (1.0 - 0.5e-4)) - 1.0).abs() < 1e-7);
    }

    /// Property: the overshoot rises with the gain, and the factor that calms it does.
    #[test]
    fn a_loop_is_calmed_by_what_it_says() {
        let mut last = 0.0;
        for gain in [0.3, 0.5, 1.0, 4.0, 50.0] {
            let own = of_gain(gain);
            assert!(own.overshoot_pa() > last, "{gain}");
            last = own.overshoot_pa();
            let factor = own.calmed_by(0.1 * last);
            let calm = of_gain(gain / factor);
            // To the width of the bracket, 1e-9 of the gain.
            assert!(
                (calm.overshoot_pa() / (0.1 * last) - 1.0).abs() < 1e-6,
                "{gain}"
            );
            assert_eq!(own.calmed_by(2.0 * last), 1.0);
        }
    }
}
