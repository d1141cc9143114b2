//! Free-convection film coefficients inside vessels (theory 3.1).
//!
//! - Vertical wall: Churchill and Chu (1975), all Rayleigh numbers.
//! - Level surface: McAdams (1954), `Heat Transmission`, 3rd ed.: 0.14 Ra^(1/3) where buoyancy
//!   stirs, 0.27 Ra^(1/4) where the gas is stably layered.
//!
//! The temperature difference is taken as sqrt(dT^2 + (0.1 K)^2), so that the coefficient
//! stays smooth through zero; the error in heat flow is below 0.1 K times the coefficient.
//! Properties are those of the bulk gas.

use super::gas::GasSide;
use fluids::{FilmProperties, FluidError, GasMixture};
use shared::Scalar;

const SMOOTHING_K: f64 = 0.1;

/// Nusselt number of a vertical plate from Rayleigh number and [`plate_factor`].
pub fn vertical_plate<S: Scalar>(rayleigh: S, factor: S) -> S {
    (rayleigh.powf(1.0 / 6.0) * factor + 0.825).squared()
}

/// What the Prandtl number makes of the convection at a vertical plate.
pub fn plate_factor<S: Scalar>(prandtl: S) -> S {
    let shape = ((prandtl * (1.0 / 0.492)).powf(-9.0 / 16.0) + 1.0).powf(-8.0 / 27.0);
    shape * 0.387
}

/// Nusselt number of a level surface with buoyancy stirring the gas.
pub fn level_stirred<S: Scalar>(rayleigh: S) -> S {
    rayleigh.powf(1.0 / 3.0) * 0.14
}

/// Nusselt number of a level surface under a stably layered gas.
pub fn level_stable<S: Scalar>(rayleigh: S) -> S {
    rayleigh.powf(0.25) * 0.27
}

/// Which surface a gas meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Upright wall.
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
    plate_factor: S,
}

impl<S: Scalar> GasFilm<S> {
    /// Of a gas.
    ///
    /// # Errors
    /// When the gas is outside the range of the transport data.
    pub fn of(mixture: &GasMixture, gas: &GasSide<S>) -> Result<Self, FluidError> {
        let film = mixture.film(
            &gas.partial_density_values()[..mixture.len()],
            gas.temperature.value(),
        )?;
        Ok(Self::from_properties(gas, &film))
    }

    /// Of a gas, its properties known.
    pub fn from_properties(gas: &GasSide<S>, film: &FilmProperties) -> Self {
        let prandtl = gas.lift(&film.prandtl);
        Self {
            temperature: gas.temperature,
            conductivity: gas.lift(&film.conductivity),
            rayleigh_group: gas.lift(&film.rayleigh_group),
            plate_factor: plate_factor(prandtl),
            prandtl,
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
            Surface::Wall => vertical_plate(rayleigh, self.plate_factor),
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
