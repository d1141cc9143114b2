//! A liquid as it stands in a tank: colder than it boils, under any pressure, for a fluid with an
//! equation of state. Cryogens and self-pressurising propellants are such liquids.
//!
//! Over x = -sqrt(1 - T/Tc) and y = ln(1 + (p - p_sat(T) + s)/(0.2 pc)) stand bicubic splines of density,
//! enthalpy, ln viscosity, conductivity and speed of sound, filled from the equation on first use;
//! over x alone those of both phases in equilibrium. The margin s = 0.02 pc lets a liquid be a
//! little superheated, as after a vent has opened. Heat capacity and the other slopes are exactly
//! those of the splines, so that energy balances close.

use std::sync::Arc;

use crate::plain_liquid::PlainLiquid;
use crate::solve::bracketed_root;
use crate::spline::{Axis, Curves, Surfaces};
use crate::transport::Transport;
use crate::{FluidError, Point, PureFluid};

const TEMPERATURE_INTERVALS: usize = 96;
const PRESSURE_INTERVALS: usize = 24;
/// Hottest liquid, in critical temperatures.
const HOTTEST: f64 = 0.98;
/// Highest pressure, Pa.
const HIGHEST_PA: f64 = 30e6;
/// The margin s, and what is added to it is counted in, in critical pressures.
const SUPERHEAT: f64 = 0.02;
const SCALE: f64 = 0.2;

/// Density, enthalpy, ln viscosity, conductivity, speed of sound.
const LIQUID: usize = 5;
/// ln p, then density and enthalpy of the liquid, ln density and enthalpy of the vapour.
const PAIR: usize = 5;

/// A liquid under any pressure. Cheap to clone, 0.2 us to evaluate.
#[derive(Clone, Debug)]
pub struct CompressedLiquid {
    inner: Arc<Inner>,
}

#[derive(Debug)]
struct Inner {
    fluid: Arc<PureFluid>,
    temperatures_k: (f64, f64),
    highest_pa: f64,
    liquid: Surfaces<LIQUID>,
    pair: Curves<PAIR>,
}

/// Properties of a liquid at one pressure and temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CompressedState {
    /// Pressure, Pa.
    pub pressure_pa: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// What the pressure exceeds that of saturation by, Pa; negative where it is superheated.
    pub excess_pa: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Its slope by pressure, kg/(m3 Pa).
    pub density_by_p: f64,
    /// Its slope by temperature, kg/(m3 K).
    pub density_by_t: f64,
    /// Enthalpy, J/kg, from the reference state of the fluid's equation.
    pub enthalpy_j_kg: f64,
    /// Its slope by pressure, J/(kg Pa).
    pub enthalpy_by_p: f64,
    /// Its slope by temperature: the heat capacity at constant pressure, J/(kg K).
    pub heat_capacity_j_kg_k: f64,
    /// Viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_m_k: f64,
    /// Speed of sound, m/s.
    pub sound_speed_m_s: f64,
}

impl CompressedState {
    /// Internal energy h - p/rho, J/kg.
    #[must_use]
    pub fn internal_energy_j_kg(&self) -> f64 {
        self.enthalpy_j_kg - self.pressure_pa / self.density_kg_m3
    }

    /// Thermal expansivity -(d rho/dT)/rho, 1/K.
    #[must_use]
    pub fn expansivity_1_k(&self) -> f64 {
        -self.density_by_t / self.density_kg_m3
    }

    /// Isothermal compressibility (d rho/dp)/rho, 1/Pa.
    #[must_use]
    pub fn compressibility_1_pa(&self) -> f64 {
        self.density_by_p / self.density_kg_m3
    }
}

/// Liquid and vapour in equilibrium, as functions of temperature: each pair is a value and its slope
/// by temperature.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Equilibrium {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Pressure, Pa, and slope, Pa/K.
    pub pressure_pa: (f64, f64),
    /// Density of the liquid, kg/m3.
    pub liquid_density_kg_m3: (f64, f64),
    /// Enthalpy of the liquid, J/kg.
    pub liquid_enthalpy_j_kg: (f64, f64),
    /// Density of the vapour, kg/m3.
    pub vapour_density_kg_m3: (f64, f64),
    /// Enthalpy of the vapour, J/kg.
    pub vapour_enthalpy_j_kg: (f64, f64),
}

