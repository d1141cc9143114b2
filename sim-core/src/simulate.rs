//! A whole run: from a network to its outcome.

use crate::audit::{self, Exchanged};
use crate::column_watch::{ColumnWatch, Seen};
use crate::fault::Fault;
use crate::integrate::{DenseStep, Driver, IntegrationError, Sink};
use crate::interrupt;
use crate::model::Model;
use crate::network::Network;
use crate::observe::Observer;
use crate::outcome::{Balances, Extremes, Failure, History, Outcome, RunOptions, Statistics};
use crate::run::Run;
use crate::warnings::{self, Watch};

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
    let model = Model::new(network).map(|model| model.smoothed(options.tolerance));
    match model.and_then(Run::new) {
        Ok(run) => carry_out(run, options),
        Err(fault) => Outcome {
            history: History::default(),
            extremes: Vec::new(),
            events: Vec::new(),
            balances: Balances::default(),
            surges: Vec::new(),
            partings: Vec::new(),
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
        refusal: fault.refusal,
    }
}

fn carry_out(mut run: Run, options: &RunOptions) -> Outcome {
    let mut statistics = Statistics::default();
    let mut y = run.model.start.clone();
    let mut recorder = Recorder::new(&run, options);
    let start_energy_j = start(&mut run, &mut recorder, &y);
    let ended = start_energy_j.clone().and_then(|_| {
        let driver = Driver {
            integrator: options.integrator,
            tuning: crate::integrate::Tuning::at(options.tolerance),
        };
        let span_s = (0.0, options.until_s);
        driver
            .run(&mut run, span_s, &mut y, &mut recorder, &mut statistics)
            .map_err(|error| explain(&run, &y, error))
    });
    let closed = start_energy_j.and_then(|energy_j| close(&run, &mut recorder, energy_j, &y));
    let failed = ended.err().or_else(|| closed.as_ref().err().cloned());
    // What a run tells of itself goes to its last row, of which a step that failed is no part.
    let failed = failed.map(|failed| Failure {
        time_s: recorder.row_s,
        ..failed
    });
    let balances = closed.unwrap_or_default();
    Outcome {
        history: recorder.history,
        extremes: recorder.extremes,
        surges: recorder.columns.surges(),
        partings: recorder.columns.partings(),
        warnings: [
            recorder.watch.warnings(&run.model),
            warnings::unmet_conditions(&run),
        ]
        .concat(),
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

/// Records the last state and balances the run, also of a run that failed.
fn close(
    run: &Run,
    recorder: &mut Recorder,
    start_energy_j: f64,
    y: &[f64],
) -> Result<Balances, Failure> {
    let end_s = recorder.reached_s;
    recorder
        .finish(run, y)
        .and_then(|()| audit::balances(run, start_energy_j, end_s, y, &recorder.exchanged))
        .map_err(|fault| failure(end_s, fault))
}

/// Says an integration error in the stand's words.
fn explain(run: &Run, y: &[f64], error: IntegrationError<Fault>) -> Failure {
    let time_s = error.time_s();
    match error {
        IntegrationError::Model { fault, .. } => failure(time_s, fault),
        IntegrationError::Chatter {
            guard,
            count,
            window_s,
            ..
        } => {
            let (component, remedy) = run.culprit(guard, time_s, y);
            let window_ms = 1e3 * window_s;
            Failure {
                time_s,
                component,
                message: format!("it switched {count} times within {window_ms} ms; {remedy}"),
                refusal: None,
            }
        }
        IntegrationError::NotFinite { state, .. } => Failure {
            time_s,
            component: run.model.layout.owner(&run.model.network, state),
            message: error.to_string(),
            refusal: None,
        },
        other => Failure {
            time_s,
            component: None,
            message: other.to_string(),
            refusal: None,
        },
    }
}

/// Part of the output step by which a row may lie behind the step that holds it.
const ROUNDING: f64 = 1e-9;

/// Writes the history: a uniform grid, and a row before and after every event.
struct Recorder {
    watch: Watch,
    columns: ColumnWatch,
    extremes: Vec<Extremes>,
    /// Time of the last row that is to be kept.
    row_s: f64,
    row: Vec<f64>,
    /// Rows of the last step's middle and end, read for the extremes.
    middle_row: Vec<f64>,
    end_row: Vec<f64>,
    history: History,
    output_step_s: f64,
    readings_a_step: u32,
    step_rows: bool,
    next_row: u64,
    reached_s: f64,
    exchanged: Exchanged,
    last_powers_w: (f64, f64),
    y: Vec<f64>,
}

impl Recorder {
    fn new(run: &Run, options: &RunOptions) -> Self {
        Self {
            watch: Watch::new(&run.model),
            columns: ColumnWatch::new(run),
            extremes: run
                .observer()
                .names()
                .map(|_| Extremes::nothing())
                .collect(),
            row_s: 0.0,
            row: Vec::new(),
            middle_row: Vec::new(),
            end_row: Vec::new(),
            history: History {
                columns: run.observer().names().map(str::to_owned).collect(),
                ..History::default()
            },
            output_step_s: options.output_step_s,
            readings_a_step: options.readings.max(1),
            step_rows: options.step_rows,
            next_row: 1,
            reached_s: 0.0,
            exchanged: Exchanged::default(),
            last_powers_w: (0.0, 0.0),
            y: Vec::new(),
        }
    }

    fn record(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.look(run, time_s, y)?;
        self.history.add(&self.row);
        self.row_s = time_s;
        Ok(())
    }

    /// The row of the end, where the grid has none.
    fn finish(&mut self, run: &Run, y: &[f64]) -> Result<(), Fault> {
        if self.reached_s > self.row_s {
            self.record(run, self.reached_s, y)?;
        }
        Ok(())
    }

    /// Reads a row and its extremes without keeping it.
    fn look(&mut self, run: &Run, time_s: f64, y: &[f64]) -> Result<(), Fault> {
        self.row.clear();
        run.with_evaluation(time_s, y, |run, found, dy| {
            self.last_powers_w = (found.work_w, found.heat_w);
            run.observer().row(run, time_s, y, found, dy, &mut self.row);
            let row = &self.row;
            self.columns.see(
                run,
                Seen {
                    time_s,
                    y,
                    found,
                    row,
                },
            );
        })?;
        let row = self.columns.bounded(&self.row, time_s);
        for (extremes, &value) in self.extremes.iter_mut().zip(row.iter()) {
            extremes.see(value, time_s);
        }
        Ok(())
    }

    /// The rows of the grid that lie in a step, up to an instant.
    fn rows(
        &mut self,
        run: &Run,
        step: &dyn DenseStep,
        until_s: f64,
        y: &mut [f64],
    ) -> Result<(), Fault> {
        let parts = u64::from(self.readings_a_step);
        let row_step_s = self.output_step_s / parts as f64;
        if row_step_s <= 0.0 {
            return Ok(());
        }
        loop {
            let time_s = self.next_row as f64 * row_step_s;
            // A row that rounding puts behind the end of the run still belongs to it.
            if time_s > until_s + ROUNDING * row_step_s {
                return Ok(());
            }
            interrupt::check()?;
            step.interpolate(time_s, y);
            if self.next_row.is_multiple_of(parts) {
                self.record(run, time_s, y)?;
            } else {
                self.look(run, time_s, y)?;
                self.history.add_reading(&self.row);
            }
            self.next_row += 1;
        }
    }

    /// Looks at the middle and the end of a step, and adds its work and heat by the
    /// trapezoidal rule (they only set a scale).
    fn exchange(&mut self, run: &Run, step: &dyn DenseStep, y: &mut [f64]) -> Result<(), Fault> {
        let (start_s, end_s) = (step.start_s(), step.end_s());
        let (work_w, heat_w) = self.last_powers_w;
        self.columns.begin_step();
        let middle_s = step.middle(y);
        self.look(run, middle_s, y)?;
        std::mem::swap(&mut self.row, &mut self.middle_row);
        step.interpolate(end_s, y);
        self.look(run, end_s, y)?;
        std::mem::swap(&mut self.row, &mut self.end_row);
        run.with_evaluation(end_s, y, |run, found, dy| {
            self.watch.see(run, end_s, y, found, dy);
        })?;
        let step_s = end_s - start_s;
        self.exchanged.work_j += 0.5 * step_s * (work_w + self.last_powers_w.0);
        self.exchanged.heat_j += 0.5 * step_s * (heat_w + self.last_powers_w.1);
        Ok(())
    }
}

impl Sink<Run> for Recorder {
    fn step(&mut self, run: &Run, step: &dyn DenseStep) -> Result<(), Fault> {
        // Before the step is looked at: nothing of it is kept.
        interrupt::check()?;
        let mut y = std::mem::take(&mut self.y);
        y.resize(run.model.layout.total, 0.0);
        // Before the rows: its two states have just been evaluated for the guards.
        self.exchange(run, step, &mut y)?;
        let powers_w = self.last_powers_w;
        if self.step_rows {
            let middle_s = step.middle(&mut y);
            self.rows(run, step, middle_s, &mut y)?;
            self.history.add_reading(&self.middle_row);
        }
        self.rows(run, step, step.end_s(), &mut y)?;
        if self.step_rows {
            self.history.add_reading(&self.end_row);
        }
        self.last_powers_w = powers_w;
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
