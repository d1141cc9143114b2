//! A propellant tank: liquid under a gas (theory 5).
//!
//! States: species masses and energy of the ullage, mass of the liquid, energy of liquid and
//! wet wall together (one temperature), energy of the dry wall. The liquid is incompressible
//! with v(T); wall that the falling liquid uncovers joins the dry wall at the liquid's
//! temperature, wall that rising liquid covers joins the wet one. Vapour leaves a surface
//! saturated at the liquid's temperature; its transfer coefficient is the heat-transfer
//! coefficient over rho cp (Lewis number 1, rho cp of an ideal gas).

use super::film::Surface;
use super::gas::{GasSide, lift};
use super::tank_shape::TankGeometry;
use super::wall::{self, Contact};
use crate::network::{HeatTransfer, Surroundings, Tank, Wall};
use fluids::{FluidError, GasMixture, LiquidState};
use shared::Scalar;

/// Newton steps for the liquid's temperature.
const NEWTON_STEPS: usize = 4;

/// The liquid of a tank as chains see it.
#[derive(Clone, Copy, Debug)]
pub struct LiquidSide<S> {
    /// Mass, kg.
    pub mass: S,
    /// Temperature, K.
    pub temperature: S,
    /// Density, kg/m3.
    pub density: S,
    /// Specific internal energy, J/kg.
    pub energy: S,
    /// Kinematic viscosity, m2/s.
    pub viscosity: S,
    /// Density of the saturated vapour, kg/m3.
    pub saturated_vapour: S,
    /// Volume, m3.
    pub volume: S,
    /// Level above the lowest point, m.
    pub level: S,
    /// Total pressure at the outlet, Pa.
    pub outlet_pressure: S,
    /// Derivative of specific volume with temperature, m3/(kg K). This and the next act on
    /// rates through millikelvins only, so their own derivatives are left out.
    specific_volume_slope: f64,
    /// Heat capacity of liquid and wet wall, J/K.
    heat_capacity: f64,
    /// Energy that a kilogram brings with it (liquid and newly wet wall), J/kg.
    energy_by_mass: S,
}

/// A tank made ready to run.
#[derive(Clone, Debug)]
pub struct TankModel {
    /// Shape, tabulated.
    pub geometry: TankGeometry,
    /// Heat capacity of the gas at the start, J/K.
    pub gas_heat_capacity_j_k: f64,
}

/// Potentials of a tank.
#[derive(Clone, Copy, Debug)]
pub struct TankSide<S> {
    /// Ullage gas.
    pub gas: GasSide<S>,
    /// Ullage volume, m3.
    pub ullage: S,
    /// Liquid.
    pub liquid: LiquidSide<S>,
    /// Dry wall temperature, K; the liquid's where there is no wall.
    pub dry_wall_k: S,
}

/// What branches bring into a tank, per second.
#[derive(Clone, Copy, Debug)]
pub struct TankInflow<S> {
    /// Liquid, kg/s.
    pub liquid_mass: S,
    /// Its internal energy and its flow work at the ullage pressure, W.
    pub liquid_energy: S,
}

/// Rates of a tank's states beside what branches bring to the gas.
#[derive(Clone, Copy, Debug)]
pub struct TankRates<S> {
    /// Vapour into the gas, kg/s.
    pub evaporation: S,
    /// Energy into the gas: heat, vapour and compression, W.
    pub gas_energy: S,
    /// Liquid, kg/s.
    pub liquid_mass: S,
    /// Energy of liquid and wet wall, W.
    pub liquid_energy: S,
    /// Energy of the dry wall, W.
    pub wall_energy: S,
    /// Heat into the surroundings, W.
    pub into_surroundings: S,
    /// Heat exchanged by the gas, W.
    pub gas_heat: S,
    /// Rate of the liquid's volume, m3/s.
    pub liquid_volume: S,
}

