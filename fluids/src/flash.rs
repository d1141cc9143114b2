//! Equilibrium states from enthalpy, entropy or internal energy on an isobar or an isochore.
//!
//! Safeguarded Newton steps in temperature inside brackets that the phase boundary provides,
//! so that every solve ends. Two-phase states are the equilibrium mixture.

use crate::FluidError;
use crate::density::Phase;
use crate::helmholtz::State;
use crate::phases::Phases;
use crate::pure::{Point, PureFluid};
use crate::saturation::SaturationLine;
use crate::solve::bracketed_root;

/// What a line is searched for.
#[derive(Clone, Copy)]
enum Target {
    Energy(f64),
    Enthalpy(f64),
    Entropy(f64),
}

impl Target {
    fn value(self) -> f64 {
        let (Target::Energy(value) | Target::Enthalpy(value) | Target::Entropy(value)) = self;
        value
    }

    /// How far a state lies above the target.
    fn excess(self, point: &Point) -> f64 {
        match self {
            Target::Energy(value) => point.internal_energy_j_kg - value,
            Target::Enthalpy(value) => point.enthalpy_j_kg - value,
            Target::Entropy(value) => point.entropy_j_kg_k - value,
        }
    }

    fn excess_of(self, state: &State<'_>) -> f64 {
        match self {
            Target::Energy(value) => state.internal_energy_j_kg() - value,
            Target::Enthalpy(value) => state.enthalpy_j_kg() - value,
            Target::Entropy(value) => state.entropy_j_kg_k() - value,
        }
    }

    /// Its slope by temperature, given the heat capacity along the line.
    fn slope(self, heat_capacity: f64, temperature_k: f64) -> f64 {
        if matches!(self, Target::Entropy(_)) {
            heat_capacity / temperature_k
        } else {
            heat_capacity
        }
    }
}

/// Isochores and isobars are searched this far beyond the valid temperatures, so that a state
/// just outside is refused by its temperature and not as unsolvable.
const T_MARGIN: f64 = 0.02;

impl PureFluid {
    /// State at a density (kg/m3) and a temperature (K).
    ///
    /// # Errors
    /// Outside the valid range, frozen, or between the phases of a pseudo-pure fluid.
    pub fn by_density_temperature(
        &self,
        density_kg_m3: f64,
        temperature_k: f64,
    ) -> Result<Point, FluidError> {
        self.check_density(density_kg_m3)?;
        self.check_temperature(temperature_k)?;
        let edge = self.phases.edge(&self.equation, temperature_k);
        match (
            edge.filter(|edge| edge.encloses(density_kg_m3)),
            &self.phases,
        ) {
            (None, _) => self.checked(self.equation.state(density_kg_m3, temperature_k)),
            (Some(_), Phases::Pure(_)) => {
                let pair = self.saturation_at_temperature(temperature_k)?;
                Ok(pair.mixture(pair.quality_of_volume(1.0 / density_kg_m3)))
            }
            (Some(edge), Phases::Pseudo(_)) => Err(self.condenses(edge.density_kg_m3[1], "kg/m3")),
        }
    }

    /// State at a pressure (Pa) and a specific enthalpy (J/kg).
    ///
    /// # Errors
    /// As [`PureFluid::by_pressure_temperature`].
    pub fn by_pressure_enthalpy(
        &self,
        pressure_pa: f64,
        enthalpy_j_kg: f64,
    ) -> Result<Point, FluidError> {
        self.on_isobar(pressure_pa, Target::Enthalpy(enthalpy_j_kg))?
            .ok_or_else(|| {
                self.unsolved(format!(
                    "{pressure_pa} Pa and {enthalpy_j_kg} J/kg of enthalpy"
                ))
            })
    }

    /// State at a pressure (Pa) and a specific entropy (J/(kg K)).
    ///
    /// # Errors
    /// As [`PureFluid::by_pressure_temperature`].
    pub fn by_pressure_entropy(
        &self,
        pressure_pa: f64,
        entropy_j_kg_k: f64,
    ) -> Result<Point, FluidError> {
        self.on_isobar(pressure_pa, Target::Entropy(entropy_j_kg_k))?
            .ok_or_else(|| {
                self.unsolved(format!(
                    "{pressure_pa} Pa and {entropy_j_kg_k} J/(kg K) of entropy"
                ))
            })
    }

    /// State at a density (kg/m3) and a specific internal energy (J/kg), by the exact equation.
    ///
    /// # Errors
    /// As [`PureFluid::by_density_temperature`].
    pub fn by_density_energy(
        &self,
        density_kg_m3: f64,
        energy_j_kg: f64,
    ) -> Result<Point, FluidError> {
        self.on_isochore(density_kg_m3, Target::Energy(energy_j_kg))?
            .ok_or_else(|| {
                self.unsolved(format!(
                    "{density_kg_m3} kg/m3 and {energy_j_kg} J/kg of internal energy"
                ))
            })
    }

    /// State at a density (kg/m3) and a specific entropy (J/(kg K)).
    ///
    /// # Errors
    /// As [`PureFluid::by_density_temperature`].
    pub fn by_density_entropy(
        &self,
        density_kg_m3: f64,
        entropy_j_kg_k: f64,
    ) -> Result<Point, FluidError> {
        self.on_isochore(density_kg_m3, Target::Entropy(entropy_j_kg_k))?
            .ok_or_else(|| {
                self.unsolved(format!(
                    "{density_kg_m3} kg/m3 and {entropy_j_kg_k} J/(kg K) of entropy"
                ))
            })
    }

