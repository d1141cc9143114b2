//! Free-convection film coefficients inside vessels (theory 3.1).
//!
//! With `x = Ra (1 + (c/Pr)^(9/16))^(-16/9)`, at all Rayleigh numbers:
//! - Upright wall, c 0.492: vertical plate of Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323,
//!   `Nu = (0.825 + 0.387 x^(1/6))^2`.
//! - Lying cylinder, c 0.559: horizontal cylinder of Churchill and Chu, ibid. 1049,
//!   `Nu = (0.60 + 0.387 x^(1/6))^2`.
//! - Sphere, c 0.469: Churchill, Heat Exchanger Design Handbook, 2.5.7 (1983),
//!   `Nu = 2 + 0.589 x^(1/4) (1 + 7.44e-8 x)^(1/12)`.
//! - Level surface: `0.15 Ra^(1/3)` where buoyancy stirs, Lloyd and Moran, J. Heat Transfer 96 (1974) 443;
//!   `0.27 Ra^(1/4)` where the gas is stably layered, McAdams, Heat Transmission, 3rd ed. (1954).
//!
//! The temperature difference is taken as sqrt(dT^2 + (0.1 K)^2), so that the coefficient
//! stays smooth through zero; the error in heat flow is below 0.1 K times the coefficient.
//! Properties are those of the bulk gas.

use super::gas::GasSide;
use crate::network::Posture;
use fluids::{FilmProperties, FluidError, GasMixture};
use shared::Scalar;

const SMOOTHING_K: f64 = 0.1;

/// Nusselt number over the cube root of the Rayleigh number where a level surface is stirred.
pub const LEVEL_STIRRED: f64 = 0.15;

impl Posture {
    /// What the Prandtl number leaves of the Rayleigh number at such a wall: `x/Ra`.
    #[must_use]
    pub fn rayleigh_factor<S: Scalar>(self, prandtl: S) -> S {
        let constant: f64 = match self {
            Self::Upright => 0.492,
            Self::Lying => 0.559,
            Self::Sphere => 0.469,
        };
        let at = prandtl.value();
        let tall = (constant / at).powf(9.0 / 16.0) + 1.0;
        let factor = tall.powf(-16.0 / 9.0);
        prandtl.lift(factor, factor * (1.0 - tall.recip()) / at)
    }

    /// Nusselt number of such a wall from `x`, on its height or diameter.
    #[must_use]
    pub fn nusselt<S: Scalar>(self, x: S) -> S {
        match self {
            Self::Upright => (x.powf(1.0 / 6.0) * 0.387 + 0.825).squared(),
            Self::Lying => (x.powf(1.0 / 6.0) * 0.387 + 0.60).squared(),
            Self::Sphere => {
                let turbulent = (x * 7.44e-8 + 1.0).powf(1.0 / 12.0);
                x.powf(0.25) * turbulent * 0.589 + 2.0
            }
        }
    }
}

/// Nusselt number of a level surface with buoyancy stirring the gas.
pub fn level_stirred<S: Scalar>(rayleigh: S) -> S {
    rayleigh.powf(1.0 / 3.0) * LEVEL_STIRRED
}

/// Nusselt number of a level surface under a stably layered gas.
pub fn level_stable<S: Scalar>(rayleigh: S) -> S {
    rayleigh.powf(0.25) * 0.27
}

/// Which surface a gas meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Wall of the vessel.
    Wall,
    /// Surface of a liquid below the gas.
    LiquidBelow,
}

/// What the film of a gas depends on, at every surface that it meets.
#[derive(Clone, Copy, Debug)]
pub struct GasFilm<S> {
    temperature: S,
    /// W/(m K).
    conductivity: S,
    /// Rayleigh number per g L^3 dT, s2/(m4 K).
    rayleigh_group: S,
    prandtl: S,
    posture: Posture,
    /// Of the wall.
    rayleigh_factor: S,
}

impl<S: Scalar> GasFilm<S> {
    /// Of a gas in a vessel.
    ///
    /// # Errors
    /// When the gas is outside the range of the transport data.
    pub fn of(
        mixture: &GasMixture,
        gas: &GasSide<S>,
        posture: Posture,
    ) -> Result<Self, FluidError> {
        let film = mixture.film(
            &gas.partial_density_values()[..mixture.len()],
            gas.temperature.value(),
        )?;
        Ok(Self::from_properties(gas, &film, posture))
    }

    /// Of a gas in a vessel, its properties known.
    pub fn from_properties(gas: &GasSide<S>, film: &FilmProperties, posture: Posture) -> Self {
        let prandtl = gas.lift(&film.prandtl);
        Self {
            temperature: gas.temperature,
            conductivity: gas.lift(&film.conductivity),
            rayleigh_group: gas.lift(&film.rayleigh_group),
            prandtl,
            posture,
            rayleigh_factor: posture.rayleigh_factor(prandtl),
        }
    }

    /// Conductivity of the gas, W/(m K).
    pub fn conductivity(&self) -> S {
        self.conductivity
    }

    /// Prandtl number of the gas.
    pub fn prandtl(&self) -> S {
        self.prandtl
    }

    /// Film coefficient in W/(m2 K) at a surface of temperature `surface_k`.
    pub fn coefficient(
        &self,
        surface: Surface,
        surface_k: S,
        length_m: f64,
        gravity_m_s2: f64,
    ) -> S {
        let difference = self.temperature - surface_k;
        let size = (difference.squared() + SMOOTHING_K * SMOOTHING_K).sqrt();
        let rayleigh = self.rayleigh_group * size * (gravity_m_s2 * length_m.powi(3));
        let nusselt = match surface {
            Surface::Wall => self.posture.nusselt(rayleigh * self.rayleigh_factor),
            Surface::LiquidBelow => level_either(rayleigh, difference),
        };
        self.conductivity * nusselt / length_m
    }
}

/// Stable below a warm gas, stirred below a cold one, joined over a kelvin.
fn level_either<S: Scalar>(rayleigh: S, gas_above_surface_k: S) -> S {
    let warm = (gas_above_surface_k.tanh() + 1.0) * 0.5;
    level_stable(rayleigh) * warm + level_stirred(rayleigh) * (-warm + 1.0)
}