impl Equilibrium {
    /// Enthalpy of vaporisation, J/kg.
    #[must_use]
    pub fn vaporisation_enthalpy_j_kg(&self) -> f64 {
        self.vapour_enthalpy_j_kg.0 - self.liquid_enthalpy_j_kg.0
    }
}

impl CompressedLiquid {
    /// The liquid of a fluid with an equation of state: "oxygen", "nitrous oxide", "water". Building
    /// its tables takes some ten milliseconds; keep it.
    ///
    /// # Errors
    /// [`FluidError::UnknownFluid`]; [`FluidError::NotAvailable`] for air and for liquids that only
    /// correlations describe.
    pub fn new(name: &str) -> Result<Self, FluidError> {
        if PlainLiquid::find(name)?.is_some() {
            return Err(FluidError::NotAvailable {
                fluid: name.to_owned(),
                question: "the compressed liquid",
                reason: "only correlations at one pressure describe it",
            });
        }
        let fluid = PureFluid::named(name)?;
        let transport = Transport::named(name)?;
        let (low, high) = transport.liquid_temperatures_k();
        let critical_k = fluid.critical_temperature_k();
        // At its cold end a saturated liquid may be frozen by rounding.
        let low = low.max(fluid.limits().t_min_k) * (1.0 + 1e-6);
        let high = high.min(HOTTEST * critical_k);
        let axis = Axis::new(
            x(low, critical_k),
            x(high, critical_k),
            TEMPERATURE_INTERVALS,
        );
        let highest_pa = HIGHEST_PA.min(fluid.limits().p_max_pa);
        let grid = Grid {
            fluid: &fluid,
            transport,
            pressures: Axis::new(0.0, y(highest_pa, &fluid), PRESSURE_INTERVALS),
        };
        let (mut pairs, mut rows) = (Vec::new(), Vec::new());
        for x in axis.nodes() {
            let (pair, row) = grid.isotherm((critical_k * (1.0 - x * x)).clamp(low, high))?;
            pairs.push(pair);
            rows.push(row);
        }
        let (pair, liquid) = (
            Curves::new(axis, &pairs),
            Surfaces::new(axis, grid.pressures, &rows),
        );
        Ok(CompressedLiquid {
            inner: Arc::new(Inner {
                temperatures_k: (low, high),
                highest_pa,
                liquid,
                pair,
                fluid,
            }),
        })
    }

    /// The fluid behind it.
    #[must_use]
    pub fn fluid(&self) -> &Arc<PureFluid> {
        &self.inner.fluid
    }

    /// Temperatures between which it is tabled, K.
    #[must_use]
    pub fn temperature_range_k(&self) -> (f64, f64) {
        self.inner.temperatures_k
    }

