//! Quantities: numbers with a unit, and perhaps an uncertainty, as people write them.
//!
//! ```
//! use shared::quantity::{Dimension, Quantity};
//! let volume = Quantity::parse("50 L ± 2 %", &[Dimension::Volume]).unwrap();
//! assert_eq!(volume.value, 0.05);
//! let bare = Quantity::parse("32 bar", &[Dimension::Pressure]).unwrap_err();
//! assert_eq!(bare.code.id, "quantity-5");
//! ```

mod dimension;
mod display;
mod fault;
mod misfit;
mod parse;
mod piece;
mod table;
mod unit;

pub use dimension::Dimension;
pub use display::{Display, significant};
pub use fault::Fault;
pub use table::UNITS;
pub use unit::{Reference, Unit};

/// A quantity as it was written, its numbers in SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// Nominal value in SI; a gauge pressure above its reference.
    pub value: f64,
    /// What it is.
    pub dimension: Dimension,
    /// What a pressure is counted from.
    pub reference: Reference,
    /// How uncertain it is, if that was said.
    pub spread: Option<Spread>,
    /// The unit in which it was written.
    pub unit: &'static Unit,
}

/// How uncertain a value is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Normally distributed around the nominal value.
    Normal {
        /// Half the width of the interval that holds 95 %; in the SI unit of the value.
        half_width_95: f64,
    },
    /// Anywhere in a range with equal chance; the nominal value is the middle.
    Uniform {
        /// Lower end, in SI, from the same reference as the value.
        low: f64,
        /// Upper end.
        high: f64,
    },
}

impl Quantity {
    /// Reads a quantity that may be any of the `accepted` dimensions:
    /// `"50 L"`, `"50 L ± 2 %"`, `"400 psig +- 5 psi"`, `"0.60 .. 0.66"`.
    ///
    /// # Errors
    /// A [`Fault`] that says where in `text` it lies and what to write instead.
    pub fn parse(text: &str, accepted: &[Dimension]) -> Result<Self, Fault> {
        parse::quantity(text, accepted)
    }

    /// The value with gauge pressures counted from vacuum.
    #[must_use]
    pub fn absolute(&self, ambient_pa: f64) -> f64 {
        match self.reference {
            Reference::Gauge => self.value + ambient_pa,
            Reference::Absolute | Reference::None => self.value,
        }
    }
}
