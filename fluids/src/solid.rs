//! Wall materials: heat capacity over temperature, its exact integral, and the way back from
//! energy to temperature.

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
    /// Temperature over internal energy, so near that one step of Newton's method is enough.
    temperature: MonotoneCubic,
}

/// Points of T(u) for each of cp(T).
const FINER: usize = 8;

/// Most Newton steps for T(u). One does, but for the first kelvins.
const NEWTON_STEPS: usize = 8;

/// Relative step below which Newton's method has settled: what is left is its square.
const SETTLED: f64 = 1e-5;

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

/// The first numbers of points, with even steps between each two of them.
fn finer(points: &[(f64, f64)]) -> impl Iterator<Item = f64> {
    let between = |pair: &[(f64, f64)]| {
        let (start, step) = (pair[0].0, (pair[1].0 - pair[0].0) / FINER as f64);
        (0..FINER).map(move |i| start + step * i as f64)
    };
    let last = points.last().map(|p| p.0);
    points.windows(2).flat_map(between).chain(last)
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
        let points = &found.heat_capacity;
        let curve = |points: &[_]| {
            let made = MonotoneCubic::new(points);
            made.map_err(|error| damaged(name, error.to_string()))
        };
        let heat_capacity = curve(points)?.extrapolated(Extrapolation::Linear);
        let inverse: Vec<_> = finer(points)
            .map(|t| (heat_capacity.value_area(t).1, t))
            .collect();
        Ok(Solid {
            name: found.name.clone(),
            density_kg_m3: found.density_kg_m3,
            temperature: curve(&inverse)?.extrapolated(Extrapolation::Linear),
            heat_capacity,
        })
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

    /// Internal energy, J/kg, from zero at 0 K: the exact integral of the heat capacity.
    #[must_use]
    pub fn internal_energy_j_kg(&self, temperature_k: f64) -> f64 {
        self.heat_capacity.value_area(temperature_k).1
    }

    /// Internal energy, J/kg, and its slope, the heat capacity, J/(kg K), in one look.
    #[must_use]
    pub fn energy_and_capacity(&self, temperature_k: f64) -> (f64, f64) {
        let (capacity, energy) = self.heat_capacity.value_area(temperature_k);
        (energy, capacity)
    }

    /// Temperature, K, of an internal energy, J/kg, and its slope, kg K/J, by Newton's method.
    #[must_use]
    pub fn temperature_k(&self, energy_j_kg: f64) -> (f64, f64) {
        let mut t = self.temperature.value_slope(energy_j_kg).0.max(1.0);
        let mut slope = 0.0;
        for _ in 0..NEWTON_STEPS {
            let (energy, capacity) = self.energy_and_capacity(t);
            slope = capacity.recip();
            let step = (energy_j_kg - energy) * slope;
            t = (t + step).max(1.0);
            if step.abs() <= SETTLED * t {
                break;
            }
        }
        (t, slope)
    }
}
