//! The derivatives that the integrator is given are those of the rates, on every ready-made stand from
//! its start to its end: with wrong ones a linearly implicit method loses its order.

use nalgebra::{DMatrix, DVector};
use sim_core::fault::Fault;
use sim_core::integrate::{DenseStep, Driver, Rates, Sink, Tuning};
use sim_core::model::Model;
use sim_core::outcome::{Integrator, Statistics};
use sim_core::run::Run;

/// Steps from one look to the next.
const STRIDE: usize = 15;

/// Parts of a state's size by which it is moved: at the longer ones the rates bend, at the shorter ones
/// they are rounded.
const MOVES: [f64; 4] = [1e-4, 1e-5, 1e-6, 1e-7];

/// Part of the strongest coupling of an equation by which another may be off. What is known to be left
/// out is weaker: the length that a film takes from the size of the surface, the composition of the gas
/// in a viscosity, traces.
const TOLERANCE: f64 = 1e-2;

/// Compares as the run goes by.
#[derive(Default)]
struct Comparison {
    steps: usize,
    compared: usize,
    off: Vec<String>,
}

impl Sink<Run> for Comparison {
    fn step(&mut self, run: &Run, step: &dyn DenseStep) -> Result<(), Fault> {
        self.steps += 1;
        if !self.steps.is_multiple_of(STRIDE) {
            return Ok(());
        }
        let mut y = vec![0.0; run.dimension()];
        let time_s = step.middle(&mut y);
        self.compare(run, time_s, &y)
    }

    fn before(&mut self, _: &Run, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }

    fn after(&mut self, _: &Run, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }
}

impl Comparison {
    fn compare(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        let n = run.dimension();
        let (mut jacobian, mut time_slope) = (DMatrix::zeros(n, n), DVector::zeros(n));
        run.jacobian(time_s, y, &mut jacobian, &mut time_slope)?;
        let rates = rates(run, time_s, y)?;
        let size = |i: usize| run.scale(i) + y[i].abs();
        for column in 0..run.coupled() {
            // What stands still at zero, a valve on its seat, is no part of the equations.
            if y[column] == 0.0 && rates[column] == 0.0 {
                continue;
            }
            let slopes: Vec<_> = MOVES
                .iter()
                .filter_map(|part| one_sided(run, time_s, y, column, part * size(column)).ok())
                .collect();
            // What only counts feeds nothing back.
            for (row, rate) in rates.iter().enumerate().take(run.coupled()) {
                let coupling = |column: usize| (jacobian[(row, column)] * size(column)).abs();
                let strongest = (0..n).map(coupling).fold(rate.abs(), f64::max);
                let own = jacobian[(row, column)];
                let apart =
                    |slope: &Vec<(f64, f64)>| (own.clamp(slope[row].0, slope[row].1) - own).abs();
                let apart = slopes.iter().map(apart).fold(f64::INFINITY, f64::min);
                self.compared += 1;
                if apart * size(column) > TOLERANCE * strongest {
                    let part = apart * size(column) / strongest;
                    self.off.push(format!(
                        "{time_s} s, row {row}, column {column}: {part:.1e}"
                    ));
                }
            }
        }
        Ok(())
    }
}

fn rates(run: &Run, time_s: f64, y: &[f64]) -> Result<Vec<f64>, Fault> {
    let mut dy = vec![0.0; y.len()];
    run.rates(time_s, y, &mut dy)?;
    Ok(dy)
}

/// Slopes of all rates by one state to its left and right, the lower one first: at a kink any between
/// them will do.
fn one_sided(
    run: &Run,
    time_s: f64,
    y: &[f64],
    column: usize,
    by: f64,
) -> Result<Vec<(f64, f64)>, Fault> {
    let moved = |by: f64| {
        let mut y = y.to_vec();
        y[column] += by;
        rates(run, time_s, &y)
    };
    let (less, here, more) = (moved(-by)?, moved(0.0)?, moved(by)?);
    let slopes = less.iter().zip(&here).zip(&more);
    Ok(slopes
        .map(|((less, here), more)| ((here - less) / by, (more - here) / by))
        .map(|(left, right)| (f64::min(left, right), f64::max(left, right)))
        .collect())
}

#[test]
fn derivatives_are_those_of_the_rates() {
    for ready in scenarios::ready_made() {
        let stand = scenarios::load(ready.text).expect("a ready-made stand is in order");
        let model = Model::new(&stand.lower()).expect("it has a model");
        let mut run = Run::new(model).expect("it starts");
        let driver = Driver {
            integrator: Integrator::Rodas5p,
            tuning: Tuning::at(stand.run.tolerance),
        };
        let mut y = run.model.start.clone();
        let mut comparison = Comparison::default();
        let span_s = (0.0, stand.run.until_s);
        let statistics = &mut Statistics::default();
        let ended = driver.run(&mut run, span_s, &mut y, &mut comparison, statistics);
        assert!(ended.is_ok(), "{}", ready.name);
        assert!(comparison.compared > 0, "{}", ready.name);
        assert!(
            comparison.off.is_empty(),
            "{}: {:#?}",
            ready.name,
            comparison.off
        );
    }
}
