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
    pub(crate) fn density(&self, p: f64, t: f64, (mut low, mut high): (f64, f64)) -> Option<f64> {
        let gap = |density: f64| {
            let state = self.equation.state(density, t);
            (state.pressure_pa() - p, state.pressure_by_density())
        };
        if low > 0.0 {
            while let Some(next) = self.beyond(low, t, gap(low), 1.0)? {
                (low, high) = (next, low);
            }
        }
        while let Some(next) = self.beyond(high, t, gap(high), -1.0)? {
            (low, high) = (high, next);
        }
        bracketed_root((low, high), self.gas_bracket(p, t).1, |density| {
            Some(gap(density))
        })
    }

    /// The next bound where this one does not hold the root (its gap has the given sign): past
    /// a Newton step, 5 % at most. The outer `None` says that the branch ends here; at the
    /// critical point itself the slope may be a little negative (oxygen: -2e-4 R T).
    fn beyond(
        &self,
        bound: f64,
        t: f64,
        (gap, slope): (f64, f64),
        sign: f64,
    ) -> Option<Option<f64>> {
        if sign * gap <= 0.0 {
            return Some(None);
        }
        let flat = 1e-3 * self.equation.gas_constant_j_kg_k * t;
        // Far enough that a gap of rounding alone is crossed, too.
        let step = (1.5 * gap.abs() / slope.max(flat)).clamp(1e-12 * bound, 0.05 * bound);
        (slope > -flat).then_some(Some(bound - sign * step))
    }
}
