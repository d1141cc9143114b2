//! The cases, one section a file.

mod components;
mod critical_flow;
mod cryogenic;
mod expulsion;
mod filling;
mod integrator;
mod liquid_columns;
mod plain_liquids;
mod properties;
mod real_gas_order;
mod scipy_peer;
mod sizing;
mod solubility;
mod uncertainty;
mod vessel_discharge;
mod whole_runs;

use crate::report::Section;

/// All sections.
#[must_use]
pub fn all() -> Vec<Section> {
    vec![
        vessel_discharge::section(),
        critical_flow::section(),
        filling::section(),
        expulsion::section(),
        cryogenic::section(),
        properties::section(),
        components::section(),
        liquid_columns::section(),
        integrator::section(),
        real_gas_order::section(),
        whole_runs::section(),
        scipy_peer::section(),
        sizing::section(),
        uncertainty::section(),
    ]
}
