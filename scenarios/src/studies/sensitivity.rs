//! What a figure of a stand depends on, in three ways: one input at a time, by elementary
//! effects, by parts of the variance.

use super::draws::TooManyFactors;
use super::factor::Factor;
use super::morris::{self, Effects, morris};
use super::parallel::Progress;
use super::sobol_indices::{self, Indices, exchanges};
use super::stand_model::StandModel;
use super::tornado::{self, tornado};
use crate::summary::Figure;
use std::fmt;

/// How much is run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effort {
    /// Random walks of the screening.
    pub walks: usize,
    /// Points of the Sobol' indices; a power of two is best.
    pub points: usize,
    /// Seed of both.
    pub seed: u32,
}

impl Effort {
    /// Runs that it takes for so many factors.
    #[must_use]
    pub fn runs(&self, factors: usize) -> usize {
        tornado::runs(factors)
            + morris::runs(factors, self.walks)
            + sobol_indices::runs(factors, self.points)
    }
}

/// What one figure depends on.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// The figure with its nominal value.
    pub figure: Figure,
    /// Inputs, the one with the greatest total index first.
    pub inputs: Vec<Sensitive>,
    /// Points at which every variant of the draw gave the figure.
    pub points_seen: usize,
}

/// An input and what it does to the figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitive {
    /// The input.
    pub factor: Factor,
    /// Change of the figure with the input at its lower and at its upper 95 % end.
    pub swing: (f64, f64),
    /// Elementary effects.
    pub effects: Effects,
    /// Parts of the variance.
    pub indices: Indices,
}

/// Why nothing came out.
#[derive(Clone, Debug, PartialEq)]
pub enum SensitivityError {
    /// Too many uncertain values.
    TooMany(TooManyFactors),
    /// The nominal run failed.
    Nominal(String),
    /// No point gave a figure in every variant; why the first one did not.
    NoPoint(String),
}

impl fmt::Display for SensitivityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooMany(error) => write!(f, "{error}"),
            Self::Nominal(reason) => write!(f, "the nominal run ends early: {reason}"),
            Self::NoPoint(reason) => write!(
                f,
                "at no point did all runs give the figure ({reason}); narrow the uncertainties, or \
                 ask for another figure"
            ),
        }
    }
}

impl std::error::Error for SensitivityError {}

/// Studies figures of the nominal run, all from the same runs.
///
/// # Errors
/// If there are too many uncertain values, the nominal run fails or no draw has a figure.
pub fn sensitivity(
    model: &StandModel<'_>,
    figures: &[Figure],
    effort: Effort,
    progress: Progress<'_>,
) -> Result<Vec<Sensitivity>, SensitivityError> {
    let factors = &model.factors;
    let names: Vec<&str> = figures.iter().map(|f| f.name.as_str()).collect();
    let sparse = model.with_sparse_rows();
    let answer = |drawn: &[f64]| sparse.figures_with(drawn, &names);
    let swings = tornado(factors, progress, answer).map_err(SensitivityError::Nominal)?;
    let effects = morris(factors, effort.walks, effort.seed, progress, answer);
    let exchanged = exchanges(factors, effort.points, effort.seed, progress, answer)
        .map_err(SensitivityError::TooMany)?;
    if (0..figures.len()).any(|i| exchanged.seen(i) == 0) {
        return Err(SensitivityError::NoPoint(why_none(model, effort.seed)));
    }
    let of_figure = |(i, figure): (usize, &Figure)| {
        let (indices, points_seen) = exchanged.indices(i);
        let mut inputs: Vec<Sensitive> = (0..factors.len())
            .map(|k| Sensitive {
                factor: factors[k].clone(),
                swing: (swings.swings[k].low[i], swings.swings[k].high[i]),
                effects: effects[k].get(i).copied().unwrap_or_default(),
                indices: indices[k],
            })
            .collect();
        let total = |s: &Sensitive| s.indices.total.value;
        inputs.sort_by(|a, b| total(b).total_cmp(&total(a)));
        Sensitivity {
            figure: figure.clone(),
            inputs,
            points_seen,
        }
    };
    Ok(figures.iter().enumerate().map(of_figure).collect())
}

/// Why the first draw that failed did.
fn why_none(model: &StandModel<'_>, seed: u32) -> String {
    const TRIED: u64 = 32;
    let run = |draws: super::Draws| {
        let mut points = (0..TRIED).map(|i| draws.point(i));
        points.find_map(|point| model.run_at(&point).err())
    };
    let reason = model.draws(seed).ok().and_then(run);
    reason.unwrap_or_else(|| "the runs end whole, but without it".to_owned())
}
