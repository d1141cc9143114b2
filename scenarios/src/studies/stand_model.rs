//! A stand as a model: from drawn values to a run and its figures.

use super::Answer;
use super::draws::{Draws, TooManyFactors};
use super::factor::{Factor, values_at};
use crate::CheckedStand;
use crate::input::{InputId, Values};
use crate::summary::{Over, Summary, Verdict, judge, simulate};
use sim_core::outcome::{Outcome, RunOptions};

/// Even rows of a run that only serves a band.
const SPARSE_ROWS: f64 = 250.0;

/// How much looser the tolerance of a run that only serves a band is. Three times takes a quarter
/// of the steps away; every ready-made stand's figures stay within what half the tolerance may
/// move them (docs/decisions/integrator.md).
const LOOSER: f64 = 3.0;

/// One run of a study.
#[derive(Clone, Debug)]
pub struct DrawnRun {
    /// What came out.
    pub outcome: Outcome,
    /// Its figures.
    pub summary: Summary,
    /// Requirements, judged.
    pub requirements: Vec<Verdict>,
    /// Limits, judged.
    pub limits: Vec<Verdict>,
}

/// A stand whose uncertain values are drawn.
#[derive(Clone, Debug)]
pub struct StandModel<'a> {
    stand: &'a CheckedStand,
    options: RunOptions,
    ids: Vec<InputId>,
    /// Its uncertain values.
    pub factors: Vec<Factor>,
}

impl<'a> StandModel<'a> {
    /// Of a stand that is run with these options.
    #[must_use]
    pub fn new(stand: &'a CheckedStand, options: RunOptions) -> Self {
        let uncertain = || stand.inputs.uncertain();
        Self {
            stand,
            options,
            ids: uncertain().map(|(id, _)| id).collect(),
            factors: uncertain().map(|(_, input)| Factor::of(input)).collect(),
        }
    }

    /// The same, with rows where the integration has its steps and few beside them: half the
    /// work of a run goes into rows. What is read between two of them moves by some 1e-4.
    #[must_use]
    pub fn with_sparse_rows(&self) -> Self {
        Self {
            options: RunOptions {
                output_step_s: self.options.until_s / SPARSE_ROWS,
                readings: 1,
                step_rows: true,
                ..self.options
            },
            ..self.clone()
        }
    }

    /// The same for draws that only make a band: sparse rows, and a looser tolerance. A figure
    /// then moves by a part of 1e-3 of itself, where the percentiles of some hundred draws are
    /// known to a twentieth of the band.
    #[must_use]
    pub fn for_bands(&self) -> Self {
        let sparse = self.with_sparse_rows();
        Self {
            options: RunOptions {
                tolerance: sparse.options.tolerance * LOOSER,
                ..sparse.options
            },
            ..sparse
        }
    }

    /// The points at which its factors are drawn.
    ///
    /// # Errors
    /// If it has too many factors.
    pub fn draws(&self, seed: u32) -> Result<Draws, TooManyFactors> {
        Draws::new(self.factors.len(), seed)
    }

    /// Runs it at a point of the unit cube.
    ///
    /// # Errors
    /// If a drawn value is not possible, in words; or why the run ended early.
    pub fn run_at(&self, point: &[f64]) -> Result<DrawnRun, String> {
        self.run_with(&values_at(&self.factors, point))
    }

    /// Runs it with values of its factors.
    ///
    /// # Errors
    /// As [`StandModel::run_at`].
    pub fn run_with(&self, drawn: &[f64]) -> Result<DrawnRun, String> {
        let mut values = self.stand.inputs.nominal();
        for (&id, &value) in self.ids.iter().zip(drawn) {
            values.set(id, value);
        }
        self.check(&values)?;
        let run = self.run(&values);
        match &run.outcome.failure {
            None => Ok(run),
            Some(failure) => Err(format!("at {:.3} s: {}", failure.time_s, failure.message)),
        }
    }

    /// The nominal values of its factors.
    #[must_use]
    pub fn nominal_values(&self) -> Vec<f64> {
        self.factors.iter().map(|f| f.nominal).collect()
    }

    /// Some figures of a run with values of its factors.
    ///
    /// # Errors
    /// As [`StandModel::run_at`].
    pub fn figures_with(&self, drawn: &[f64], names: &[&str]) -> Answer {
        let run = self.run_with(drawn)?;
        let figure = |name: &&str| run.summary.get(name).unwrap_or(f64::NAN);
        Ok(names.iter().map(figure).collect())
    }

    /// Runs it with nominal values, also if that fails on the way.
    #[must_use]
    pub fn nominal(&self) -> DrawnRun {
        self.run(&self.stand.inputs.nominal())
    }

    fn run(&self, values: &Values<'_>) -> DrawnRun {
        let network = self.stand.lower_with(values);
        let outcome = simulate(&network, &self.options);
        let summary = Summary::of(&network, &outcome);
        let judged = |bounds: &[_], over| judge(bounds, over, &network, &outcome, &summary);
        DrawnRun {
            requirements: judged(&self.stand.requirements, Over::Flow),
            limits: judged(&self.stand.limits, Over::WholeRun),
            outcome,
            summary,
        }
    }

    /// The tail of a distribution may reach beyond what is physical.
    fn check(&self, values: &Values<'_>) -> Result<(), String> {
        for &id in &self.ids {
            let input = self.stand.inputs.get(id);
            let value = values.si(id);
            if !input.range.holds(value) {
                let words = input.range.words();
                return Err(format!(
                    "{} was drawn as {value}, but it must be {words}",
                    input.path
                ));
            }
        }
        Ok(())
    }
}
