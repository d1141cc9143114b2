//! Where the pressurant of a cryogenic tank and its heat went.

use super::chart::{Chart, Series, Shown, told_apart};
use super::look;
use super::scene::{Point, Stroke};
use super::stack::Stack;
use super::subject::{LEGEND_GAP, Subject};
use shared::quantity::Dimension;
use sim_core::network::VolumeKind;

/// One layer of a stack: its column, its name at the end of its line.
type Layer = (&'static str, &'static str);

const GAS: [Layer; 6] = [
    ("pressurant_without_exchange_kg", "volume"),
    ("pressurant_for_wall_kg", "+ wall"),
    ("pressurant_for_surface_kg", "+ surface"),
    ("pressurant_for_vapour_kg", "+ vapour"),
    ("pressurant_for_inlet_kg", "+ way in"),
    ("pressurant_for_solution_kg", "+ solution"),
];

/// Some of them are counted from the start of the run, not from that of the pressurisation.
const HEAT: [Layer; 6] = [
    ("heat_in_ullage_j", "ullage"),
    ("heat_to_wall_j", "+ wall"),
    ("heat_to_surface_j", "+ surface"),
    ("heat_with_vapour_j", "+ vapour"),
    ("heat_on_the_way_j", "+ way in"),
    ("heat_with_solution_j", "+ solution"),
];

/// A layer that stays thinner than this part of the lowest one would only be a second line.
const THIN: f64 = 0.003;

/// One picture for each cryogenic tank with a supply of gas.
#[must_use]
pub fn stacks(subject: &Subject) -> Vec<(String, Stack)> {
    let volumes = subject.network.volumes.iter();
    let tanks =
        volumes.filter(|v| matches!(&v.kind, VolumeKind::Tank(tank) if tank.cryogen.is_some()));
    tanks
        .filter_map(|v| Some((v.name.clone(), stack(subject, &v.name)?)))
        .collect()
}

fn stack(subject: &Subject, tank: &str) -> Option<Stack> {
    let mut factor = subject.series(tank, "collapse_factor_1", Dimension::Fraction)?;
    let seen = |p: &Point| p.1.is_finite();
    if !factor.points.iter().any(seen) {
        return None;
    }
    factor.name = "collapse factor".to_owned();
    factor.stroke = look::line(0);
    let collapse = Chart {
        quantity: "Gas that came in over gas without exchange".to_owned(),
        series: vec![factor],
        guides: Vec::new(),
        notes: Vec::new(),
        shown: Shown::default(),
        weight: 0.8,
    };
    let gas = layers(
        subject,
        tank,
        &GAS,
        Dimension::Mass,
        "Gas that came in, and what for",
    );
    let heat = layers(
        subject,
        tank,
        &HEAT,
        Dimension::Energy,
        "Its heat, and where it went",
    );
    let charts = [Some(collapse), gas, heat].into_iter().flatten();
    let stack = Stack::over_time(subject, |subject| title(subject, tank), charts)?;
    let axis = subject.axis("Time", Dimension::Time);
    let x_quantity = match subject.bands {
        Some(_) => format!("shaded in the upper panel: 95 % of the draws{LEGEND_GAP}{axis}"),
        None => axis,
    };
    Some(Stack {
        x_quantity,
        ..stack
    })
}

/// Layers upon each other, each shaded from the one below it; beside gas, what came in.
fn layers(
    subject: &Subject,
    tank: &str,
    layers: &[Layer],
    dimension: Dimension,
    words: &str,
) -> Option<Chart> {
    let points = |column: &str| subject.points(&format!("{tank}.{column}"), dimension);
    // Where one is counted from the pressurisation on, all are.
    let counted = points(layers[0].0)?;
    let start = counted.iter().position(|p| p.1.is_finite())?;
    let mut below: Vec<f64> = vec![0.0; counted.len()];
    let mut series = Vec::new();
    for (i, (column, name)) in layers.iter().enumerate() {
        let own = points(column)?;
        let from = own[start].1;
        let most = own.iter().skip(start).map(|p| (p.1 - from).abs());
        if i > 0 && most.fold(0.0, f64::max) < THIN * counted[counted.len() - 1].1.abs() {
            continue;
        }
        let mut shaded = Vec::with_capacity(own.len() - start);
        for (point, below) in own.iter().zip(&mut below).skip(start) {
            let above = *below + point.1 - from;
            shaded.push((point.0, below.min(above), below.max(above)));
            *below = above;
        }
        let tops = own.iter().zip(&below).skip(start);
        series.push(Series {
            name: (*name).to_owned(),
            stroke: look::line(i + 1),
            points: tops.map(|(p, &top)| (p.0, top)).collect(),
            band: shaded,
        });
    }
    if dimension == Dimension::Mass {
        series.push(Series {
            name: "came in".to_owned(),
            stroke: Stroke {
                colour: look::INK,
                ..look::line(0)
            },
            points: points("pressurant_kg")?,
            band: Vec::new(),
        });
    }
    Some(Chart {
        quantity: subject.axis(words, dimension),
        series: told_apart(series),
        guides: Vec::new(),
        notes: Vec::new(),
        shown: Shown::default(),
        weight: 1.2,
    })
}

fn title(subject: &Subject, tank: &str) -> String {
    let figure = |suffix: &str| subject.figure(&format!("{tank}.{suffix}"));
    let told = || {
        let factor = figure("collapse_factor_1")?;
        let used = figure("pressurant_kg")?;
        let ideal = figure("pressurant_without_exchange_kg")?;
        Some(format!(
            "{tank}: {used} of gas came in where {ideal} would have done without exchange: collapse factor {factor}"
        ))
    };
    told().unwrap_or_else(|| format!("{tank}: where the pressurant went"))
}
