//! A unit: how it is spelled and what it is worth.

use super::dimension::Dimension;
use super::table::UNITS;
use crate::nearest;

/// A unit of measurement.
///
/// A unit of pressure is worth a difference; a reference beside it (`(g)`, `(a)`) makes it a
/// level. Kelvin and rankine serve levels and differences of temperature.
#[derive(Debug, PartialEq)]
pub struct Unit {
    /// How this program writes it.
    pub symbol: &'static str,
    /// Other spellings that are understood.
    pub aliases: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// SI units in one of it.
    pub factor: f64,
    /// Its zero in SI units.
    pub zero: f64,
    /// What it refers to, where a name alone leaves that open; may be empty.
    pub note: &'static str,
}

impl Unit {
    /// The unit spelled `symbol`, without any pressure reference.
    #[must_use]
    pub fn find(symbol: &str) -> Option<&'static Self> {
        let plain = plain(symbol);
        UNITS
            .iter()
            .find(|u| u.symbol == plain || u.aliases.contains(&plain.as_str()))
    }

    /// How it looks in print; it is understood in this spelling too.
    #[must_use]
    pub fn printed(&self) -> &'static str {
        let printed = PRINTED.iter().find(|(symbol, _)| *symbol == self.symbol);
        printed.map_or(self.symbol, |p| p.1)
    }

    /// A level in SI from a number of this unit.
    #[must_use]
    pub fn to_si(&self, number: f64) -> f64 {
        number * self.factor + self.zero
    }

    /// A number of this unit from a level in SI.
    #[must_use]
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.zero) / self.factor
    }

    /// True if it can stand for `dimension`, leaving aside any pressure reference.
    #[must_use]
    pub fn measures(&self, dimension: Dimension) -> bool {
        match dimension {
            Dimension::Pressure => self.dimension == Dimension::PressureDifference,
            Dimension::TemperatureDifference => {
                self.dimension == Dimension::Temperature && self.zero == 0.0
            }
            other => self.dimension == other,
        }
    }
}

/// Units with signs that keyboards lack, as they look in print.
const PRINTED: [(&str, &str); 33] = [
    ("degC", "°C"),
    ("degF", "°F"),
    ("um", "µm"),
    ("us", "µs"),
    ("m2", "m²"),
    ("cm2", "cm²"),
    ("mm2", "mm²"),
    ("in2", "in²"),
    ("ft2", "ft²"),
    ("m3", "m³"),
    ("mm3", "mm³"),
    ("in3", "in³"),
    ("ft3", "ft³"),
    ("kgf/cm2", "kgf/cm²"),
    ("m3/s", "m³/s"),
    ("m3/h", "m³/h"),
    ("ft3/s", "ft³/s"),
    ("ft3/min", "ft³/min"),
    ("in3/s", "in³/s"),
    ("Nm3/h", "Nm³/h"),
    ("Sm3/h", "Sm³/h"),
    ("m3/s/Pa", "m³/(s·Pa)"),
    ("L/s/bar", "L/(s·bar)"),
    ("kg/m3", "kg/m³"),
    ("g/cm3", "g/cm³"),
    ("lbm/ft3", "lbm/ft³"),
    ("lbm/in3", "lbm/in³"),
    ("m/s2", "m/s²"),
    ("ft/s2", "ft/s²"),
    ("W/m2K", "W/(m²·K)"),
    ("kW/m2K", "kW/(m²·K)"),
    ("J/kgK", "J/(kg·K)"),
    ("W/mK", "W/(m·K)"),
];

/// What a pressure is counted from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reference {
    /// From vacuum.
    Absolute,
    /// From the pressure of the surroundings.
    Gauge,
    /// From another pressure, or not a pressure at all.
    None,
}

/// A unit as it was written: with its pressure reference.
pub(super) fn resolve(text: &str) -> Option<(&'static Unit, Reference)> {
    if let Some(unit) = Unit::find(text) {
        return Some((unit, Reference::None));
    }
    let plain = plain(text);
    let suffixes = [
        ("(gauge)", Reference::Gauge),
        ("(g)", Reference::Gauge),
        ("g", Reference::Gauge),
        ("(abs)", Reference::Absolute),
        ("(a)", Reference::Absolute),
        ("a", Reference::Absolute),
        ("(d)", Reference::None),
        ("d", Reference::None),
    ];
    suffixes.into_iter().find_map(|(suffix, reference)| {
        let unit = Unit::find(plain.strip_suffix(suffix)?)?;
        let pressure = unit.dimension == Dimension::PressureDifference;
        pressure.then_some((unit, reference))
    })
}

/// Spellings that are no units here, or would be read as slips of another, and what is meant.
const COLLOQUIAL: [(&str, &str); 22] = [
    ("f", "degF"),
    ("degrees f", "degF"),
    ("c", "degC"),
    ("celcius", "degC"),
    ("degrees c", "degC"),
    ("gallon", "gal"),
    ("pound", "lbm"),
    ("ounce", "oz"),
    ("gram", "g"),
    ("kilogram", "kg"),
    ("kilo", "kg"),
    ("ton", "t"),
    ("newton", "N"),
    ("millimeter", "mm"),
    ("millimetre", "mm"),
    ("milliliter", "mL"),
    ("millilitre", "mL"),
    ("\"", "in"),
    ("'", "ft"),
    ("second", "s"),
    ("minute", "min"),
    ("hour", "h"),
];

/// The spelling that `text` is nearest to.
pub(super) fn nearest_spelling(text: &str) -> Option<&'static str> {
    let word = text.trim().to_lowercase();
    let one = word.strip_suffix('s').unwrap_or(&word);
    let colloquial = |word: &str| COLLOQUIAL.iter().find(|c| c.0 == word);
    if let Some((_, meant)) = colloquial(&word).or_else(|| colloquial(one)) {
        return Some(meant);
    }
    if let Some(unit) = text.strip_suffix('s').and_then(Unit::find) {
        return Some(unit.symbol);
    }
    let common = ["psig", "psia", "barg", "bara", "bar(g)", "bar(a)"];
    let spellings = UNITS
        .iter()
        .flat_map(|u| std::iter::once(&u.symbol).chain(u.aliases));
    nearest(&plain(text), common.into_iter().chain(spellings.copied()))
}

/// Spelling without blanks, powers and dots set apart, signs that keyboards lack.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            ' ' | '\t' | '^' | '*' | '·' | '⋅' | '\u{a0}' | '\u{202f}' => {}
            '²' => out.push('2'),
            '³' => out.push('3'),
            'µ' | 'μ' => out.push('u'),
            // The ordinal indicator stands on some keyboards where others have the degree.
            '°' | 'º' => out.push_str("deg"),
            '℃' => out.push_str("degC"),
            '℉' => out.push_str("degF"),
            other => out.push(other),
        }
    }
    out
}
