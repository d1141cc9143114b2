//! Why an evaluation cannot be done, named as the user knows it.

use fluids::FluidError;
use std::fmt;

/// A fault at a component.
#[derive(Clone, Debug, PartialEq)]
pub struct Fault {
    /// The component's name in the stand file, where one can be named.
    pub component: Option<String>,
    /// What is wrong, with state, valid range and remedy.
    pub message: String,
    /// What the property engine refused, if it did.
    pub refusal: Option<Box<FluidError>>,
}

impl Fault {
    /// A fault of a component's fluid.
    #[must_use]
    pub fn of_fluid(component: &str, error: &FluidError) -> Self {
        Self {
            component: Some(component.to_owned()),
            message: error.to_string(),
            refusal: Some(Box::new(error.clone())),
        }
    }

    /// A fault of a component.
    #[must_use]
    pub fn at(component: &str, message: impl Into<String>) -> Self {
        Self {
            component: Some(component.to_owned()),
            message: message.into(),
            refusal: None,
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.component {
            Some(component) => write!(f, "{component}: {}", self.message),
            None => f.write_str(&self.message),
        }
    }
}

impl std::error::Error for Fault {}
