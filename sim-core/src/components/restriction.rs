//! A gas restriction: orifice, seat or valve, either way.
//!
//! - Effective area: mass flow = CdA G, with G the real-gas isentropic flux (theory 2.1).
//! - Flow coefficient: IEC 60534-2-1, mass flow = CdA Y sqrt(2 rho1 x p1) with
//!   x = min(dp/p1, F_gamma xT), Y = 1 - x/(3 F_gamma xT), F_gamma = k/1.4 (theory 2.2).
//! - Sonic conductance: ISO 6358-1, choked C p1 rho0 sqrt(T0/T1), subsonic times
//!   sqrt(1 - ((r - b)/(1 - b))^2) (theory 2.3).
//!
//! - Long line: adiabatic flow with friction ([`super::gas_line`], theory 2.11).
//! - Toroidal nozzle: isentropic flux with a coefficient of its own ([`super::toroidal_nozzle`], theory 2.12).
//!
//! Every square root of a vanishing pressure difference is regularised below 100 Pa, or below the part of
//! the upstream pressure to which the solver knows it if that is more ([`GasMixture::smoothed`]).

use super::gas::{GasSide, heat_capacity_ratio, lift, viscosity};
use super::installed::Throttle;
use crate::network::{Capacity, Pipes, ToroidalNozzle};
use fluids::{FluidError, GasMixture};
use shared::{Scalar, smooth::regular_sqrt};

/// Least pressure difference below which the square root is regularised.
const SQRT_EPS_PA: f64 = 100.0;

/// CdA of a valve per unit Kv: Kv is the flow of water (1000 kg/m3) in m3/h at 1 bar.
const AREA_PER_KV_M2: f64 = 1.0 / 3600.0 / 14.142_135_623_730_951;

/// Molar mass of dry air.
const AIR_KG_MOL: f64 = 28.96e-3;

/// Reference temperature and density of ISO 6358.
const ISO_TEMPERATURE_K: f64 = 293.15;
const ISO_DENSITY_KG_M3: f64 = 1.185;

impl Capacity {
    /// The effective area Cd A that passes the same liquid flow.
    #[must_use]
    pub fn liquid_area_m2(&self) -> f64 {
        match *self {
            Self::EffectiveArea { m2 } => m2,
            Self::FlowCoefficient { kv_m3_h, .. } | Self::Installed { kv_m3_h, .. } => {
                kv_m3_h * AREA_PER_KV_M2
            }
            // The area whose choked ideal flow of air (C* = 0.6847, R = 287.05) equals C.
            Self::SonicConductance { c_m3_s_pa, .. } => {
                c_m3_s_pa * ISO_DENSITY_KG_M3 * (287.05_f64 * ISO_TEMPERATURE_K).sqrt() / 0.6847
            }
            Self::Line(line) => line.turbulent_area_m2(),
            Self::Nozzle(nozzle) => nozzle.largest_area_m2(),
        }
    }

    /// Multiplies the capacity by a factor.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        match self {
            Self::EffectiveArea { m2 } => Self::EffectiveArea { m2: m2 * factor },
            Self::FlowCoefficient { kv_m3_h, xt } => Self::FlowCoefficient {
                kv_m3_h: kv_m3_h * factor,
                xt,
            },
            Self::Installed { kv_m3_h, xt, pipes } => Self::Installed {
                kv_m3_h: kv_m3_h * factor,
                xt,
                pipes,
            },
            Self::SonicConductance { c_m3_s_pa, b } => Self::SonicConductance {
                c_m3_s_pa: c_m3_s_pa * factor,
                b,
            },
            Self::Line(line) => Self::Line(line.widened(factor)),
            Self::Nozzle(nozzle) => Self::Nozzle(ToroidalNozzle {
                multiplier: nozzle.multiplier * factor,
                ..nozzle
            }),
        }
    }
}

