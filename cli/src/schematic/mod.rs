//! The stand as a drawing: gas path from the left, liquid path below the tanks, in plain symbols
//! after ISO 14617 and ISA-5.1, labelled with set points.
//!
//! The network is laid out as a tree (`layout`), so that no pipe crosses another: each branch has a
//! lane of its own, the air around is drawn wherever a branch ends in it, further bottles of a
//! volume stand below it, and a branch into a volume that is drawn already ends in a flag with its
//! name.

mod layout;
mod moment;
mod parts;
mod symbols;

use crate::plot::scene::Scene;
use shared::quantity::{Dimension, Display};
use sim_core::network::Network;

pub use moment::Moment;

/// The drawing of a stand, in its units: as it is filled and set, or with its values at a moment
/// of a run.
#[must_use]
pub fn scene(
    title: &str,
    network: &Network,
    display: &Display,
    moment: Option<&Moment<'_>>,
) -> Scene {
    let trees = parts::trees(network, display, moment);
    let shown = match moment {
        Some(moment) => {
            let time = display.text(Dimension::Time, moment.time_s);
            format!("Shown at {time} of the run")
        }
        None => "Shown at the start of the run".to_owned(),
    };
    layout::draw(&format!("Schematic of {title}. {shown}"), &trees, &shown)
}
