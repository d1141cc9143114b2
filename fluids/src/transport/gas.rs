//! Viscosity and conductivity of a gas over (density, ln T).

use serde::Deserialize;

use super::critical::Critical;
use super::{Pair, check, logarithms};
use crate::FluidError;
use crate::pure::PureFluid;
use crate::spline::{Axis, Surfaces};

#[derive(Deserialize)]
pub(super) struct GasData {
    density_max_kg_m3: f64,
    t_min_k: f64,
    t_max_k: f64,
    rows: Vec<Vec<Pair>>,
    critical: Option<Critical>,
}

/// Both properties of a gas.
#[derive(Debug)]
pub(crate) struct GasTransport {
    name: &'static str,
    /// Logarithms of viscosity and of conductivity without critical enhancement.
    surfaces: Surfaces<2>,
    critical: Option<Critical>,
    /// Lowest and highest temperature, K.
    pub temperatures_k: (f64, f64),
    /// Highest density, kg/m3.
    pub density_max_kg_m3: f64,
}

impl GasTransport {
    pub(super) fn new(name: &'static str, data: GasData) -> Self {
        let across = Axis::new(0.0, data.density_max_kg_m3, data.rows.len() - 1);
        let width = data.rows.first().map_or(0, Vec::len);
        let along = Axis::new(data.t_min_k.ln(), data.t_max_k.ln(), width - 1);
        let rows: Vec<Vec<Pair>> = data
            .rows
            .iter()
            .map(|row| row.iter().map(logarithms).collect())
            .collect();
        GasTransport {
            name,
            surfaces: Surfaces::new(across, along, &rows),
            critical: data.critical,
            temperatures_k: (data.t_min_k, data.t_max_k),
            density_max_kg_m3: data.density_max_kg_m3,
        }
    }

    /// Viscosity and conductivity at a stable state.
    pub fn at(&self, fluid: &PureFluid, density: f64, t: f64) -> Result<Pair, FluidError> {
        let densities = (0.0, self.density_max_kg_m3);
        check(self.name, "density", "kg/m3", density, densities)?;
        check(self.name, "temperature", "K", t, self.temperatures_k)?;
        let [viscosity, background] = self.surfaces.at(density, t.ln()).map(|row| row[0].exp());
        let enhancement = self.critical.as_ref().filter(|_| density > 0.0);
        let enhancement = enhancement.map_or(0.0, |term| {
            term.conductivity_w_m_k(fluid, density, t, viscosity)
        });
        Ok([viscosity, background + enhancement])
    }
}
