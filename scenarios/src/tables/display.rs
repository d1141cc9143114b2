//! `[display]`: the units of tables and plots.

use crate::read::TableReader;
use shared::quantity::{Dimension, Display};

const KEYS: [(&str, Dimension); 13] = [
    ("pressure", Dimension::Pressure),
    ("pressure_difference", Dimension::PressureDifference),
    ("temperature", Dimension::Temperature),
    ("temperature_difference", Dimension::TemperatureDifference),
    ("mass", Dimension::Mass),
    ("mass_flow", Dimension::MassFlow),
    ("volume", Dimension::Volume),
    ("volume_flow", Dimension::VolumeFlow),
    ("gas_flow", Dimension::StandardFlow),
    ("length", Dimension::Length),
    ("time", Dimension::Time),
    ("force", Dimension::Force),
    ("energy", Dimension::Energy),
];

/// Reads the table.
pub fn read(reader: &mut TableReader<'_>, ambient_pa: f64) -> Display {
    let mut display = Display::new(ambient_pa);
    for (key, dimension) in KEYS {
        let Some((node, text)) = reader.text(key) else {
            continue;
        };
        if let Err(fault) = display.show(dimension, text) {
            let diagnostic = fault.diagnostic(&node.span_of(&fault.at));
            reader.context.report(diagnostic);
        }
    }
    display
}
