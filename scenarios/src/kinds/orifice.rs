//! A fixed restriction, in gas or in liquid.

use super::capacity::Capacity;
use crate::input::Values;
use crate::read::TableReader;
use sim_core::network as net;

/// An orifice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orifice {
    /// How much it passes.
    pub capacity: Capacity,
}

impl Orifice {
    /// Reads an orifice.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let capacity = Capacity::read_for_orifice(reader)?;
        Some(Self { capacity })
    }

    /// In gas.
    #[must_use]
    pub fn lower_gas(&self, values: &Values<'_>) -> net::BranchKind {
        net::BranchKind::GasRestriction(net::GasRestriction {
            capacity: self.capacity.lower(values),
            valve: None,
        })
    }

    /// In liquid.
    #[must_use]
    pub fn lower_liquid(&self, values: &Values<'_>) -> net::ElementKind {
        net::ElementKind::Orifice {
            capacity: self.capacity.lower(values),
            recovery: self.capacity.recovery(values),
        }
    }
}
