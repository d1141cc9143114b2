//! The liquid: a bulk of one temperature under a warm surface layer (theory 9.3).
//!
//! The surface layer is a stack of nodes, each twice as thick as the one above it, so that
//! conduction is resolved from the first second to the end of a long hold. The nodes hold
//! fixed shares of a mass `M M0/(M + M0)` of the liquid's `M`: all of it is surface when little
//! is left. Nodes exchange heat by conduction, or by free convection where the lower one is
//! warmer (level surface, theory 3.1), and liquid as mass comes and goes at the surface.

use super::{CryogenicTank, Found};
use crate::components::film::LEVEL_STIRRED;
use crate::components::tank::{LiquidSide, WetWall};
use crate::components::tank_shape::TankGeometry;
use crate::network::{Cryogen, Tank};
use fluids::FluidError;
use shared::Scalar;

/// Nodes of the surface layer.
pub const NODES: usize = 6;

/// Shares of the surface layer's thickness.
const SHARES: [f64; NODES] = [
    1.0 / 63.0,
    2.0 / 63.0,
    4.0 / 63.0,
    8.0 / 63.0,
    16.0 / 63.0,
    32.0 / 63.0,
];

/// Difference over which liquid changes from lying to overturning, K.
const OVERTURN_K: f64 = 0.05;

/// Constants of the liquid, at its start.
#[derive(Clone, Copy, Debug)]
pub struct CryogenicModel {
    /// Mass M0 of the surface layer of a full tank, kg.
    stack_kg: f64,
    /// Conductivity, W/(m K).
    conductivity_w_m_k: f64,
    /// Free convection over a level surface: coefficient for a kelvin, W/(m2 K^(4/3)).
    free_w_m2_k: f64,
    /// Density, kg/m3.
    density_kg_m3: f64,
    /// Gas constant of the vapour, J/(kg K).
    pub(super) vapour_j_kg_k: f64,
}

impl CryogenicModel {
    /// From the liquid at the start.
    ///
    /// # Errors
    /// When the liquid is outside its range.
    pub fn new(
        tank: &Tank,
        cryogen: &Cryogen,
        geometry: &TankGeometry,
        gravity_m_s2: f64,
    ) -> Result<Self, FluidError> {
        let state = tank.liquid.at(tank.liquid_temperature_k)?;
        let surface_m2 = geometry.surface(tank.liquid_volume_m3);
        let vapour_kg_mol = cryogen.boiling.fluid().molar_mass_kg_mol();
        let viscosity = state.viscosity_pa_s / state.density_kg_m3;
        let diffusivity =
            state.conductivity_w_m_k / (state.density_kg_m3 * state.heat_capacity_j_kg_k);
        let rayleigh = gravity_m_s2 * state.expansivity_1_k.abs() / (viscosity * diffusivity);
        Ok(Self {
            stack_kg: cryogen.surface_layer_m * surface_m2 * state.density_kg_m3,
            conductivity_w_m_k: state.conductivity_w_m_k,
            free_w_m2_k: LEVEL_STIRRED * state.conductivity_w_m_k * rayleigh.cbrt(),
            density_kg_m3: state.density_kg_m3,
            vapour_j_kg_k: 8.314_462_618 / vapour_kg_mol,
        })
    }

    /// Mass of a node at a mass of liquid, and its slope by it.
    #[must_use]
    pub fn node_kg<S: Scalar>(&self, node: usize, liquid_kg: S) -> (S, S) {
        let part = S::constant(self.stack_kg) / (liquid_kg + self.stack_kg);
        let share = SHARES[node];
        (liquid_kg * part * share, part.squared() * share)
    }
}

impl CryogenicTank<'_> {
    /// The nodes and the bulk in a state; the whole of the liquid as chains see it.
    pub(super) fn find_pool<S: Scalar>(
        &self,
        y: &[S],
        found: &mut Found<S>,
    ) -> Result<LiquidSide<S>, FluidError> {
        found.pool.clear();
        let mass = y[self.strata.liquid_mass];
        let (mut bulk_kg, mut volume) = (mass, S::zero());
        for (node, place) in self.strata.surface.clone().enumerate() {
            let (node_kg, _) = self.constants.node_kg(node, mass);
            bulk_kg -= node_kg;
            let part = self.part(node_kg, y[place])?;
            volume += part.volume;
            found.pool.push(part);
        }
        let mut whole = self.part(bulk_kg, y[self.strata.bulk_energy])?;
        found.pool.push(whole);
        whole.mass = mass;
        whole.volume = volume + whole.volume;
        whole.level = self.model.geometry.level(whole.volume);
        Ok(whole)
    }

    fn part<S: Scalar>(&self, mass: S, energy: S) -> Result<LiquidSide<S>, FluidError> {
        self.tank
            .liquid_side(self.model, mass, energy, &WetWall::none())
            .map_err(|error| self.at_an_end(error))
    }

    /// A liquid colder than its range freezes, or so does its vapour; a warmer one comes near its critical
    /// point: the refusal says so.
    pub(super) fn at_an_end(&self, error: FluidError) -> FluidError {
        let (liquid, boiling) = (&self.tank.liquid, &self.cryogen.boiling);
        let boils_pa = |k: f64| {
            let (coldest, hottest) = boiling.temperature_range_k();
            let at = boiling.saturation(k.clamp(coldest, hottest));
            at.map_or(f64::NAN, |at| at.pressure_pa.0)
        };
        // The liquid's own range begins where it melts under pressure, its vapour's at the triple point.
        let ends = [
            liquid.temperature_range_k().0,
            boiling.fluid().limits().t_min_k,
        ];
        let is_end = |k: f64| ends.iter().any(|end| (k - end).abs() < 1e-3);
        match error {
            FluidError::OutOfRange {
                unit: "K",
                value,
                low,
                ..
            } if value <= low && is_end(low) => FluidError::Freezes {
                fluid: liquid.name().to_owned(),
                temperature_k: low,
                pressure_pa: boils_pa(low),
            },
            FluidError::OutOfRange {
                fluid,
                unit: "K",
                value,
                high,
                ..
            } if value >= high && high == liquid.temperature_range_k().1 => FluidError::TooWarm {
                fluid,
                temperature_k: high,
                pressure_pa: boils_pa(high),
            },
            other => other,
        }
    }

    /// Heat into the upper of two neighbouring nodes, W.
    pub(super) fn heat_up<S: Scalar>(
        &self,
        upper: &LiquidSide<S>,
        lower: &LiquidSide<S>,
        lower_is_bulk: bool,
        surface_m2: S,
    ) -> S {
        let constants = self.constants;
        // Below the last node the temperature runs on into the bulk.
        let mass = if lower_is_bulk {
            upper.mass
        } else {
            upper.mass + lower.mass
        };
        let way = mass / surface_m2 * (0.5 / constants.density_kg_m3);
        let lying = way.recip() * (constants.conductivity_w_m_k * self.cryogen.liquid_mixing);
        let difference = lower.temperature - upper.temperature;
        let size = (difference.squared() + OVERTURN_K * OVERTURN_K).powf(1.0 / 6.0);
        let warm_below = ((difference / OVERTURN_K).tanh() + 1.0) * 0.5;
        let free = size * warm_below * constants.free_w_m2_k;
        (lying + free) * surface_m2 * difference
    }
}
