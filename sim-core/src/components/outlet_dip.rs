//! The dip that forms over a tank's outlet before it uncovers (theory 5.6).
//!
//! A. Lubin and G. S. Springer, J. Fluid Mech. 29 (1967) 385-390: a still liquid that drains through
//! the bottom of a wide tank forms a dip that reaches the outlet at the height
//! `h_c = 0.69 (Q^2/(g (1 - rho_g/rho_l)))^(1/5)`, in bores `h_c/d = 0.63 Fr^(2/5)`, `Fr = v/sqrt(g d)`. Constants
//! from memory; the same law is quoted as `Fr = 3.25 (h_c/d)^(5/2)`. The gas's density is left out, which
//! is below 1 % in h_c up to a twentieth of the liquid's.

/// The constant of Lubin and Springer.
const DIP: f64 = 0.69;

/// Height in m above the outlet at which the dip reaches it; zero without flow or with flow that runs
/// back.
#[must_use]
pub fn dip_height_m(flow_m3_s: f64, gravity_m_s2: f64) -> f64 {
    DIP * (flow_m3_s.max(0.0).powi(2) / gravity_m_s2).powf(0.2)
}

#[cfg(test)]
mod tests {
    use super::dip_height_m;
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
}
