//! Liquid flow and gas flow.

use super::chart::{Chart, Note, Series, Shown, told_apart};
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
/// Part of the scale that a direction keeps whose peak is cut off.
const LEAST_PART: f64 = 0.25;
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
        shown: Shown::default(),
        weight,
    })
}

/// Cuts off a short peak either way, as of a tank that is filled at the start, beside which the
/// rest would lie flat, and says how high it is.
fn without_spike(subject: &Subject, chart: Chart) -> Chart {
    let rest = |sign: f64| {
        let rest = chart.series.iter().map(|s| held(&s.points, sign));
        ROOM * rest.fold(0.0, f64::max)
    };
    let (forward, back) = (rest(1.0), rest(-1.0));
    let scale = forward.max(back);
    let cut = |sign: f64, rest: f64| {
        let series = chart.series.iter();
        let highest = series.max_by(|a, b| peak(a, sign).total_cmp(&peak(b, sign)))?;
        // A limit is not cut off: it says how much of the peak is allowed.
        let towers = scale > 0.0 && peak(highest, sign) > TOWERING / ROOM * scale;
        let end = sign * rest.max(LEAST_PART * scale);
        (towers && chart.guides.is_empty()).then(|| Some((end, note(subject, highest, end)?)))?
    };
    let (top, bottom) = (cut(1.0, forward), cut(-1.0, back));
    Chart {
        shown: Shown {
            top: top.as_ref().map(|(end, _)| *end),
            bottom: bottom.as_ref().map(|(end, _)| *end),
        },
        notes: top
            .into_iter()
            .chain(bottom)
            .map(|(_, note)| note)
            .collect(),
        ..chart
    }
}

/// The largest flow in a direction.
fn peak(series: &Series, sign: f64) -> f64 {
    let flows = series.points.iter().map(|p| sign * p.1);
    flows.fold(0.0, f64::max)
}

/// The flow in a direction that is exceeded for a short part of the rows only.
fn held(points: &[Point], sign: f64) -> f64 {
    let mut flows: Vec<f64> = points.iter().map(|p| sign * p.1).collect();
    flows.sort_by(f64::total_cmp);
    let short = (SHORT * flows.len() as f64) as usize;
    flows
        .iter()
        .rev()
        .nth(short)
        .copied()
        .unwrap_or(0.0)
        .max(0.0)
}

/// How high a peak beyond an end of the panel is and when, written where the line comes back.
fn note(subject: &Subject, series: &Series, end: f64) -> Option<Note> {
    let name = &series.name;
    let column = format!("{name}.mass_flow_kg_s");
    let extremes = subject
        .outcome
        .extremes
        .get(subject.outcome.history.index_of(&column)?)?;
    let (extreme, words) = if end > 0.0 {
        (extremes.greatest, "peaks at")
    } else {
        (extremes.least, "falls to")
    };
    let value = subject.text(Dimension::MassFlow, extreme.value);
    let told = subject.summary.get(&format!("{name}.peak_flow_time_s"));
    let told = told.filter(|_| end > 0.0).unwrap_or(extreme.time_s);
    let at = subject.text(Dimension::Time, told);
    let extreme_at = subject.shown_time(extreme.time_s);
    let mut after = series.points.iter().skip_while(|p| p.0 < extreme_at);
    let is_back = |p: &&Point| p.1 * end.signum() < end.abs();
    let back = after.find(is_back).map_or(extreme_at, |p| p.0);
    let (first_s, last_s) = subject.time_range_s();
    let early = back < subject.shown_time(0.5 * (first_s + last_s));
    Some(Note {
        at: (back, WORDS_AT * end),
        label: format!("cut off: {name} {words} {value}, {at}"),
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
