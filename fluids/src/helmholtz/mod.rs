//! The reduced Helmholtz energy alpha(delta, tau) = a/(R T) of a fluid and what follows from it.
//!
//! Model: alpha = alpha0 + alphar, with delta = rho/rho_r and tau = T_r/T. Every derivative is
//! kept in the scaled form delta^i tau^j d^(i+j) alpha / d delta^i d tau^j, in which the
//! thermodynamic relations need no further powers (Span, Multiparameter Equations of State,
//! Springer 2000, table 3.9).

mod exponential;
mod ideal;
mod non_analytic;
mod residual;
mod state;

pub use ideal::{Ideal, IdealData};
pub use residual::{Residual, ResidualData};
pub use state::State;

/// Value and scaled derivatives, delta^i tau^j times the (i, j) partial, of a reduced energy.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Derivatives {
    /// The value.
    pub value: f64,
    /// delta d/d delta.
    pub d: f64,
    /// tau d/d tau.
    pub t: f64,
    /// delta^2 d2/d delta2.
    pub dd: f64,
    /// delta tau d2/d delta d tau.
    pub dt: f64,
    /// tau^2 d2/d tau2.
    pub tt: f64,
}

impl Derivatives {
    /// Adds `other` times `factor`.
    pub fn add_scaled(&mut self, factor: f64, other: &Derivatives) {
        self.value += factor * other.value;
        self.d += factor * other.d;
        self.t += factor * other.t;
        self.dd += factor * other.dd;
        self.dt += factor * other.dt;
        self.tt += factor * other.tt;
    }
}

/// A published equation of state with its reducing point, in mass units.
#[derive(Clone, Debug)]
pub struct Helmholtz {
    /// Reducing temperature, K (the critical one for a pure fluid).
    pub reducing_temperature_k: f64,
    /// Reducing density, kg/m3.
    pub reducing_density_kg_m3: f64,
    /// Specific gas constant, J/(kg K), as published with the equation.
    pub gas_constant_j_kg_k: f64,
    /// The ideal-gas part.
    pub ideal: Ideal,
    /// The residual part.
    pub residual: Residual,
}

impl Helmholtz {
    /// The state at a density (kg/m3, > 0) and temperature (K, > 0). One residual evaluation;
    /// no range is checked here.
    pub fn state(&self, density_kg_m3: f64, temperature_k: f64) -> State<'_> {
        let delta = density_kg_m3 / self.reducing_density_kg_m3;
        let tau = self.reducing_temperature_k / temperature_k;
        State::new(
            self,
            density_kg_m3,
            temperature_k,
            self.residual.at(delta, tau),
        )
    }
}
