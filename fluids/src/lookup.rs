//! Pressure and temperature from density and internal energy, with their first partials: the
//! question that every control volume asks at every step.

use crate::helmholtz::State;
use crate::phases::Phases;
use crate::pure::PureFluid;
use crate::saturation::SaturationLine;
use crate::table::Surface;
use crate::{FluidError, PropertyMode};

/// Pressure and temperature at (rho, u), each with its partials.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lookup {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// dp/d rho at constant u, J/kg.
    pub pressure_by_density: f64,
    /// dp/du at constant rho, kg/m3.
    pub pressure_by_energy: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// dT/d rho at constant u, K m3/kg.
    pub temperature_by_density: f64,
    /// dT/du at constant rho, K kg/J.
    pub temperature_by_energy: f64,
}

/// Nearer to the phase boundary than this, in R T_r, the exact boundary decides: the tabled one
/// is good to a tenth of it.
const BOUNDARY_DOUBT: f64 = 1e-3;

impl PureFluid {
    /// Pressure and temperature at a density (kg/m3) and a specific internal energy (J/kg).
    ///
    /// The same input gives the same bytes: nothing is remembered. Inside the dome the answer
    /// is the equilibrium of both phases. Where a fluid has no table, or the state lies outside
    /// it, every mode takes the exact way.
    ///
    /// # Errors
    /// Outside the valid range, frozen, or between the phases of a pseudo-pure fluid.
    pub fn lookup(
        &self,
        density_kg_m3: f64,
        energy_j_kg: f64,
        mode: PropertyMode,
    ) -> Result<Lookup, FluidError> {
        let quick = match mode {
            PropertyMode::Exact => None,
            _ => self.tabled(density_kg_m3, energy_j_kg, mode),
        };
        let Some(found) = quick else {
            return self.solve(density_kg_m3, energy_j_kg);
        };
        self.check_lookup(&found)?;
        Ok(found)
    }

    /// The quick way; `None` where the table does not hold the state or two phases coexist.
    #[inline]
    fn tabled(&self, density: f64, energy: f64, mode: PropertyMode) -> Option<Lookup> {
        let table = self.table()?;
        let at = table.locate(density, energy)?;
        if self.is_two_phase(at.depth_j_kg, density, energy) {
            return None;
        }
        if mode == PropertyMode::Table {
            return Some(table.surfaces(&at).into());
        }
        let state = self.equation.state(density, table.temperature_k(&at));
        Some(polish(&state, energy))
    }

    /// Whether (rho, u) lies below the phase boundary.
    fn is_two_phase(&self, depth: f64, density: f64, energy: f64) -> bool {
        let doubt = BOUNDARY_DOUBT
            * self.equation.gas_constant_j_kg_k
            * self.equation.reducing_temperature_k;
        if depth.abs() > doubt {
            return depth > 0.0;
        }
        let boundary = self.phases.boundary_temperature_k(density);
        boundary.is_some_and(|t| energy < self.equation.state(density, t).internal_energy_j_kg())
    }

    /// The exact way, by iteration.
    fn solve(&self, density: f64, energy: f64) -> Result<Lookup, FluidError> {
        let point = self.by_density_energy(density, energy)?;
        match (&self.phases, point.quality) {
            (Phases::Pure(line), Some(_)) => Ok(two_phase(
                line,
                density,
                point.pressure_pa,
                point.temperature_k,
            )),
            _ => Ok(polish(
                &self.equation.state(density, point.temperature_k),
                energy,
            )),
        }
    }

    /// As for any solved state, but with the melting line's tangent first, which is quicker.
    fn check_lookup(&self, found: &Lookup) -> Result<(), FluidError> {
        let (t, p) = (found.temperature_k, found.pressure_pa);
        self.check_temperature(t)?;
        self.check_pressure(p)?;
        let (start, slope) = self.melting_tangent;
        if p < start + slope * t {
            Ok(())
        } else {
            self.check_melting(t, p)
        }
    }
}

/// One state near (rho, u), followed to first order: what is left is the square of the step.
fn polish(state: &State<'_>, energy: f64) -> Lookup {
    let by_energy = 1.0 / state.cv_j_kg_k();
    let by_density = -state.energy_by_density() * by_energy;
    let slope = state.pressure_by_temperature();
    let step = (energy - state.internal_energy_j_kg()) * by_energy;
    Lookup {
        pressure_pa: state.pressure_pa() + slope * step,
        pressure_by_density: state.pressure_by_density() + slope * by_density,
        pressure_by_energy: slope * by_energy,
        temperature_k: state.temperature_k + step,
        temperature_by_density: by_density,
        temperature_by_energy: by_energy,
    }
}

/// Partials of an equilibrium of two phases: the pressure follows the temperature along the
/// line, and (du/dv) at constant T is T dp/dT - p.
fn two_phase(line: &SaturationLine, density: f64, pressure_pa: f64, temperature_k: f64) -> Lookup {
    let pair = line.pair(temperature_k);
    let by_energy = 1.0 / pair.energy_at(1.0 / density).1;
    let slope = pressure_pa * pair.log_pressure.1;
    let by_density = (temperature_k * slope - pressure_pa) * by_energy / (density * density);
    Lookup {
        pressure_pa,
        pressure_by_density: slope * by_density,
        pressure_by_energy: slope * by_energy,
        temperature_k,
        temperature_by_density: by_density,
        temperature_by_energy: by_energy,
    }
}

impl From<[Surface; 2]> for Lookup {
    fn from([t, p]: [Surface; 2]) -> Self {
        Lookup {
            pressure_pa: p[0],
            pressure_by_density: p[1],
            pressure_by_energy: p[2],
            temperature_k: t[0],
            temperature_by_density: t[1],
            temperature_by_energy: t[2],
        }
    }
}
