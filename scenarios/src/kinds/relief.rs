//! A spring-loaded relief valve for gas.

use super::capacity::Capacity;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::quantity::Dimension;
use sim_core::network as net;

/// A relief valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// At which it begins to lift.
    pub set_pressure: InputId,
    overpressure: InputId,
    reseat: InputId,
    /// How much it passes wide open.
    pub capacity: Capacity,
    response: InputId,
}

const FRACTION: &[Dimension] = &[Dimension::Fraction];
const SET: Key = Key::new(
    "set_pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "38 bar(g)",
);
const OVERPRESSURE: Key = Key::new("overpressure", FRACTION, Range::ProperFraction, "10 %");
const RESEAT: Key = Key::new("reseat", FRACTION, Range::ProperFraction, "90 %");
const RESPONSE: Key = Key::new(
    "response_time",
    &[Dimension::Time],
    Range::Positive,
    "10 ms",
);

impl Relief {
    /// Reads a relief valve.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let set_pressure = reader.required(SET);
        let overpressure = reader.or_default(
            OVERPRESSURE,
            "10 %",
            "above the set pressure at full lift, as capacities are stated (API 520; from memory)",
        );
        let reseat = reader.or_default(
            RESEAT,
            "85 % .. 97 %",
            "of the set pressure: spring-loaded valves, common practice, no source",
        );
        let capacity = Capacity::read(reader);
        let response = reader.or_default(
            RESPONSE,
            "5 .. 30 ms",
            "spring-loaded disc: common practice, no source",
        );
        Some(Self {
            set_pressure: set_pressure?,
            overpressure,
            reseat,
            capacity: capacity?,
            response,
        })
    }

    /// What the equations run on. The spring is set against ambient.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>, ambient_pa: f64) -> net::BranchKind {
        let set_pa = values.si(self.set_pressure) - ambient_pa;
        net::BranchKind::Poppet(net::Poppet {
            duty: net::Duty::Relief,
            cracking_pa: set_pa,
            full_open_pa: set_pa * (1.0 + values.si(self.overpressure)),
            reseat_pa: set_pa * values.si(self.reseat),
            capacity: self.capacity.lower(values),
            response_s: values.si(self.response),
        })
    }
}
