//! Pressure regulator (theory 2.5).
//!
//! The lift follows its demand with a first-order lag, x' = (x_d - x)/tau. The demand rises
//! with the fall of the outlet below lock-up, from 0 at lock-up to 1 wide open; lock-up
//! itself rises by `supply_effect` times the fall of the supply. Wide open the regulator is
//! a fixed orifice and regulation is lost.
//!
//! Of flow curves at several supply pressures, those on either side of the present one are
//! weighted by their nearness; beyond the range the nearest one holds, and lock-up is led on
//! straight.
//!
//! The three modes of the demand (shut, regulating, wide open) are frozen between located
//! events; their guards have a hysteresis of [`HYSTERESIS`] of full lift.

use super::gas::GasSide;
use super::restriction::gas_flow;
use crate::network::{Capacity, Droop, FlowCurve, Regulator};
use fluids::{FluidError, GasMixture};
use shared::{MonotoneCubic, Scalar};

/// Band of demand by which a mode is left later than it was entered.
pub const HYSTERESIS: f64 = 1e-5;

/// Which law the demand follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RegulatorMode {
    /// Outlet above lock-up: demand 0.
    Shut,
    /// Demand by droop.
    Regulating,
    /// Demand 1.
    WideOpen,
}

/// Lift demanded against the fall of the outlet below lock-up and the supply pressure.
#[derive(Clone, Debug)]
pub struct DemandCurve {
    /// In the order of their supply pressures; one where the supply makes no difference.
    curves: Vec<SuppliedCurve>,
}

/// Lift demanded at one supply pressure.
#[derive(Clone, Debug)]
struct SuppliedCurve {
    supply_pa: f64,
    lift: MonotoneCubic,
    full_pa: f64,
}

impl DemandCurve {
    /// Builds the curve of a droop. A curve that cannot be built falls back on its end point.
    #[must_use]
    pub fn new(droop: &Droop) -> Self {
        let curves = match droop {
            Droop::Linear { full_pa } => {
                vec![SuppliedCurve::new(0.0, &[(0.0, 0.0), (*full_pa, 1.0)])]
            }
            Droop::Curves(curves) => curves
                .iter()
                .map(|curve| SuppliedCurve::new(curve.supply_pa, &curve.points))
                .collect(),
        };
        Self { curves }
    }

    /// Lift demanded, unclamped: negative above lock-up, above one beyond wide open.
    #[must_use]
    pub fn demand<S: Scalar>(&self, fall: S, supply: S) -> S {
        let next = self
            .curves
            .partition_point(|c| c.supply_pa <= supply.value());
        let (below, above) = self.curves.split_at(next);
        match (below.last(), above.first()) {
            (Some(below), Some(above)) => {
                let part = (supply - below.supply_pa) / (above.supply_pa - below.supply_pa);
                let low = below.demand(fall);
                low + (above.demand(fall) - low) * part
            }
            (Some(nearest), None) | (None, Some(nearest)) => nearest.demand(fall),
            (None, None) => S::zero(),
        }
    }
}

impl SuppliedCurve {
    fn new(supply_pa: f64, points: &[(f64, f64)]) -> Self {
        let full_pa = points.last().map_or(1.0, |last| last.0);
        let lift = MonotoneCubic::new(points).unwrap_or_else(|_| MonotoneCubic::line(full_pa, 1.0));
        Self {
            supply_pa,
            lift,
            full_pa,
        }
    }

    fn demand<S: Scalar>(&self, fall: S) -> S {
        if (0.0..self.full_pa).contains(&fall.value()) {
            self.lift.at(fall)
        } else {
            fall / self.full_pa
        }
    }
}

impl Regulator {
    /// Lock-up pressure in Pa at a supply pressure.
    pub fn lock_up<S: Scalar>(&self, supply: S) -> S {
        let lock_up = (-supply + self.reference_supply_pa) * self.supply_effect + self.lock_up_pa;
        match &self.droop {
            Droop::Curves(curves) if curves.len() > 1 => {
                let reference = measured_lock_up(curves, self.reference_supply_pa);
                lock_up + measured_lock_up(curves, supply) - reference
            }
            _ => lock_up,
        }
    }

    /// Rate of the lift in 1/s.
    pub fn lift_rate<S: Scalar>(&self, mode: RegulatorMode, demand: S, lift: S) -> S {
        let target = match mode {
            RegulatorMode::Shut => S::zero(),
            RegulatorMode::Regulating => demand,
            RegulatorMode::WideOpen => S::constant(1.0),
        };
        (target - lift) / self.response_s
    }

    /// Mass flow in kg/s at a lift, with what leaks past the seat.
    ///
    /// # Errors
    /// When the supply is outside the range of the flux table.
    pub fn flow<S: Scalar>(
        &self,
        mixture: &GasMixture,
        lift: S,
        supply: &GasSide<S>,
        outlet: &GasSide<S>,
    ) -> Result<S, FluidError> {
        let flow = gas_flow(&self.capacity, mixture, supply, outlet)? * lift;
        if self.leak_m2 == 0.0 {
            return Ok(flow);
        }
        Ok(flow + self.leak(mixture, supply, outlet)?)
    }

    /// Mass flow past the shut seat in kg/s.
    ///
    /// # Errors
    /// When the supply is outside the range of the flux table.
    pub fn leak<S: Scalar>(
        &self,
        mixture: &GasMixture,
        supply: &GasSide<S>,
        outlet: &GasSide<S>,
    ) -> Result<S, FluidError> {
        let seat = Capacity::EffectiveArea { m2: self.leak_m2 };
        gas_flow(&seat, mixture, supply, outlet)
    }
}

/// Lock-up of at least two curves at a supply pressure, Pa: between neighbours, led on straight.
fn measured_lock_up<S: Scalar>(curves: &[FlowCurve], supply: S) -> S {
    let next = curves.partition_point(|c| c.supply_pa <= supply.value());
    let next = next.clamp(1, curves.len() - 1);
    let (below, above) = (&curves[next - 1], &curves[next]);
    let slope = (above.lock_up_pa() - below.lock_up_pa()) / (above.supply_pa - below.supply_pa);
    (supply - below.supply_pa) * slope + below.lock_up_pa()
}

impl RegulatorMode {
    /// The mode that a demand asks for.
    #[must_use]
    pub fn of_demand(demand: f64) -> Self {
        if demand <= 0.0 {
            Self::Shut
        } else if demand < 1.0 {
            Self::Regulating
        } else {
            Self::WideOpen
        }
    }

    /// The modes that can follow, each with its guard: positive once it must be taken.
    #[must_use]
    pub fn exits(self, demand: f64) -> Vec<(Self, f64)> {
        match self {
            Self::Shut => vec![(Self::Regulating, demand - HYSTERESIS)],
            Self::Regulating => vec![(Self::Shut, -demand), (Self::WideOpen, demand - 1.0)],
            Self::WideOpen => vec![(Self::Regulating, 1.0 - HYSTERESIS - demand)],
        }
    }
}