    /// Properties at a pressure (Pa) and a temperature (K). Density, enthalpy and speed of sound follow the
    /// equation of state to 1e-5, from 0.95 critical temperatures on to 1e-3.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`] outside the temperatures, above 300 bar and where the liquid is superheated
    /// by more than 2 % of the critical pressure; [`FluidError::Frozen`]; [`FluidError::NotFinite`].
    pub fn at(&self, pressure_pa: f64, temperature_k: f64) -> Result<CompressedState, FluidError> {
        let equilibrium = self.saturation(temperature_k)?;
        let inner = &*self.inner;
        let (saturation_pa, saturation_by_t) = equilibrium.pressure_pa;
        let (margin, scale) = (margin_pa(&inner.fluid), scale_pa(&inner.fluid));
        let excess_pa = pressure_pa - saturation_pa;
        inner
            .fluid
            .check_finite("pressure of the liquid", pressure_pa)?;
        if excess_pa < -margin || pressure_pa > inner.highest_pa {
            let (low, high) = (saturation_pa - margin, inner.highest_pa);
            let what = "pressure of the liquid";
            return Err(inner.fluid.out_of_range(what, "Pa", pressure_pa, low, high));
        }
        inner.fluid.check_melting(temperature_k, pressure_pa)?;
        let critical_k = inner.fluid.critical_temperature_k();
        let x = x(temperature_k, critical_k);
        let raised = 1.0 + (excess_pa + margin) / scale;
        let (x_by_t, y_by_p) = (-0.5 / (critical_k * x), 1.0 / (raised * scale));
        let columns = inner.liquid.at(x, raised.ln()).map(|[value, by_x, by_y]| {
            let by_p = by_y * y_by_p;
            (value, by_p, by_x * x_by_t - by_p * saturation_by_t)
        });
        let [density, enthalpy, viscosity, conductivity, sound] = columns;
        Ok(CompressedState {
            pressure_pa,
            temperature_k,
            excess_pa,
            density_kg_m3: density.0,
            density_by_p: density.1,
            density_by_t: density.2,
            enthalpy_j_kg: enthalpy.0,
            enthalpy_by_p: enthalpy.1,
            heat_capacity_j_kg_k: enthalpy.2,
            viscosity_pa_s: viscosity.0.exp(),
            conductivity_w_m_k: conductivity.0,
            sound_speed_m_s: sound.0,
        })
    }

    /// Properties at a pressure (Pa) and an enthalpy (J/kg).
    ///
    /// # Errors
    /// As for [`CompressedLiquid::at`]; [`FluidError::NoSolution`] if no liquid has that enthalpy there.
    pub fn by_enthalpy(
        &self,
        pressure_pa: f64,
        enthalpy_j_kg: f64,
    ) -> Result<CompressedState, FluidError> {
        let (low, mut high) = self.inner.temperatures_k;
        let fluid = &self.inner.fluid;
        fluid.check_finite("enthalpy", enthalpy_j_kg)?;
        if pressure_pa < self.saturation(high)?.pressure_pa.0 {
            high = self.boiling_temperature_k(pressure_pa)?;
        }
        let mut refused = None;
        let t = bracketed_root((low, high), 0.0, |t| match self.at(pressure_pa, t) {
            Ok(state) => Some((
                state.enthalpy_j_kg - enthalpy_j_kg,
                state.heat_capacity_j_kg_k,
            )),
            Err(error) => {
                refused = Some(error);
                None
            }
        });
        let inside = t.filter(|t| (low..=high).contains(t));
        let task = || format!("a liquid at {pressure_pa} Pa with {enthalpy_j_kg} J/kg");
        let t = inside.ok_or_else(|| refused.unwrap_or_else(|| fluid.unsolved(task())))?;
        self.at(pressure_pa, t)
    }

    /// Temperature at which it boils at a pressure (Pa), K.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`] where it does not boil within the table, [`FluidError::NotFinite`].
    pub fn boiling_temperature_k(&self, pressure_pa: f64) -> Result<f64, FluidError> {
        let fluid = &self.inner.fluid;
        fluid.check_finite("pressure", pressure_pa)?;
        let (low, high) = self.inner.temperatures_k;
        let of = |t| self.saturation(t).map(|pair| pair.pressure_pa);
        let range = (of(low)?.0, of(high)?.0);
        let root = bracketed_root((low, high), 0.0, |t| {
            let (value, slope) = of(t).ok()?;
            Some(((value / pressure_pa).ln(), slope / value))
        });
        root.filter(|_| (range.0..=range.1).contains(&pressure_pa))
            .map(|t| t.clamp(low, high))
            .ok_or_else(|| fluid.out_of_range("pressure", "Pa", pressure_pa, range.0, range.1))
    }

