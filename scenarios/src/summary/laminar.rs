//! Loss coefficients outside the turbulent flow that they are for.

use super::cautions::warning;
use super::flow::steady_flow;
use super::trace::Trace;
use super::window::FlowWindow;
use shared::codes;
use shared::quantity::significant;
use sim_core::network::{ElementKind, Line, Network, VolumeKind};
use sim_core::outcome::{Outcome, Warning};
use std::f64::consts::PI;

/// Reynolds number above which flow in a pipe is turbulent, as in the friction factor.
const TURBULENT_ABOVE: f64 = 4000.0;

/// One warning for each line with loss coefficients whose steady flow is not turbulent.
pub(super) fn read(
    network: &Network,
    outcome: &Outcome,
    windows: &[FlowWindow<'_>],
) -> Vec<Warning> {
    let of_window = |window: &FlowWindow<'_>| {
        let viscosity_pa_s = viscosity_pa_s(network, window)?;
        let flow = Trace::of(&outcome.history, &format!("{}.mass_flow_kg_s", window.name))?;
        let (_, steady_kg_s) = steady_flow(&flow, window);
        let reynolds = |line: &Line| 4.0 * steady_kg_s / (PI * line.bore_m * viscosity_pa_s);
        let lines = window.chain.elements.iter().filter_map(|e| match &e.kind {
            ElementKind::Line(line) if line.minor_loss > 0.0 => Some((&e.name, reynolds(line))),
            _ => None,
        });
        let laminar = lines.filter(|(_, re)| *re > 0.0 && *re < TURBULENT_ABOVE);
        let said = laminar.map(|(name, reynolds)| {
            let reynolds = significant(reynolds, 2, 0);
            let message = format!(
                "{name}: flows at a Reynolds number of {reynolds}, where its loss coefficients, which are \
                 those of turbulent flow, are too low"
            );
            warning(&codes::LAMINAR_FITTINGS, message)
        });
        Some(said.collect::<Vec<_>>())
    };
    windows.iter().filter_map(of_window).flatten().collect()
}

fn viscosity_pa_s(network: &Network, window: &FlowWindow<'_>) -> Option<f64> {
    let VolumeKind::Tank(tank) = &network.volumes[window.tank].kind else {
        return None;
    };
    let state = tank.liquid.at(tank.liquid_temperature_k).ok()?;
    Some(state.viscosity_pa_s)
}
