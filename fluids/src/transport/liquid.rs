//! Viscosity and conductivity of a liquid over (T, root of the pressure above saturation), and of its dilute
//! vapour over T.

use serde::Deserialize;

use super::{Pair, check, logarithms};
use crate::FluidError;
use crate::pure::PureFluid;
use crate::spline::{Axis, Curves, Jet, Surfaces};

#[derive(Deserialize)]
pub(super) struct LiquidData {
    t_min_k: f64,
    t_max_k: f64,
    excess_max_pa: f64,
    rows: Vec<Vec<Pair>>,
}

#[derive(Deserialize)]
pub(super) struct VapourData {
    t_min_k: f64,
    t_max_k: f64,
    rows: Vec<Pair>,
}

/// Both properties of a liquid and of its vapour.
#[derive(Debug)]
pub(crate) struct LiquidTransport {
    name: &'static str,
    /// Logarithms over (T, root of the excess pressure).
    liquid: Surfaces<2>,
    /// Lowest and highest temperature of the liquid, K.
    pub liquid_k: (f64, f64),
    /// Highest pressure above saturation, Pa.
    pub excess_max_pa: f64,
    /// Viscosity and conductivity of the dilute vapour over T.
    vapour: Curves<2>,
    /// Lowest and highest temperature of that, K.
    pub vapour_k: (f64, f64),
}

/// Vapour thinner than this share of the critical density counts as dilute: for water at 100 degC
/// and 1 bar, 0.2 %, the correlations differ from their dilute limit by 0.3 %.
const DILUTE: f64 = 0.01;

impl LiquidTransport {
    pub(super) fn new(name: &'static str, liquid: &LiquidData, vapour: &VapourData) -> Self {
        let across = Axis::new(liquid.t_min_k, liquid.t_max_k, liquid.rows.len() - 1);
        let width = liquid.rows.first().map_or(0, Vec::len);
        let along = Axis::new(0.0, liquid.excess_max_pa.sqrt(), width - 1);
        let rows: Vec<Vec<Pair>> = liquid
            .rows
            .iter()
            .map(|row| row.iter().map(logarithms).collect())
            .collect();
        let over_t = Axis::new(vapour.t_min_k, vapour.t_max_k, vapour.rows.len() - 1);
        LiquidTransport {
            name,
            liquid: Surfaces::new(across, along, &rows),
            liquid_k: (liquid.t_min_k, liquid.t_max_k),
            excess_max_pa: liquid.excess_max_pa,
            vapour: Curves::new(over_t, &vapour.rows),
            vapour_k: (vapour.t_min_k, vapour.t_max_k),
        }
    }

    /// Viscosity and conductivity of the liquid at T and a pressure above saturation.
    pub fn liquid(&self, t: f64, excess_pa: f64) -> Result<Pair, FluidError> {
        check(self.name, "temperature", "K", t, self.liquid_k)?;
        let pressures = (0.0, self.excess_max_pa);
        check(
            self.name,
            "pressure above saturation",
            "Pa",
            excess_pa,
            pressures,
        )?;
        Ok(self
            .liquid
            .at(t, excess_pa.max(0.0).sqrt())
            .map(|row| row[0].exp()))
    }

    /// Viscosity and conductivity of the dilute vapour, with their slopes.
    pub fn vapour(&self, t: f64) -> Result<[Jet; 2], FluidError> {
        check(self.name, "temperature", "K", t, self.vapour_k)?;
        Ok(self.vapour.at(t))
    }

    /// The same for a vapour that is a minor part of a gas, which may be colder or hotter than the
    /// table goes: beyond it both follow the power of T with which they leave it, as dilute gases nearly do.
    pub fn minor_vapour(&self, t: f64) -> Result<[Jet; 2], FluidError> {
        let (low, high) = self.vapour_k;
        let end_k = t.clamp(low, high);
        if t == end_k {
            return self.vapour(t);
        }
        let all = (f64::MIN_POSITIVE, f64::INFINITY);
        check(self.name, "temperature", "K", t, all)?;
        Ok(self.vapour.at(end_k).map(|start| {
            let power = start.slope * end_k / start.value;
            let value = start.value * (t / end_k).powf(power);
            let slope = power * value / t;
            Jet {
                value,
                slope,
                curvature: (power - 1.0) * slope / t,
            }
        }))
    }

    /// Viscosity and conductivity at a density and a temperature.
    pub(super) fn at(&self, fluid: &PureFluid, density: f64, t: f64) -> Result<Pair, FluidError> {
        let critical_density = fluid.equation().reducing_density_kg_m3;
        if density > critical_density {
            let saturation = fluid.saturation_at_temperature(t)?.pressure_pa;
            let pressure = fluid.equation().state(density, t).pressure_pa();
            return self.liquid(t, pressure - saturation);
        }
        check(
            self.name,
            "density of the vapour",
            "kg/m3",
            density,
            (0.0, DILUTE * critical_density),
        )?;
        Ok(self.vapour(t)?.map(|jet| jet.value))
    }
}
