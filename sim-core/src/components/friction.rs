//! Darcy friction factor of a pipe (theory 4.2).
//!
//! Laminar 64/Re; above, Haaland (1983). Between Re 2000 and 4000 the two are joined by a
//! smooth step, because the flow there is neither.

use crate::network::Friction;
use shared::Scalar;

const LAMINAR_BELOW: f64 = 2000.0;
const TURBULENT_ABOVE: f64 = 4000.0;

/// Reynolds number below which 64/Re is held, so that a resting column has no infinite factor;
/// its product with the velocity squared still vanishes.
const RESTING: f64 = 1e-3;

impl Friction {
    /// Darcy friction factor at a Reynolds number in a bore.
    pub fn factor<S: Scalar>(&self, reynolds: S, bore_m: f64) -> S {
        match *self {
            Self::Factor(f) => S::constant(f),
            Self::Roughness { m } => rough(reynolds, m / bore_m),
        }
    }
}

fn rough<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    let re = reynolds.value();
    if re <= LAMINAR_BELOW {
        return laminar(reynolds);
    }
    if re >= TURBULENT_ABOVE {
        return haaland(reynolds, relative_roughness);
    }
    let s = (reynolds - LAMINAR_BELOW) / (TURBULENT_ABOVE - LAMINAR_BELOW);
    let step = s.squared() * (s * -2.0 + 3.0);
    laminar(reynolds) * (-step + 1.0) + haaland(reynolds, relative_roughness) * step
}

/// Hagen-Poiseuille.
pub fn laminar<S: Scalar>(reynolds: S) -> S {
    S::constant(64.0) / reynolds.max(S::constant(RESTING))
}

/// S. E. Haaland, J. Fluids Eng. 105 (1983) 89: within 2 % of Colebrook for Re 4000 to 1e8.
pub fn haaland<S: Scalar>(reynolds: S, relative_roughness: f64) -> S {
    let rough = (relative_roughness / 3.7).powf(1.11);
    let inverse_root =
        (S::constant(6.9) / reynolds + rough).ln() * (-1.8 / std::f64::consts::LN_10);
    S::constant(1.0) / inverse_root.squared()
}
