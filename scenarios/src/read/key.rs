//! What a key holds.

use crate::input::Range;
use shared::quantity::{Dimension, significant};

/// A key that holds a quantity.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// How it is spelled.
    pub name: &'static str,
    /// What it may be.
    pub dimensions: &'static [Dimension],
    /// Where its value may lie.
    pub range: Range,
    /// What somebody might write.
    pub example: &'static str,
}

impl Key {
    /// A key.
    #[must_use]
    pub const fn new(
        name: &'static str,
        dimensions: &'static [Dimension],
        range: Range,
        example: &'static str,
    ) -> Self {
        Self {
            name,
            dimensions,
            range,
            example,
        }
    }
}

/// A default that follows from another number of the file. It is built from numbers: written out
/// and read again, it would be rounded.
#[derive(Clone, Copy, Debug)]
pub struct Scaled {
    /// Its value in SI.
    pub si: f64,
    /// The unit in which it is told, and what one of it is in SI.
    pub unit: (&'static str, f64),
    /// How uncertain it is, in per cent.
    pub percent: f64,
}

impl Scaled {
    /// As it would be written in the file, to four digits.
    #[must_use]
    pub fn text(&self) -> String {
        let value = self.si / self.unit.1;
        let number = if (1e-3..1e6).contains(&value) {
            let number = significant(value, 4, 6);
            match number.contains('.') {
                true => number
                    .trim_end_matches('0')
                    .trim_end_matches('.')
                    .to_owned(),
                false => number,
            }
        } else {
            format!("{value:.3e}")
        };
        format!("{number} {} ± {} %", self.unit.0, self.percent)
    }
}

/// A word of the file and what it stands for.
pub type Word<T> = (&'static str, T);
