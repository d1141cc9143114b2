//! A run of a stand that is to have no errors.

use scenarios::load_with;
use scenarios::predict::{PredictOptions, Prediction, predict};
use sim_core::outcome::Integrator;

/// As the stand says, by the integrator that carries runs.
pub const OPTIONS: PredictOptions = PredictOptions {
    tolerance: None,
    integrator: Integrator::Rodas5p,
};

/// Runs a stand with overrides, to its end.
pub fn run(text: &str, overrides: &[(&str, &str)]) -> Prediction {
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let overrides: Vec<_> = overrides.iter().map(owned).collect();
    let stand = load_with(text, &overrides).expect("the stand has no errors");
    let prediction = predict(&stand, &OPTIONS);
    assert_eq!(prediction.outcome.failure, None);
    prediction
}
