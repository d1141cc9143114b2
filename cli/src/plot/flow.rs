//! Liquid flow and gas flow.

use super::chart::{Chart, told_apart};
use super::stack::Stack;
use super::subject::Subject;
use shared::quantity::Dimension;

/// Liquid flows above, gas flows below: they differ too much for one panel.
#[must_use]
pub fn stack(subject: &Subject) -> Option<Stack> {
    let liquid = chart(subject, "Liquid flow", &subject.liquid_flows(), 1.4);
    let gas = chart(subject, "Gas flow", &subject.gas_branches(), 1.0);
    Stack::over_time(subject, title, [liquid, gas].into_iter().flatten())
}

fn chart(subject: &Subject, quantity: &str, names: &[&str], weight: f64) -> Option<Chart> {
    let line = |n: &&str| subject.series(n, "mass_flow_kg_s", Dimension::MassFlow);
    let series: Vec<_> = names.iter().filter_map(line).collect();
    (!series.is_empty()).then(|| Chart {
        quantity: subject.axis(quantity, Dimension::MassFlow),
        series: told_apart(series),
        guides: subject.limit_guides(names, "mass_flow", Dimension::MassFlow),
        notes: Vec::new(),
        weight,
    })
}

fn title(subject: &Subject) -> String {
    let from_flow = subject.liquid_flows().first().and_then(|flow| {
        let steady = subject.figure(&format!("{flow}.steady_flow_kg_s"))?;
        let mean = subject.figure(&format!("{flow}.mean_flow_kg_s"))?;
        Some(format!("{flow}: {steady} steady, {mean} on average"))
    });
    from_flow.unwrap_or_else(|| "Flows".to_owned())
}
