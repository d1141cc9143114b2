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
//! With a hysteresis h the lift is held by friction between two demands: that at the fall less h, to
//! which it opens, and that at the fall itself, to which it closes (a play operator). Lock-up is where
//! it closes.
//!
//! The modes of the demand (shut, following, held, wide open) are frozen between located
//! events; their guards have a band of [`BAND`] of full lift.

use super::gas::GasSide;
use super::restriction::gas_flow;
use crate::network::{Capacity, Droop, FlowCurve, Regulator};
use fluids::{FluidError, GasMixture};
use shared::{MonotoneCubic, Scalar};

/// Band of demand by which a mode is left later than it was entered.
const BAND: f64 = 1e-5;

/// Which law the demand follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RegulatorMode {
    /// Outlet above lock-up: demand 0.
    Shut,
    /// Demand by droop, as it opens; without hysteresis also as it closes.
    Opening,
    /// Held by friction.
    Held,
    /// Demand by droop, as it closes against friction.
    Closing,
    /// Demand 1.
    WideOpen,
}

/// Lifts demanded, unclamped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Demand<S> {
    /// Up to which the lift rises.
    pub opening: S,
    /// Down to which it falls; not below that for opening.
    pub closing: S,
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

    /// Lifts demanded at a supply pressure and an outlet pressure.
    pub fn demand<S: Scalar>(&self, curve: &DemandCurve, supply: S, outlet: S) -> Demand<S> {
        let fall = self.lock_up(supply) - outlet;
        let closing = curve.demand(fall, supply);
        let opening = if self.hysteresis_pa > 0.0 {
            curve.demand(fall - self.hysteresis_pa, supply)
        } else {
            closing
        };
        Demand { opening, closing }
    }

    /// Rate of the lift in 1/s.
    pub fn lift_rate<S: Scalar>(&self, mode: RegulatorMode, demand: Demand<S>, lift: S) -> S {
        let target = match mode {
            RegulatorMode::Shut => S::zero(),
            RegulatorMode::Opening => demand.opening,
            RegulatorMode::Held => lift,
            RegulatorMode::Closing => demand.closing,
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
    /// The mode that a demand asks for of a regulator that was shut.
    #[must_use]
    pub fn of_demand(demand: Demand<f64>) -> Self {
        if demand.opening <= 0.0 {
            Self::Shut
        } else if demand.opening < 1.0 {
            Self::Opening
        } else {
            Self::WideOpen
        }
    }

    /// The modes that can follow at a lift, each with its guard: positive once it must be taken.
    #[must_use]
    pub fn exits(self, regulator: &Regulator, demand: Demand<f64>, lift: f64) -> Vec<(Self, f64)> {
        let Demand { opening, closing } = demand;
        let rubs = regulator.hysteresis_pa > 0.0;
        match self {
            Self::Shut if rubs => vec![(Self::Held, opening - BAND)],
            Self::Shut => vec![(Self::Opening, opening - BAND)],
            Self::Opening if rubs => vec![
                (Self::Held, lift - opening),
                (Self::WideOpen, opening - 1.0),
            ],
            Self::Opening => vec![(Self::Shut, -closing), (Self::WideOpen, opening - 1.0)],
            Self::Held => vec![
                (Self::Opening, opening - lift - BAND),
                (Self::Closing, lift - closing - BAND),
            ],
            Self::Closing => vec![(Self::Held, closing - lift), (Self::Shut, -closing)],
            Self::WideOpen if rubs => vec![(Self::Held, 1.0 - BAND - closing)],
            Self::WideOpen => vec![(Self::Opening, 1.0 - BAND - opening)],
        }
    }

    /// Whether it is neither shut nor wide open.
    #[must_use]
    pub fn is_regulating(self) -> bool {
        matches!(self, Self::Opening | Self::Held | Self::Closing)
    }
}
