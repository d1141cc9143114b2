//! A liquid that does not give way to pressure: curves over temperature along one isobar.
//!
//! Density, energy and speed of sound come from the equation of state at the isobar's pressure,
//! viscosity and conductivity from the transport tables, vapour pressure and vapour density from
//! the saturation line. All stand on cubic splines with steps of some kelvins, so that the heat
//! capacity in use is exactly the slope of the energy in use.

use std::sync::Arc;

use crate::plain_liquid::PlainLiquid;
use crate::spline::{Axis, Curves, Jet};
use crate::transport::Transport;
use crate::{FluidError, Phase, PureFluid};

/// Width of an interval of the curves, K: density and energy are good to 1e-7.
const STEP_K: f64 = 2.5;
/// Widest interval of a cryogen, in critical temperatures.
const STEP_SHARE: f64 = 0.0075;
/// Hottest liquid, in critical temperatures: nearer to the critical point no spline follows.
const HOTTEST: f64 = 0.97;
/// Highest pressure of a liquid that only correlations describe, Pa.
const PLAIN_MAX_PA: f64 = 60e6;
/// Fewest intervals.
const FEWEST: f64 = 8.0;

/// A liquid along an isobar. Cheap to evaluate and to clone.
#[derive(Clone, Debug)]
pub struct Liquid {
    name: String,
    vapour: Option<String>,
    range_k: (f64, f64),
    critical_pressure_pa: Option<f64>,
    curves: Arc<Curves<COLUMNS>>,
}

/// How warm a liquid is taken along.
#[derive(Clone, Copy, PartialEq)]
enum Hottest {
    /// As it boils under its pressure.
    Boiling,
    /// As far as it is a liquid under any pressure.
    NearCritical,
}

/// Density, energy, ln viscosity, conductivity, ln vapour pressure, ln vapour density, speed of
/// sound.
const COLUMNS: usize = 7;
/// Place of the energy among them.
const ENERGY: usize = 1;

/// Properties of a liquid at one temperature. Slopes are the exact derivatives of the curves.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct LiquidState {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Its slope, kg/(m3 K).
    pub density_by_t: f64,
    /// Internal energy, J/kg, from the reference state of the vapour in a mixture.
    pub internal_energy_j_kg: f64,
    /// Its slope along the isobar, J/(kg K).
    pub heat_capacity_j_kg_k: f64,
    /// Viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Its slope, Pa s/K.
    pub viscosity_by_t: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_m_k: f64,
    /// Thermal expansivity -(d rho/dT)/rho, 1/K.
    pub expansivity_1_k: f64,
    /// Vapour pressure, Pa.
    pub vapour_pressure_pa: f64,
    /// Its slope, Pa/K.
    pub vapour_pressure_by_t: f64,
    /// Density of the saturated vapour, kg/m3.
    pub saturated_vapour_density_kg_m3: f64,
    /// Its slope, kg/(m3 K).
    pub saturated_vapour_density_by_t: f64,
    /// Speed of sound, m/s.
    pub sound_speed_m_s: f64,
    /// Isentropic bulk modulus rho c^2, Pa.
    pub bulk_modulus_pa: f64,
}

impl Liquid {
    /// The liquid of this name ("water", "oxygen", "kerosene") along the isobar of a pressure (Pa), from
    /// freezing to boiling there, or to 97 % of the critical temperature.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`], which lists the liquids; [`FluidError::OutOfRange`] where
    /// nothing is liquid at this pressure.
    pub fn new(name: &str, pressure_pa: f64) -> Result<Self, FluidError> {
        Self::up_to(name, pressure_pa, Hottest::Boiling)
    }

    /// The same for a liquid that may get warmer than it boils under that pressure, because its
    /// tank's pressure rises: from there on to 97 % of the critical temperature it is that of
    /// saturation.
    ///
    /// # Errors
    /// As [`Liquid::new`].
    pub fn rising(name: &str, pressure_pa: f64) -> Result<Self, FluidError> {
        Self::up_to(name, pressure_pa, Hottest::NearCritical)
    }

    fn up_to(name: &str, pressure_pa: f64, hottest: Hottest) -> Result<Self, FluidError> {
        if let Some(plain) = PlainLiquid::find(name)? {
            return Self::plain(plain, pressure_pa);
        }
        if !Self::names().contains(&name) {
            return Err(FluidError::UnknownFluid {
                name: name.to_owned(),
                known: Self::names().iter().map(|&name| name.to_owned()).collect(),
            });
        }
        let fluid = PureFluid::named(name)?;
        let transport = Transport::named(name)?;
        let range_k = range(&fluid, transport, pressure_pa, hottest)?;
        let step_k = STEP_K.min(STEP_SHARE * fluid.critical_temperature_k());
        let axis = even_axis(range_k, step_k);
        let row = |t: f64| {
            row(
                &fluid,
                transport,
                pressure_pa,
                t.clamp(range_k.0, range_k.1),
            )
        };
        let rows = axis.nodes().map(row).collect::<Result<Vec<_>, _>>()?;
        Ok(Liquid {
            name: name.to_owned(),
            vapour: Some(name.to_owned()),
            range_k,
            critical_pressure_pa: Some(fluid.critical_pressure_pa()),
            curves: Arc::new(Curves::new(axis, &rows)),
        })
    }