/// Mass flow from `a` to `b` in kg/s, negative when it runs the other way.
///
/// # Errors
/// When the upstream state is outside the range of the flux table.
pub fn gas_flow<S: Scalar>(
    capacity: &Capacity,
    mixture: &GasMixture,
    a: &GasSide<S>,
    b: &GasSide<S>,
) -> Result<S, FluidError> {
    if a.pressure.value() >= b.pressure.value() {
        forward_flow(capacity, mixture, a, b.pressure)
    } else {
        Ok(-forward_flow(capacity, mixture, b, a.pressure)?)
    }
}

/// Mass flow through a valve at a part of its capacity; [`gas_flow`] has the rest. Where reducers
/// stand about it, what they take depends on how far it is open.
///
/// # Errors
/// When the upstream state is outside the range of the flux table.
pub fn valve_flow<S: Scalar>(
    capacity: &Capacity,
    opening: S,
    mixture: &GasMixture,
    a: &GasSide<S>,
    b: &GasSide<S>,
) -> Result<S, FluidError> {
    let Capacity::Installed { kv_m3_h, xt, pipes } = *capacity else {
        return Ok(gas_flow(capacity, mixture, a, b)? * opening);
    };
    let flow = |pipes: Pipes, up: &GasSide<S>, back: S| {
        let area = opening * (kv_m3_h * AREA_PER_KV_M2);
        let (fp_squared, xtp) = pipes.for_gas((area / pipes.area_m2()).squared(), xt);
        let expansion = Expansion::of(xtp, mixture, up, back);
        let turbulent = expansion.flow(area * fp_squared.sqrt(), mixture, up);
        let Some(style) = pipes.style else {
            return Ok(turbulent);
        };
        let throttle = Throttle {
            kv_m3_h: opening * kv_m3_h,
            rated_kv_m3_h: kv_m3_h,
            style,
            pipes,
        };
        let reynolds = throttle.reynolds(turbulent, viscosity(mixture, up)?);
        Ok(turbulent * throttle.gas_factor(reynolds, expansion.laminar(up)))
    };
    Ok(if a.pressure.value() >= b.pressure.value() {
        flow(pipes, a, b.pressure)?
    } else {
        -flow(pipes.reversed(), b, a.pressure)?
    })
}

/// Mass flow from an upstream gas to a back pressure not above it.
fn forward_flow<S: Scalar>(
    capacity: &Capacity,
    mixture: &GasMixture,
    up: &GasSide<S>,
    back: S,
) -> Result<S, FluidError> {
    match *capacity {
        Capacity::EffectiveArea { m2 } => Ok(nozzle_flux(mixture, up, back)? * m2),
        Capacity::FlowCoefficient { kv_m3_h, xt } => {
            let area = S::constant(kv_m3_h * AREA_PER_KV_M2);
            Ok(Expansion::of(S::constant(xt), mixture, up, back).flow(area, mixture, up))
        }
        Capacity::Installed { .. } => {
            let back = GasSide {
                pressure: back,
                ..*up
            };
            valve_flow(capacity, S::constant(1.0), mixture, up, &back)
        }
        Capacity::SonicConductance { c_m3_s_pa, b } => {
            let air = sonic_conductance_flow(c_m3_s_pa, b, mixture, up, back);
            Ok(air * against_air(mixture, up))
        }
        Capacity::Line(line) => line.gas_flow(mixture, up, back),
        Capacity::Nozzle(nozzle) => nozzle.gas_flow(mixture, up, back),
    }
}

/// Real-gas isentropic mass flux in kg/(m2 s), choked or not.
///
/// # Errors
/// When the upstream state is outside the range of the flux table.
pub fn nozzle_flux<S: Scalar>(
    mixture: &GasMixture,
    up: &GasSide<S>,
    back: S,
) -> Result<S, FluidError> {
    let flux = mixture.nozzle_flux(
        &up.fraction_values()[..mixture.len()],
        up.pressure.value(),
        up.temperature.value(),
        back.value(),
    )?;
    Ok(lift(
        flux.value,
        &flux.by_mass_fraction,
        &up.fraction,
        [
            (&up.pressure, flux.by_p0),
            (&up.temperature, flux.by_t0),
            (&back, flux.by_p_back),
        ],
    ))
}

