//! One pure (or pseudo-pure) fluid: its data, valid range and saturation states.

use std::sync::{Arc, OnceLock};

use crate::FluidError;
use crate::data::{self, FluidData, Limits};
use crate::film::FilmTable;
use crate::helmholtz::Derivatives;
use crate::helmholtz::{Helmholtz, State};
use crate::mixture::MinorTable;
use crate::nozzle::FluxTable;
use crate::phases::Phases;
use crate::saturation::SaturationLine;
use crate::table::Table;

/// A fluid with its published equation of state.
#[derive(Debug)]
pub struct PureFluid {
    pub(crate) data: FluidData,
    pub(crate) equation: Helmholtz,
    pub(crate) phases: Phases,
    /// Tangent of the melting line, below which nothing is frozen.
    pub(crate) melting_tangent: (f64, f64),
    table: OnceLock<Option<Table>>,
    nozzle: OnceLock<Option<FluxTable>>,
    film: OnceLock<Result<FilmTable, FluidError>>,
    minor: MinorTable,
}

/// Properties of one equilibrium state.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Internal energy, J/kg.
    pub internal_energy_j_kg: f64,
    /// Enthalpy, J/kg.
    pub enthalpy_j_kg: f64,
    /// Entropy, J/(kg K).
    pub entropy_j_kg_k: f64,
    /// Heat capacity at constant volume, J/(kg K); not a number in a two-phase state.
    pub cv_j_kg_k: f64,
    /// Heat capacity at constant pressure, J/(kg K); not a number in a two-phase state.
    pub cp_j_kg_k: f64,
    /// Speed of sound, m/s; not a number in a two-phase state.
    pub sound_speed_m_s: f64,
    /// Mass fraction of vapour where two phases are in equilibrium.
    pub quality: Option<f64>,
}

/// Liquid and vapour in equilibrium.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saturation {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// The saturated liquid.
    pub liquid: Point,
    /// The saturated vapour.
    pub vapour: Point,
}

impl Saturation {
    /// Enthalpy of vaporisation, J/kg.
    pub fn vaporisation_enthalpy_j_kg(&self) -> f64 {
        self.vapour.enthalpy_j_kg - self.liquid.enthalpy_j_kg
    }

    /// dp/dT along the line (Clausius and Clapeyron), Pa/K.
    pub fn pressure_by_temperature(&self) -> f64 {
        let volume = 1.0 / self.vapour.density_kg_m3 - 1.0 / self.liquid.density_kg_m3;
        self.vaporisation_enthalpy_j_kg() / (self.temperature_k * volume)
    }

    /// Vapour fraction of a mixture with this volume, m3/kg.
    pub(crate) fn quality_of_volume(&self, volume: f64) -> f64 {
        let [liquid, vapour] = [
            1.0 / self.liquid.density_kg_m3,
            1.0 / self.vapour.density_kg_m3,
        ];
        (volume - liquid) / (vapour - liquid)
    }

    /// The mixture with this vapour fraction.
    pub fn mixture(&self, quality: f64) -> Point {
        let mix = |liquid: f64, vapour: f64| liquid + quality * (vapour - liquid);
        let (l, v) = (&self.liquid, &self.vapour);
        Point {
            pressure_pa: self.pressure_pa,
            temperature_k: self.temperature_k,
            density_kg_m3: 1.0 / mix(1.0 / l.density_kg_m3, 1.0 / v.density_kg_m3),
            internal_energy_j_kg: mix(l.internal_energy_j_kg, v.internal_energy_j_kg),
            enthalpy_j_kg: mix(l.enthalpy_j_kg, v.enthalpy_j_kg),
            entropy_j_kg_k: mix(l.entropy_j_kg_k, v.entropy_j_kg_k),
            cv_j_kg_k: f64::NAN,
            cp_j_kg_k: f64::NAN,
            sound_speed_m_s: f64::NAN,
            quality: Some(quality),
        }
    }
}

impl From<State<'_>> for Point {
    fn from(state: State<'_>) -> Self {
        Point {
            pressure_pa: state.pressure_pa(),
            temperature_k: state.temperature_k,
            density_kg_m3: state.density_kg_m3,
            internal_energy_j_kg: state.internal_energy_j_kg(),
            enthalpy_j_kg: state.enthalpy_j_kg(),
            entropy_j_kg_k: state.entropy_j_kg_k(),
            cv_j_kg_k: state.cv_j_kg_k(),
            cp_j_kg_k: state.cp_j_kg_k(),
            sound_speed_m_s: state.sound_speed_squared().sqrt(),
            quality: None,
        }
    }
}

