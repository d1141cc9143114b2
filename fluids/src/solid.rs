//! Wall materials: heat capacity over temperature and its exact integral.

use std::sync::OnceLock;

use serde::Deserialize;
use shared::{Extrapolation, MonotoneCubic};

use crate::FluidError;

/// A wall material: cp(T) as a monotone cubic through published points (`data/SOLIDS.md`), which
/// goes on straight beyond the last of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    name: String,
    density_kg_m3: f64,
    heat_capacity: MonotoneCubic,
    /// (T, internal energy) at the points, J/kg from zero at 0 K.
    energy: Vec<(f64, f64)>,
}

#[derive(Debug, Deserialize)]
struct SolidData {
    name: String,
    density_kg_m3: f64,
    heat_capacity: Vec<(f64, f64)>,
}

fn data() -> Result<&'static [SolidData], FluidError> {
    static DATA: OnceLock<Result<Vec<SolidData>, String>> = OnceLock::new();
    let text = include_str!("../data/solids.json");
    DATA.get_or_init(|| serde_json::from_str(text).map_err(|error| error.to_string()))
        .as_deref()
        .map_err(|message| damaged("wall materials", message.clone()))
}

fn damaged(name: &str, message: String) -> FluidError {
    FluidError::Data {
        fluid: name.to_owned(),
        message,
    }
}

impl Solid {
    /// The material of this name.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], which lists the known names.
    pub fn named(name: &str) -> Result<Self, FluidError> {
        let data = data()?;
        let found = data.iter().find(|solid| solid.name == name);
        let found = found.ok_or_else(|| FluidError::UnknownFluid {
            name: name.to_owned(),
            known: data.iter().map(|solid| solid.name.clone()).collect(),
        })?;
        let curve = MonotoneCubic::new(&found.heat_capacity)
            .map_err(|error| damaged(name, error.to_string()))?
            .extrapolated(Extrapolation::Linear);
        let mut solid = Solid {
            name: found.name.clone(),
            density_kg_m3: found.density_kg_m3,
            heat_capacity: curve,
            energy: vec![(0.0, 0.0)],
        };
        for &(t, _) in &found.heat_capacity[1..] {
            let energy = solid.internal_energy_j_kg(t);
            solid.energy.push((t, energy));
        }
        Ok(solid)
    }

    /// Names of the known materials.
    #[must_use]
    pub fn names() -> Vec<&'static str> {
        data().map_or_else(
            |_| Vec::new(),
            |data| data.iter().map(|s| s.name.as_str()).collect(),
        )
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Density at room temperature, kg/m3.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }

    /// Heat capacity, J/(kg K), and its slope by temperature, J/(kg K2).
    #[must_use]
    pub fn heat_capacity_j_kg_k(&self, temperature_k: f64) -> (f64, f64) {
        self.heat_capacity.value_slope(temperature_k)
    }

    /// Internal energy, J/kg, from zero at 0 K: the exact integral of the heat capacity, which
    /// Simpson's rule gives within each cubic.
    #[must_use]
    pub fn internal_energy_j_kg(&self, temperature_k: f64) -> f64 {
        let after = self.energy.partition_point(|&(t, _)| t <= temperature_k);
        let (start, below) = self.energy[after.saturating_sub(1)];
        let cp = |t: f64| self.heat_capacity.value_slope(t).0;
        let middle = 0.5 * (start + temperature_k);
        below + (temperature_k - start) / 6.0 * (cp(start) + 4.0 * cp(middle) + cp(temperature_k))
    }
}
