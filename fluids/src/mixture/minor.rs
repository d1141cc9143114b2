//! The residual part of a vapour that is a minor part of a gas, tabled where ullages are.
//!
//! Its equation of state is the longest of all (56 terms for water), and its share of the
//! mixture's residual is small: read off bicubic splines, six of value and derivatives, it leaves
//! less than 1e-10 of the mixture. Outside the table the equation is evaluated.

use std::sync::OnceLock;

use crate::PureFluid;
use crate::helmholtz::Derivatives;
use crate::spline::{Axis, Surfaces};

/// Reduced density and inverse reduced temperature of the table: 200 to 600 K in nitrogen up to
/// half its critical density.
const DELTA: (f64, f64) = (0.0, 0.5);
const TAU: (f64, f64) = (0.2, 0.65);
const INTERVALS: (usize, usize) = (48, 48);
/// Stands for no density, where the equation is not evaluated.
const THIN: f64 = 1e-9;

/// The table of one fluid, filled when first asked for.
#[derive(Debug, Default)]
pub(crate) struct MinorTable {
    surfaces: OnceLock<Surfaces<6>>,
}

impl MinorTable {
    /// Value and scaled derivatives of the residual part.
    pub fn at(&self, fluid: &PureFluid, delta: f64, tau: f64) -> Derivatives {
        let holds = |(low, high): (f64, f64), x| (low..=high).contains(&x);
        if !(holds(DELTA, delta) && holds(TAU, tau)) {
            return fluid.equation().residual.at(delta, tau);
        }
        let surfaces = self.surfaces.get_or_init(|| fill(fluid));
        let [value, d, t, dd, dt, tt] = surfaces.values(delta, tau);
        Derivatives {
            value,
            d,
            t,
            dd,
            dt,
            tt,
        }
    }
}

fn fill(fluid: &PureFluid) -> Surfaces<6> {
    let across = Axis::new(DELTA.0, DELTA.1, INTERVALS.0);
    let along = Axis::new(TAU.0, TAU.1, INTERVALS.1);
    Surfaces::of(across, along, |delta, tau| {
        let r = fluid.equation().residual.at(delta.max(THIN), tau);
        [r.value, r.d, r.t, r.dd, r.dt, r.tt]
    })
}
