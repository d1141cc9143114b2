//! Units in which results are shown.

use super::dimension::Dimension;
use super::fault::Fault;
use super::parse;
use super::unit::{Reference, Unit, resolve};
use std::collections::BTreeMap;

/// Digits that a reader can use: enough for the fourth figure of a pressure.
const DIGITS: i32 = 4;
/// No instrument on a stand gives more decimals.
const MOST_DECIMALS: i32 = 4;

/// Below how much, in SI, a quantity comes in a smaller unit.
const SMALLER: [(Dimension, f64, &str); 4] = [
    (Dimension::Length, 1.0, "mm"),
    (Dimension::Volume, 1e-3, "mL"),
    (Dimension::Mass, 1e-2, "g"),
    (Dimension::MassFlow, 1e-2, "g/s"),
];
/// Below this number a mass or a mass flow, of which a trace counts, has [`FEWER_DIGITS`] wherever
/// they stand: at the end of a band, or in a unit that was chosen.
const SMALL: f64 = 1e-2;
const FEWER_DIGITS: i32 = 3;
const MOST_DECIMALS_OF_SMALL: i32 = 6;

/// The unit for each kind of quantity, and what gauge pressures are counted from.
#[derive(Clone, Debug, PartialEq)]
pub struct Display {
    ambient_pa: f64,
    chosen: BTreeMap<Dimension, (&'static Unit, Reference)>,
}

impl Display {
    /// The usual units: bar(g), degC, kg, kg/s, L, m, s, kJ.
    #[must_use]
    pub fn new(ambient_pa: f64) -> Self {
        Self {
            ambient_pa,
            chosen: BTreeMap::new(),
        }
    }

    /// Shows `dimension` in the unit that `text` spells. A unit for pressures or temperatures
    /// is taken for their differences too, unless these are set to another.
    ///
    /// # Errors
    /// A [`Fault`] if the unit is unknown, measures something else, or is a pressure of which
    /// it is not said whether it is gauge or absolute.
    pub fn show(&mut self, dimension: Dimension, text: &str) -> Result<(), Fault> {
        let chosen = parse::unit_alone(text, dimension)?;
        self.chosen.insert(dimension, chosen);
        Ok(())
    }

    /// Shows `dimension`, and a level's difference too, in the unit in which a quantity was
    /// written.
    #[must_use]
    pub fn like(&self, dimension: Dimension, unit: &'static Unit, reference: Reference) -> Self {
        let mut display = self.clone();
        display.chosen.insert(dimension, (unit, reference));
        if dimension == Dimension::Pressure {
            let difference = (unit, Reference::None);
            display
                .chosen
                .insert(Dimension::PressureDifference, difference);
        }
        display
    }

    /// The same with pressures counted from a vacuum.
    #[must_use]
    pub fn absolute(&self) -> Self {
        let (unit, _) = self.choice(Dimension::Pressure);
        self.like(Dimension::Pressure, unit, Reference::Absolute)
    }

    /// Pressure of the surroundings, from which gauge pressures are counted.
    #[must_use]
    pub fn ambient_pa(&self) -> f64 {
        self.ambient_pa
    }

    /// A number of the unit shown, from SI. Pressures come absolute.
    #[must_use]
    pub fn value(&self, dimension: Dimension, si: f64) -> f64 {
        let (unit, reference) = self.choice(dimension);
        match (dimension, reference) {
            (_, Reference::Gauge) => unit.from_si(si - self.ambient_pa),
            (Dimension::TemperatureDifference, _) => si / unit.factor,
            _ => unit.from_si(si),
        }
    }

    /// The unit shown; empty for pure numbers.
    #[must_use]
    pub fn unit(&self, dimension: Dimension) -> String {
        let (unit, reference) = self.choice(dimension);
        let suffix = match reference {
            Reference::Gauge => "(g)",
            Reference::Absolute => "(a)",
            Reference::None => "",
        };
        let symbol = if unit.symbol == "1" {
            ""
        } else {
            unit.printed()
        };
        format!("{symbol}{suffix}")
    }

    /// A number with its unit, to sensible digits: `31.97 bar(g)`.
    #[must_use]
    pub fn text(&self, dimension: Dimension, si: f64) -> String {
        let display = self.fitting(dimension, si);
        let number = display.number(dimension, si);
        format!("{number} {}", display.unit(dimension))
            .trim_end()
            .to_owned()
    }

    /// The same with a smaller unit for what is small in the usual one: a bore comes in mm, half a
    /// litre in mL, a trace of gas in g. A unit that was chosen stays.
    #[must_use]
    pub fn fitting(&self, dimension: Dimension, si: f64) -> Self {
        let mut smaller = SMALLER.into_iter().filter(|s| s.0 == dimension);
        let is_small = |below: f64| si != 0.0 && si.abs() < below;
        match smaller.next() {
            Some((_, below, symbol))
                if is_small(below) && !self.chosen.contains_key(&dimension) =>
            {
                let (unit, reference) = usual(symbol);
                self.like(dimension, unit, reference)
            }
            _ => self.clone(),
        }
    }

    /// The number of [`Display::text`] alone.
    #[must_use]
    pub fn number(&self, dimension: Dimension, si: f64) -> String {
        let value = self.value(dimension, si);
        match dimension {
            // No thermocouple is better, and digits that follow the zero point mislead.
            Dimension::Temperature => format!("{value:.1}"),
            Dimension::Time => significant(value, DIGITS, 3),
            Dimension::Mass | Dimension::MassFlow if is_small(value) => {
                significant(value, FEWER_DIGITS, MOST_DECIMALS_OF_SMALL)
            }
            _ => significant(value, DIGITS, MOST_DECIMALS),
        }
    }

    fn choice(&self, dimension: Dimension) -> (&'static Unit, Reference) {
        if let Some(&chosen) = self.chosen.get(&dimension) {
            return chosen;
        }
        match dimension {
            Dimension::PressureDifference => (self.choice(Dimension::Pressure).0, Reference::None),
            Dimension::TemperatureDifference => {
                let celsius_or_kelvin = self.choice(Dimension::Temperature).0.factor == 1.0;
                usual(if celsius_or_kelvin { "K" } else { "R" })
            }
            Dimension::MassFlow => usual("kg/s"),
            Dimension::Mass => usual("kg"),
            Dimension::Length => usual("m"),
            Dimension::Energy => usual("kJ"),
            other => usual(other.usual_units()[0]),
        }
    }
}

fn is_small(value: f64) -> bool {
    value != 0.0 && value.abs() < SMALL
}

fn usual(symbol: &str) -> (&'static Unit, Reference) {
    resolve(symbol).expect("usual units stand in the table; a test looks up each")
}

/// A number to so many significant digits, but no more decimals than `most_decimals`.
///
/// Numbers that would lose whole places are still written out: 123456.7 gives `123457`.
#[must_use]
pub fn significant(value: f64, digits: i32, most_decimals: i32) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let magnitude = if value == 0.0 {
        0
    } else {
        value.abs().log10().floor() as i32
    };
    let decimals = (digits - 1 - magnitude).clamp(0, most_decimals) as usize;
    let text = format!("{value:.decimals$}");
    if text
        .trim_start_matches('-')
        .bytes()
        .all(|b| matches!(b, b'0' | b'.'))
    {
        // A minus before nothing but noughts says more than is known.
        return text.trim_start_matches('-').to_owned();
    }
    text
}
