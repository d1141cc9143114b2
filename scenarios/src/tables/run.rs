//! `[run]`: how long, and in what steps the history is kept.

use crate::input::Range;
use crate::read::{Key, TableReader};
use shared::codes;
use shared::quantity::Dimension;
use sim_core::outcome::{Integrator, RunOptions};

const SECONDS: &[Dimension] = &[Dimension::Time];
const UNTIL: Key = Key::new("until", SECONDS, Range::Positive, "25 s");
const STEP: Key = Key::new("output_step", SECONDS, Range::Positive, "10 ms");
const TOLERANCE: Key = Key::new(
    "tolerance",
    &[Dimension::Fraction],
    Range::ProperFraction,
    "1e-5",
);

const DEFAULT_STEP_S: f64 = 0.01;
const DEFAULT_TOLERANCE: f64 = 1e-5;
/// Even instants of a run at which its figures are read at least, however coarse its output; on
/// top of these it is read at every step of the integration.
const MOST_READINGS: f64 = 5000.0;
const ROUNDING: f64 = 1e-9;
/// Numbers that a history may hold, 1.6 GB of them.
const MOST_NUMBERS: f64 = 2e8;

/// The table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Options of the run.
    pub options: RunOptions,
}

impl Run {
    /// Reads the table, for a history of so many columns.
    pub fn read(reader: &mut TableReader<'_>, columns: usize) -> Self {
        let until = reader.required(UNTIL);
        let step = reader.optional(STEP);
        let tolerance = reader.optional(TOLERANCE);
        let values = reader.context.inputs.nominal();
        let number = |id: Option<_>, otherwise| id.map_or(otherwise, |id| values.si(id));
        let until_s = number(until, f64::INFINITY);
        let step_s = number(step, DEFAULT_STEP_S.min(until_s));
        let reading_s = DEFAULT_STEP_S.max(until_s / MOST_READINGS);
        let options = RunOptions {
            until_s,
            output_step_s: step_s,
            readings: (step_s / reading_s - ROUNDING)
                .ceil()
                .clamp(1.0, MOST_READINGS) as u32,
            step_rows: true,
            tolerance: number(tolerance, DEFAULT_TOLERANCE),
            integrator: Integrator::Rodas5p,
        };
        let mut assume = |given: Option<_>, key: &Key, reason| {
            if given.is_none() {
                let path = reader.path_of(key.name);
                reader.context.assume(&path, key.example, reason);
            }
        };
        assume(
            step,
            &STEP,
            "rows of the history; figures are read at every step of the run",
        );
        assume(
            tolerance,
            &TOLERANCE,
            "relative error of a step of the integration",
        );
        if until.is_some() {
            check_rows(reader, &options, columns);
        }
        check_tolerance(reader, &options);
        Self { options }
    }
}

fn check_rows(reader: &mut TableReader<'_>, options: &RunOptions, columns: usize) {
    let (until, step) = (options.until_s, options.output_step_s);
    if step > until {
        let message = format!("an output step of {step} s is longer than the run of {until} s");
        let remedy = "write a shorter output_step, for example \"10 ms\"".to_owned();
        reader.error_at(STEP.name, &codes::BAD_RUN, message, remedy);
    } else if until / step * columns as f64 > MOST_NUMBERS {
        let message = format!(
            "{until} s in steps of {step} s are {:.2e} rows of {columns} quantities, more numbers \
             than the {MOST_NUMBERS:.0e} that a history may hold",
            until / step
        );
        let longer_s = until * columns as f64 / MOST_NUMBERS;
        let remedy =
            format!("write output_step = \"{longer_s:.1e} s\" or longer, or a shorter run");
        reader.error_at(UNTIL.name, &codes::BAD_RUN, message, remedy);
    }
}

fn check_tolerance(reader: &mut TableReader<'_>, options: &RunOptions) {
    if !(1e-12..=1e-2).contains(&options.tolerance) {
        let message = format!("a tolerance of {} is of no use", options.tolerance);
        let remedy = "write one between 1e-12 and 1e-2; 1e-5 is usual".to_owned();
        reader.error_at(TOLERANCE.name, &codes::BAD_RUN, message, remedy);
    }
}
