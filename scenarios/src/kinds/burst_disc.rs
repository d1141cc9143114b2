//! A burst disc for gas.

use super::capacity::Capacity;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::quantity::Dimension;
use sim_core::network as net;

/// A burst disc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BurstDisc {
    /// Pressure at which it bursts.
    pub burst_pressure: InputId,
    /// How much it passes once it has burst.
    pub capacity: Capacity,
}

const BURST: Key = Key::new(
    "burst_pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "45 bar(g) ± 5 %",
);

impl BurstDisc {
    /// Reads a burst disc.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let burst_pressure = reader.required(BURST);
        let capacity = Capacity::read(reader);
        Some(Self {
            burst_pressure: burst_pressure?,
            capacity: capacity?,
        })
    }

    /// What the equations run on. The disc is rated against ambient.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, ambient_pa: f64) -> net::BranchKind {
        net::BranchKind::BurstDisc(net::BurstDisc {
            burst_pa: values.si(self.burst_pressure) - ambient_pa,
            capacity: self.capacity.lower(values),
        })
    }
}
