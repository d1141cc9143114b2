//! Gas that is drawn in through a dip of the surface before the outlet uncovers.

use super::cautions::warning;
use super::trace::Trace;
use super::window::FlowWindow;
use shared::codes;
use shared::quantity::{Dimension, Display};
use sim_core::components::outlet_dip::{dip_height_m, swirl_height_m};
use sim_core::network::{ChainElement, ElementKind, LiquidChain, Network, VolumeKind};
use sim_core::outcome::{Outcome, Warning};

/// One warning for each flow that goes on below the height of its dip.
pub(super) fn read(
    network: &Network,
    outcome: &Outcome,
    windows: &[FlowWindow<'_>],
    display: &Display,
) -> Vec<Warning> {
    let of_window = |window: &FlowWindow<'_>| {
        let volume = &network.volumes[window.tank];
        let VolumeKind::Tank(tank) = &volume.kind else {
            return None;
        };
        if tank.dips {
            return None;
        }
        let density = tank
            .liquid
            .at(tank.liquid_temperature_k)
            .ok()?
            .density_kg_m3;
        let of_tank = |quantity| Trace::of_component(&outcome.history, &volume.name, quantity);
        let level = of_tank("level_m")?;
        let flow = Trace::of_component(&outcome.history, window.name, "mass_flow_kg_s")?;
        let gravity = network.surroundings.gravity_m_s2;
        let above = |at_s: f64| {
            let flow_m3_s = flow.before(at_s) / density;
            level.before(at_s) - dip_height_m(flow_m3_s, gravity)
        };
        let at_s = level.first_where(window.full_s, window.end_s, |at_s| above(at_s) < 0.0)?;
        let left_kg = of_tank("liquid_mass_kg")?.before(at_s);
        let text = |dimension, si| display.text(dimension, si);
        let swirl = first_bore_m(window.chain).map_or_else(
            || "; a swirl draws earlier".to_owned(),
            |bore_m| {
                let height_m = swirl_height_m(flow.before(at_s) / density, bore_m, gravity);
                let height = text(Dimension::Length, height_m);
                format!("; a swirl draws earlier, by the rule for pump intakes below {height}, ANSI/HI 9.8")
            },
        );
        let message = format!(
            "{}: at {} the liquid stands {} above the outlet, where the dip over it draws in gas (Lubin and \
             Springer 1967, still liquid{}): {} is left, {}, which this run goes on to \
             count as liquid alone; write ingestion = \"dip\" to end the flow of liquid there",
            volume.name,
            text(Dimension::Time, at_s),
            text(Dimension::Length, level.before(at_s)),
            swirl,
            text(Dimension::Mass, left_kg),
            text(Dimension::Volume, left_kg / density),
        );
        Some(warning(&codes::GAS_INGESTED, message))
    };
    windows.iter().filter_map(of_window).collect()
}

/// Bore of the line that leaves the tank.
fn first_bore_m(chain: &LiquidChain) -> Option<f64> {
    match chain.elements.first()? {
        ChainElement {
            kind: ElementKind::Line(line),
            ..
        } => Some(line.bore_m),
        _ => None,
    }
}