impl Tank {
    fn wall_parts<S: Scalar>(&self, model: &TankModel, liquid_m3: S) -> Option<WallParts<'_, S>> {
        let wall = self.wall.as_ref()?;
        let wet_area = model.geometry.wetted(liquid_m3);
        let per_area = wall.mass_kg / model.geometry.wall_m2();
        Some(WallParts {
            wall,
            wet_kg: wet_area * per_area,
            dry_kg: -wet_area * per_area + wall.mass_kg,
            wet_m2: wet_area,
            dry_m2: -wet_area + model.geometry.wall_m2(),
        })
    }

    /// Potentials from the states.
    ///
    /// # Errors
    /// When gas or liquid is outside its valid range.
    pub fn side<S: Scalar>(
        &self,
        model: &TankModel,
        mixture: &GasMixture,
        states: &TankStates<'_, S>,
        gravity_m_s2: f64,
    ) -> Result<TankSide<S>, FluidError> {
        let mut liquid = self.liquid_side(model, states.liquid_mass, states.liquid_energy)?;
        let ullage = -liquid.volume + model.geometry.volume_m3();
        let gas = GasSide::from_contents(mixture, states.gas_mass, states.gas_energy, ullage)?;
        liquid.outlet_pressure = gas.pressure + liquid.density * liquid.level * gravity_m_s2;
        let dry_wall_k = match self.wall_parts(model, liquid.volume) {
            Some(parts) if parts.wall.inside == HeatTransfer::Isothermal => {
                S::constant(parts.wall.temperature_k)
            }
            Some(parts) => wall::temperature(
                &parts.wall.material,
                states.wall_energy / parts.dry_kg,
                parts.wall.temperature_k,
            ),
            None => liquid.temperature,
        };
        Ok(TankSide {
            gas,
            ullage,
            liquid,
            dry_wall_k,
        })
    }

    /// Energy of liquid and wet wall at the start, J.
    ///
    /// # Errors
    /// When the liquid is outside its valid range.
    pub fn liquid_energy_at_start(&self, model: &TankModel) -> Result<f64, FluidError> {
        let state = self.liquid.at(self.liquid_temperature_k)?;
        let mass = state.density_kg_m3 * self.liquid_volume_m3;
        let wet = self
            .wall_parts(model, self.liquid_volume_m3)
            .map_or(0.0, |parts| {
                let u = parts
                    .wall
                    .material
                    .internal_energy_j_kg(self.liquid_temperature_k);
                parts.wet_kg * u
            });
        Ok(mass * state.internal_energy_j_kg + wet)
    }

    /// Energy of the dry wall at the start, J.
    #[must_use]
    pub fn wall_energy_at_start(&self, model: &TankModel) -> f64 {
        self.wall_parts(model, self.liquid_volume_m3)
            .map_or(0.0, |parts| {
                let u = parts
                    .wall
                    .material
                    .internal_energy_j_kg(parts.wall.temperature_k);
                parts.dry_kg * u
            })
    }

    fn liquid_side<S: Scalar>(
        &self,
        model: &TankModel,
        mass: S,
        energy: S,
    ) -> Result<LiquidSide<S>, FluidError> {
        let (state, wet) = self.solve_temperature(model, mass.value(), energy.value())?;
        let m = mass.value();
        let v = state.density_kg_m3.recip();
        let v_slope = -state.density_by_t * v * v;
        let by_mass = state.internal_energy_j_kg + wet.energy * wet.kg_per_m3 * v;
        let capacity = m * state.heat_capacity_j_kg_k
            + wet.kg * wet.heat_capacity
            + wet.energy * wet.kg_per_m3 * m * v_slope;
        let temperature = S::chain(
            state.temperature_k,
            &[(energy, capacity.recip()), (mass, -by_mass / capacity)],
        );
        let density = temperature.lift(state.density_kg_m3, state.density_by_t);
        let volume = mass / density;
        let u = temperature.lift(state.internal_energy_j_kg, state.heat_capacity_j_kg_k);
        let wall = Wetting::of(self, model, volume, temperature);
        Ok(LiquidSide {
            mass,
            temperature,
            density,
            energy: u,
            viscosity: temperature.lift(state.viscosity_pa_s, state.viscosity_by_t) / density,
            saturated_vapour: temperature.lift(
                state.saturated_vapour_density_kg_m3,
                state.saturated_vapour_density_by_t,
            ),
            volume,
            level: model.geometry.level(volume),
            outlet_pressure: S::zero(),
            specific_volume_slope: v_slope,
            heat_capacity: capacity,
            energy_by_mass: u + wall.energy * wall.kg_per_m3 / density,
        })
    }

    /// Liquid temperature from the energy of liquid and wet wall, by Newton steps of fixed
    /// count from the start temperature.
    fn solve_temperature(
        &self,
        model: &TankModel,
        mass: f64,
        energy: f64,
    ) -> Result<(LiquidState, Wetting<f64>), FluidError> {
        let mut t = self.liquid_temperature_k;
        for _ in 0..NEWTON_STEPS {
            let state = self.liquid.at(t)?;
            let wet = Wetting::of(self, model, mass / state.density_kg_m3, t);
            let misfit = mass * state.internal_energy_j_kg + wet.kg * wet.energy - energy;
            let capacity = mass * state.heat_capacity_j_kg_k + wet.kg * wet.heat_capacity;
            if capacity <= 0.0 {
                break;
            }
            t -= misfit / capacity;
        }
        let state = self.liquid.at(t)?;
        let wet = Wetting::of(self, model, mass / state.density_kg_m3, t);
        Ok((state, wet))
    }

    /// Rates of the tank given its potentials and what the branches bring.
    ///
    /// # Errors
    /// When the gas is outside the range of the transport data.
    pub fn rates<S: Scalar>(
        &self,
        model: &TankModel,
        mixture: &GasMixture,
        side: &TankSide<S>,
        inflow: &TankInflow<S>,
        surroundings: &Surroundings,
    ) -> Result<TankRates<S>, FluidError> {
        let exchange = self.exchange(model, mixture, side, surroundings)?;
        let liquid = &side.liquid;
        let pressure = side.gas.pressure;
        let liquid_mass = inflow.liquid_mass - exchange.evaporation;
        let vapour_energy = exchange.evaporation * exchange.vapour_enthalpy;
        let still_energy =
            inflow.liquid_energy - exchange.interface - exchange.wet_outside - vapour_energy;

        // The volume's rate and the temperature's rate depend on each other; both are linear.
        let uncovered = self.uncovering(model, side, inflow.liquid_mass.value() >= 0.0);
        let work = uncovered - pressure;
        let per_capacity = liquid.mass * (liquid.specific_volume_slope / liquid.heat_capacity);
        let liquid_volume = (liquid_mass / liquid.density
            + per_capacity * (still_energy - liquid.energy_by_mass * liquid_mass))
            / (-per_capacity * work + 1.0);

        Ok(TankRates {
            evaporation: exchange.evaporation,
            gas_energy: exchange.wall_to_gas
                + exchange.interface
                + vapour_energy
                + pressure * liquid_volume,
            liquid_mass,
            liquid_energy: still_energy + work * liquid_volume,
            wall_energy: exchange.into_wall - uncovered * liquid_volume,
            into_surroundings: exchange.into_surroundings + exchange.wet_outside,
            gas_heat: exchange.wall_to_gas + exchange.interface,
            liquid_volume,
        })
    }

    /// Wall energy that changes sides per volume of liquid, J/m3.
    fn uncovering<S: Scalar>(&self, model: &TankModel, side: &TankSide<S>, rising: bool) -> S {
        let from = if rising {
            side.dry_wall_k
        } else {
            side.liquid.temperature
        };
        let wetting = Wetting::of(self, model, side.liquid.volume, from);
        wetting.energy * wetting.kg_per_m3
    }

    fn exchange<S: Scalar>(
        &self,
        model: &TankModel,
        mixture: &GasMixture,
        side: &TankSide<S>,
        surroundings: &Surroundings,
    ) -> Result<Exchange<S>, FluidError> {
        let contact = |heat, multiplier, surface, length_m| Contact {
            heat,
            multiplier,
            surface,
            length_m,
            gravity_m_s2: surroundings.gravity_m_s2,
            mixture,
            gas_heat_capacity_j_k: model.gas_heat_capacity_j_k,
        };
        let gas = &side.gas;
        let surface_m2 = model.geometry.surface(side.liquid.volume);
        let surface_length = (4.0 * surface_m2.value() / std::f64::consts::PI)
            .sqrt()
            .max(1e-3);
        let conductance = contact(
            self.interface,
            self.interface_multiplier,
            Surface::LiquidBelow,
            surface_length,
        )
        .conductance(gas, side.liquid.temperature, surface_m2)?;
        let mut exchange = Exchange {
            interface: conductance * (side.liquid.temperature - gas.temperature),
            ..Exchange::none()
        };
        if let Some(k) = self.vapour {
            exchange.evaporation = self.evaporation(mixture, side, conductance, k);
            let (h, slope) = mixture.vapour_enthalpy(k, side.liquid.temperature.value());
            exchange.vapour_enthalpy = side.liquid.temperature.lift(h, slope);
        }
        if let Some(parts) = self.wall_parts(model, side.liquid.volume) {
            let wall = parts.wall;
            let inside = contact(
                wall.inside,
                wall.inside_multiplier,
                Surface::Wall,
                wall.height_m,
            )
            .conductance(gas, side.dry_wall_k, parts.dry_m2)?;
            let into_gas = inside * (side.dry_wall_k - gas.temperature);
            let loss =
                |t: S, area: S| (t - surroundings.temperature_k) * area * wall.outside_w_m2_k;
            let split = super::vessel::WallHeat::split(
                wall.inside,
                into_gas,
                loss(side.dry_wall_k, parts.dry_m2),
            );
            exchange.wall_to_gas = split.into_gas;
            exchange.into_wall = split.into_wall;
            exchange.into_surroundings = split.into_surroundings;
            exchange.wet_outside = loss(side.liquid.temperature, parts.wet_m2);
        }
        Ok(exchange)
    }

    /// Vapour into the gas, kg/s: heat conductance over rho cp, times the density difference.
    fn evaporation<S: Scalar>(
        &self,
        mixture: &GasMixture,
        side: &TankSide<S>,
        conductance: S,
        vapour: usize,
    ) -> S {
        let gas = &side.gas;
        let k = mixture.heat_capacity_ratio(
            &gas.fraction_values()[..mixture.len()],
            gas.temperature.value(),
        );
        let k = lift(
            k.value,
            &k.by_density,
            &gas.fraction,
            &[(gas.temperature, k.by_temperature)],
        );
        let volume_flow = conductance * gas.temperature * (k - 1.0) / (k * gas.pressure);
        volume_flow * (side.liquid.saturated_vapour - gas.partial_density[vapour])
    }
}