    /// One that only correlations describe.
    fn plain(plain: &PlainLiquid, pressure_pa: f64) -> Result<Self, FluidError> {
        let (coldest, end) = plain.range_k;
        let pressures = (
            plain.at(0.0, coldest + 1.0).vapour_pressure_pa,
            PLAIN_MAX_PA,
        );
        let inside = (pressures.0..=pressures.1).contains(&pressure_pa);
        let hottest = plain.hottest_k(pressure_pa).filter(|_| inside);
        let hottest = hottest.ok_or_else(|| {
            let what = "pressure of the liquid";
            FluidError::out_of_range(&plain.name, what, "Pa", pressure_pa, pressures)
        })?;
        let range_k = (coldest, hottest.min(end));
        let axis = even_axis(range_k, STEP_K);
        let mut energy = 0.0;
        let mut last = coldest;
        let row = |t: f64| {
            energy += plain.rise_j_kg(last, t);
            last = t;
            let state = plain.at(pressure_pa, t);
            [
                state.density_kg_m3,
                energy,
                state.viscosity_pa_s.ln(),
                state.conductivity_w_m_k,
                state.vapour_pressure_pa.ln(),
                state.vapour_density_kg_m3.ln(),
                state.sound_speed_m_s,
            ]
        };
        let rows: Vec<_> = axis.nodes().map(row).collect();
        Ok(Liquid {
            name: plain.name.clone(),
            vapour: None,
            range_k,
            critical_pressure_pa: None,
            curves: Arc::new(Curves::new(axis, &rows)),
        })
    }

    /// Names of the liquids.
    #[must_use]
    pub fn names() -> &'static [&'static str] {
        &[
            "water",
            "ethanol",
            "methanol",
            "isopropanol",
            "n-heptane",
            "kerosene",
            "n-dodecane",
            "hydrogen peroxide 90 %",
            "nitrous oxide",
            "oxygen",
            "nitrogen",
            "argon",
            "methane",
            "propane",
            "parahydrogen",
            "carbon dioxide",
        ]
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Critical pressure, Pa; `None` for a liquid that only correlations describe.
    #[must_use]
    pub fn critical_pressure_pa(&self) -> Option<f64> {
        self.critical_pressure_pa
    }

    /// The species that its vapour is in a gas mixture; `None` for a liquid that only correlations
    /// describe.
    #[must_use]
    pub fn vapour_species(&self) -> Option<&str> {
        self.vapour.as_deref()
    }

    /// Whether the vapour of a liquid of this name is a species of a gas mixture; not so for one that
    /// only correlations describe.
    #[must_use]
    pub fn has_vapour(name: &str) -> bool {
        !matches!(PlainLiquid::find(name), Ok(Some(_)))
    }

    /// Temperatures between which it is liquid at its pressure and known, K.
    #[must_use]
    pub fn temperature_range_k(&self) -> (f64, f64) {
        self.range_k
    }

    /// Surface tension against its vapour, N/m, at a temperature, K.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`], [`FluidError::NotFinite`].
    pub fn surface_tension_n_m(&self, temperature_k: f64) -> Result<f64, FluidError> {
        let (low, high) = self.range_k;
        if !(low..=high).contains(&temperature_k) {
            return Err(self.refuse(temperature_k));
        }
        match PlainLiquid::find(&self.name)? {
            Some(plain) => Ok(plain.at(0.0, temperature_k).surface_tension_n_m),
            None => PureFluid::named(&self.name)?.surface_tension_n_m(temperature_k),
        }
    }

    /// Internal energy, J/kg, and its slope, J/(kg K), alone: what a search for a temperature
    /// asks for.
    ///
    /// # Errors
    /// As [`Liquid::at`].
    pub fn energy_and_capacity(&self, temperature_k: f64) -> Result<(f64, f64), FluidError> {
        let (low, high) = self.range_k;
        if !(low..=high).contains(&temperature_k) {
            return Err(self.refuse(temperature_k));
        }
        let energy = self.curves.one(ENERGY, temperature_k);
        Ok((energy.value, energy.slope))
    }

    /// Properties at a temperature.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`], [`FluidError::NotFinite`].
    pub fn at(&self, temperature_k: f64) -> Result<LiquidState, FluidError> {
        let (low, high) = self.range_k;
        if !(low..=high).contains(&temperature_k) {
            return Err(self.refuse(temperature_k));
        }
        let [
            density,
            energy,
            viscosity,
            conductivity,
            pressure,
            vapour,
            sound,
        ] = self.curves.at(temperature_k);
        let exponential = |log: Jet| (log.value.exp(), log.value.exp() * log.slope);
        let (viscosity_pa_s, viscosity_by_t) = exponential(viscosity);
        let (vapour_pressure_pa, vapour_pressure_by_t) = exponential(pressure);
        let (saturated_vapour_density_kg_m3, saturated_vapour_density_by_t) = exponential(vapour);
        Ok(LiquidState {
            temperature_k,
            density_kg_m3: density.value,
            density_by_t: density.slope,
            internal_energy_j_kg: energy.value,
            heat_capacity_j_kg_k: energy.slope,
            viscosity_pa_s,
            viscosity_by_t,
            conductivity_w_m_k: conductivity.value,
            expansivity_1_k: -density.slope / density.value,
            vapour_pressure_pa,
            vapour_pressure_by_t,
            saturated_vapour_density_kg_m3,
            saturated_vapour_density_by_t,
            sound_speed_m_s: sound.value,
            bulk_modulus_pa: density.value * sound.value * sound.value,
        })
    }

    fn refuse(&self, value: f64) -> FluidError {
        let what = "temperature between freezing and boiling";
        if value.is_finite() {
            FluidError::out_of_range(&self.name, what, "K", value, self.range_k)
        } else {
            FluidError::NotFinite {
                fluid: self.name.clone(),
                what,
                value,
            }
        }
    }
}

