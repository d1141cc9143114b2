//! The limit of a stand on the pressure that a sizing turns.

use crate::CheckedStand;
use crate::input::Input;
use shared::quantity::{Dimension, Quantity, Reference};
use sim_core::network::{BranchKind, Network, Relation};
use std::fmt;

/// A limit above which a pressure is not sought.
#[derive(Clone, Debug, PartialEq)]
pub struct Ceiling {
    /// What is limited, for example `supply.pressure`.
    pub path: String,
    /// The limit as it was typed.
    pub text: String,
    /// Where the range ends, in the unit in which it is written.
    pub value: f64,
}

impl fmt::Display for Ceiling {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "the limit {} {}", self.path, self.text)
    }
}

impl Ceiling {
    /// The limit on what has this pressure at the start, or on what a regulator with this set
    /// pressure feeds.
    pub(super) fn of(stand: &CheckedStand, input: &Input, unit: &str) -> Option<Self> {
        let vessel = vessel(&stand.lower(), &input.path)?;
        let path = format!("{vessel}.pressure");
        let limits = stand.limits.iter();
        let limits = limits.filter(|l| l.path == path && l.relation == Relation::Below);
        let limit = limits.min_by(|a, b| a.threshold.total_cmp(&b.threshold))?;
        let one = Quantity::parse(&format!("1 {unit}"), &[Dimension::Pressure]).ok()?;
        let from_pa = match one.reference {
            Reference::Gauge => stand.display.ambient_pa(),
            Reference::Absolute | Reference::None => 0.0,
        };
        Some(Self {
            path,
            text: limit.text.clone(),
            value: one.unit.from_si(limit.threshold - from_pa),
        })
    }
}

fn vessel(network: &Network, path: &str) -> Option<String> {
    let parts: Vec<&str> = path.split('.').collect();
    match parts[..] {
        ["bottle" | "tank" | "plenum", name, "pressure"] => Some(name.to_owned()),
        ["regulator", name, "set_pressure"] => {
            let mut branches = network.branches.iter();
            let regulator =
                branches.find(|b| b.name == name && matches!(b.kind, BranchKind::Regulator(_)))?;
            Some(network.volumes[regulator.to.volume].name.clone())
        }
        _ => None,
    }
}
