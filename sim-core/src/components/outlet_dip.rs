//! The dip that forms over a tank's outlet before it uncovers (theory 5.6).
//!
//! A. Lubin and G. S. Springer, J. Fluid Mech. 29 (1967) 385-390: a still liquid that drains through
//! the bottom of a wide tank forms a dip that reaches the outlet at the height
//! `h_c = 0.69 (Q^2/(g (1 - rho_g/rho_l)))^(1/5)`, in bores `h_c/d = 0.63 Fr^(2/5)`, `Fr = v/sqrt(g d)`. Constants
//! from memory; the same law is quoted as `Fr = 3.25 (h_c/d)^(5/2)`. The gas's density is left out, which
//! is below 1 % in h_c up to a twentieth of the liquid's.
//!
//! In liquid that turns a vortex reaches deeper. Pump intakes are kept `S = D (1 + 2.3 Fr)` below the surface,
//! `Fr = v/sqrt(g D)` in the intake's bore, so that none draws air (Hydraulic Institute, ANSI/HI 9.8; from memory):
//! a rule for approach flows of sumps, and an upper bound for a tank that stands still.

use std::f64::consts::PI;

/// The constant of the intakes' rule.
const SWIRL: f64 = 2.3;
/// The constant of Lubin and Springer.
const DIP: f64 = 0.69;

/// Height in m above the outlet at which the dip reaches it; zero without flow or with flow that runs
/// back.
#[must_use]
pub fn dip_height_m(flow_m3_s: f64, gravity_m_s2: f64) -> f64 {
    DIP * (flow_m3_s.max(0.0).powi(2) / gravity_m_s2).powf(0.2)
}

/// Height in m over an outlet of a bore in m, above which no vortex draws gas at a flow that turns.
#[must_use]
pub fn swirl_height_m(flow_m3_s: f64, bore_m: f64, gravity_m_s2: f64) -> f64 {
    let speed_m_s = flow_m3_s.max(0.0) / (PI / 4.0 * bore_m * bore_m);
    bore_m * (1.0 + SWIRL * speed_m_s / (gravity_m_s2 * bore_m).sqrt())
}

#[cfg(test)]
mod tests {
    use super::{dip_height_m, swirl_height_m};
    use std::f64::consts::PI;

    /// The same law as it is quoted of its authors for a bore, `Fr = 3.25 (h/d)^(5/2)` (N. Zuber 1980; from
    /// memory). Two roundings of one measurement: 1 %.
    #[test]
    fn the_dip_of_lubin_and_springer_in_bores() {
        let (bore_m, gravity_m_s2): (f64, f64) = (0.0155, 9.806_65);
        for speed_m_s in [0.2, 1.0, 6.0] {
            let froude = speed_m_s / (gravity_m_s2 * bore_m).sqrt();
            let quoted_m = bore_m * (froude / 3.25_f64).powf(0.4);
            let dip_m = dip_height_m(speed_m_s * PI / 4.0 * bore_m * bore_m, gravity_m_s2);
            assert!((dip_m / quoted_m - 1.0).abs() < 0.01, "{dip_m} {quoted_m}");
        }
        assert_eq!(dip_height_m(-1.0, gravity_m_s2), 0.0);
    }

    /// Published: the same standard has the rule in inches and gallons a minute, `S = D + 0.574 Q/D^(3/2)` (from
    /// memory). Both constants are rounded, to 2 % and to 0.1 %; they agree to 1e-3.
    #[test]
    fn the_intakes_rule_in_inches_and_gallons() {
        let (inch_m, gpm_m3_s) = (0.0254, 231.0 * 0.0254_f64.powi(3) / 60.0);
        for (bore, flow) in [(1.0_f64, 20.0), (2.0, 100.0), (12.0, 3000.0)] {
            let quoted = bore + 0.574 * flow / bore.powf(1.5);
            let own = swirl_height_m(flow * gpm_m3_s, bore * inch_m, 9.806_65) / inch_m;
            assert!((own / quoted - 1.0).abs() < 1e-3, "{own} {quoted}");
        }
    }
}
