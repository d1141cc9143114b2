//! A run in a few lines of text, for a shell over a poor link: each line of the history as a row
//! of blocks from its least to its greatest value.

use super::screen::Screen;
use super::table::aligned;
use scenarios::predict::Prediction;
use scenarios::summary::trace::Trace;
use scenarios::summary::window::flow_windows;
use shared::quantity::{Dimension, Display};
use sim_core::network::VolumeKind;

/// Blocks along a row.
const WIDTH: usize = 60;
/// From the least to the greatest value.
const BLOCKS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];

/// Pressures of the volumes and flows of the liquid over the whole run; none without a history.
#[must_use]
pub fn sketch(prediction: &Prediction, display: &Display, screen: Screen) -> Option<String> {
    let (network, outcome) = (&prediction.network, &prediction.outcome);
    let volumes = network.volumes.iter();
    let volumes = volumes.filter(|v| !matches!(v.kind, VolumeKind::Ambient));
    let pressures = volumes.map(|v| (v.name.as_str(), "pressure", "pa", Dimension::Pressure));
    let windows = flow_windows(network, outcome);
    let flows = windows
        .iter()
        .map(|w| (w.name, "mass_flow", "kg_s", Dimension::MassFlow));
    let rows = pressures
        .chain(flows)
        .filter_map(|(name, what, unit, dimension)| {
            let column = format!("{what}_{unit}");
            let trace = Trace::of_component(&outcome.history, name, &column)?;
            let (start_s, end_s) = trace.span_s();
            let ends = [
                trace.minimum(start_s, end_s).1,
                trace.maximum(start_s, end_s).1,
            ];
            let [least, greatest] = ends.map(|end| display.number(dimension, end));
            let words = format!(
                "{name} {}, {}",
                what.replace('_', " "),
                display.unit(dimension)
            );
            let row = blocks(&trace, (start_s, end_s), ends);
            Some(vec![words, least, row, greatest])
        });
    let rows: Vec<Vec<String>> = rows.collect();
    let (_, end_s) = Trace::of(&outcome.history, "time_s")?.span_s();
    let heading = format!(
        "From 0 s to {}, each from its least to its greatest value",
        display.text(Dimension::Time, end_s)
    );
    Some(format!(
        "{}\n{}",
        screen.heading(&heading),
        aligned(rows, &[1])
    ))
}

/// The mean over each part of a span as a block.
fn blocks(trace: &Trace, (start_s, end_s): (f64, f64), [least, greatest]: [f64; 2]) -> String {
    let step_s = (end_s - start_s) / WIDTH as f64;
    let block = |i: usize| {
        let from_s = start_s + i as f64 * step_s;
        let part = (trace.mean(from_s, from_s + step_s) - least) / (greatest - least);
        // A line that does not move lies at its least.
        let place = if part.is_finite() {
            part * BLOCKS.len() as f64
        } else {
            0.0
        };
        BLOCKS[(place as usize).min(BLOCKS.len() - 1)]
    };
    (0..WIDTH).map(block).collect()
}
