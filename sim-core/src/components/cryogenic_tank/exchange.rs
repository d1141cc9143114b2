//! The rates of a cryogenic tank, put together (theory 9.5).

use super::dissolution::Uptake;
use super::pool::NODES;
use super::ports::PortFlow;
use super::{Crossing, CryogenicTank, Found, Rates, Stream};
use crate::components::gas::GasSide;
use crate::components::tank::{LiquidSide, TankSide};
use fluids::FluidError;
use shared::Scalar;

/// What the tank does as a whole, for the ledgers.
#[derive(Clone, Copy, Debug)]
pub struct Totals<S> {
    /// Heat out of the surroundings, W.
    pub leak: S,
    /// Heat from the gas into the wall, W.
    pub to_wall: S,
    /// Heat from the gas into the liquid's surface, W.
    pub to_surface: S,
    /// Vapour from the surface into the gas, less what rains out of it, kg/s.
    pub evaporation: S,
    /// Vapour out of the boiling bulk, kg/s.
    pub boiling: S,
    /// Work of the gas on the liquid, W.
    pub work: S,
    /// Energy that vapour brings to the gas, W.
    pub vapour_energy: S,
    /// What comes in through the gas ports, less what leaves.
    pub ports: PortFlow<S>,
    /// Heat that incoming gas gives to the liquid before it arrives, W.
    pub on_the_way: S,
    /// Gas that the liquid takes up, kg/s.
    pub dissolved: S,
    /// Energy that it had as a gas, W.
    pub dissolved_energy: S,
    /// Energy that it keeps, W.
    pub dissolved_kept: S,
    /// Rate of the liquid's density, kg/(m3 s).
    pub density_rate: S,
}

/// What is counted of a cryogenic tank from the start on, with its unit.
pub const COUNTED: [&str; 12] = [
    "heat_leak_j",
    "heat_to_wall_j",
    "heat_to_surface_j",
    "evaporated_kg",
    "boiled_kg",
    "work_on_liquid_j",
    "vapour_energy_j",
    "ports_gas_kg",
    "ports_energy_j",
    "heat_on_the_way_j",
    "dissolved_kg",
    "dissolved_energy_j",
];

impl<S: Scalar> Totals<S> {
    /// Rates of what is counted, in the order of [`COUNTED`].
    pub fn counted(&self) -> [S; COUNTED.len()] {
        [
            self.leak,
            self.to_wall,
            self.to_surface,
            self.evaporation,
            self.boiling,
            self.work,
            self.vapour_energy,
            self.ports.gas,
            self.ports.energy,
            self.on_the_way,
            self.dissolved,
            self.dissolved_energy,
        ]
    }
}

