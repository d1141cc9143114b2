//! Wall materials: heat capacity over temperature and its exact integral.

use crate::FluidError;

/// A wall material.
#[derive(Clone, Debug, PartialEq)]
pub struct Solid {
    name: &'static str,
    density_kg_m3: f64,
    heat_capacity_j_kg_k: f64,
}

impl Solid {
    /// The material of this name.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], which lists the known names.
    pub fn named(name: &str) -> Result<Self, FluidError> {
        let known = [
            ("carbon steel", 7850.0, 440.0),
            ("stainless steel", 7900.0, 475.0),
            ("aluminium", 2700.0, 896.0),
            ("composite", 1600.0, 900.0),
        ];
        let found = known.iter().find(|(n, ..)| *n == name);
        found
            .map(|&(name, density_kg_m3, heat_capacity_j_kg_k)| Solid {
                name,
                density_kg_m3,
                heat_capacity_j_kg_k,
            })
            .ok_or_else(|| FluidError::UnknownFluid {
                name: name.to_owned(),
                known: known.iter().map(|(n, ..)| (*n).to_owned()).collect(),
            })
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        self.name
    }

    /// Density at room temperature, kg/m3.
    #[must_use]
    pub fn density_kg_m3(&self) -> f64 {
        self.density_kg_m3
    }

    /// Heat capacity, J/(kg K), and its slope by temperature.
    #[must_use]
    pub fn heat_capacity_j_kg_k(&self, _temperature_k: f64) -> (f64, f64) {
        (self.heat_capacity_j_kg_k, 0.0)
    }

    /// Internal energy, J/kg: the exact integral of the heat capacity.
    #[must_use]
    pub fn internal_energy_j_kg(&self, temperature_k: f64) -> f64 {
        self.heat_capacity_j_kg_k * temperature_k
    }
}