    /// Liquid and vapour in equilibrium at a temperature (K), to 1e-6 of the equation of state.
    ///
    /// # Errors
    /// [`FluidError::OutOfRange`], [`FluidError::NotFinite`].
    pub fn saturation(&self, temperature_k: f64) -> Result<Equilibrium, FluidError> {
        let inner = &*self.inner;
        let (low, high) = inner.temperatures_k;
        inner
            .fluid
            .check_finite("temperature of the liquid", temperature_k)?;
        if !(low..=high).contains(&temperature_k) {
            let what = "temperature of the liquid";
            return Err(inner
                .fluid
                .out_of_range(what, "K", temperature_k, low, high));
        }
        let critical_k = inner.fluid.critical_temperature_k();
        let x = x(temperature_k, critical_k);
        let x_by_t = -0.5 / (critical_k * x);
        let columns = inner.pair.at(x).map(|jet| (jet.value, jet.slope * x_by_t));
        let [log_pressure, liquid, liquid_h, log_vapour, vapour_h] = columns;
        let exponential = |(log, slope): (f64, f64)| (log.exp(), log.exp() * slope);
        Ok(Equilibrium {
            temperature_k,
            pressure_pa: exponential(log_pressure),
            liquid_density_kg_m3: liquid,
            liquid_enthalpy_j_kg: liquid_h,
            vapour_density_kg_m3: exponential(log_vapour),
            vapour_enthalpy_j_kg: vapour_h,
        })
    }
}

/// The coordinate of temperature.
fn x(temperature_k: f64, critical_k: f64) -> f64 {
    -(1.0 - temperature_k / critical_k).sqrt()
}

fn margin_pa(fluid: &PureFluid) -> f64 {
    SUPERHEAT * fluid.critical_pressure_pa()
}

fn scale_pa(fluid: &PureFluid) -> f64 {
    SCALE * fluid.critical_pressure_pa()
}

/// The coordinate of the pressure above saturation.
fn y(excess_pa: f64, fluid: &PureFluid) -> f64 {
    ((excess_pa + margin_pa(fluid)) / scale_pa(fluid)).ln_1p()
}

/// What the tables are filled from.
struct Grid<'a> {
    fluid: &'a PureFluid,
    transport: &'a Transport,
    pressures: Axis,
}

impl Grid<'_> {
    /// Both phases at T, and the liquid from the most superheated to the highest pressure.
    fn isotherm(&self, t: f64) -> Result<([f64; PAIR], Vec<[f64; LIQUID]>), FluidError> {
        let saturation = self.fluid.saturation_at_temperature(t)?;
        let (liquid, vapour) = (&saturation.liquid, &saturation.vapour);
        let pair = [
            saturation.pressure_pa.ln(),
            liquid.density_kg_m3,
            liquid.enthalpy_j_kg,
            vapour.density_kg_m3.ln(),
            vapour.enthalpy_j_kg,
        ];
        let mut density = liquid.density_kg_m3;
        let row = self.pressures.nodes().map(|y| {
            let excess = y.exp_m1() * scale_pa(self.fluid) - margin_pa(self.fluid);
            density = self.density(saturation.pressure_pa + excess, t, density)?;
            let point = Point::from(self.fluid.equation().state(density, t));
            // Transport of a superheated liquid is that of the saturated one.
            let near = if excess < 0.0 { *liquid } else { point };
            let [viscosity, conductivity] =
                self.transport
                    .of_liquid(self.fluid, &near, saturation.pressure_pa)?;
            Ok([
                point.density_kg_m3,
                point.enthalpy_j_kg,
                viscosity.ln(),
                conductivity,
                point.sound_speed_m_s,
            ])
        });
        Ok((pair, row.collect::<Result<_, FluidError>>()?))
    }

    /// Density of the liquid, also where it is metastable, by Newton's method from a near one.
    fn density(&self, p: f64, t: f64, near: f64) -> Result<f64, FluidError> {
        let mut density = near;
        for _ in 0..50 {
            let state = self.fluid.equation().state(density, t);
            let step = (p - state.pressure_pa()) / state.pressure_by_density();
            density += step.clamp(-0.03 * density, 0.03 * density);
            if step.abs() < 1e-12 * density {
                return Ok(density);
            }
        }
        Err(self.fluid.unsolved(format!("a liquid at {p} Pa and {t} K")))
    }
}