/// The states of a tank, cut out of the state vector.
pub struct TankStates<'a, S> {
    /// Species masses of the ullage, kg.
    pub gas_mass: &'a [S],
    /// Internal energy of the ullage, J.
    pub gas_energy: S,
    /// Liquid, kg.
    pub liquid_mass: S,
    /// Energy of liquid and wet wall, J.
    pub liquid_energy: S,
    /// Energy of the dry wall, J.
    pub wall_energy: S,
}

struct WallParts<'a, S> {
    wall: &'a Wall,
    wet_kg: S,
    dry_kg: S,
    wet_m2: S,
    dry_m2: S,
}

/// The wet wall at a liquid volume and temperature.
struct Wetting<S> {
    kg: S,
    kg_per_m3: f64,
    energy: S,
    heat_capacity: f64,
}

impl<S: Scalar> Wetting<S> {
    fn of(tank: &Tank, model: &TankModel, liquid_m3: S, temperature: S) -> Self {
        let Some(wall) = &tank.wall else {
            return Self {
                kg: S::zero(),
                kg_per_m3: 0.0,
                energy: S::zero(),
                heat_capacity: 0.0,
            };
        };
        let per_area = wall.mass_kg / model.geometry.wall_m2();
        let t = temperature.value();
        let (c, _) = wall.material.heat_capacity_j_kg_k(t);
        Self {
            kg: model.geometry.wetted(liquid_m3) * per_area,
            kg_per_m3: model.geometry.wetted_slope(liquid_m3.value()) * per_area,
            energy: temperature.lift(wall.material.internal_energy_j_kg(t), c),
            heat_capacity: c,
        }
    }
}

/// Heat and mass flows of a tank, W and kg/s.
struct Exchange<S> {
    interface: S,
    wall_to_gas: S,
    into_wall: S,
    into_surroundings: S,
    wet_outside: S,
    evaporation: S,
    vapour_enthalpy: S,
}

impl<S: Scalar> Exchange<S> {
    fn none() -> Self {
        Self {
            interface: S::zero(),
            wall_to_gas: S::zero(),
            into_wall: S::zero(),
            into_surroundings: S::zero(),
            wet_outside: S::zero(),
            evaporation: S::zero(),
            vapour_enthalpy: S::zero(),
        }
    }
}