fn even_axis((low, high): (f64, f64), step_k: f64) -> Axis {
    Axis::new(
        low,
        high,
        ((high - low) / step_k).ceil().max(FEWEST) as usize,
    )
}

/// From freezing to the hottest, at the most as far as the transport tables reach.
fn range(
    fluid: &PureFluid,
    transport: &Transport,
    pressure_pa: f64,
    limit: Hottest,
) -> Result<(f64, f64), FluidError> {
    let (coldest, end) = transport.liquid_temperatures_k();
    let hottest = end.min(HOTTEST * fluid.critical_temperature_k());
    let lowest_pa = fluid.saturation_at_temperature(coldest + 1.0)?.pressure_pa;
    let highest_pa = transport
        .liquid_excess_max_pa()
        .min(fluid.limits().p_max_pa);
    if !(lowest_pa..=highest_pa).contains(&pressure_pa) {
        let what = "pressure of the liquid";
        return Err(FluidError::out_of_range(
            fluid.name(),
            what,
            "Pa",
            pressure_pa,
            (lowest_pa, highest_pa),
        ));
    }
    let reaches = pressure_pa >= fluid.saturation_at_temperature(hottest)?.pressure_pa;
    let boiling = if reaches || limit == Hottest::NearCritical {
        hottest
    } else {
        fluid.saturation_at_pressure(pressure_pa)?.temperature_k
    };
    Ok((coldest.max(melting_k(fluid, pressure_pa, boiling)), boiling))
}

/// Where the isobar meets the melting line; zero where it does not (ice I melts under pressure).
fn melting_k(fluid: &PureFluid, pressure_pa: f64, highest_k: f64) -> f64 {
    let line = &fluid.data.melting;
    let gap = |t: f64| {
        line.pressure_pa(t)
            .map_or(f64::MAX, |melting| melting - pressure_pa)
    };
    let lowest_k = fluid.limits().t_min_k;
    // A state on the line itself would be refused for rounding.
    const CLEAR_K: f64 = 1e-3;
    shared::bracketed(gap, lowest_k, highest_k, 1e-6).map_or(0.0, |t| t + CLEAR_K)
}

fn row(
    fluid: &PureFluid,
    transport: &Transport,
    pressure_pa: f64,
    t: f64,
) -> Result<[f64; COLUMNS], FluidError> {
    let saturation = fluid.saturation_at_temperature(t)?;
    // Warmer than it boils under its pressure it is under that of saturation.
    let pressure = pressure_pa.max(saturation.pressure_pa);
    let point = fluid.in_phase(pressure, t, Phase::Liquid)?;
    let [viscosity, conductivity] = transport.of_liquid(fluid, &point, saturation.pressure_pa)?;
    Ok([
        point.density_kg_m3,
        point.internal_energy_j_kg,
        viscosity.ln(),
        conductivity,
        saturation.pressure_pa.ln(),
        saturation.vapour.density_kg_m3.ln(),
        point.sound_speed_m_s,
    ])
}