    /// Temperatures that are searched, a little wider than those that are valid.
    fn search_range_k(&self) -> (f64, f64) {
        let limits = self.data.limits;
        (
            limits.t_min_k * (1.0 - T_MARGIN),
            limits.t_max_k * (1.0 + T_MARGIN),
        )
    }

    fn on_isobar(&self, p: f64, target: Target) -> Result<Option<Point>, FluidError> {
        self.check_pressure(p)?;
        self.check_finite("the sought property", target.value())?;
        let (low, high) = self.search_range_k();
        let Some([liquid, vapour]) = self.isobar_edge(p)? else {
            return self.isobar_between(p, target, (low, high), |t| self.gas_bracket(p, t));
        };
        let (under, over) = (target.excess(&liquid), target.excess(&vapour));
        if over <= 0.0 {
            self.isobar_between(p, target, (vapour.temperature_k, high), |_| {
                (0.0, vapour.density_kg_m3)
            })
        } else if under >= 0.0 {
            self.isobar_between(p, target, (low, liquid.temperature_k), |t| {
                let [density, _] = self.phases.tabled_densities_kg_m3(t);
                (density, 1.01 * density)
            })
        } else {
            let saturation = self.saturation_at_pressure(p);
            let saturation = saturation.map_err(|_| self.condenses(vapour.temperature_k, "K"))?;
            Ok(Some(saturation.mixture(under / (under - over))))
        }
    }

    /// The states that part an isobar: bubble and dew point, or above the critical pressure
    /// twice the state at the critical temperature; none where the isobar is all vapour.
    fn isobar_edge(&self, p: f64) -> Result<Option<[Point; 2]>, FluidError> {
        if p >= self.critical_pressure_pa() {
            let t = self.critical_temperature_k();
            let density = self.density(p, t, self.gas_bracket(p, t));
            let density = density.ok_or_else(|| self.unsolved(format!("{p} Pa and {t} K")))?;
            return Ok(Some([self.equation.state(density, t).into(); 2]));
        }
        let Some([bubble, dew]) = self.phases.temperatures_k(&self.equation, p) else {
            return Ok(None);
        };
        if let Phases::Pure(_) = self.phases {
            let saturation = self.saturation_at_temperature(dew)?;
            return Ok(Some([saturation.liquid, saturation.vapour]));
        }
        Ok(Some([
            self.in_phase(p, bubble, Phase::Liquid)?,
            self.in_phase(p, dew, Phase::Vapour)?,
        ]))
    }

    /// One phase on an isobar between two temperatures; `densities` brackets its density.
    fn isobar_between(
        &self,
        p: f64,
        target: Target,
        temperatures: (f64, f64),
        densities: impl Fn(f64) -> (f64, f64),
    ) -> Result<Option<Point>, FluidError> {
        let at = |t| Some(self.equation.state(self.density(p, t, densities(t))?, t));
        let root = bracketed_root(temperatures, 0.0, |t| {
            let state = at(t)?;
            Some((target.excess_of(&state), target.slope(state.cp_j_kg_k(), t)))
        });
        root.and_then(at)
            .map(|state| self.checked(state))
            .transpose()
    }

    fn on_isochore(&self, density: f64, target: Target) -> Result<Option<Point>, FluidError> {
        self.check_density(density)?;
        self.check_finite("the sought property", target.value())?;
        let (mut low, high) = self.search_range_k();
        if let Some(boundary) = self.phases.boundary_temperature_k(density) {
            let below = target.excess_of(&self.equation.state(density, boundary)) > 0.0;
            match &self.phases {
                Phases::Pure(line) if below => {
                    if let Some(point) = self.two_phase_isochore(line, density, target)? {
                        return Ok(Some(point));
                    }
                }
                Phases::Pseudo(_) if below => return Err(self.condenses(boundary, "K")),
                _ => low = boundary,
            }
        }
        let root = bracketed_root((low, high), 0.0, |t| {
            let state = self.equation.state(density, t);
            Some((target.excess_of(&state), target.slope(state.cv_j_kg_k(), t)))
        });
        root.map(|t| self.checked(self.equation.state(density, t)))
            .transpose()
    }

    /// The equilibrium mixture of a given density. `None` if the phases cannot have it, as
    /// beside the density maximum of water.
    fn two_phase_isochore(
        &self,
        line: &SaturationLine,
        density: f64,
        target: Target,
    ) -> Result<Option<Point>, FluidError> {
        let volume = 1.0 / density;
        let mut failure = None;
        let root = bracketed_root((line.t_min_k, line.critical_temperature_k), 0.0, |t| {
            let pair = self
                .saturation_at_temperature(t)
                .map_err(|error| failure = Some(error))
                .ok()?;
            let excess = target.excess(&pair.mixture(pair.quality_of_volume(volume)));
            Some((excess, target.slope(line.pair(t).energy_at(volume).1, t)))
        });
        if let Some(error) = failure {
            return Err(error);
        }
        let Some(t) = root else { return Ok(None) };
        let pair = self.saturation_at_temperature(t)?;
        let quality = pair.quality_of_volume(volume);
        Ok((0.0..=1.0)
            .contains(&quality)
            .then(|| pair.mixture(quality)))
    }
}