impl CryogenicTank<'_> {
    /// The face that branches see, and the parts behind it.
    ///
    /// # Errors
    /// When gas or liquid is outside its valid range.
    pub fn side<S: Scalar>(
        &self,
        y: &[S],
        found: &mut Found<S>,
    ) -> Result<TankSide<S>, FluidError> {
        let mut liquid = self.find_pool(y, found)?;
        self.find_dissolved(y, found);
        self.find_layers(y, liquid.volume, found)?;
        self.find_wall(y, found);
        let ullage = -liquid.volume + self.model.geometry.volume_m3();
        let mut pressure = S::zero();
        for layer in &found.layers {
            pressure += layer.gas.pressure * layer.volume / ullage;
        }
        let top = found.layers[found.layers.len() - 1].gas;
        let gravity = self.surroundings.gravity_m_s2;
        liquid.outlet_pressure = pressure + liquid.density * liquid.level * gravity;
        let surface_m2 = self.model.geometry.surface(liquid.volume);
        found.crossing = self.crossing(surface_m2, pressure, found, None)?;
        let dry_wall_k = (found.wall.last()).map_or(top.temperature, |node| node.dry_k);
        Ok(TankSide::face(
            GasSide { pressure, ..top },
            ullage,
            liquid,
            dry_wall_k,
        ))
    }

    /// Adds the rates of all states of the tank.
    pub fn rates<S: Scalar>(&self, mut rates: Rates<'_, S>) -> Totals<S> {
        let rates = &mut rates;
        let ports = self.through_ports(rates.dy);
        let surface_m2 = self.model.geometry.surface(rates.side.liquid.volume);
        let way = self.on_the_way(rates);
        let jet = self.jet(surface_m2, rates);
        let mut crossing = self.crossing_under(jet.as_ref(), surface_m2, rates);
        self.heat_between_layers(rates);
        let mut wall = self.wall_heat(jet.as_ref(), rates);
        let mut uptake = Uptake::none();
        crossing.rain = self.rain(rates, &mut uptake);
        self.dissolve(surface_m2, &crossing, rates, &mut uptake);
        wall.into_liquid[0] += uptake.into_surface;
        let vapour_energy = self.vapour_into_gas(&crossing, rates);
        let parts = self.liquid_parts(surface_m2, &wall.into_liquid, &crossing, rates);
        let (liquid_volume, density_rate) = self.move_liquid(&parts, &crossing, rates);
        self.move_layers(-liquid_volume, rates);
        Totals {
            leak: wall.leak,
            to_wall: -wall.into_gas,
            to_surface: crossing.heat,
            evaporation: crossing.off_surface(),
            boiling: crossing.boiled().mass + way.vapour,
            work: -(rates.side.gas.pressure * liquid_volume),
            vapour_energy: vapour_energy + way.vapour_energy,
            ports,
            on_the_way: way.heat,
            dissolved: uptake.gas,
            dissolved_energy: uptake.energy,
            dissolved_kept: uptake.kept,
            density_rate,
        }
    }

    /// Vapour into the lowest layer; returns the energy that it brings, less what rain took, W.
    fn vapour_into_gas<S: Scalar>(&self, crossing: &Crossing<S>, rates: &mut Rates<'_, S>) -> S {
        let layer = &self.strata.layers[0];
        // Vapour rises from the level: what that takes is found in the gas again.
        let head = rates.side.liquid.level * self.surroundings.gravity_m_s2;
        let boiled = crossing.boiled();
        let mass = crossing.evaporation + boiled.mass;
        let energy = crossing.evaporation * crossing.enthalpy + boiled.energy + mass * head;
        rates.dy[layer.energy] += energy - crossing.heat;
        if let Some(vapour) = self.tank.vapour {
            rates.dy[layer.mass.start + vapour] += mass;
        }
        energy - crossing.rain.energy - crossing.rain.mass * head
    }

    /// Rates of the nodes and the bulk, but for the work of their own expansion: heat given to each, what crosses the surface, conduction,
    /// and liquid that passes from node to node so that each keeps its mass.
    fn liquid_parts<S: Scalar>(
        &self,
        surface_m2: S,
        heats: &[S; NODES + 1],
        crossing: &Crossing<S>,
        rates: &Rates<'_, S>,
    ) -> [Stream<S>; NODES + 1] {
        let pool = &rates.found.pool;
        let pressure = rates.side.gas.pressure;
        let liquid_rate = self.liquid_rate(crossing, rates);
        let mut parts = heats.map(|energy| Stream {
            mass: S::zero(),
            energy,
        });
        parts[0].energy +=
            crossing.heat - crossing.evaporation * crossing.enthalpy + crossing.rain.energy;
        for (part, boiling) in parts.iter_mut().zip(&crossing.boiling) {
            part.energy -= boiling.energy;
        }
        let mut down = -crossing.off_surface();
        for node in 0..NODES {
            let (_, slope) = self.constants.node_kg(node, rates.side.liquid.mass);
            let mass_rate = liquid_rate * slope;
            down -= mass_rate + crossing.boiling[node].mass;
            parts[node].mass = mass_rate;
            let from = if down.value() >= 0.0 { node } else { node + 1 };
            let enthalpy = pool[from].energy + pressure / pool[from].density;
            let (upper, lower) = (&pool[node], &pool[node + 1]);
            let heat = self.heat_up(upper, lower, node + 1 == NODES, surface_m2);
            let energy = heat - down * enthalpy;
            parts[node].energy += energy;
            parts[node + 1].energy += -energy;
        }
        parts[NODES].mass = down + rates.inflow.liquid_mass - crossing.boiling[NODES].mass;
        parts[NODES].energy += rates.inflow.liquid_energy;
        parts
    }

    /// Rate of the liquid's mass, kg/s.
    pub(super) fn liquid_rate<S: Scalar>(&self, crossing: &Crossing<S>, rates: &Rates<'_, S>) -> S {
        rates.inflow.liquid_mass - crossing.off_surface() - crossing.boiled().mass
    }

    /// Rates of the liquid's states; returns those of its volume, m3/s, and its density.
    fn move_liquid<S: Scalar>(
        &self,
        parts: &[Stream<S>; NODES + 1],
        crossing: &Crossing<S>,
        rates: &mut Rates<'_, S>,
    ) -> (S, S) {
        let pressure = rates.side.gas.pressure;
        let places = self.strata.surface.clone().chain([self.strata.bulk_energy]);
        let (mut volume_rate, mut mass_rate) = (S::zero(), S::zero());
        let mut density_rate = S::zero();
        for ((part, rate), place) in rates.found.pool.iter().zip(parts).zip(places) {
            let own = expansion(part, rate, pressure);
            volume_rate += own;
            mass_rate += rate.mass;
            rates.dy[place] += rate.energy - pressure * own;
            density_rate = (rate.mass - part.density * own) / part.volume;
        }
        rates.dy[self.strata.liquid_mass] += mass_rate;
        rates.dy[self.strata.bulk_energy] += -self.lift(volume_rate, density_rate, crossing, rates);
        (volume_rate, density_rate)
    }

    /// Potential energy of the liquid that no flow accounts for, W: it expands and rises. It is
    /// taken from the bulk, whose density stands for all of it.
    fn lift<S: Scalar>(
        &self,
        volume_rate: S,
        density_rate: S,
        crossing: &Crossing<S>,
        rates: &Rates<'_, S>,
    ) -> S {
        let liquid = &rates.side.liquid;
        let integral = self.model.geometry.level_integral(liquid.volume.value());
        let integral = liquid.volume.lift(integral, liquid.level.value());
        let through = self.liquid_rate(crossing, rates);
        let gained = density_rate * integral + liquid.density * liquid.level * volume_rate;
        (gained - through * liquid.level) * self.surroundings.gravity_m_s2
    }
}

/// Rate of volume of a part of the liquid: mass and expansion, of which the work against the
/// pressure takes its share (both are linear in the rate).
fn expansion<S: Scalar>(part: &LiquidSide<S>, rate: &Stream<S>, pressure: S) -> S {
    let per_heat = part.expansion_m3_j();
    (rate.mass / part.density + (rate.energy - part.energy * rate.mass) * per_heat)
        / (pressure * per_heat + 1.0)
}
