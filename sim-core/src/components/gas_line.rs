//! A long gas line: adiabatic flow with friction at constant area (Fanno flow, theory 2.11).
//!
//! From rest at p0, rho0 without loss to the inlet (Mach number M1), along the line, and out at the pressure
//! behind, or at M2 = 1 where that is lower: choked by friction. A perfect gas of the ratio k, with the real
//! density upstream:
//!
//! - `F(M) = (1 - M^2)/(k M^2) + (k+1)/(2k) ln((k+1) M^2/(2 + (k-1) M^2))`, `F(M1) - F(M2) = f L/D + K`;
//! - `p2/p0 = q1^(-k/(k-1)) M1/M2 sqrt(q1/q2)`, `q = 1 + (k-1)/2 M^2`;
//! - `G = M1 sqrt(k p0 rho0) q1^(-(k+1)/(2(k-1)))`.
//!
//! f is Darcy's factor (theory 4.2) at the Reynolds number of the inlet. A. H. Shapiro, The Dynamics and
//! Thermodynamics of Compressible Fluid Flow, vol. 1 (1953), chapter 6. The line stores nothing.
//!
//! Below eps = 100 Pa or the part of p0 to which the solver knows it, the drop is regularised: the
//! flow is that of sqrt(drop^2 + eps^2) times the drop over that root.

use super::gas::{self, GasSide, heat_capacity_ratio};
use crate::network::{Friction, Line};
use fluids::{FluidError, GasMixture};
use shared::{Dual, Scalar, bracketed};
use std::f64::consts::PI;

/// Least pressure difference below which the flow is regularised.
const EPS_PA: f64 = 100.0;
/// Mach number of a line that is all but at rest.
const RESTING: f64 = 1e-9;

impl Line {
    /// Area of the bore.
    #[must_use]
    pub fn bore_m2(&self) -> f64 {
        PI / 4.0 * self.bore_m * self.bore_m
    }

    /// Effective area that passes the same liquid at a Reynolds number of a million, its last velocity
    /// head lost.
    #[must_use]
    pub fn turbulent_area_m2(&self) -> f64 {
        let friction: f64 = self.friction.factor(1e6, self.bore_m);
        let loss = friction * self.length_m / self.bore_m + self.minor_loss;
        self.bore_m2() / (1.0 + loss).sqrt()
    }

    /// The same with so many times the bore's area, and as much longer as leaves its loss the same.
    #[must_use]
    pub fn widened(&self, factor: f64) -> Self {
        let wider = factor.sqrt();
        Self {
            bore_m: self.bore_m * wider,
            length_m: self.length_m * wider,
            ..*self
        }
    }

    /// Mass flow of gas in kg/s to a back pressure not above the upstream one.
    ///
    /// # Errors
    /// When the gas is outside the range of the transport data.
    pub fn gas_flow<S: Scalar>(
        &self,
        mixture: &GasMixture,
        up: &GasSide<S>,
        back: S,
    ) -> Result<S, FluidError> {
        let drop = up.pressure - back;
        let eps = (up.pressure * mixture.smoothing()).max(S::constant(EPS_PA));
        let rounded = (drop.squared() + eps.squared()).sqrt();
        let inlet = Inlet::of(self, mixture, up)?;
        let ratio = -(rounded / up.pressure) + 1.0;
        let mach = inlet.mach(self, ratio);
        Ok(inlet.flux(mach) * (drop / rounded) * self.bore_m2())
    }

    /// Sum of the losses along it at an inlet Mach number: f L/D + K.
    fn loss<S: Scalar>(&self, inlet: &Inlet<S>, mach: S) -> S {
        let reynolds = match self.friction {
            Friction::Factor(_) => S::zero(),
            Friction::Roughness { .. } => inlet.flux(mach) * self.bore_m / inlet.viscosity,
        };
        let friction = self.friction.factor(reynolds, self.bore_m);
        friction * (self.length_m / self.bore_m) + self.minor_loss
    }
}

/// The gas before the line, at rest.
#[derive(Clone, Copy)]
struct Inlet<S> {
    k: S,
    /// sqrt(k p0 rho0), kg/(m2 s).
    sonic: S,
    /// Pa s; of no meaning where the friction factor is given.
    viscosity: S,
}

