//! Liquid flow and gas flow.

use super::chart::{Chart, Note, Series, told_apart};
use super::scene::{Anchor, Point};
use super::stack::Stack;
use super::subject::Subject;
use shared::quantity::Dimension;

/// Part of the run for which a flow that is cut off may last.
const SHORT: f64 = 0.05;
/// A peak this much above the rest is cut off.
const TOWERING: f64 = 2.5;
/// Room above the rest.
const ROOM: f64 = 1.3;
/// Height of the words about a peak that is cut off, as a part of the panel's.
const WORDS_AT: f64 = 0.9;

/// Liquid flows above, gas flows below: they differ too much for one panel.
#[must_use]
pub fn stack(subject: &Subject) -> Option<Stack> {
    let liquid = chart(subject, "Liquid flow", &subject.liquid_flows(), 1.4);
    let gas = chart(subject, "Gas flow", &subject.gas_branches(), 1.0);
    let gas = gas.map(|chart| without_spike(subject, chart));
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
        top: None,
        weight,
    })
}

/// Cuts off a short peak, as of a tank that is filled at the start, beside which the rest
/// would lie flat, and says how high it is.
fn without_spike(subject: &Subject, chart: Chart) -> Chart {
    let cut = || {
        let rest = chart.series.iter().map(|s| held(&s.points));
        let top = ROOM * rest.fold(0.0, f64::max);
        let highest = chart
            .series
            .iter()
            .max_by(|a, b| peak(a).total_cmp(&peak(b)))?;
        let towers = top > 0.0 && peak(highest) > TOWERING / ROOM * top;
        // A limit is not cut off: it says how much of the peak is allowed.
        (towers && chart.guides.is_empty()).then(|| Some((top, note(subject, highest, top)?)))?
    };
    match cut() {
        Some((top, note)) => Chart {
            top: Some(top),
            notes: vec![note],
            ..chart
        },
        None => chart,
    }
}

fn peak(series: &Series) -> f64 {
    let flows = series.points.iter().map(|p| p.1);
    flows.fold(0.0, f64::max)
}

/// The flow that is exceeded for a short part of the rows only.
fn held(points: &[Point]) -> f64 {
    let mut flows: Vec<f64> = points.iter().map(|p| p.1).collect();
    flows.sort_by(f64::total_cmp);
    let short = (SHORT * flows.len() as f64) as usize;
    flows.iter().rev().nth(short).copied().unwrap_or(0.0)
}

/// How high the peak is and when, written where the line comes back into the panel.
fn note(subject: &Subject, series: &Series, top: f64) -> Option<Note> {
    let name = &series.name;
    let column = format!("{name}.mass_flow_kg_s");
    let extremes = subject
        .outcome
        .extremes
        .get(subject.outcome.history.index_of(&column)?)?;
    let greatest = extremes.greatest;
    let peak = subject.text(Dimension::MassFlow, greatest.value);
    let time = format!("{name}.peak_flow_time_s");
    let time_s = subject.summary.get(&time).unwrap_or(greatest.time_s);
    let at = subject.text(Dimension::Time, time_s);
    let peak_at = subject.shown_time(greatest.time_s);
    let mut after = series.points.iter().skip_while(|p| p.0 < peak_at);
    let back = after.find(|p| p.1 < top).map_or(peak_at, |p| p.0);
    let (first_s, last_s) = subject.time_range_s();
    let early = back < subject.shown_time(0.5 * (first_s + last_s));
    Some(Note {
        at: (back, WORDS_AT * top),
        label: format!("cut off: {name} peaks at {peak}, {at}"),
        colour: series.stroke.colour,
        dot: false,
        anchor: if early { Anchor::Start } else { Anchor::End },
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
