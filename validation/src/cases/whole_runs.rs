//! Every ready-made stand as a whole: balances, tolerance, and a second integrator.

use crate::bdf::compared;
use crate::report::{Case, Figure, Section};
use crate::trial::stand;
use scenarios::predict::{PredictOptions, Prediction};
use scenarios::{CheckedStand, ReadyMade, predict, ready_made};
use shared::quantity::Dimension;
use sim_core::outcome::{History, Integrator};

/// The section.
pub fn section() -> Section {
    Section {
        title: "Whole runs",
        method: "Every ready-made stand, as `pressfed predict` runs it.",
        cases: ready_made().iter().flat_map(cases).collect(),
    }
}

fn cases(ready: &ReadyMade) -> [Case; 4] {
    let checked = stand(ready.text);
    let of = |figures: fn(&CheckedStand) -> Result<Vec<Figure>, String>| {
        checked.clone().and_then(|stand| figures(&stand))
    };
    let title = |what: &str| format!("{}: {what}", ready.name);
    [
        Case {
            title: title("balances"),
            source: "conservation",
            reason: "mass 1e-9 of what moved: sums of states, kept to rounding. Energy 1e-6 of \
                     the sum of work and heat: kinetic and potential energy of the liquid are no \
                     sums of states, what is left is the integration error of those two",
            figures: of(balances),
        },
        Case {
            title: title("half the tolerance"),
            source: "the same run at half the tolerance",
            reason: "each figure of the summary may move by 0.1 % of itself or by 1e-4 of the \
                     range of its component's columns of the same unit: 1 is all of that",
            figures: of(half_the_tolerance),
        },
        Case {
            title: title("Dormand-Prince instead of Rodas5P"),
            source: "the same equations by the explicit integrator, both at a tolerance of 1e-8",
            reason: "figures as above; columns: 1e-4 of their \
                     range, or 1e-7 of their size where they hardly move, at every row of the grid",
            figures: of(other_integrator),
        },
        Case {
            title: title("backward differentiation between the events"),
            source: "diffsol 0.18, BDF at a tolerance of 1e-8, from event to event of the run",
            reason: "ten times the tolerance of the run's steps, 1e-5, in their norm: root mean square \
                     of the states, each weighed by its scale and size",
            figures: of(third_solver),
        },
    ]
}

fn carried_out(
    stand: &CheckedStand,
    tolerance: f64,
    integrator: Integrator,
) -> Result<Prediction, String> {
    let options = PredictOptions {
        tolerance: Some(tolerance),
        integrator,
    };
    let prediction = predict(stand, &options);
    match &prediction.outcome.failure {
        Some(failure) => Err(format!("at {} s: {}", failure.time_s, failure.message)),
        None => Ok(prediction),
    }
}

fn balances(stand: &CheckedStand) -> Result<Vec<Figure>, String> {
    let prediction = carried_out(stand, stand.run.tolerance, Integrator::Rodas5p)?;
    let found = &prediction.outcome.balances;
    let species = found.species.iter();
    let mut figures: Vec<Figure> = species
        .map(|(name, error)| Figure::at_most(format!("mass of {name}"), *error, 1e-9))
        .collect();
    figures.push(Figure::at_most("energy", found.energy_relative, 1e-6));
    Ok(figures)
}

fn half_the_tolerance(stand: &CheckedStand) -> Result<Vec<Figure>, String> {
    let tolerance = stand.run.tolerance;
    let whole = carried_out(stand, tolerance, Integrator::Rodas5p)?;
    let half = carried_out(stand, tolerance / 2.0, Integrator::Rodas5p)?;
    Ok(vec![worst_move(&whole, &half, 1.0)?])
}

fn other_integrator(stand: &CheckedStand) -> Result<Vec<Figure>, String> {
    let usual = carried_out(stand, 1e-8, Integrator::Rodas5p)?;
    let other = carried_out(stand, 1e-8, Integrator::Dopri5)?;
    let (column, difference) = worst_column(stand, &usual, &other)?;
    let count = usual.outcome.history.columns.len();
    let quantity = named(
        format!("difference in {count} columns"),
        &column,
        difference,
        1e-4,
    );
    Ok(vec![
        worst_move(&usual, &other, 1.0)?,
        Figure::at_most(quantity, difference, 1e-4),
    ])
}