/// Fluids already read, by their place in the list: nothing is parsed before it is asked for.
static FLUIDS: [OnceLock<Arc<PureFluid>>; data::COUNT] = [const { OnceLock::new() }; data::COUNT];

/// Least pressure, Pa, and density, kg/m3: far below any vacuum, far above where numbers lose
/// digits.
const LEAST: f64 = 1e-100;
/// Room for rounding when a solved state is held against the limits.
const LIMIT_SLACK: f64 = 1e-9;

impl PureFluid {
    /// The fluid of this name, read on first use and shared afterwards.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], which lists the known names.
    pub fn named(name: &str) -> Result<Arc<Self>, FluidError> {
        let index = data::index(name)?;
        if let Some(fluid) = FLUIDS[index].get() {
            return Ok(Arc::clone(fluid));
        }
        let fluid = Arc::new(PureFluid::read(index)?);
        Ok(Arc::clone(FLUIDS[index].get_or_init(|| fluid)))
    }

    fn read(index: usize) -> Result<Self, FluidError> {
        let data = FluidData::read(index)?;
        let equation = data.equation()?;
        let phases = Phases::new(
            &data.saturation,
            &equation,
            data.molar_mass_kg_mol,
            data.limits.t_min_k,
        );
        let phases = phases.ok_or_else(|| FluidError::Data {
            fluid: data.name.clone(),
            message: "the saturation line does not start at an equilibrium".to_owned(),
        })?;
        Ok(PureFluid {
            melting_tangent: data.melting.tangent(),
            data,
            equation,
            phases,
            table: OnceLock::new(),
            nozzle: OnceLock::new(),
            film: OnceLock::new(),
            minor: MinorTable::default(),
        })
    }

    /// The (rho, u) table, built when first asked for; `None` for a fluid without one.
    pub(crate) fn table(&self) -> Option<&Table> {
        let build = || Table::new(&self.equation, &self.phases, self.data.table.as_ref()?);
        self.table.get_or_init(build).as_ref()
    }

    /// The table of nozzle fluxes, built when first asked for.
    pub(crate) fn nozzle(&self) -> Option<&FluxTable> {
        let critical = (self.critical_temperature_k(), self.critical_pressure_pa());
        let build = || FluxTable::new(&self.equation, critical);
        self.nozzle.get_or_init(build).as_ref()
    }

    /// The table of film properties, built when first asked for.
    pub(crate) fn film(&self) -> Result<&FilmTable, FluidError> {
        let built = self.film.get_or_init(|| FilmTable::new(self));
        built.as_ref().map_err(Clone::clone)
    }

    /// The residual part in a mixture's reduced density and inverse temperature: by the equation
    /// for a gas, by a table for the vapour of a liquid, of which there is little.
    pub(crate) fn residual_in_mixture(&self, delta: f64, tau: f64) -> Derivatives {
        if self.data.table.is_some() {
            self.equation.residual.at(delta, tau)
        } else {
            self.minor.at(self, delta, tau)
        }
    }

    /// Name, as in the stand file.
    pub fn name(&self) -> &str {
        &self.data.name
    }

    /// Molar mass, kg/mol.
    pub fn molar_mass_kg_mol(&self) -> f64 {
        self.data.molar_mass_kg_mol
    }

    /// Valid range of the equation of state.
    pub fn limits(&self) -> Limits {
        self.data.limits
    }

    /// Highest temperature at which liquid and vapour coexist, K.
    pub fn critical_temperature_k(&self) -> f64 {
        self.phases.critical_temperature_k()
    }

    /// Pressure there, Pa.
    pub fn critical_pressure_pa(&self) -> f64 {
        self.phases.critical_pressure_pa()
    }

    /// The equation of state itself.
    pub fn equation(&self) -> &Helmholtz {
        &self.equation
    }

    /// Liquid and vapour in equilibrium at a temperature, K.
    ///
    /// # Errors
    /// Outside the saturation line; for a pseudo-pure fluid, which has none.
    pub fn saturation_at_temperature(&self, temperature_k: f64) -> Result<Saturation, FluidError> {
        let line = self.line()?;
        let (low, high) = (line.t_min_k, line.critical_temperature_k);
        self.check("saturation temperature", "K", temperature_k, low, high)?;
        let [liquid, vapour] = line
            .densities(&self.equation, temperature_k)
            .ok_or_else(|| self.unsolved(format!("saturation at {temperature_k} K")))?
            .map(|density| Point::from(self.equation.state(density, temperature_k)));
        Ok(Saturation {
            pressure_pa: vapour.pressure_pa,
            temperature_k,
            liquid,
            vapour,
        })
    }