/// Regularised square root of a drop from an upstream pressure, Pa^(1/2).
fn drop_root<S: Scalar>(mixture: &GasMixture, drop: S, upstream: S) -> S {
    let part = mixture.smoothing();
    if part * upstream.value() <= SQRT_EPS_PA {
        return regular_sqrt(drop, SQRT_EPS_PA);
    }
    regular_sqrt(drop / upstream, part) * upstream.sqrt()
}

/// How a gas expands in a valve.
struct Expansion<S> {
    /// Pressure difference that counts, Pa.
    drop: S,
    /// Expansion factor Y of turbulent flow.
    turbulent: S,
}

impl<S: Scalar> Expansion<S> {
    fn of(xt: S, mixture: &GasMixture, up: &GasSide<S>, back: S) -> Self {
        let k = heat_capacity_ratio(mixture, up);
        let choked_drop = up.pressure * k * (xt / 1.4);
        let drop = (up.pressure - back).min(choked_drop);
        Self {
            drop,
            turbulent: -(drop / choked_drop) / 3.0 + 1.0,
        }
    }

    /// Mass flow of turbulent gas through an effective area.
    fn flow(&self, area_m2: S, mixture: &GasMixture, up: &GasSide<S>) -> S {
        let root = drop_root(mixture, self.drop, up.pressure) * (up.density * 2.0).sqrt();
        root * self.turbulent * area_m2
    }

    /// The factor of laminar flow, `sqrt(1 - x/2)`, over that of turbulent flow.
    fn laminar(&self, up: &GasSide<S>) -> S {
        (-(self.drop / up.pressure) * 0.5 + 1.0).sqrt() / self.turbulent
    }
}

/// Choked mass flow of a gas against that of air through the same hole at the same pressure and
/// temperature: a conductance is a figure for air. Both as ideal gases.
fn against_air<S: Scalar>(mixture: &GasMixture, gas: &GasSide<S>) -> S {
    let mut moles_per_kg = S::zero();
    for (k, &fraction) in gas.fraction[..mixture.len()].iter().enumerate() {
        moles_per_kg += fraction / mixture.molar_mass_kg_mol(k);
    }
    let ratio = critical_flow_function(heat_capacity_ratio(mixture, gas))
        / critical_flow_function(S::constant(1.4));
    ratio / (moles_per_kg * AIR_KG_MOL).sqrt()
}

/// Critical-flow function `sqrt(k) (2/(k+1))^((k+1)/(2(k-1)))` of an ideal gas, a pure number.
pub fn critical_flow_function<S: Scalar>(k: S) -> S {
    let exponent = (k + 1.0) / ((k - 1.0) * 2.0);
    let log = (k + 1.0).ln() * -1.0 + std::f64::consts::LN_2;
    (k.ln() * 0.5 + exponent * log).exp()
}

fn sonic_conductance_flow<S: Scalar>(
    c_m3_s_pa: f64,
    b: f64,
    mixture: &GasMixture,
    up: &GasSide<S>,
    back: S,
) -> S {
    let choked = up.pressure
        * (c_m3_s_pa * ISO_DENSITY_KG_M3)
        * (S::constant(ISO_TEMPERATURE_K) / up.temperature).sqrt();
    let ratio = back / up.pressure;
    if ratio.value() <= b {
        return choked;
    }
    // 1 - z^2 = (1 - z)(1 + z); 1 - z carries the pressure difference that vanishes.
    let one_plus_z = (ratio - b) / (1.0 - b) + 1.0;
    let drop = up.pressure - back;
    let root = drop_root(mixture, drop, up.pressure) / (up.pressure * (1.0 - b)).sqrt();
    choked * root * one_plus_z.sqrt()
}
