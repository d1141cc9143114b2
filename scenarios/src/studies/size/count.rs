//! Whole bottles of one kind side by side, taken as one with their volume, wall and surface.

use super::written::{DIGITS, Spread, Written, rounded, spread, written};
use crate::CheckedStand;
use crate::kinds::cylinder;
use shared::bracketed;
use shared::quantity::Dimension;

/// Up to how many are counted, unless the range is given.
pub(super) const MOST_BOTTLES: f64 = 24.0;
/// Relative tolerance of a diameter.
const TOLERANCE: f64 = 1e-6;

/// Bottles of one kind.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Bottles {
    /// What the file gives and as many have so many times of.
    pieces: Vec<Written>,
    shape: Option<Shape>,
}

/// Inside of one bottle: a cylinder.
#[derive(Clone, Debug, PartialEq)]
struct Shape {
    path: String,
    volume_m3: f64,
    diameter_m: f64,
    spread: Spread,
}

impl Bottles {
    /// Those of a bottle's volume; none if the path is no such volume, or the file does not give
    /// it.
    pub fn of(stand: &CheckedStand, path: &str) -> Option<Self> {
        let bottle = path.strip_suffix(".volume")?;
        if !bottle.starts_with("bottle.") {
            return None;
        }
        let input = |key: &str| {
            let id = stand.inputs.find(&format!("{bottle}.{key}"))?;
            Some(stand.inputs.get(id))
        };
        let piece = |input| Written::of(stand, input);
        // A coefficient goes with the surface by itself, a conductance does not.
        let conductance = input("heat_transfer");
        let conductance = conductance.filter(|i| i.dimension == Dimension::ThermalConductance);
        let inputs = [
            input("volume"),
            input("wall_mass"),
            input("overwrap_mass"),
            conductance,
        ];
        let volume = input("volume")?;
        piece(volume)?;
        Some(Self {
            pieces: inputs.into_iter().flatten().filter_map(piece).collect(),
            shape: input("diameter").map(|diameter| Shape {
                path: diameter.path.clone(),
                volume_m3: volume.nominal,
                diameter_m: diameter.nominal,
                spread: spread(diameter, diameter.nominal),
            }),
        })
    }

    /// What stands in place of the file's values for so many.
    pub fn overrides(&self, count: f64) -> Vec<(String, String)> {
        let pieces = self.pieces.iter().map(|one| one.with(one.value * count));
        let shape = self.shape.iter().filter(|_| count > 1.0);
        let diameter = shape.map(|s| {
            let mm = rounded(1e3 * s.diameter_m(count), DIGITS, 0.0);
            (s.path.clone(), written(mm, "mm", s.spread))
        });
        pieces.chain(diameter).collect()
    }
}

impl Shape {
    /// Diameter with which one bottle of the volume of all has their surface: without it the
    /// surface would grow less than their number, and with the diameter of one the ends of all
    /// but one would be missing.
    fn diameter_m(&self, count: f64) -> f64 {
        let wanted = count * cylinder(self.volume_m3, self.diameter_m).0;
        let excess =
            |diameter_m: f64| cylinder(count * self.volume_m3, diameter_m).0 / wanted - 1.0;
        let ends = (0.1 * self.diameter_m, self.diameter_m);
        let found = bracketed(excess, ends.0, ends.1, TOLERANCE * self.diameter_m);
        // A flat box has no such diameter.
        found.unwrap_or(self.diameter_m)
    }
}
