//! A run's stretches between its events once more, by backward differentiation.
//!
//! diffsol (M. Robinson et al., J. Open Source Softw. 11 (2026) 9384) carries each stretch from the
//! state after the event that begins it to the one that ends it, with the modes that the run has
//! there: another family of methods, another step control, another hand.

use diffsol::{
    NalgebraLU, NalgebraMat, OdeBuilder, OdeSolverMethod, OdeSolverStopReason, VectorCommon,
};
use nalgebra::{DMatrix, DVector};
use sim_core::fault::Fault;
use sim_core::integrate::{DenseStep, Driver, Rates, Sink, Tuning};
use sim_core::model::Model;
use sim_core::network::Network;
use sim_core::outcome::{Integrator, RunOptions, Statistics};
use sim_core::run::Run;
use std::cell::RefCell;

/// Relative tolerance of its steps: their errors are to stay far below those of the run.
const TOLERANCE: f64 = 1e-8;
/// Stretches that are left out, s: events at one instant.
const SHORTEST_S: f64 = 1e-9;

/// What came of a comparison.
#[derive(Clone, Debug, Default)]
pub struct Comparison {
    /// Stretches that were carried twice.
    pub stretches: usize,
    /// Largest difference of the states at the end of one, in the norm in which the steps of a run
    /// are held to their tolerance: root mean square, each in parts of its scale and size.
    pub worst: f64,
    /// Steps of the run, and of the other integrator.
    pub steps: (u64, u64),
    /// Why a stretch could not be carried.
    pub failure: Option<String>,
}

/// Runs a network with the default integrator, and each of its stretches with the other.
///
/// # Errors
/// If the run itself fails, in words.
pub fn compared(network: &Network, options: &RunOptions) -> Result<Comparison, String> {
    let model = Model::new(network).map_err(|f| f.message)?;
    let mut run = Run::new(model).map_err(|f| f.message)?;
    let mut y = run.model.start.clone();
    let mut twice = Twice {
        begun: (0.0, y.clone()),
        reached: (0.0, y.clone()),
        comparison: Comparison::default(),
    };
    let driver = Driver {
        integrator: Integrator::Rodas5p,
        tuning: Tuning::at(options.tolerance),
    };
    let mut statistics = Statistics::default();
    let span_s = (0.0, options.until_s);
    let ended = driver.run(&mut run, span_s, &mut y, &mut twice, &mut statistics);
    ended.map_err(|e| e.to_string())?;
    let (time_s, y) = twice.reached.clone();
    twice.end(&run, time_s, &y);
    twice.comparison.steps.0 = statistics.steps;
    Ok(twice.comparison)
}

/// Carries each stretch a second time when it has ended.
struct Twice {
    begun: (f64, Vec<f64>),
    reached: (f64, Vec<f64>),
    comparison: Comparison,
}

impl Twice {
    fn end(&mut self, run: &Run, time_s: f64, y: &[f64]) {
        let (begun_s, begun) = &self.begun;
        if time_s - begun_s < SHORTEST_S {
            return;
        }
        let found = &mut self.comparison;
        match carried(run, *begun_s, begun, time_s) {
            Ok((other, steps)) => {
                found.stretches += 1;
                found.steps.1 += steps;
                let pairs = y.iter().zip(&other).enumerate();
                let parts = pairs.map(|(i, (a, b))| (a - b) / (run.scale(i) + a.abs()));
                let squares: f64 = parts.map(|part| part * part).sum();
                found.worst = found.worst.max((squares / y.len() as f64).sqrt());
            }
            Err(why) => {
                let why = format!("from {begun_s} s to {time_s} s: {why}");
                found.failure.get_or_insert(why);
            }
        }
    }
}

impl Sink<Run> for Twice {
    fn step(&mut self, _: &Run, step: &dyn DenseStep) -> Result<(), Fault> {
        self.reached.0 = step.end_s();
        step.interpolate(step.end_s(), &mut self.reached.1);
        Ok(())
    }

    fn before(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.end(run, time_s, y);
        Ok(())
    }

    fn after(&mut self, _: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.begun = (time_s, y.to_vec());
        Ok(())
    }
}

/// The Jacobian at the state for which it was last asked: the solver asks column by column.
struct Columns {
    time_s: f64,
    y: Vec<f64>,
    matrix: DMatrix<f64>,
    slope: DVector<f64>,
}

/// The state at the end of a stretch, and the steps to there.
fn carried(run: &Run, begun_s: f64, begun: &[f64], end_s: f64) -> Result<(Vec<f64>, u64), String> {
    let n = begun.len();
    let columns = RefCell::new(Columns {
        time_s: f64::NAN,
        y: Vec::new(),
        matrix: DMatrix::zeros(n, n),
        slope: DVector::zeros(n),
    });
    // A state beyond the properties' range has no rates: the solver then tries a shorter step.
    let rates = |y: &[f64], _: &[f64], time_s: f64, dy: &mut [f64]| {
        if run.rates(time_s, y, dy).is_err() {
            dy.fill(f64::NAN);
        }
    };
    let times = |y: &[f64], _: &[f64], time_s: f64, v: &[f64], product: &mut [f64]| {
        let known = &mut *columns.borrow_mut();
        if known.time_s.to_bits() != time_s.to_bits() || known.y != y {
            known.matrix.fill(0.0);
            if run
                .jacobian(time_s, y, &mut known.matrix, &mut known.slope)
                .is_err()
            {
                known.matrix.fill(f64::NAN);
            }
            known.time_s = time_s;
            y.clone_into(&mut known.y);
        }
        let found = &known.matrix * DVector::from_column_slice(v);
        product.copy_from_slice(found.as_slice());
    };
    let problem = OdeBuilder::<NalgebraMat<f64>>::new()
        .t0(begun_s)
        .h0(SHORTEST_S)
        .rtol(TOLERANCE)
        .atol((0..n).map(|i| TOLERANCE * run.scale(i)))
        .rhs_implicit(rates, times)
        .init(|_: &[f64], _, y: &mut [f64]| y.copy_from_slice(begun), n)
        .build()
        .map_err(|e| e.to_string())?;
    let mut solver = problem
        .bdf::<NalgebraLU<f64>>()
        .map_err(|e| e.to_string())?;
    solver.set_stop_time(end_s).map_err(|e| e.to_string())?;
    loop {
        let stopped = solver.step().map_err(|e| e.to_string())?;
        if matches!(stopped, OdeSolverStopReason::TstopReached) {
            let y = solver.state().y.inner().as_slice().to_vec();
            let steps = solver.get_statistics().number_of_steps;
            return Ok((y, steps as u64));
        }
    }
}
