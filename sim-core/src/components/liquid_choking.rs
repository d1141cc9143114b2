//! Liquid that boils in the throat of a restriction and passes no more (theory 4.8).
//!
//! IEC 60534-2-1:2011, 5.3 and equations 3 and 4: flow no longer answers to the pressure behind
//! once the throat, the vena contracta, has come to `F_F p_v`; from there on
//!
//! `p_1 = loss / F_L^2 + F_F p_v`,  `F_F = 0.96 - 0.28 sqrt(p_v/p_c)`,
//!
//! with the loss that the flow would have without boiling and the liquid pressure recovery factor
//! F_L, by which the throat lies deeper than the outlet.

use shared::Scalar;

/// Pressure of a choked throat, F_F p_v, in Pa and its slope by temperature in Pa/K, from the
/// vapour pressure and its slope. Without a critical pressure the liquid counts as far below it.
#[must_use]
pub fn throat_pressure(vapour_pa: f64, slope_pa_k: f64, critical_pa: Option<f64>) -> (f64, f64) {
    let root = critical_pa.map_or(0.0, |critical| (vapour_pa / critical).sqrt());
    let ratio = 0.96 - 0.28 * root;
    (vapour_pa * ratio, slope_pa_k * (ratio - 0.14 * root))
}

/// By how much the pressure in another throat has to be lower for the chain to choke there, Pa: what an
/// evaluation is certain of, and next to nothing beside what drives a flow.
pub const CERTAIN_PA: f64 = 10.0;

/// Which throat of a chain is looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Throat {
    /// That which takes most beyond its loss.
    Hardest,
    /// That of a restriction which the mode of a run says to choke, if any: rates are smooth between events.
    Held(Option<usize>),
}

/// Part of its flow scale over which a column comes to choke.
const FORWARD: f64 = 1e-4;

/// Where a chain chokes.
#[derive(Clone, Copy, Debug)]
pub struct Choke<S> {
    /// Index of the restriction.
    pub element: usize,
    /// What it takes beyond its loss, Pa; below zero it does not choke.
    pub excess: S,
}

impl<S: Scalar> Choke<S> {
    /// The same of a column with this flow: all of it forward, nothing for one that rests or flows back. It is
    /// the flow that chokes, and a throat at rest does not push it back.
    #[must_use]
    pub fn at_flow(self, flow: S, scale_kg_s: f64) -> Self {
        if flow.value() <= 0.0 {
            return Self {
                excess: S::zero(),
                ..self
            };
        }
        let square = (flow / (FORWARD * scale_kg_s)).squared();
        Self {
            excess: self.excess * (square / (square + 1.0)),
            ..self
        }
    }
}
