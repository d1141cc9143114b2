//! The stand as a drawing: gas path from the left, liquid path below the tanks, in plain symbols
//! after ISO 14617 and ISA-5.1, labelled with set points.
//!
//! The network is laid out as a tree (`layout`), so that no pipe crosses another: each branch has a
//! lane of its own, the air around is drawn wherever a branch ends in it, further bottles of a
//! volume stand below it, and a branch into a volume that is drawn already ends in a flag with its
//! name.

mod layout;
mod parts;
mod symbols;

use crate::plot::scene::Scene;
use shared::quantity::Display;
use sim_core::network::Network;

/// The drawing of a stand, in its units.
#[must_use]
pub fn scene(title: &str, network: &Network, display: &Display) -> Scene {
    let trees = parts::trees(network, display);
    layout::draw(&format!("Schematic of {title}"), &trees)
}
