//! What reading gathers.

use super::key::Scaled;
use crate::document::{Node, Value};
use crate::input::{Assumption, Distribution, Input, InputId, Inputs, Range};
use shared::quantity::{Dimension, Quantity, Reference, Spread, significant};
use shared::{Diagnostic, codes};

/// Diagnostics, inputs and assumptions gathered so far.
#[derive(Debug, Default)]
pub struct Context {
    /// Errors and warnings.
    pub diagnostics: Vec<Diagnostic>,
    /// The numbers of the stand.
    pub inputs: Inputs,
    /// What was taken for granted.
    pub assumptions: Vec<Assumption>,
}

impl Context {
    /// Takes note of an error or a warning.
    pub fn report(&mut self, diagnostic: Diagnostic) {
        self.diagnostics.push(diagnostic);
    }

    /// Takes note of something that was taken for granted.
    pub fn assume(&mut self, path: &str, value: impl Into<String>, reason: impl Into<String>) {
        self.assumptions.push(Assumption {
            path: path.to_owned(),
            value: value.into(),
            reason: reason.into(),
        });
    }

    /// A default as an input; `text` is written like a value of the file, and no part of it comes
    /// from one.
    pub fn default_input(
        &mut self,
        path: &str,
        dimension: Dimension,
        range: Range,
        text: &'static str,
        reason: &str,
    ) -> InputId {
        let quantity = Quantity::parse(text, &[dimension])
            .expect("defaults are written as quantities; a test reads each");
        self.assume(path, with_middle(text, &quantity), reason);
        self.inputs
            .add(Input::new(path.to_owned(), &quantity, range, None))
    }

    /// A default that follows from another number of the file, as an input.
    pub fn scaled_input(
        &mut self,
        path: &str,
        dimension: Dimension,
        range: Range,
        default: Scaled,
        reason: &str,
    ) -> InputId {
        self.assume(path, default.text(), reason);
        self.inputs.add(Input {
            path: path.to_owned(),
            dimension,
            nominal: default.si,
            reference: Reference::None,
            distribution: Distribution::Normal {
                half_width_95: default.si * default.percent / 100.0,
            },
            range,
            span: None,
        })
    }

    /// How far a table or a catalogue may be off: a factor of one, in per cent, as an input.
    pub fn doubt(&mut self, path: String, percent: f64, reason: &str) -> InputId {
        self.assume(&path, format!("1 ± {percent} %"), reason);
        self.inputs.add(Input {
            path,
            dimension: Dimension::Fraction,
            nominal: 1.0,
            reference: Reference::None,
            distribution: Distribution::Normal {
                half_width_95: percent / 100.0,
            },
            range: Range::Positive,
            span: None,
        })
    }

    /// The quantity that a value spells, if it spells one of the dimensions.
    pub fn quantity(&mut self, node: &Node, dimensions: &[Dimension]) -> Option<Quantity> {
        let text = match &node.value {
            Value::Text(text) => text.text.clone(),
            Value::Number(number) => number.to_string(),
            _ => {
                self.report(
                    Diagnostic::error(
                        &codes::WRONG_TYPE,
                        format!("{} stands where a value is wanted", node.kind()),
                    )
                    .at(&node.span, "")
                    .remedy("write a number and its unit in quotes, for example \"50 L\""),
                );
                return None;
            }
        };
        match Quantity::parse(&text, dimensions) {
            Ok(quantity) => Some(quantity),
            Err(fault) => {
                self.report(fault.diagnostic(&node.span_of(&fault.at)));
                None
            }
        }
    }

    /// Adds a quantity as an input, unless it lies where nothing physical lies.
    pub fn input(
        &mut self,
        path: String,
        node: &Node,
        quantity: &Quantity,
        range: Range,
    ) -> Option<InputId> {
        let id = self
            .inputs
            .add(Input::new(path, quantity, range, Some(node.span.clone())));
        let value = self.inputs.nominal().si(id);
        if let (Some(text), Some(Spread::Uniform { .. })) = (node.text(), quantity.spread) {
            let path = self.inputs.get(id).path.clone();
            self.assume(
                &path,
                with_middle(text, quantity),
                "the middle of the range in the file",
            );
        }
        if range.holds(value) {
            return Some(id);
        }
        let written = match node.text() {
            Some(text) => format!("\"{text}\""),
            None => quantity.value.to_string(),
        };
        let path = &self.inputs.get(id).path;
        let from = match quantity.dimension {
            Dimension::Pressure => ", counted from vacuum",
            _ => "",
        };
        let message = format!("{path} = {written} is not possible");
        let remedy = format!("it must be {}{from}", range.words());
        let diagnostic = Diagnostic::error(&codes::OUT_OF_RANGE, message);
        self.report(diagnostic.at(&node.span, "").remedy(remedy));
        None
    }
}

/// A range, and the middle of it that a nominal run takes; other values as they are written. The
/// unit stands as in print.
fn with_middle(text: &str, quantity: &Quantity) -> String {
    let unit = quantity.unit;
    let text = text.replace(unit.symbol, unit.printed());
    let Some(Spread::Uniform { .. }) = quantity.spread else {
        return text;
    };
    let number = match quantity.dimension {
        Dimension::TemperatureDifference => quantity.value / unit.factor,
        _ => unit.from_si(quantity.value),
    };
    let reference = match quantity.reference {
        Reference::Gauge => "(g)",
        Reference::Absolute => "(a)",
        Reference::None => "",
    };
    let symbol = match unit.symbol {
        "1" => "",
        _ => unit.printed(),
    };
    let middle = format!("{} {symbol}{reference}", significant(number, 4, 4));
    format!("{text}, run with {}", middle.trim_end())
}
