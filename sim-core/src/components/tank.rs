//! A propellant tank: liquid under a gas (theory 5).
//!
//! States: species masses and energy of the ullage, mass of the liquid, energy of liquid and
//! wet wall together (one temperature), energy of the dry wall. The liquid is incompressible
//! with v(T); wall that the falling liquid uncovers joins the dry wall at the liquid's
//! temperature, wall that rising liquid covers joins the wet one (how much is wet is read at the
//! liquid's start density, so that it depends on its mass alone). Vapour leaves a surface
//! saturated at the liquid's temperature; its transfer coefficient is the heat-transfer
//! coefficient over rho cp (Lewis number 1, rho cp of an ideal gas).

use super::cryogenic_tank::CryogenicModel;
use super::film::{GasFilm, Surface};
use super::gas::{GasSide, volume_flow};
use super::liquid_choking::throat_pressure;
use super::tank_shape::TankGeometry;
use super::wall::{self, Contact};
use crate::network::{HeatTransfer, Posture, Surroundings, Tank};
use fluids::{FluidError, GasMixture, LiquidState};
use shared::Scalar;
use std::cell::OnceCell;

/// Most Newton steps for the liquid's temperature; its heat capacity hardly changes.
const NEWTON_STEPS: usize = 8;

/// Relative step in temperature below which Newton's method has settled: what is left is its
/// square.
const SETTLED: f64 = 1e-7;

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
    /// Pressure at which the throat of a restriction chokes, Pa.
    pub throat_pressure: S,
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
}

/// A tank made ready to run.
#[derive(Clone, Debug)]
pub struct TankModel {
    /// Shape, tabulated.
    pub geometry: TankGeometry,
    /// Heat capacity of the gas at the start, J/K.
    pub gas_heat_capacity_j_k: f64,
    /// Density of the liquid at the start, kg/m3.
    pub start_density_kg_m3: f64,
    /// What a cryogenic tank needs beside.
    pub cryogenic: Option<CryogenicModel>,
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
    wet: WetWall<S>,
}

/// The part of the wall that is wet.
#[derive(Clone, Copy, Debug)]
pub(super) struct WetWall<S> {
    /// Area, m2.
    m2: S,
    /// Mass, kg.
    kg: S,
    /// Wall newly wetted per mass of liquid.
    kg_per_kg: S,
}

impl<S: Scalar> WetWall<S> {
    /// No wall that shares the liquid's temperature.
    pub(super) fn none() -> Self {
        Self {
            m2: S::zero(),
            kg: S::zero(),
            kg_per_kg: S::zero(),
        }
    }
}

impl<S: Scalar> LiquidSide<S> {
    /// Heat capacity of liquid and wet wall, J/K.
    pub(super) fn heat_capacity_j_k(&self) -> f64 {
        self.heat_capacity
    }

    /// Volume gained per heat at constant mass, m3/J.
    pub(super) fn expansion_m3_j(&self) -> f64 {
        self.specific_volume_slope * self.mass.value() / self.heat_capacity
    }
}

impl<S: Scalar> TankSide<S> {
    /// A tank whose wall is none of its liquid's business.
    pub(super) fn face(gas: GasSide<S>, ullage: S, liquid: LiquidSide<S>, dry_wall_k: S) -> Self {
        Self {
            gas,
            ullage,
            liquid,
            dry_wall_k,
            wet: WetWall::none(),
        }
    }
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
    /// The wet wall under a mass of liquid.
    fn wet_wall<S: Scalar>(&self, model: &TankModel, liquid_mass: S) -> WetWall<S> {
        let wall_kg = self.wall.as_ref().map_or(0.0, |wall| wall.mass_kg);
        let per_area = wall_kg / model.geometry.wall_m2();
        let density = model.start_density_kg_m3;
        let volume = liquid_mass / density;
        let m2 = model.geometry.wetted(volume);
        WetWall {
            m2,
            kg: m2 * per_area,
            kg_per_kg: model.geometry.wetted_slope(volume) * (per_area / density),
        }
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
        let wet = self.wet_wall(model, states.liquid_mass);
        let mut liquid = self.liquid_side(model, states.liquid_mass, states.liquid_energy, &wet)?;
        let ullage = -liquid.volume + model.geometry.volume_m3();
        let gas = GasSide::from_contents(mixture, states.gas_mass, states.gas_energy, ullage)?;
        liquid.outlet_pressure = gas.pressure + liquid.density * liquid.level * gravity_m_s2;
        let dry_wall_k = match &self.wall {
            Some(wall) if wall.inside == HeatTransfer::Isothermal => {
                S::constant(wall.temperature_k)
            }
            Some(wall) => wall::temperature(
                &wall.material,
                states.wall_energy / (-wet.kg + wall.mass_kg),
            ),
            None => liquid.temperature,
        };
        Ok(TankSide {
            gas,
            ullage,
            liquid,
            dry_wall_k,
            wet,
        })
    }

