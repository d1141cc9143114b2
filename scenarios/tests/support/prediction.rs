//! A run of a stand that is to have no errors.

use scenarios::predict::{PredictOptions, Prediction, predict};
use scenarios::{CheckedStand, load_with};
use sim_core::outcome::Integrator;

/// As the stand says, by the integrator that carries runs.
pub const OPTIONS: PredictOptions = PredictOptions {
    tolerance: None,
    integrator: Integrator::Rodas5p,
};

/// A stand with overrides.
pub fn checked(text: &str, overrides: &[(&str, &str)]) -> CheckedStand {
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let overrides: Vec<_> = overrides.iter().map(owned).collect();
    load_with(text, &overrides).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// Runs a stand with overrides, as far as it goes.
pub fn run_as_far_as_it_goes(text: &str, overrides: &[(&str, &str)]) -> Prediction {
    predict(&checked(text, overrides), &OPTIONS)
}

/// Runs a stand with overrides, to its end.
pub fn run(text: &str, overrides: &[(&str, &str)]) -> Prediction {
    let prediction = run_as_far_as_it_goes(text, overrides);
    assert_eq!(prediction.outcome.failure, None);
    prediction
}
