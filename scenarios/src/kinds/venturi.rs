//! A venturi in liquid. It meters: once its throat boils, the flow follows from the pressure before it
//! alone.

use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::quantity::Dimension;
use sim_core::network as net;
use std::f64::consts::PI;

/// A venturi.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Venturi {
    throat: InputId,
    discharge: InputId,
    ratio: InputId,
}

const NUMBER: &[Dimension] = &[Dimension::Fraction];
const THROAT: Key = Key::new("throat", &[Dimension::Length], Range::Positive, "3 mm");
const DISCHARGE: Key = Key::new(
    "discharge_coefficient",
    NUMBER,
    Range::ProperFraction,
    "0.95",
);
const RATIO: Key = Key::new("choking_ratio", NUMBER, Range::BelowOne, "0.85");

impl Venturi {
    /// Reads a venturi.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let throat = reader.required(THROAT);
        let discharge = reader.or_default(
            DISCHARGE,
            "0.93 .. 0.99",
            "small machined venturi: common practice, no source",
        );
        let ratio = reader.or_default(
            RATIO,
            "0.80 .. 0.90",
            "outlet to inlet pressure below which it chokes: common practice, no source",
        );
        Some(Self {
            throat: throat?,
            discharge,
            ratio,
        })
    }

    /// What the equations run on. It chokes where `p_2 = ratio p_1`, far above the vapour
    /// pressure: `F_L^2 = 1 - ratio`.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::ElementKind {
        let bore_m2 = PI * values.si(self.throat).powi(2) / 4.0;
        net::ElementKind::Venturi {
            throat_m2: values.si(self.discharge) * bore_m2,
            recovery: (1.0 - values.si(self.ratio)).sqrt(),
        }
    }
}
