//! Density from pressure and temperature.

use crate::FluidError;
use crate::pure::{Point, PureFluid};
use crate::solve::bracketed_root;

/// A phase to insist on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Phase {
    /// The denser one.
    Liquid,
    /// The lighter one.
    Vapour,
}

impl PureFluid {
    /// State at a pressure (Pa) and a temperature (K), in the stable phase; on the saturation
    /// line itself the vapour.
    ///
    /// # Errors
    /// Outside the valid range, frozen, or between the phases of a pseudo-pure fluid.
    pub fn by_pressure_temperature(
        &self,
        pressure_pa: f64,
        temperature_k: f64,
    ) -> Result<Point, FluidError> {
        let edge = self.phases.edge(&self.equation, temperature_k);
        let branch = match edge {
            Some(edge) if pressure_pa > edge.pressure_pa[0] => edge.bracket(Phase::Liquid),
            Some(edge) if pressure_pa > edge.pressure_pa[1] => {
                return Err(self.condenses(edge.pressure_pa[1], "Pa"));
            }
            Some(edge) => edge.bracket(Phase::Vapour),
            None => self.gas_bracket(pressure_pa, temperature_k),
        };
        self.on_branch(pressure_pa, temperature_k, branch)
    }

    /// State at a pressure (Pa) and a temperature (K) in the phase asked for, also where it is
    /// metastable. Above the critical temperature there is one phase only.
    ///
    /// # Errors
    /// Outside the valid range, frozen, or where that phase cannot exist.
    pub fn in_phase(
        &self,
        pressure_pa: f64,
        temperature_k: f64,
        phase: Phase,
    ) -> Result<Point, FluidError> {
        let edge = self.phases.edge(&self.equation, temperature_k);
        let gas = self.gas_bracket(pressure_pa, temperature_k);
        self.on_branch(
            pressure_pa,
            temperature_k,
            edge.map_or(gas, |edge| edge.bracket(phase)),
        )
    }

    fn on_branch(&self, p: f64, t: f64, branch: (f64, f64)) -> Result<Point, FluidError> {
        self.check_pressure(p)?;
        self.check_temperature(t)?;
        let density = self
            .density(p, t, branch)
            .ok_or_else(|| self.unsolved(format!("{p} Pa and {t} K")))?;
        self.checked(self.equation.state(density, t))
    }

    /// Densities to begin with where no phase boundary is near.
    pub(crate) fn gas_bracket(&self, p: f64, t: f64) -> (f64, f64) {
        let ideal = p / (self.equation.gas_constant_j_kg_k * t);
        (0.0, ideal.min(3.0 * self.equation.reducing_density_kg_m3))
    }

    /// Density at p and T on the branch in which a bracket (low, high) lies. The bracket grows
    /// until it holds p, but never across a state whose pressure falls with density.
    pub(crate) fn density(&self, p: f64, t: f64, (low, high): (f64, f64)) -> Option<f64> {
        let gap = |density: f64| {
            let state = self.equation.state(density, t);
            (state.pressure_pa() - p, state.pressure_by_density())
        };
        let flat = FLAT * self.equation.gas_constant_j_kg_k * t;
        let low = if low > 0.0 {
            moved(low, 1.0, flat, gap)?
        } else {
            low
        };
        let high = moved(high, -1.0, flat, gap)?;
        let guess = self.gas_bracket(p, t).1;
        bracketed_root((low, high), guess, |density| Some(gap(density)))
    }
}

/// Slopes dp/d rho down to minus this, in R T, still count as stable: at the critical point of a
/// published equation the slope may be a little negative (oxygen: -2e-4).
const FLAT: f64 = 1e-3;
/// Steps after which a bracket is given up; one across all densities takes some hundred.
const MOST_STEPS: usize = 500;

/// A bound moved past Newton steps, 5 % at most, until the gap there no longer has the sign
/// given. `None` where the branch ends before.
fn moved(mut bound: f64, sign: f64, flat: f64, gap: impl Fn(f64) -> (f64, f64)) -> Option<f64> {
    for _ in 0..MOST_STEPS {
        let (excess, slope) = gap(bound);
        if sign * excess <= 0.0 {
            return Some(bound);
        }
        if slope.is_nan() || slope <= -flat {
            return None;
        }
        // Far enough that a gap of rounding alone is crossed, too.
        let step = 1.5 * excess.abs() / slope.max(flat);
        bound -= sign * step.max(1e-12 * bound).min(0.05 * bound);
    }
    None
}
