//! Critical enhancement of the thermal conductivity: the simplified crossover form of Olchowy and
//! Sengers, Int. J. Thermophys. 10 (1989) 417, as written by Lemmon and Jacobsen, Int. J.
//! Thermophys. 25 (2004) 21, eqs. 7 to 11:
//!
//! lambda_c = rho cp k_B R0 T/(6 pi xi mu) (Omega - Omega_0).

use std::f64::consts::{FRAC_2_PI, PI};

use serde::Deserialize;

use crate::pure::PureFluid;

/// Boltzmann constant, J/K: exact since the 2019 definition of the SI.
const BOLTZMANN_J_K: f64 = 1.380_649e-23;

/// Constants of one fluid.
#[derive(Clone, Copy, Debug, Deserialize)]
pub(super) struct Critical {
    /// R0.
    amplitude: f64,
    gamma: f64,
    nu: f64,
    /// Amplitude of the susceptibility.
    big_gamma: f64,
    /// Amplitude of the correlation length, m.
    xi0_m: f64,
    /// Cutoff wave number, 1/m.
    cutoff_1_m: f64,
    /// Temperature at which no enhancement is left, K.
    reference_k: f64,
}

impl Critical {
    /// The enhancement at a stable state whose viscosity is known.
    pub fn conductivity_w_m_k(
        &self,
        fluid: &PureFluid,
        density: f64,
        t: f64,
        viscosity: f64,
    ) -> f64 {
        let equation = fluid.equation();
        let critical_density = equation.reducing_density_kg_m3;
        let scale = fluid.critical_pressure_pa() * density / (critical_density * critical_density);
        let state = equation.state(density, t);
        let far = equation.state(density, self.reference_k);
        let excess = scale / state.pressure_by_density()
            - scale / far.pressure_by_density() * self.reference_k / t;
        if excess <= 0.0 {
            return 0.0;
        }
        let xi = self.xi0_m * (excess / self.big_gamma).powf(self.nu / self.gamma);
        let y = xi * self.cutoff_1_m;
        let delta = density / critical_density;
        let (cp, cv) = (state.cp_j_kg_k(), state.cv_j_kg_k());
        let omega = FRAC_2_PI * ((cp - cv) / cp * y.atan() + cv / cp * y);
        let omega_0 = -FRAC_2_PI * (-1.0 / (1.0 / y + y * y / (3.0 * delta * delta))).exp_m1();
        density * cp * BOLTZMANN_J_K * self.amplitude * t / (6.0 * PI * xi * viscosity)
            * (omega - omega_0)
    }
}