    /// Liquid and vapour in equilibrium at a pressure, Pa.
    ///
    /// # Errors
    /// Outside the saturation line; for a pseudo-pure fluid, which has none.
    pub fn saturation_at_pressure(&self, pressure_pa: f64) -> Result<Saturation, FluidError> {
        let line = self.line()?;
        let (low, high) = (line.pressure_min_pa(), line.critical_pressure_pa);
        self.check("saturation pressure", "Pa", pressure_pa, low, high)?;
        let temperature = line.temperature_at(&self.equation, pressure_pa);
        let temperature =
            temperature.ok_or_else(|| self.unsolved(format!("saturation at {pressure_pa} Pa")))?;
        self.saturation_at_temperature(temperature)
    }

    fn line(&self) -> Result<&SaturationLine, FluidError> {
        match &self.phases {
            Phases::Pure(line) => Ok(line),
            Phases::Pseudo(_) => Err(FluidError::NotAvailable {
                fluid: self.data.name.clone(),
                question: "a saturation state",
                reason: "it is a mixture treated as one fluid; use nitrogen and oxygen instead",
            }),
        }
    }

    /// Properties of a state that a solver found, once it is known to be in range.
    pub(crate) fn checked(&self, state: State<'_>) -> Result<Point, FluidError> {
        self.check_temperature(state.temperature_k)?;
        self.check_pressure(state.pressure_pa())?;
        self.check_melting(state.temperature_k, state.pressure_pa())?;
        Ok(state.into())
    }

    pub(crate) fn check_melting(
        &self,
        temperature_k: f64,
        pressure_pa: f64,
    ) -> Result<(), FluidError> {
        match self.data.melting.pressure_pa(temperature_k) {
            Some(melting_pressure_pa)
                if pressure_pa > melting_pressure_pa * (1.0 + LIMIT_SLACK) =>
            {
                Err(FluidError::Frozen {
                    fluid: self.data.name.clone(),
                    temperature_k,
                    pressure_pa,
                    melting_pressure_pa,
                })
            }
            _ => Ok(()),
        }
    }

    pub(crate) fn check_temperature(&self, value: f64) -> Result<(), FluidError> {
        self.check(
            "temperature",
            "K",
            value,
            self.data.limits.t_min_k,
            self.data.limits.t_max_k,
        )
    }

    pub(crate) fn check_pressure(&self, value: f64) -> Result<(), FluidError> {
        self.check("pressure", "Pa", value, LEAST, self.data.limits.p_max_pa)
    }

    pub(crate) fn check_density(&self, value: f64) -> Result<(), FluidError> {
        self.check("density", "kg/m3", value, LEAST, self.density_max())
    }

    /// No valid state is denser: six times the reducing density.
    fn density_max(&self) -> f64 {
        6.0 * self.equation.reducing_density_kg_m3
    }

    pub(crate) fn check_finite(&self, what: &'static str, value: f64) -> Result<(), FluidError> {
        if value.is_finite() {
            return Ok(());
        }
        Err(FluidError::NotFinite {
            fluid: self.data.name.clone(),
            what,
            value,
        })
    }

    fn check(
        &self,
        what: &'static str,
        unit: &'static str,
        value: f64,
        low: f64,
        high: f64,
    ) -> Result<(), FluidError> {
        self.check_finite(what, value)?;
        if value >= low * (1.0 - LIMIT_SLACK) && value <= high * (1.0 + LIMIT_SLACK) {
            return Ok(());
        }
        Err(self.out_of_range(what, unit, value, low, high))
    }

    pub(crate) fn out_of_range(
        &self,
        what: &'static str,
        unit: &'static str,
        value: f64,
        low: f64,
        high: f64,
    ) -> FluidError {
        FluidError::out_of_range(self.name(), what, unit, value, (low, high))
    }

    pub(crate) fn condenses(&self, dew: f64, unit: &'static str) -> FluidError {
        FluidError::Condenses {
            fluid: self.data.name.clone(),
            dew,
            unit,
        }
    }

    pub(crate) fn unsolved(&self, task: String) -> FluidError {
        FluidError::NoSolution {
            fluid: self.data.name.clone(),
            task,
        }
    }
}