fn third_solver(stand: &CheckedStand) -> Result<Vec<Figure>, String> {
    let found = compared(&stand.lower(), &stand.run)?;
    if let Some(failure) = found.failure {
        return Err(failure);
    }
    let limit = 10.0 * stand.run.tolerance;
    let quantity = format!("largest difference over {} stretches", found.stretches);
    Ok(vec![Figure::at_most(quantity, found.worst, limit)])
}

/// The figure of the summary that moves most, in parts of what is allowed.
fn worst_move(a: &Prediction, b: &Prediction, limit: f64) -> Result<Figure, String> {
    let (name, most) = moves(a, b)?
        .into_iter()
        .max_by(|x, y| x.1.total_cmp(&y.1))
        .ok_or("the run has no figures")?;
    let count = a.summary.figures.len();
    let quantity = named(format!("move of {count} figures"), &name, most, limit);
    Ok(Figure::at_most(quantity, most, limit))
}

/// Names what is beyond the limit; what is within is rounding, and any of them may be largest.
fn named(quantity: String, name: &str, most: f64, limit: f64) -> String {
    if most <= limit {
        format!("{quantity}, largest")
    } else {
        format!("{quantity}, largest: {name}")
    }
}

/// How far each figure moves, in parts of what is allowed.
fn moves(a: &Prediction, b: &Prediction) -> Result<Vec<(String, f64)>, String> {
    let one = |figure: &scenarios::summary::Figure| {
        let name = &figure.name;
        let other = b.summary.get(name);
        let other = other.ok_or_else(|| format!("only one of the runs has {name}"))?;
        let difference = (figure.value - other).abs();
        let range = range(&a.outcome.history, &figure.component, figure.dimension);
        let allowed = f64::max(1e-3 * figure.value.abs(), 1e-4 * range);
        let part = if difference == 0.0 {
            0.0
        } else {
            difference / allowed
        };
        Ok((name.clone(), part))
    };
    a.summary.figures.iter().map(one).collect()
}

/// The widest range of a component's columns of a dimension; of time, the length of the run.
fn range(history: &History, component: &str, dimension: Dimension) -> f64 {
    let unit = match dimension {
        Dimension::Time => return span(&history.column("time_s").unwrap_or_default()),
        Dimension::Pressure | Dimension::PressureDifference => "_pa",
        Dimension::Temperature | Dimension::TemperatureDifference => "_k",
        Dimension::Mass => "_kg",
        Dimension::MassFlow => "_kg_s",
        _ => return 0.0,
    };
    let is_meant = |name: &&String| {
        name.strip_prefix(component)
            .is_some_and(|rest| rest.starts_with('.'))
            && name.ends_with(unit)
    };
    let names = history.columns.iter().filter(is_meant);
    names
        .map(|name| span(&history.column(name).unwrap_or_default()))
        .fold(0.0, f64::max)
}

fn span(values: &[f64]) -> f64 {
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    f64::max(high - low, 0.0)
}

/// The column that differs most over the rows of the grid, relative to its range.
fn worst_column(
    stand: &CheckedStand,
    a: &Prediction,
    b: &Prediction,
) -> Result<(String, f64), String> {
    let (first, second) = (&a.outcome.history, &b.outcome.history);
    let grid = |history: &History| grid_rows(history, stand.run.output_step_s);
    let rows: Vec<(usize, usize)> = grid(first).into_iter().zip(grid(second)).collect();
    let mut worst = (String::new(), 0.0);
    for (index, name) in first.columns.iter().enumerate() {
        let values = first.column(name).unwrap_or_default();
        let size = values.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
        // A column that hardly moves is known to ten times the tolerance, 1e-7 of its size.
        let range = span(&values).max(1e-3 * size);
        let differences = rows
            .iter()
            .map(|&(i, j)| (first.row(i)[index] - second.row(j)[index]).abs());
        let most = differences.fold(0.0, f64::max);
        if range > 0.0 && most / range > worst.1 {
            worst = (name.clone(), most / range);
        }
    }
    Ok(worst)
}

/// The rows of the uniform grid: the first at each multiple of the step.
fn grid_rows(history: &History, step_s: f64) -> Vec<usize> {
    let times = history.column("time_s").unwrap_or_default();
    let mut rows = Vec::new();
    for (row, time_s) in times.iter().enumerate() {
        let due_s = rows.len() as f64 * step_s;
        if (time_s - due_s).abs() < 1e-9 {
            rows.push(row);
        }
    }
    rows
}
