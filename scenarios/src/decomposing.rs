//! Fluids that may fall apart by themselves, which nothing here computes.

use crate::gas_paths::holds;
use crate::kinds::Component;
use crate::read::Context;
use shared::{Diagnostic, codes};
use sim_core::network::Network;

/// Fluid, what it does and what it asks for: common practice, no source.
const FLUIDS: [(&str, &str, &str); 2] = [
    (
        "hydrogen peroxide 90 %",
        "decomposes on contaminants and many metals, faster the warmer it is, into oxygen, steam and heat that \
         no valve may shut in",
        "use passivated, compatible materials and watch its temperature; its vent and relief are for licensed \
         practice and the codes of the place",
    ),
    (
        "nitrous oxide",
        "may decompose, as a gas violently, where it is heated, compressed fast or dirty",
        "keep it clean, free of fuel and oil, and cool; its vent and relief are for licensed practice and the codes \
         of the place",
    ),
];

/// Warns of such fluids in a network, once for each.
pub fn warn_of_decomposition(network: &Network, components: &[Component], context: &mut Context) {
    for (fluid, what, remedy) in FLUIDS {
        let volumes = network.volumes.iter();
        let holding = volumes.filter(|volume| holds(network, volume, fluid));
        let names: Vec<&str> = holding.map(|volume| volume.name.as_str()).collect();
        let Some(first) = components.iter().find(|c| names.contains(&c.name.as_str())) else {
            continue;
        };
        let message = format!(
            "{}: {fluid} {what}; none of that is computed",
            names.join(", ")
        );
        let warning = Diagnostic::warning(&codes::DECOMPOSES, message).at(&first.span, "");
        context.report(warning.remedy(remedy));
    }
}
