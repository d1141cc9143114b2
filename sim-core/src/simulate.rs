//! A whole run: from a network to its outcome.

use crate::audit::{self, Exchanged};
use crate::fault::Fault;
use crate::integrate::{DenseStep, Driver, IntegrationError, Sink};
use crate::model::Model;
use crate::network::Network;
use crate::observe::Observer;
use crate::outcome::{Balances, Failure, History, Outcome, RunOptions, Statistics};
use crate::run::Run;
use crate::warnings::Watch;

/// Column names of a network's history.
///
/// # Errors
/// When the start state is outside a fluid's range.
pub fn columns(network: &Network) -> Result<Vec<String>, Fault> {
    let model = Model::new(network)?;
    Ok(Observer::new(&model).names().map(str::to_owned).collect())
}

/// Runs a network. A run that fails keeps what it computed and says why in
/// [`Outcome::failure`].
#[must_use]
pub fn simulate(network: &Network, options: &RunOptions) -> Outcome {
    match Model::new(network).and_then(Run::new) {
        Ok(run) => carry_out(run, options),
        Err(fault) => Outcome {
            history: History::default(),
            events: Vec::new(),
            balances: Balances::default(),
            warnings: Vec::new(),
            statistics: Statistics::default(),
            failure: Some(failure(0.0, fault)),
        },
    }
}

fn failure(time_s: f64, fault: Fault) -> Failure {
    Failure {
        time_s,
        component: fault.component,
        message: fault.message,
    }
}

fn carry_out(mut run: Run, options: &RunOptions) -> Outcome {
    let mut statistics = Statistics::default();
    let mut y = run.model.start.clone();
    let mut recorder = Recorder::new(&run.model, options);
    let ended = start(&mut run, &mut recorder, &y).and_then(|start_energy_j| {
        let driver = Driver {
            integrator: options.integrator,
            tuning: crate::integrate::Tuning::at(options.tolerance),
        };
        let span_s = (0.0, options.until_s);
        driver
            .run(&mut run, span_s, &mut y, &mut recorder, &mut statistics)
            .map_err(|error| explain(&run, error))?;
        audit::balances(
            &run,
            start_energy_j,
            recorder.reached_s,
            &y,
            &recorder.exchanged,
        )
        .map_err(|fault| failure(recorder.reached_s, fault))
    });
    let (balances, failed) = match ended {
        Ok(balances) => (balances, None),
        Err(failure) => (Balances::default(), Some(failure)),
    };
    Outcome {
        history: History {
            columns: run.observer().names().map(str::to_owned).collect(),
            values: recorder.values,
        },
        warnings: recorder.watch.warnings(&run.model),
        events: run.events,
        balances,
        statistics,
        failure: failed,
    }
}

/// Records the first row and the energy at the start, J.
fn start(run: &mut Run, recorder: &mut Recorder, y: &[f64]) -> Result<f64, Failure> {
    recorder
        .record(run, 0.0, y)
        .and_then(|()| audit::total_energy_j(run, 0.0, y))
        .map_err(|fault| failure(0.0, fault))
}

/// Says an integration error in the stand's words.
fn explain(run: &Run, error: IntegrationError<Fault>) -> Failure {
    let time_s = error.time_s();
    match error {
        IntegrationError::Model { fault, .. } => failure(time_s, fault),
        IntegrationError::NotFinite { state, .. } => Failure {
            time_s,
            component: run.model.layout.owner(&run.model.network, state),
            message: error.to_string(),
        },
        other => Failure {
            time_s,
            component: None,
            message: other.to_string(),
        },
    }
}

/// Part of the output step by which a row may lie behind the step that holds it.
const ROUNDING: f64 = 1e-9;

/// Writes the history: a uniform grid, and a row before and after every event.
struct Recorder {
    watch: Watch,
    values: Vec<f64>,
    step_s: f64,
    next_row: u64,
    reached_s: f64,
    exchanged: Exchanged,
    last_powers_w: (f64, f64),
    y: Vec<f64>,
}

impl Recorder {
    fn new(model: &Model, options: &RunOptions) -> Self {
        Self {
            watch: Watch::new(model),
            values: Vec::new(),
            step_s: options.output_step_s,
            next_row: 1,
            reached_s: 0.0,
            exchanged: Exchanged::default(),
            last_powers_w: (0.0, 0.0),
            y: Vec::new(),
        }
    }

    fn record(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        run.with_evaluation(time_s, y, |run, found, dy| {
            self.last_powers_w = (found.work_w, found.heat_w);
            run.observer()
                .row(run, time_s, y, found, dy, &mut self.values);
        })
    }

    /// Looks at the end of a step, and adds its work and heat by the trapezoidal rule (they
    /// only set a scale).
    fn exchange(&mut self, run: &Run, step_s: f64, end_s: f64, y: &[f64]) -> Result<(), Fault> {
        let (work_w, heat_w) = self.last_powers_w;
        self.last_powers_w = run.with_evaluation(end_s, y, |run, found, dy| {
            self.watch.see(run, end_s, y, found, dy);
            (found.work_w, found.heat_w)
        })?;
        self.exchanged.work_j += 0.5 * step_s * (work_w + self.last_powers_w.0);
        self.exchanged.heat_j += 0.5 * step_s * (heat_w + self.last_powers_w.1);
        Ok(())
    }
}

impl Sink<Run> for Recorder {
    fn step(&mut self, run: &Run, step: &dyn DenseStep) -> Result<(), Fault> {
        let mut y = std::mem::take(&mut self.y);
        y.resize(run.model.layout.total, 0.0);
        let powers_w = self.last_powers_w;
        while self.step_s > 0.0 {
            let time_s = self.next_row as f64 * self.step_s;
            // A row that rounding puts behind the end of the run still belongs to it.
            if time_s > step.end_s() + ROUNDING * self.step_s {
                break;
            }
            step.interpolate(time_s, &mut y);
            self.record(run, time_s, &y)?;
            self.next_row += 1;
        }
        self.last_powers_w = powers_w;
        step.interpolate(step.end_s(), &mut y);
        self.exchange(run, step.end_s() - step.start_s(), step.end_s(), &y)?;
        self.reached_s = step.end_s();
        self.y = y;
        Ok(())
    }

    fn before(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.record(run, time_s, y)
    }

    fn after(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.record(run, time_s, y)
    }
}
