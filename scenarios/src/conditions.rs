//! Conditions, requirements and limits: text that names an observed quantity, a relation
//! and a value.

use crate::document::Node;
use crate::kinds::{Component, Ghost};
use crate::observables::{self, Observable, suffix};
use crate::read::Context;
use shared::quantity::{Dimension, Fault, Quantity, Reference, Unit};
use shared::{Diagnostic, Span, codes, nearest};
use sim_core::network::{Phase, Relation};
use std::collections::BTreeSet;

/// The components and what flows through them.
#[derive(Clone, Copy, Debug)]
pub struct Observed<'a> {
    /// Components.
    pub components: &'a [Component],
    /// Components of unknown kinds.
    pub ghosts: &'a [Ghost],
    /// By component.
    pub phases: &'a [Option<Phase>],
    /// From which gauge pressures are counted.
    pub ambient_pa: f64,
}

/// A relation to a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Bound {
    /// Side on which the quantity lies.
    pub relation: Relation,
    /// Value in SI, pressures absolute.
    pub threshold: f64,
    /// Dimension of the value.
    pub dimension: Dimension,
    /// Unit in which it was written.
    pub unit: &'static Unit,
    /// What a pressure was counted from.
    pub reference: Reference,
}

/// Where a relation stands in a text.
struct Split<'a> {
    left: &'a str,
    relation: Relation,
    right: &'a str,
    /// Byte at which the right part begins.
    right_begins: usize,
}

impl<'a> Split<'a> {
    fn of(text: &'a str) -> Option<Self> {
        let at = text.find(['<', '>'])?;
        let relation = if text.as_bytes()[at] == b'<' {
            Relation::Below
        } else {
            Relation::Above
        };
        let right_begins = at + 1 + usize::from(text[at + 1..].starts_with('='));
        Some(Self {
            left: text[..at].trim(),
            relation,
            right: &text[right_begins..],
            right_begins,
        })
    }

    fn value(
        &self,
        dimensions: &[Dimension],
        node: &Node,
        ambient_pa: f64,
        context: &mut Context,
    ) -> Option<Bound> {
        match Quantity::parse(self.right, dimensions) {
            Ok(quantity) => Some(Bound {
                relation: self.relation,
                threshold: quantity.absolute(ambient_pa),
                dimension: quantity.dimension,
                unit: quantity.unit,
                reference: quantity.reference,
            }),
            Err(fault) => {
                report_fault(&fault, node, self.right_begins, context);
                None
            }
        }
    }
}

fn report_fault(fault: &Fault, node: &Node, begins: usize, context: &mut Context) {
    let at = begins + fault.at.start..begins + fault.at.end;
    context.report(fault.diagnostic(&node.span_of(&at)));
}

