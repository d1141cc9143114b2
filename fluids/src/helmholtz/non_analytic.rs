//! The non-analytic term of IAPWS-95, which carbon dioxide has, too.

use super::Derivatives;
use super::residual::NEGLIGIBLE_EXPONENT;

/// The term n Delta^b delta psi of IAPWS-95 (IAPWS R6-95(2018), table 5), with
/// Delta = theta^2 + B z^a, theta = (1 - tau) + A z^(1/(2 beta)), z = (delta - 1)^2,
/// psi = exp(-C z - D (tau - 1)^2).
#[derive(Clone, Copy, Debug)]
pub(super) struct NonAnalytic {
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
    pub fn new(row: &[f64; 8]) -> Self {
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

    pub fn add(&self, delta: f64, tau: f64, sum: &mut Derivatives) {
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
