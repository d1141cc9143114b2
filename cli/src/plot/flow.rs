//! Liquid flow and gas flow.

use super::chart::{Chart, Note, Series, Shown, told_apart};
use super::scene::{Anchor, Point};
use super::stack::Stack;
use super::subject::Subject;
use shared::quantity::Dimension;

/// Parts of the run for which a flow that is cut off may last, the first that will do.
const SHORT: [f64; 5] = [0.002, 0.005, 0.01, 0.02, 0.05];
/// A peak this much above the rest is cut off.
const TOWERING: f64 = 2.5;
/// Room above the rest.
const ROOM: f64 = 1.3;
/// Part of the scale that a direction keeps whose peak is cut off.
const LEAST_PART: f64 = 0.25;

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
        shown: Shown::default(),
        weight,
    })
}

/// Cuts off a short peak either way, as of a tank that is filled at the start, beside which the
/// rest would lie flat, and says how high it is.
fn without_spike(subject: &Subject, chart: Chart) -> Chart {
    let most = |sign: f64, short: f64| {
        let flows = chart
            .series
            .iter()
            .map(|s| exceeded(&s.points, sign, short));
        flows.fold(0.0, f64::max)
    };
    let towers = |sign: f64, short: &f64| {
        let rest = most(1.0, *short).max(most(-1.0, *short));
        rest > 0.0 && most(sign, 0.0) > TOWERING * rest
    };
    let end = |sign: f64| {
        // As little is cut off as lets the rest be seen.
        let short = *SHORT.iter().find(|short| towers(sign, short))?;
        let rest = ROOM * most(sign, short);
        let least = LEAST_PART * ROOM * most(-sign, short);
        Some(sign * rest.max(least))
    };
    // A limit is not cut off: it says how much of the peak is allowed.
    let [top, bottom] = [1.0, -1.0].map(|sign| end(sign).filter(|_| chart.guides.is_empty()));
    let ends = [top, bottom].into_iter().flatten();
    Chart {
        shown: Shown { bottom, top },
        notes: ends
            .filter_map(|end| note(subject, &chart.series, end))
            .collect(),
        ..chart
    }
}

/// The flow in a direction that is exceeded for so short a part of the rows only.
fn exceeded(points: &[Point], sign: f64, short: f64) -> f64 {
    let mut flows: Vec<f64> = points.iter().map(|p| sign * p.1).collect();
    flows.sort_by(f64::total_cmp);
    let short = (short * flows.len() as f64) as usize;
    let flow = flows.iter().rev().nth(short).copied();
    flow.unwrap_or(0.0).max(0.0)
}

/// How high the highest peak beyond an end of the panel is and when, written over its right corner.
fn note(subject: &Subject, series: &[Series], end: f64) -> Option<Note> {
    let peak = |s: &&Series| exceeded(&s.points, end.signum(), 0.0);
    let highest = series.iter().max_by(|a, b| peak(a).total_cmp(&peak(b)))?;
    let name = &highest.name;
    let outcome = subject.outcome;
    let column = outcome
        .history
        .index_of(&format!("{name}.mass_flow_kg_s"))?;
    let extremes = outcome.extremes.get(column)?;
    let (extreme, words) = if end > 0.0 {
        (extremes.greatest, "peaks at")
    } else {
        (extremes.least, "falls to")
    };
    let value = subject.text(Dimension::MassFlow, extreme.value);
    let told = subject.summary.get(&format!("{name}.peak_flow_time_s"));
    let told = told.filter(|_| end > 0.0).unwrap_or(extreme.time_s);
    let at = subject.text(Dimension::Time, told);
    let (_, last_s) = subject.time_range_s();
    Some(Note {
        at: (subject.shown_time(last_s), end),
        label: format!("cut off: {name} {words} {value}, {at}"),
        colour: highest.stroke.colour,
        dot: false,
        anchor: Anchor::End,
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