    /// Energies of liquid with wet wall and of dry wall at the start, J.
    ///
    /// # Errors
    /// When the liquid is outside its valid range.
    pub fn energies_at_start(&self, model: &TankModel) -> Result<(f64, f64), FluidError> {
        let state = self.liquid.at(self.liquid_temperature_k)?;
        let mass = state.density_kg_m3 * self.liquid_volume_m3;
        let liquid = mass * state.internal_energy_j_kg;
        let Some(wall) = &self.wall else {
            return Ok((liquid, 0.0));
        };
        let wet_kg = self.wet_wall(model, mass).kg;
        let energy_at = |t| wall.material.internal_energy_j_kg(t);
        Ok((
            liquid + wet_kg * energy_at(self.liquid_temperature_k),
            (wall.mass_kg - wet_kg) * energy_at(wall.temperature_k),
        ))
    }

    /// Internal energy in J/kg and heat capacity in J/(kg K) of the wall; nothing without one.
    fn wall_energy<S: Scalar>(&self, temperature: S) -> (S, f64) {
        self.wall.as_ref().map_or((S::zero(), 0.0), |wall| {
            let (energy, capacity) = wall.material.energy_and_capacity(temperature.value());
            (temperature.lift(energy, capacity), capacity)
        })
    }

    /// The liquid from its mass and its energy, that of the wet wall included.
    pub(super) fn liquid_side<S: Scalar>(
        &self,
        model: &TankModel,
        mass: S,
        energy: S,
        wet: &WetWall<S>,
    ) -> Result<LiquidSide<S>, FluidError> {
        let m = mass.value();
        let state = self.solve_temperature(m, energy.value(), wet.kg.value())?;
        let (wall_energy, wall_capacity) = self.wall_energy(state.temperature_k);
        let capacity = m * state.heat_capacity_j_kg_k + wet.kg.value() * wall_capacity;
        let by_mass = state.internal_energy_j_kg + wall_energy * wet.kg_per_kg.value();
        let temperature = S::chain(
            state.temperature_k,
            [(&energy, capacity.recip()), (&mass, -by_mass / capacity)],
        );
        let density = temperature.lift(state.density_kg_m3, state.density_by_t);
        let volume = mass / density;
        let (throat_pa, throat_slope) = throat_pressure(
            state.vapour_pressure_pa,
            state.vapour_pressure_by_t,
            self.liquid.critical_pressure_pa(),
        );
        Ok(LiquidSide {
            mass,
            temperature,
            density,
            energy: temperature.lift(state.internal_energy_j_kg, state.heat_capacity_j_kg_k),
            viscosity: temperature.lift(state.viscosity_pa_s, state.viscosity_by_t) / density,
            throat_pressure: temperature.lift(throat_pa, throat_slope),
            saturated_vapour: temperature.lift(
                state.saturated_vapour_density_kg_m3,
                state.saturated_vapour_density_by_t,
            ),
            volume,
            level: model.geometry.level(volume),
            outlet_pressure: S::zero(),
            specific_volume_slope: -state.density_by_t / state.density_kg_m3.powi(2),
            heat_capacity: capacity,
        })
    }

