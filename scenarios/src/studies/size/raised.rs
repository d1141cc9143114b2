//! A pressure that is put above what the stand file states.

use crate::CheckedStand;
use crate::studies::sweep::changed;
use shared::quantity::Dimension;

/// A pressure above the one that the file states. Whether what holds it may hold more, only its
/// rating says, and the file does not know that.
#[derive(Clone, Debug, PartialEq)]
pub struct Raised {
    /// Its path.
    pub path: String,
    /// What the file states, Pa absolute.
    pub stated_pa: f64,
    /// What is offered, Pa absolute.
    pub offered_pa: f64,
}

/// The pressures that changes put above what the stand states.
#[must_use]
pub fn raised(stand: &CheckedStand, changes: &[(String, String)]) -> Vec<Raised> {
    let pressure_pa = |stand: &CheckedStand, path: &str| {
        let id = stand.inputs.find(path)?;
        let is_level = stand.inputs.get(id).dimension == Dimension::Pressure;
        is_level.then(|| stand.inputs.nominal().si(id))
    };
    let of_change = |change: &(String, String)| {
        let stated_pa = pressure_pa(stand, &change.0)?;
        let offered = changed(stand, std::slice::from_ref(change)).ok()?;
        let offered_pa = pressure_pa(&offered, &change.0)?;
        (offered_pa > stated_pa).then(|| Raised {
            path: change.0.clone(),
            stated_pa,
            offered_pa,
        })
    };
    changes.iter().filter_map(of_change).collect()
}
