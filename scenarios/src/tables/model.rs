//! `[model]`: the models' own uncertainty, as multipliers on what the correlations give.

use crate::input::{Distribution, Input, InputId, Range};
use crate::read::{Key, TableReader};
use shared::quantity::{Dimension, Reference};

/// Multipliers of the correlations.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Model {
    /// On films between gas and wall.
    pub film: InputId,
    /// On films between gas and liquid.
    pub interface: InputId,
}

const NUMBER: &[Dimension] = &[Dimension::Fraction];
const FILM: Key = Key::new("film_coefficient", NUMBER, Range::NotNegative, "1.0");
const INTERFACE: Key = Key::new("interface_coefficient", NUMBER, Range::NotNegative, "1.0");

impl Model {
    /// Reads the table.
    pub fn read(reader: &mut TableReader<'_>) -> Self {
        let reason =
            "scatter of free-convection correlations in closed vessels: common practice, no source";
        let film = factor_or(reader, FILM, 1.3, reason);
        let reason = "a film between gas and liquid is known less well: common practice, no source";
        let interface = factor_or(reader, INTERFACE, 1.5, reason);
        Self { film, interface }
    }
}

/// A multiplier; one, times or over a factor, unless the file gives it.
fn factor_or(reader: &mut TableReader<'_>, key: Key, factor_95: f64, reason: &str) -> InputId {
    if let Some(id) = reader.optional(key) {
        return id;
    }
    let path = reader.path_of(key.name);
    let value = format!("1, times or over {factor_95} (95 %)");
    reader.context.assume(&path, value, reason);
    reader.context.inputs.add(Input {
        path,
        dimension: Dimension::Fraction,
        nominal: 1.0,
        reference: Reference::None,
        distribution: Distribution::LogNormal { factor_95 },
        range: key.range,
        span: None,
    })
}
