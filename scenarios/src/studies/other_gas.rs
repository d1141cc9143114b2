//! The same stand with another gas in its bottles: what each of the two needs.
//!
//! The gas of the bottles is replaced wherever the file names it: in bottles, plenums and ullages.
//! All else stays: volumes, pressures, the sequence.

use crate::predict::{PredictOptions, Prediction, predict};
use crate::summary::Figure;
use crate::{CheckedStand, load_with};
use shared::Diagnostic;
use shared::quantity::Dimension;
use sim_core::network::VolumeKind;
use sim_core::outcome::Warning;

/// Figures by which two gases are compared, without their component.
const FIGURES: [&str; 15] = [
    "gas_used_kg",
    "pressure_end_pa",
    "temperature_end_k",
    "lowest_temperature_k",
    "regulation_lost_s",
    "pressurant_kg",
    "pressurant_without_exchange_kg",
    "pressurant_for_wall_kg",
    "pressurant_for_surface_kg",
    "dissolved_kg",
    "collapse_factor_1",
    "collapse_factor_held_1",
    "collapse_factor_flow_1",
    "liquid_temperature_end_k",
    "mean_flow_kg_s",
];

/// A figure under both gases.
#[derive(Clone, Debug, PartialEq)]
pub struct Pair {
    /// Component that it belongs to.
    pub component: String,
    /// What it is.
    pub label: String,
    /// Its stable name.
    pub name: String,
    /// Its dimension.
    pub dimension: Dimension,
    /// With the gas of the file and with the other one, if the run has it.
    pub values: [Option<f64>; 2],
}

/// The stand with another gas beside the stand as it is.
#[derive(Clone, Debug)]
pub struct OtherGas {
    /// The gas of the file and the one in its place.
    pub gases: [String; 2],
    /// The run with the other gas.
    pub prediction: Prediction,
    /// The figures.
    pub pairs: Vec<Pair>,
    /// Warnings that only one of them has: the file's gas, the other one.
    pub warnings: [Vec<Warning>; 2],
}

/// Why a stand cannot be run with another gas.
#[derive(Clone, Debug)]
pub enum Refusal {
    /// It has no bottle, or bottles of several gases.
    NoOneGas,
    /// What is wrong with the stand then.
    Errors(Vec<(String, String)>, Vec<Diagnostic>),
}

/// Runs a stand with another gas in its bottles.
///
/// # Errors
/// If it has not one gas in its bottles, or if the stand is not right with the other one.
pub fn other_gas(
    stand: &CheckedStand,
    as_it_is: &Prediction,
    gas: &str,
    options: &PredictOptions,
) -> Result<OtherGas, Refusal> {
    let own = gas_of_bottles(stand).ok_or(Refusal::NoOneGas)?;
    let mut overrides = stand.overrides.clone();
    let named = stand.gases.iter().filter(|(_, name)| *name == own);
    overrides.extend(named.map(|(path, _)| (path.clone(), gas.to_owned())));
    let changed =
        load_with(&stand.text, &overrides).map_err(|errors| Refusal::Errors(overrides, errors))?;
    let prediction = predict(&changed, options);
    let both = [as_it_is, &prediction];
    Ok(OtherGas {
        gases: [own, gas.to_owned()],
        pairs: pairs(both),
        warnings: [[0, 1], [1, 0]].map(|[a, b]| only(both[a], both[b])),
        prediction,
    })
}

/// The one gas of all bottles; of the ullages in a stand without bottles.
fn gas_of_bottles(stand: &CheckedStand) -> Option<String> {
    let of = |kind: &str| {
        let gases = stand.gases.iter();
        gases
            .filter(|g| g.0.starts_with(kind))
            .map(|g| &g.1)
            .collect::<Vec<_>>()
    };
    let bottles = of("bottle.");
    let gases = if bottles.is_empty() {
        of("tank.")
    } else {
        bottles
    };
    let first = gases.first()?;
    gases.iter().all(|g| g == first).then(|| (*first).clone())
}

fn pairs(predictions: [&Prediction; 2]) -> Vec<Pair> {
    let mut pairs: Vec<Pair> = Vec::new();
    for (i, prediction) in predictions.into_iter().enumerate() {
        for figure in prediction
            .summary
            .figures
            .iter()
            .filter(|f| is_compared(f, prediction))
        {
            match pairs.iter_mut().find(|p| p.name == figure.name) {
                Some(pair) => pair.values[i] = Some(figure.value),
                None => {
                    let mut values = [None; 2];
                    values[i] = Some(figure.value);
                    pairs.push(Pair {
                        component: figure.component.clone(),
                        label: figure.label.trim().to_owned(),
                        name: figure.name.clone(),
                        dimension: figure.dimension,
                        values,
                    });
                }
            }
        }
    }
    pairs
}

/// Figures of what holds gas, and of what flows.
fn is_compared(figure: &Figure, prediction: &Prediction) -> bool {
    let suffix = figure.name.strip_prefix(&format!("{}.", figure.component));
    let listed = suffix.is_some_and(|suffix| FIGURES.contains(&suffix));
    // The end pressure of a tank is its regulator's business; that of a bottle tells the need.
    let mut volumes = prediction.network.volumes.iter();
    let of_tank =
        volumes.any(|v| v.name == figure.component && matches!(v.kind, VolumeKind::Tank(_)));
    listed && !(of_tank && suffix == Some("pressure_end_pa"))
}

/// Warnings of one run that the other does not have, by their code and component.
fn only(one: &Prediction, other: &Prediction) -> Vec<Warning> {
    let component = |w: &Warning| w.message.split(':').next().map(str::to_owned);
    let is_new = |w: &&Warning| {
        let mut others = other.warnings.iter();
        !others.any(|o| o.code == w.code && component(o) == component(w))
    };
    one.warnings.iter().filter(is_new).cloned().collect()
}
