//! A check valve for gas.

use super::capacity::Capacity;
use crate::input::{InputId, Range, Values};
use crate::read::{Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::network as net;

/// A check valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckValve {
    cracking: InputId,
    full_open: Option<InputId>,
    reseat: Option<InputId>,
    /// How much it passes wide open.
    pub capacity: Capacity,
    response: InputId,
}

/// Full open over cracking pressure.
const FULL_OPEN: f64 = 2.0;
/// Reseat over cracking pressure.
const RESEAT: f64 = 0.8;

const DIFFERENCE: &[Dimension] = &[Dimension::PressureDifference];
const CRACKING: Key = Key::new("cracking_pressure", DIFFERENCE, Range::Positive, "0.3 bar");
const FULL: Key = Key::new("full_open_pressure", DIFFERENCE, Range::Positive, "0.6 bar");
const SEATED: Key = Key::new("reseat_pressure", DIFFERENCE, Range::NotNegative, "0.2 bar");
const RESPONSE: Key = Key::new("response_time", &[Dimension::Time], Range::Positive, "5 ms");

impl CheckValve {
    /// Reads a check valve.
    pub fn read(reader: &mut TableReader<'_>) -> Option<Self> {
        let cracking = reader.required(CRACKING);
        let full_open = factor_of(reader, FULL, FULL_OPEN);
        let reseat = factor_of(reader, SEATED, RESEAT);
        let capacity = Capacity::read(reader);
        let response = reader.or_default(
            RESPONSE,
            "2 .. 8 ms",
            "spring-loaded poppet: common practice, no source",
        );
        let valve = Self {
            cracking: cracking?,
            full_open,
            reseat,
            capacity: capacity?,
            response,
        };
        valve.check_order(reader);
        Some(valve)
    }

    fn check_order(&self, reader: &mut TableReader<'_>) {
        let values = reader.context.inputs.nominal();
        let (reseat, cracking, full) = self.pressures_pa(&values);
        if full <= cracking {
            let message = "a check valve is fully open above its cracking pressure, not below";
            let remedy = "raise full_open_pressure, or leave it out".to_owned();
            reader.error_at(FULL.name, &codes::OUT_OF_RANGE, message.to_owned(), remedy);
        }
        if reseat > cracking {
            let message = "a check valve reseats below its cracking pressure, not above";
            let remedy = "lower reseat_pressure, or leave it out".to_owned();
            reader.error_at(
                SEATED.name,
                &codes::OUT_OF_RANGE,
                message.to_owned(),
                remedy,
            );
        }
    }

    /// Reseat, cracking and full-open pressure.
    fn pressures_pa(&self, values: &Values<'_>) -> (f64, f64, f64) {
        let cracking = values.si(self.cracking);
        let full = self
            .full_open
            .map_or(FULL_OPEN * cracking, |id| values.si(id));
        let reseat = self.reseat.map_or(RESEAT * cracking, |id| values.si(id));
        (reseat, cracking, full)
    }

    /// What the equations run on.
    #[must_use]
    pub fn lower(&self, values: &Values<'_>) -> net::BranchKind {
        let (reseat_pa, cracking_pa, full_open_pa) = self.pressures_pa(values);
        net::BranchKind::Poppet(net::Poppet {
            duty: net::Duty::Check,
            cracking_pa,
            full_open_pa,
            reseat_pa,
            capacity: self.capacity.lower(values),
            response_s: values.si(self.response),
        })
    }
}

/// A pressure that is a factor of the cracking pressure unless the file gives it.
fn factor_of(reader: &mut TableReader<'_>, key: Key, factor: f64) -> Option<InputId> {
    if !reader.has(key.name) {
        let path = reader.path_of(key.name);
        let value = format!("{factor} times the cracking pressure");
        let reason = "common practice, no source";
        reader.context.assume(&path, value, reason);
    }
    reader.optional(key)
}
