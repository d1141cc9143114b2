//! What turns a valve: command, delay, stroke (theory 4.4).
//!
//! Travel is a known function of time between commands, so it is no state of the ODE; the
//! ends of delay and stroke are scheduled stops.

use crate::network::{Actuator, PositionLaw};
use shared::{MonotoneCubic, Scalar};

/// Decay of the first-order law: 95 % of the travel at the end of the stroke time.
const FIRST_ORDER_RATE: f64 = 2.995_732_273_553_991;

/// A move in progress, or finished.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Travel before.
    pub from: f64,
    /// Travel wanted.
    pub to: f64,
    /// When the stem begins to move.
    pub begins_s: f64,
    /// How long the move takes.
    pub lasts_s: f64,
}

/// An actuator made ready to run.
#[derive(Clone, Debug)]
pub struct Stem {
    law: PositionLaw,
    table: Option<MonotoneCubic>,
}

impl Motion {
    /// At rest at a travel.
    #[must_use]
    pub fn rest(travel: f64) -> Self {
        Self {
            from: travel,
            to: travel,
            begins_s: f64::NEG_INFINITY,
            lasts_s: 0.0,
        }
    }

    /// When the move is over.
    #[must_use]
    pub fn ends_s(&self) -> f64 {
        self.begins_s + self.lasts_s
    }
}

impl Actuator {
    /// The move that begins now from a travel.
    #[must_use]
    pub fn motion(&self, from: f64, to: f64, now_s: f64) -> Motion {
        let full_s = if to > from {
            self.opening_s
        } else {
            self.closing_s
        };
        Motion {
            from,
            to,
            begins_s: now_s,
            lasts_s: full_s * (to - from).abs(),
        }
    }
}

impl Stem {
    /// Prepares an actuator's position law. An unusable table falls back on constant speed.
    #[must_use]
    pub fn new(actuator: &Actuator) -> Self {
        let table = match &actuator.law {
            PositionLaw::Table { points } => MonotoneCubic::new(points).ok(),
            _ => None,
        };
        Self {
            law: actuator.law.clone(),
            table,
        }
    }

    /// Travel at a time, 0 shut to 1 open. After the first-order law's stroke time the stem
    /// keeps creeping, as a real one does.
    #[must_use]
    pub fn travel<S: Scalar>(&self, motion: &Motion, time: S) -> S {
        let now = time.value();
        if now <= motion.begins_s || motion.from == motion.to {
            return S::constant(if now <= motion.begins_s {
                motion.from
            } else {
                motion.to
            });
        }
        if motion.lasts_s <= 0.0 {
            return S::constant(motion.to);
        }
        let s = (time - motion.begins_s) / motion.lasts_s;
        self.covered(s) * (motion.to - motion.from) + motion.from
    }

    /// Fraction of a move covered at a fraction of its time.
    fn covered<S: Scalar>(&self, s: S) -> S {
        if matches!(self.law, PositionLaw::FirstOrder) {
            return -(s * -FIRST_ORDER_RATE).exp() + 1.0;
        }
        if s.value() >= 1.0 {
            return S::constant(1.0);
        }
        match (&self.law, &self.table) {
            (PositionLaw::SCurve, _) => s.squared() * (s * -2.0 + 3.0),
            (PositionLaw::Table { .. }, Some(table)) => table.at(s),
            _ => s,
        }
    }
}
