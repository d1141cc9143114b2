//! The cases, one section a file.

mod critical_flow;
mod expulsion;
mod filling;
mod liquid_columns;
mod vessel_discharge;

use crate::report::Section;

/// All sections.
#[must_use]
pub fn all() -> Vec<Section> {
    vec![
        vessel_discharge::section(),
        critical_flow::section(),
        filling::section(),
        expulsion::section(),
        liquid_columns::section(),
    ]
}