impl Observed<'_> {
    /// Reads a condition such as `fuel.liquid_mass < 0.3 kg`: column of the history and bound.
    pub fn condition(&self, node: &Node, context: &mut Context) -> Option<(String, Bound)> {
        let Some(text) = node.text() else {
            return no_condition(node, context);
        };
        let Some(split) = Split::of(text) else {
            return no_condition(node, context);
        };
        let left = text.find(split.left).unwrap_or(0);
        let span = node.span_of(&(left..left + split.left.len()));
        let (name, quantity) = self.component_quantity(split.left, &span, context)?;
        let columns = self.columns_of(name);
        let found = columns.iter().find(|c| c.0 == quantity);
        let Some(&(_, dimension)) = found else {
            report_unknown(name, quantity, &columns, &span, context);
            return None;
        };
        let bound = split.value(&[dimension], node, self.ambient_pa, context)?;
        Some((format!("{name}.{quantity}_{}", suffix(dimension)), bound))
    }

    /// Reads a bound such as `<= 40 bar(g)` on a column of the history or on a figure of the
    /// summary.
    pub fn bound(
        &self,
        path: &str,
        path_span: &Span,
        node: &Node,
        context: &mut Context,
    ) -> Option<Bound> {
        let (name, quantity) = self.component_quantity(path, path_span, context)?;
        let mut known = self.columns_of(name);
        let component = self.components.iter().find(|c| c.name == name);
        known.extend(component.map_or(&[][..], |c| observables::figures(c.kind)));
        // A gas flow may be judged as a mass or as a volume at a reference state.
        let meant = known.iter().filter(|k| k.0 == quantity).map(|k| k.1);
        let dimensions: Vec<Dimension> = meant.collect();
        let Some(dimension) = dimensions.first() else {
            report_unknown(name, quantity, &known, path_span, context);
            return None;
        };
        let split = node.text().and_then(Split::of);
        match split.filter(|s| s.left.is_empty()) {
            Some(split) => split.value(&dimensions, node, self.ambient_pa, context),
            None => {
                let diagnostic = Diagnostic::error(
                    &codes::BAD_CONDITION,
                    format!("the bound on {path} does not begin with a relation"),
                );
                let unit = dimension.usual_units()[0];
                let remedy = format!("write \"{path}\" = \"<= 40 {unit}\" or \">= 40 {unit}\"");
                context.report(diagnostic.at(&node.span, "").remedy(remedy));
                None
            }
        }
    }

    /// Splits `component.quantity` and finds the component.
    fn component_quantity<'t>(
        &self,
        text: &'t str,
        span: &Span,
        context: &mut Context,
    ) -> Option<(&'t str, &'t str)> {
        let names = || {
            self.components
                .iter()
                .map(|c| c.name.as_str())
                .chain(["ambient"])
        };
        let (name, quantity) = text.split_once('.').unwrap_or((text, ""));
        if names().any(|n| n == name) {
            return Some((name, quantity));
        }
        if self.is_ghost(name) {
            return None;
        }
        let message = format!("\"{text}\" names no component of this stand");
        let listed: Vec<&str> = names().collect();
        context.report(
            Diagnostic::error(&codes::UNKNOWN_OBSERVABLE, message)
                .at(span, "")
                .remedy(format!(
                    "write component.quantity; the components are {}",
                    listed.join(", ")
                ))
                .meant(nearest(name, names())),
        );
        None
    }

    /// True if a component of unknown kind has the name.
    #[must_use]
    pub fn is_ghost(&self, name: &str) -> bool {
        self.ghosts.iter().any(|g| g.name == name)
    }

    fn columns_of(&self, name: &str) -> Vec<Observable> {
        let index = self.components.iter().position(|c| c.name == name);
        match index {
            Some(i) => observables::columns(&self.components[i], self.phases[i]),
            None => observables::ambient_columns().to_vec(),
        }
    }
}

fn no_condition<T>(node: &Node, context: &mut Context) -> Option<T> {
    let diagnostic = Diagnostic::error(
        &codes::BAD_CONDITION,
        "the condition has no relation < or >",
    );
    let remedy = "write it as in \"fuel.liquid_mass < 0.3 kg\"";
    context.report(diagnostic.at(&node.span, "").remedy(remedy));
    None
}

fn report_unknown(
    name: &str,
    quantity: &str,
    known: &[Observable],
    span: &Span,
    context: &mut Context,
) {
    let message = match quantity {
        "" => format!("\"{name}\" names no quantity"),
        _ => format!("{name} has no quantity \"{quantity}\""),
    };
    let mut names: Vec<&str> = known.iter().map(|k| k.0).collect();
    // Some have two dimensions, and some are both a column and a figure.
    let mut seen = BTreeSet::new();
    names.retain(|name| seen.insert(*name));
    context.report(
        Diagnostic::error(&codes::UNKNOWN_OBSERVABLE, message)
            .at(span, "")
            .remedy(format!("{name} has {}", names.join(", ")))
            .meant(nearest(quantity, names)),
    );
}
