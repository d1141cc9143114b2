//! Published constants of binary mixtures, read from `data/pairs.json`. See `data/PAIRS.md`.

use serde::Deserialize;
use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::FluidError;
use crate::helmholtz::ResidualData;

#[derive(Debug, Deserialize)]
struct File {
    pairs: Vec<PairData>,
    departures: BTreeMap<String, ResidualData>,
}

/// Constants of one pair, in the order of `species`.
#[derive(Debug, Deserialize)]
pub(super) struct PairData {
    pub species: [String; 2],
    pub beta_t: f64,
    pub gamma_t: f64,
    pub beta_v: f64,
    pub gamma_v: f64,
    /// Weight of the departure function.
    pub factor: f64,
    departure: Option<String>,
    /// The pair whose constants these are, where it is not this one.
    pub stand_in: Option<String>,
}

fn file() -> Result<&'static File, FluidError> {
    static FILE: OnceLock<Result<File, String>> = OnceLock::new();
    let text = include_str!("../../data/pairs.json");
    FILE.get_or_init(|| serde_json::from_str(text).map_err(|error| error.to_string()))
        .as_ref()
        .map_err(|message| FluidError::Data {
            fluid: "mixtures".to_owned(),
            message: message.clone(),
        })
}

/// The constants of two species, in either order.
pub(super) fn find(one: &str, two: &str) -> Result<Option<&'static PairData>, FluidError> {
    let of = |pair: &&PairData| pair.species == [one, two] || pair.species == [two, one];
    Ok(file()?.pairs.iter().find(of))
}

impl PairData {
    /// The departure function, if the pair has one.
    pub fn departure(&self) -> Result<Option<&'static ResidualData>, FluidError> {
        let Some(name) = &self.departure else {
            return Ok(None);
        };
        let found = file()?.departures.get(name);
        found.map(Some).ok_or_else(|| FluidError::Data {
            fluid: self.species.join(" + "),
            message: format!("there is no departure function \"{name}\""),
        })
    }
}