impl<S: Scalar> Inlet<S> {
    fn of(line: &Line, mixture: &GasMixture, up: &GasSide<S>) -> Result<Self, FluidError> {
        let k = heat_capacity_ratio(mixture, up);
        let viscosity = match line.friction {
            Friction::Factor(_) => S::constant(1.0),
            Friction::Roughness { .. } => gas::viscosity(mixture, up)?,
        };
        Ok(Self {
            k,
            sonic: (k * up.pressure * up.density).sqrt(),
            viscosity,
        })
    }

    /// The same without derivatives.
    fn constant<T: Scalar>(&self) -> Inlet<T> {
        Inlet {
            k: T::constant(self.k.value()),
            sonic: T::constant(self.sonic.value()),
            viscosity: T::constant(self.viscosity.value()),
        }
    }

    /// T0/T.
    fn warmth(&self, mach: S) -> S {
        mach.squared() * (self.k - 1.0) * 0.5 + 1.0
    }

    /// Mass flux, kg/(m2 s).
    fn flux(&self, mach: S) -> S {
        let exponent = (self.k + 1.0) / ((self.k - 1.0) * 2.0);
        mach * self.sonic * (-(exponent * self.warmth(mach).ln())).exp()
    }

    /// F: the loss along a line that ends choked.
    fn fanno(&self, mach: S) -> S {
        let square = mach.squared();
        let log = (square * (self.k + 1.0) * 0.5 / self.warmth(mach)).ln();
        (-square + 1.0) / (self.k * square) + log * (self.k + 1.0) / (self.k * 2.0)
    }

    /// ln of the pressure at the outlet over that at rest.
    fn log_ratio(&self, inlet: S, outlet: S) -> S {
        let (cold, colder) = (self.warmth(inlet).ln(), self.warmth(outlet).ln());
        let fall = cold * self.k / (self.k - 1.0);
        (inlet / outlet).ln() + (cold - colder) * 0.5 - fall
    }

    /// Mach number at the inlet for a pressure ratio p2/p0; with its derivatives by one step of Newton's
    /// method from the solution of the values.
    fn mach(&self, line: &Line, ratio: S) -> S {
        let values = self.constant::<f64>();
        let found = values.solve(line, ratio.value());
        let [inlet, outlet] = [found.inlet, found.outlet].map(S::constant);
        let friction = self.fanno(inlet) - self.fanno(outlet) - line.loss(self, inlet);
        if found.is_choked {
            let one = Dual::<1>::variable(found.inlet, 0);
            let of = self.constant::<Dual<1>>();
            let slope = (of.fanno(one) - line.loss(&of, one)).slope[0];
            // Without loss it is sonic at once, whatever the gas.
            return if slope == 0.0 {
                inlet
            } else {
                inlet - friction / slope
            };
        }
        let pressure = self.log_ratio(inlet, outlet) - ratio.ln();
        let of = self.constant::<Dual<2>>();
        let [one, two] = [found.inlet, found.outlet];
        let (one, two) = (Dual::variable(one, 0), Dual::variable(two, 1));
        let [a, b] = (of.fanno(one) - of.fanno(two) - line.loss(&of, one)).slope;
        let [c, d] = of.log_ratio(one, two).slope;
        inlet - (friction * d - pressure * b) / (a * d - b * c)
    }
}

/// Mach numbers of a line.
struct Found {
    inlet: f64,
    outlet: f64,
    is_choked: bool,
}

impl Inlet<f64> {
    fn solve(&self, line: &Line, ratio: f64) -> Found {
        let left = |mach: f64| self.fanno(mach) - line.loss(self, mach);
        // The line that ends choked; one without loss is choked from its inlet on.
        let choked = bracketed(left, RESTING, 1.0, 0.0).unwrap_or(1.0);
        let is_choked = ratio <= 0.0 || self.log_ratio(choked, 1.0) >= ratio.ln();
        if is_choked {
            let (inlet, outlet) = (choked, 1.0);
            return Found {
                inlet,
                outlet,
                is_choked,
            };
        }
        let outlet = |inlet: f64| {
            let rest = left(inlet).max(0.0);
            let found = bracketed(|mach| self.fanno(mach) - rest, inlet, 1.0, 0.0);
            found.unwrap_or(1.0)
        };
        let over = |inlet: f64| self.log_ratio(inlet, outlet(inlet)) - ratio.ln();
        let inlet = bracketed(over, RESTING, choked, 0.0).unwrap_or(choked);
        Found {
            inlet,
            outlet: outlet(inlet),
            is_choked,
        }
    }
}
