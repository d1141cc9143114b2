//! A rigid gas volume with or without a wall: bottle, plenum, gas line (theory 1.2).
//!
//! dU/dt = sum of enthalpy flows + heat from the wall; the wall lump stands between the gas
//! and the surroundings, and about it a second lump where a liner is overwrapped (theory 3.5). In perfect contact the wall is a reservoir at its start temperature.

use super::film::{GasFilm, Surface};
use super::gas::GasSide;
use super::wall::{self, Contact};
use crate::network::{HeatTransfer, Overwrap, Surroundings, Wall};
use fluids::{FluidError, GasMixture};
use shared::Scalar;

/// Heat flows of a wall, W.
#[derive(Clone, Copy, Debug)]
pub struct WallHeat<S> {
    /// From the wall into the gas.
    pub into_gas: S,
    /// Into the wall lump, net.
    pub into_wall: S,
    /// Into the lump about it, net.
    pub into_overwrap: S,
    /// Into the surroundings (or the reservoir of a perfect contact).
    pub into_surroundings: S,
}

impl<S: Scalar> WallHeat<S> {
    /// Splits a heat flow into the gas and a loss to the outside among wall and surroundings.
    #[must_use]
    pub fn split(heat: HeatTransfer, into_gas: S, outside: S) -> Self {
        match heat {
            HeatTransfer::Isothermal => Self {
                into_gas,
                into_wall: S::zero(),
                into_overwrap: S::zero(),
                into_surroundings: -into_gas,
            },
            _ => Self {
                into_gas,
                into_wall: -into_gas - outside,
                into_overwrap: S::zero(),
                into_surroundings: outside,
            },
        }
    }
}

/// Temperature of a vessel's wall in K.
pub fn wall_temperature<S: Scalar>(wall: &Wall, energy: S) -> S {
    match wall.inside {
        HeatTransfer::Isothermal => S::constant(wall.temperature_k),
        _ => wall::temperature(&wall.material, energy / wall.mass_kg),
    }
}

/// Temperature of a vessel's overwrap in K.
pub fn overwrap_temperature<S: Scalar>(overwrap: &Overwrap, energy: S) -> S {
    wall::temperature(&overwrap.material, energy / overwrap.mass_kg)
}

/// Heat flows between gas, wall, what is about it (with its temperature in K) and surroundings.
///
/// # Errors
/// When the gas is outside the range of the transport data.
pub fn wall_heat<S: Scalar>(
    wall: &Wall,
    overwrap: Option<(&Overwrap, S)>,
    mixture: &GasMixture,
    gas: &GasSide<S>,
    wall_k: S,
    gas_heat_capacity_j_k: f64,
    surroundings: &Surroundings,
) -> Result<WallHeat<S>, FluidError> {
    let contact = Contact {
        heat: wall.inside,
        multiplier: wall.inside_multiplier,
        surface: Surface::Wall,
        surface_k: wall_k,
        area_m2: S::constant(wall.inner_area_m2),
        length_m: wall.height_m,
        gravity_m_s2: surroundings.gravity_m_s2,
        gas_heat_capacity_j_k,
    };
    let conductance = contact.conductance(|| GasFilm::of(mixture, gas, wall.posture))?;
    let into_gas = conductance * (wall_k - gas.temperature);
    let outer_k = overwrap.map_or(wall_k, |(_, kelvin)| kelvin);
    let outside =
        (outer_k - surroundings.temperature_k) * (wall.outside_w_m2_k * wall.inner_area_m2);
    Ok(match overwrap {
        None => WallHeat::split(wall.inside, into_gas, outside),
        Some((overwrap, _)) => {
            let through = (wall_k - outer_k) * overwrap.to_liner_w_k;
            WallHeat {
                into_gas,
                into_wall: -into_gas - through,
                into_overwrap: through - outside,
                into_surroundings: outside,
            }
        }
    })
}
