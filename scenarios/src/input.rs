//! The numbers of a stand: each has a path, a nominal value and perhaps an uncertainty.
//! Studies draw from them; lowering reads them by their [`InputId`].

use shared::Span;
use shared::quantity::{Dimension, Quantity, Reference, Spread};

/// Which input.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct InputId(usize);

/// A number of the stand.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Where it stands: `bottle.supply.volume`.
    pub path: String,
    /// What it is.
    pub dimension: Dimension,
    /// Its nominal value in SI; a gauge pressure above its reference.
    pub nominal: f64,
    /// What a pressure is counted from.
    pub reference: Reference,
    /// How uncertain it is.
    pub distribution: Distribution,
    /// Where its values may lie.
    pub range: Range,
    /// Where it stands; none if it was taken for granted.
    pub span: Option<Span>,
}

/// How a number is distributed; in SI, from the reference of the nominal value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Distribution {
    /// Known exactly, or said to be.
    Exact,
    /// Normal around the nominal value.
    Normal {
        /// Half the width of the interval that holds 95 %.
        half_width_95: f64,
    },
    /// Equal chance in a range.
    Uniform {
        /// Lower end.
        low: f64,
        /// Upper end.
        high: f64,
    },
    /// The logarithm is normal around that of the nominal value.
    LogNormal {
        /// 95 % lie between the nominal value over this factor and times this factor.
        factor_95: f64,
    },
}

impl From<Option<Spread>> for Distribution {
    fn from(spread: Option<Spread>) -> Self {
        match spread {
            None => Self::Exact,
            Some(Spread::Normal { half_width_95 }) => Self::Normal { half_width_95 },
            Some(Spread::Uniform { low, high }) => Self::Uniform { low, high },
        }
    }
}

/// Where a value may lie to be physical. Pressures are judged absolute.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Range {
    /// Anywhere.
    Any,
    /// Above zero.
    Positive,
    /// Zero or above.
    NotNegative,
    /// From zero to one.
    Fraction,
    /// Above zero, at most one.
    ProperFraction,
    /// Zero or above, below one.
    BelowOne,
    /// Above one.
    AboveOne,
}

impl Range {
    /// True if a value lies in it.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        value.is_finite()
            && match self {
                Self::Any => true,
                Self::Positive => value > 0.0,
                Self::NotNegative => value >= 0.0,
                Self::Fraction => (0.0..=1.0).contains(&value),
                Self::ProperFraction => value > 0.0 && value <= 1.0,
                Self::BelowOne => (0.0..1.0).contains(&value),
                Self::AboveOne => value > 1.0,
            }
    }

    /// In words, behind "it must be".
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Any => "a number",
            Self::Positive => "above zero",
            Self::NotNegative => "zero or above",
            Self::Fraction => "between 0 and 1",
            Self::ProperFraction => "above 0 and at most 1",
            Self::BelowOne => "0 or above and below 1",
            Self::AboveOne => "above one",
        }
    }
}

/// All inputs of a stand, in the order in which they were read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Inputs {
    all: Vec<Input>,
    ambient_pa: Option<InputId>,
}

impl Inputs {
    /// Adds an input.
    pub fn add(&mut self, input: Input) -> InputId {
        self.all.push(input);
        InputId(self.all.len() - 1)
    }

    /// Names the input that gauge pressures are counted from.
    pub fn count_gauge_from(&mut self, ambient: InputId) {
        self.ambient_pa = Some(ambient);
    }

    /// An input.
    #[must_use]
    pub fn get(&self, id: InputId) -> &Input {
        &self.all[id.0]
    }

    /// The input of a path.
    #[must_use]
    pub fn find(&self, path: &str) -> Option<InputId> {
        self.all.iter().position(|i| i.path == path).map(InputId)
    }

    /// All inputs with their ids.
    pub fn iter(&self) -> impl Iterator<Item = (InputId, &Input)> {
        self.all
            .iter()
            .enumerate()
            .map(|(i, input)| (InputId(i), input))
    }

    /// The inputs that are not known exactly.
    pub fn uncertain(&self) -> impl Iterator<Item = (InputId, &Input)> {
        self.iter()
            .filter(|(_, i)| i.distribution != Distribution::Exact)
    }

    /// The nominal values.
    #[must_use]
    pub fn nominal(&self) -> Values<'_> {
        Values {
            inputs: self,
            numbers: self.all.iter().map(|i| i.nominal).collect(),
        }
    }
}

/// One number for each input: the nominal ones, or drawn ones.
#[derive(Clone, Debug)]
pub struct Values<'a> {
    inputs: &'a Inputs,
    numbers: Vec<f64>,
}

impl Values<'_> {
    /// A value in SI, pressures absolute.
    #[must_use]
    pub fn si(&self, id: InputId) -> f64 {
        let number = self.numbers[id.0];
        match (self.inputs.all[id.0].reference, self.inputs.ambient_pa) {
            (Reference::Gauge, Some(ambient)) => number + self.numbers[ambient.0],
            _ => number,
        }
    }

    /// Puts another number in place of one, in SI and from the input's own reference.
    pub fn set(&mut self, id: InputId, number: f64) {
        self.numbers[id.0] = number;
    }
}

impl Input {
    /// From a quantity, as it was written or taken for granted.
    #[must_use]
    pub fn new(path: String, quantity: &Quantity, range: Range, span: Option<Span>) -> Self {
        Self {
            path,
            dimension: quantity.dimension,
            nominal: quantity.value,
            reference: quantity.reference,
            distribution: quantity.spread.into(),
            range,
            span,
        }
    }
}

/// Something that the file does not say and that was taken for granted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumption {
    /// Where it could be said: `bottle.supply.wall_mass`.
    pub path: String,
    /// What was taken, with its unit.
    pub value: String,
    /// On what ground.
    pub reason: String,
}
