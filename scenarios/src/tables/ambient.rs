//! `[ambient]`: the air around the stand.

use crate::input::{Input, InputId, Range};
use crate::read::{Context, Key, TableReader};
use shared::quantity::{Dimension, Quantity, Reference};
use shared::{Diagnostic, codes};

/// The air around the stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ambient {
    /// Its pressure, absolute.
    pub pressure: InputId,
    /// Its temperature.
    pub temperature: InputId,
}

const PRESSURE: Key = Key::new(
    "pressure",
    &[Dimension::Pressure],
    Range::Positive,
    "1.013 bar(a)",
);
const ALTITUDE: Key = Key::new("altitude", &[Dimension::Length], Range::Any, "1200 m");
const TEMPERATURE: Key = Key::new(
    "temperature",
    &[Dimension::Temperature],
    Range::Positive,
    "18 degC",
);
/// Of the standard atmosphere's lowest layer.
const ALTITUDES_M: std::ops::RangeInclusive<f64> = -500.0..=11_000.0;

impl Ambient {
    /// Reads the table.
    pub fn read(reader: &mut TableReader<'_>) -> Self {
        reader.one_of(&[PRESSURE.name, ALTITUDE.name]);
        let given = read_pressure(reader);
        let at_altitude = read_altitude(reader);
        let pressure = given.or(at_altitude).unwrap_or_else(|| {
            let path = reader.path_of(PRESSURE.name);
            let reason = "standard atmosphere at sea level (ISO 2533)";
            let text = "1.01325 bar(a) ± 3 %";
            reader
                .context
                .default_input(&path, Dimension::Pressure, Range::Positive, text, reason)
        });
        reader.context.inputs.count_gauge_from(pressure);
        let reason = "standard atmosphere at sea level (ISO 2533)";
        let temperature = reader.or_default(TEMPERATURE, "15 °C ± 10 K", reason);
        Self {
            pressure,
            temperature,
        }
    }

    /// A pressure that is ambient unless the file gives it.
    pub fn pressure_or(&self, reader: &mut TableReader<'_>, key: Key) -> InputId {
        or_ambient(reader, key, self.pressure)
    }

    /// A temperature that is ambient unless the file gives it.
    pub fn temperature_or(&self, reader: &mut TableReader<'_>, key: Key) -> InputId {
        or_ambient(reader, key, self.temperature)
    }
}

fn or_ambient(reader: &mut TableReader<'_>, key: Key, ambient: InputId) -> InputId {
    if !reader.has(key.name) {
        let path = reader.path_of(key.name);
        let reason = "nothing else is said";
        reader.context.assume(&path, "as the ambient", reason);
    }
    reader.optional(key).unwrap_or(ambient)
}

/// The pressure; a gauge one has no meaning, and a bare one can only be absolute.
fn read_pressure(reader: &mut TableReader<'_>) -> Option<InputId> {
    reader.describe_quantity(PRESSURE);
    let node = &reader.entry(PRESSURE.name)?.node;
    let text = node.text().unwrap_or("");
    let is_gauge = match Quantity::parse(text, PRESSURE.dimensions) {
        Ok(quantity) => quantity.reference == Reference::Gauge,
        Err(fault) => fault.code == &codes::AMBIGUOUS_PRESSURE,
    };
    if is_gauge {
        let message = format!("ambient.pressure = \"{text}\" does not say that it is absolute");
        reader.context.report(
            Diagnostic::error(&codes::NO_GAUGE_HERE, message)
                .at(&node.span, "")
                .remedy("write it absolute, as in \"1.013 bar(a)\" or \"14.7 psia\", or give an altitude"),
        );
        return None;
    }
    let quantity = reader.context.quantity(node, PRESSURE.dimensions)?;
    reader.input(PRESSURE, node, &quantity)
}

fn read_altitude(reader: &mut TableReader<'_>) -> Option<InputId> {
    reader.describe_quantity(ALTITUDE);
    let node = &reader.entry(ALTITUDE.name)?.node;
    let quantity = reader.context.quantity(node, ALTITUDE.dimensions)?;
    if !ALTITUDES_M.contains(&quantity.value) {
        let message = format!("an altitude of {:.0} m is out of range", quantity.value);
        let remedy = "write one between -500 m and 11000 m, or give the pressure".to_owned();
        reader.error_at(ALTITUDE.name, &codes::OUT_OF_RANGE, message, remedy);
        return None;
    }
    let nominal = standard_pressure_pa(quantity.value);
    let path = reader.path_of(PRESSURE.name);
    let value = format!("{:.5} bar(a)", nominal / 1e5);
    let reason = "standard atmosphere at this altitude (ISO 2533)";
    reader.context.assume(&path, value, reason);
    Some(add_pressure(reader.context, path, nominal))
}

fn add_pressure(context: &mut Context, path: String, nominal: f64) -> InputId {
    let weather = 0.03 * nominal;
    context.inputs.add(Input {
        path,
        dimension: Dimension::Pressure,
        nominal,
        reference: Reference::Absolute,
        distribution: crate::input::Distribution::Normal {
            half_width_95: weather,
        },
        range: Range::Positive,
        span: None,
    })
}

/// Pressure of the standard atmosphere below 11 km: ISO 2533 (1975), T0 = 288.15 K, lapse rate
/// 6.5 K/km, exponent g M/(R L) = 5.255 88.
fn standard_pressure_pa(altitude_m: f64) -> f64 {
    101_325.0 * (1.0 - 0.0065 * altitude_m / 288.15).powf(5.255_88)
}

#[cfg(test)]
mod tests {
    use super::standard_pressure_pa;

    /// ISO 2533 (1975), table 1 (geopotential altitude); five figures, from memory.
    #[test]
    fn the_standard_atmosphere_is_that_of_the_table() {
        for (altitude_m, pa) in [(0.0, 101_325.0), (1_000.0, 89_875.0), (5_000.0, 54_020.0)] {
            // Half a unit of the fifth figure.
            assert!((standard_pressure_pa(altitude_m) / pa - 1.0).abs() < 1e-4);
        }
    }
}
