//! What a key holds.

use crate::input::Range;
use shared::quantity::Dimension;

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

/// A word of the file and what it stands for.
pub type Word<T> = (&'static str, T);
