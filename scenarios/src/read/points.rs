//! Lists of pairs: measured curves.

use super::table::TableReader;
use crate::document::{Node, Value};
use shared::quantity::{Dimension, Quantity};
use shared::{Diagnostic, codes};

/// A pair as it was written.
#[derive(Clone, Debug)]
pub struct Pair {
    /// Its first number.
    pub first: Quantity,
    /// Its second number.
    pub second: Quantity,
}

impl TableReader<'_> {
    /// The pairs under a key, of at least two pairs; none if anything is wrong with them.
    pub fn pairs(
        &mut self,
        key: &'static str,
        first: &[Dimension],
        second: &[Dimension],
        example: &'static str,
    ) -> Option<Vec<Pair>> {
        self.describe(key, example);
        let node = &self.entry(key)?.node;
        let Value::List(rows) = &node.value else {
            return self.no_pairs(key, node, example);
        };
        if rows.len() < 2 {
            return self.no_pairs(key, node, example);
        }
        let pairs: Vec<Option<Pair>> = rows
            .iter()
            .map(|row| self.pair(key, row, first, second, example))
            .collect();
        pairs.into_iter().collect()
    }

    fn pair(
        &mut self,
        key: &str,
        row: &Node,
        first: &[Dimension],
        second: &[Dimension],
        example: &str,
    ) -> Option<Pair> {
        let Value::List(cells) = &row.value else {
            return self.no_pairs(key, row, example);
        };
        let [one, other] = &cells[..] else {
            return self.no_pairs(key, row, example);
        };
        let first = self.context.quantity(one, first);
        let second = self.context.quantity(other, second);
        Some(Pair {
            first: first?,
            second: second?,
        })
    }

    fn no_pairs<T>(&mut self, key: &str, node: &Node, example: &str) -> Option<T> {
        let message = format!("{key} is no list of two or more pairs");
        self.context.report(
            Diagnostic::error(&codes::BAD_POINTS, message)
                .at(&node.span, "")
                .remedy(format!("write {key} = {example}")),
        );
        None
    }
}