    /// State of the liquid from the energy of liquid and wet wall, by Newton's method from
    /// the start temperature, so that it depends on nothing but the state.
    fn solve_temperature(
        &self,
        mass: f64,
        energy: f64,
        wet_kg: f64,
    ) -> Result<LiquidState, FluidError> {
        let (low, high) = self.liquid.temperature_range_k();
        let mut t = self.liquid_temperature_k;
        for _ in 0..NEWTON_STEPS {
            let (liquid_energy, liquid_capacity) = self.liquid.energy_and_capacity(t)?;
            let (wall_energy, wall_capacity) = self.wall_energy(t);
            let misfit = mass * liquid_energy + wet_kg * wall_energy - energy;
            let capacity = mass * liquid_capacity + wet_kg * wall_capacity;
            let step = misfit / capacity;
            // Where the heat capacity grows towards the critical point a step goes too far: the end of
            // the range is tried before a temperature beyond it, or one that is no number, is refused.
            let within = (t - step).clamp(low, high);
            t = if t == within { t - step } else { within };
            if step.abs() <= SETTLED * t {
                break;
            }
        }
        self.liquid.at(t)
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

        let uncovered = self.wetted_energy(side, &liquid_mass) * liquid_mass;
        // The rates of volume and temperature depend on each other; both are linear.
        let (wall_energy, _) = self.wall_energy(liquid.temperature);
        let with_mass = (liquid.energy + wall_energy * side.wet.kg_per_kg) * liquid_mass;
        let per_heat = liquid.mass * (liquid.specific_volume_slope / liquid.heat_capacity);
        let liquid_volume = (liquid_mass / liquid.density
            + per_heat * (still_energy + uncovered - with_mass))
            / (per_heat * pressure + 1.0);

        Ok(TankRates {
            evaporation: exchange.evaporation,
            gas_energy: exchange.wall_to_gas
                + exchange.interface
                + vapour_energy
                + pressure * liquid_volume,
            liquid_mass,
            liquid_energy: still_energy + uncovered - pressure * liquid_volume,
            wall_energy: exchange.into_wall - uncovered,
            into_surroundings: exchange.into_surroundings + exchange.wet_outside,
            gas_heat: exchange.wall_to_gas + exchange.interface,
            liquid_volume,
        })
    }

    /// Energy of the wall that gets wet per mass of rising liquid, J/kg: dry wall is wetted at
    /// its own temperature, wet wall is uncovered at the liquid's.
    fn wetted_energy<S: Scalar>(&self, side: &TankSide<S>, liquid_mass_rate: &S) -> S {
        let from = if liquid_mass_rate.value() > 0.0 {
            side.dry_wall_k
        } else {
            side.liquid.temperature
        };
        self.wall_energy(from).0 * side.wet.kg_per_kg
    }

    fn exchange<S: Scalar>(
        &self,
        model: &TankModel,
        mixture: &GasMixture,
        side: &TankSide<S>,
        surroundings: &Surroundings,
    ) -> Result<Exchange<S>, FluidError> {
        let contact = |heat, multiplier, surface, surface_k, area_m2, length_m| Contact {
            heat,
            multiplier,
            surface,
            surface_k,
            area_m2,
            length_m,
            gravity_m_s2: surroundings.gravity_m_s2,
            gas_heat_capacity_j_k: model.gas_heat_capacity_j_k,
        };
        // Wall and surface meet the same gas.
        let posture = Posture::of(self.wall.as_ref());
        let known = OnceCell::new();
        let film = || match known.get() {
            Some(film) => Ok(*film),
            None => {
                GasFilm::of(mixture, &side.gas, posture).map(|film| *known.get_or_init(|| film))
            }
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
            side.liquid.temperature,
            surface_m2,
            surface_length,
        )
        .conductance(film)?;
        let mut exchange = Exchange {
            interface: conductance * (side.liquid.temperature - gas.temperature),
            ..Exchange::none()
        };
        if let Some(k) = self.vapour {
            exchange.evaporation = self.evaporation(mixture, side, conductance, k);
            let (h, slope) = mixture.vapour_enthalpy(k, side.liquid.temperature.value());
            exchange.vapour_enthalpy = side.liquid.temperature.lift(h, slope);
        }
        if let Some(wall) = &self.wall {
            let dry_m2 = -side.wet.m2 + model.geometry.wall_m2();
            let inside = contact(
                wall.inside,
                wall.inside_multiplier,
                Surface::Wall,
                side.dry_wall_k,
                dry_m2,
                wall.height_m,
            )
            .conductance(film)?;
            let into_gas = inside * (side.dry_wall_k - gas.temperature);
            let loss =
                |t: S, area: S| (t - surroundings.temperature_k) * area * wall.outside_w_m2_k;
            let split = super::vessel::WallHeat::split(
                wall.inside,
                into_gas,
                loss(side.dry_wall_k, dry_m2),
            );
            exchange.wall_to_gas = split.into_gas;
            exchange.into_wall = split.into_wall;
            exchange.into_surroundings = split.into_surroundings;
            exchange.wet_outside = loss(side.liquid.temperature, side.wet.m2);
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
        volume_flow(mixture, gas, conductance)
            * (side.liquid.saturated_vapour - gas.partial_density[vapour])
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
