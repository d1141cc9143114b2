//! A network made ready to run: curves built, geometry tabulated, states laid out.

use crate::components::actuator::Stem;
use crate::components::chain::ChainModel;
use crate::components::characteristic::Trim;
use crate::components::cryogenic_tank::{CryogenicModel, CryogenicTank, Start};
use crate::components::gas::GasSide;
use crate::components::regulator::DemandCurve;
use crate::components::tank::TankModel;
use crate::components::tank_shape::TankGeometry;
use crate::fault::Fault;
use crate::layout::{BranchStates, Layout};
use crate::network::{
    Branch, BranchKind, GasFill, MixtureId, Network, Tank, Vessel, VolumeId, VolumeKind,
};
use fluids::{GasMixture, GasPoint, Solid};
use std::sync::Arc;

/// What a volume needs beside its description.
#[derive(Clone, Debug)]
pub enum VolumeModel {
    /// Nothing.
    Ambient,
    /// A vessel.
    Vessel {
        /// Heat capacity of the gas at the start, J/K.
        gas_heat_capacity_j_k: f64,
    },
    /// A tank.
    Tank(Box<TankModel>),
}

/// What a branch needs beside its description.
#[derive(Clone, Debug)]
pub enum BranchModel {
    /// Nothing.
    Plain,
    /// A gas valve's characteristic, if it is a valve.
    Restriction(Option<Trim>),
    /// A regulator's demand curve.
    Regulator(DemandCurve),
    /// A chain's elements.
    Chain(ChainModel),
}

/// A network made ready to run.
#[derive(Clone, Debug)]
pub struct Model {
    /// The network.
    pub network: Network,
    /// Where the states are.
    pub layout: Layout,
    /// By volume.
    pub volumes: Vec<VolumeModel>,
    /// By branch.
    pub branches: Vec<BranchModel>,
    /// Species list of the gas that each branch carries.
    pub branch_mixture: Vec<MixtureId>,
    /// By actuator.
    pub stems: Vec<Stem>,
    /// The open air, should it flow back, for each mixture.
    pub ambient_gas: Vec<GasSide<f64>>,
    /// States at the start.
    pub start: Vec<f64>,
    /// Error scale of each state.
    pub scales: Vec<f64>,
}

/// Error of one state, in tolerances, where the rest has none: a step is allowed one tolerance in root
/// mean square over the states, and a vessel has a handful of them.
const ON_ONE_STATE: f64 = 3.0;

/// Scale of the error of what is dissipated, Pa on the volume of all tanks. Dissipation goes with the cube of a
/// flow and is kept by no step by itself: without it, the energy of a tank whose pressure is switched a
/// hundred times is out of balance by 3e-5; with it by 5e-7, in as many steps.
const UNCOUNTED_PA: f64 = 2e4;

impl Model {
    /// Prepares a network.
    ///
    /// # Errors
    /// When a start state is outside its fluid's range, or a tank's shape makes no body.
    pub fn new(network: &Network) -> Result<Self, Fault> {
        let layout = Layout::new(network);
        let mut model = Self {
            volumes: Vec::with_capacity(network.volumes.len()),
            branches: network.branches.iter().map(branch_model).collect(),
            branch_mixture: network
                .branches
                .iter()
                .map(|branch| mixture_of(network, branch))
                .collect(),
            stems: network.actuators.iter().map(Stem::new).collect(),
            ambient_gas: ambient_gas(network)?,
            start: vec![0.0; layout.total],
            // Ledgers feed nothing back: their scale takes them out of the error control. All but one
            // are sums of what other states lose, which a step keeps to rounding.
            scales: vec![f64::MAX.sqrt(); layout.total],
            layout,
            network: network.clone(),
        };
        for (id, volume) in network.volumes.iter().enumerate() {
            let prepared = match &volume.kind {
                VolumeKind::Ambient => VolumeModel::Ambient,
                VolumeKind::Vessel(vessel) => model.start_vessel(id, &volume.name, vessel)?,
                VolumeKind::Tank(tank) => model.start_tank(id, &volume.name, tank)?,
            };
            model.volumes.push(prepared);
        }
        let tanks = model.volumes.iter().filter_map(|volume| match volume {
            VolumeModel::Tank(tank) => Some(tank.geometry.volume_m3()),
            _ => None,
        });
        let volume_m3: f64 = tanks.sum();
        // Without a tank no liquid flows, and nothing is dissipated.
        if volume_m3 > 0.0 {
            model.scales[model.layout.ledgers.dissipation] = UNCOUNTED_PA * volume_m3;
        }
        model.start_branches()?;
        Ok(model)
    }

    /// The same with the square roots of vanishing gas drops regularised as far as a run of this
    /// tolerance knows its pressures: below, a linearly implicit step overshoots the kink of the
    /// root and comes back, and pays for it with its length.
    #[must_use]
    pub fn smoothed(mut self, tolerance: f64) -> Self {
        for mixture in &mut self.network.mixtures {
            *mixture = Arc::new(mixture.smoothed(ON_ONE_STATE * tolerance));
        }
        self
    }

    /// The species list of a volume.
    #[must_use]
    pub fn mixture(&self, id: MixtureId) -> &Arc<GasMixture> {
        &self.network.mixtures[id]
    }

    /// The cryogenic tank of a volume, if it is one.
    #[must_use]
    pub fn cryogenic_tank(&self, id: VolumeId) -> Option<CryogenicTank<'_>> {
        let (VolumeKind::Tank(tank), VolumeModel::Tank(model)) =
            (&self.network.volumes[id].kind, &self.volumes[id])
        else {
            return None;
        };
        Some(CryogenicTank {
            cryogen: tank.cryogen.as_deref()?,
            constants: model.cryogenic.as_ref()?,
            strata: self.layout.volumes[id].as_ref()?.strata.as_ref()?,
            mixture: &self.network.mixtures[tank.gas.mixture],
            surroundings: &self.network.surroundings,
            tank,
            model,
        })
    }

    fn start_vessel(
        &mut self,
        id: VolumeId,
        name: &str,
        vessel: &Vessel,
    ) -> Result<VolumeModel, Fault> {
        let point = self.start_gas(id, name, &vessel.gas, vessel.volume_m3)?;
        let gas_heat_capacity_j_k = heat_capacity(&point, vessel.volume_m3);
        if let (Some(wall), Some(place)) = (&vessel.wall, self.wall_place(id)) {
            self.start_lump(place, wall.mass_kg, &wall.material, wall.temperature_k);
            let states = self.layout.volumes[id].as_ref();
            let about = states.and_then(|states| states.overwrap_energy);
            if let (Some(overwrap), Some(place)) = (&vessel.overwrap, about) {
                let (mass_kg, material) = (overwrap.mass_kg, &overwrap.material);
                self.start_lump(place, mass_kg, material, wall.temperature_k);
            }
        }
        Ok(VolumeModel::Vessel {
            gas_heat_capacity_j_k,
        })
    }

    fn start_lump(&mut self, place: usize, mass_kg: f64, material: &Solid, temperature_k: f64) {
        let (energy, capacity) = material.energy_and_capacity(temperature_k);
        self.start[place] = mass_kg * energy;
        self.scales[place] = mass_kg * capacity;
    }

    fn start_tank(&mut self, id: VolumeId, name: &str, tank: &Tank) -> Result<VolumeModel, Fault> {
        let geometry = TankGeometry::new(&tank.shape).ok_or_else(|| {
            Fault::at(
                name,
                "the tank's dimensions make no body: check volume against diameter and ends",
            )
        })?;
        let ullage_m3 = geometry.volume_m3() - tank.liquid_volume_m3;
        if ullage_m3 <= 0.0 {
            let (whole_l, liquid_l) = (1e3 * geometry.volume_m3(), 1e3 * tank.liquid_volume_m3);
            let message = format!(
                "it holds {whole_l:.2} L, but starts with {liquid_l:.2} L of liquid and no gas: \
                 check volume and fill"
            );
            return Err(Fault::at(name, message));
        }
        let point = self.start_gas(id, name, &tank.gas, ullage_m3)?;
        let liquid = tank
            .liquid
            .at(tank.liquid_temperature_k)
            .map_err(|e| Fault::of_fluid(name, &e))?;
        let gravity = self.network.surroundings.gravity_m_s2;
        let cryogenic = tank
            .cryogen
            .as_ref()
            .map(|cryogen| CryogenicModel::new(tank, cryogen, &geometry, gravity))
            .transpose()
            .map_err(|e| Fault::of_fluid(name, &e))?;
        let model = TankModel {
            gas_heat_capacity_j_k: heat_capacity(&point, ullage_m3),
            start_density_kg_m3: liquid.density_kg_m3,
            geometry,
            cryogenic,
        };
        if let (Some(cryogen), Some(states)) = (&tank.cryogen, &self.layout.volumes[id])
            && let (Some(constants), Some(strata)) = (&model.cryogenic, &states.strata)
        {
            let at_start = Start {
                tank,
                cryogen,
                model: &model,
                constants,
                strata,
                gas: &point,
                liquid: &liquid,
            };
            at_start.fill(&mut self.start, &mut self.scales);
            return Ok(VolumeModel::Tank(Box::new(model)));
        }
        let (liquid_energy_j, wall_energy_j) = tank
            .energies_at_start(&model)
            .map_err(|e| Fault::of_fluid(name, &e))?;
        if let Some((mass, liquid_energy)) = self.layout.volumes[id].as_ref().and_then(|v| v.liquid)
        {
            let full_kg = model.geometry.volume_m3() * liquid.density_kg_m3;
            self.start[mass] = tank.liquid_volume_m3 * liquid.density_kg_m3;
            self.scales[mass] = full_kg * 1e-2;
            self.start[liquid_energy] = liquid_energy_j;
            self.scales[liquid_energy] = full_kg * liquid.heat_capacity_j_kg_k;
        }
        if let (Some(wall), Some(place)) = (&tank.wall, self.wall_place(id)) {
            self.start[place] = wall_energy_j;
            self.scales[place] =
                wall.mass_kg * wall.material.heat_capacity_j_kg_k(wall.temperature_k).0;
        }
        Ok(VolumeModel::Tank(Box::new(model)))
    }

    fn wall_place(&self, id: VolumeId) -> Option<usize> {
        self.layout.volumes[id].as_ref().and_then(|v| v.wall_energy)
    }

    /// Puts the start state of a gas in its place.
    fn start_gas(
        &mut self,
        id: VolumeId,
        name: &str,
        fill: &GasFill,
        volume_m3: f64,
    ) -> Result<GasPoint, Fault> {
        let point = self.network.mixtures[fill.mixture]
            .at(fill.pressure_pa, fill.temperature_k, &fill.mole_fractions)
            .map_err(|e| Fault::of_fluid(name, &e))?;
        if let Some(states) = &self.layout.volumes[id] {
            let mass: f64 = point.density_kg_m3.iter().sum::<f64>() * volume_m3;
            for (k, place) in states.gas_mass.clone().enumerate() {
                self.start[place] = point.density_kg_m3[k] * volume_m3;
                self.scales[place] = mass * 1e-2;
            }
            self.start[states.gas_energy] = point.energy_j_m3 * volume_m3;
            self.scales[states.gas_energy] = heat_capacity(&point, volume_m3) * fill.temperature_k;
        }
        Ok(point)
    }

    fn start_branches(&mut self) -> Result<(), Fault> {
        for (id, branch) in self.network.branches.iter().enumerate() {
            match (&branch.kind, self.layout.branches[id]) {
                (_, BranchStates::Lift(place)) => self.scales[place] = 1.0,
                (BranchKind::LiquidChain(chain), BranchStates::Chain { flow, mass }) => {
                    let VolumeKind::Tank(tank) = &self.network.volumes[branch.from.volume].kind
                    else {
                        return Err(Fault::at(
                            &branch.name,
                            "a liquid line has to start at a tank's liquid",
                        ));
                    };
                    let liquid = tank
                        .liquid
                        .at(tank.liquid_temperature_k)
                        .map_err(|e| Fault::of_fluid(&branch.name, &e))?;
                    let BranchModel::Chain(model) = &self.branches[id] else {
                        continue;
                    };
                    let full_kg = model.volume_m3() * liquid.density_kg_m3;
                    let primed_kg = chain.primed_m3 * liquid.density_kg_m3;
                    self.start[mass] = primed_kg;
                    self.scales[mass] = full_kg.max(1e-6);
                    self.scales[flow] = model.flow_scale_kg_s(liquid.density_kg_m3);
                    self.start[self.layout.ledgers.chain_energy] +=
                        primed_kg * liquid.internal_energy_j_kg;
                }
                _ => {}
            }
        }
        Ok(())
    }
}

fn branch_model(branch: &Branch) -> BranchModel {
    match &branch.kind {
        BranchKind::Regulator(regulator) => {
            BranchModel::Regulator(DemandCurve::new(&regulator.droop))
        }
        BranchKind::LiquidChain(chain) => BranchModel::Chain(ChainModel::new(chain)),
        BranchKind::GasRestriction(restriction) => BranchModel::Restriction(
            restriction
                .valve
                .as_ref()
                .map(|valve| Trim::new(&valve.characteristic)),
        ),
        BranchKind::Poppet(_) | BranchKind::BurstDisc(_) => BranchModel::Plain,
    }
}

/// The species list that a branch carries: that of its end with gas.
fn mixture_of(network: &Network, branch: &Branch) -> MixtureId {
    [branch.from.volume, branch.to.volume]
        .into_iter()
        .find_map(|id| match &network.volumes[id].kind {
            VolumeKind::Ambient => None,
            VolumeKind::Vessel(vessel) => Some(vessel.gas.mixture),
            VolumeKind::Tank(tank) => Some(tank.gas.mixture),
        })
        .unwrap_or(0)
}

/// The open air as a gas of each mixture.
fn ambient_gas(network: &Network) -> Result<Vec<GasSide<f64>>, Fault> {
    let of = |mixture: &Arc<GasMixture>| {
        GasSide::open_air(mixture, &network.surroundings)
            .map_err(|e| Fault::of_fluid("ambient", &e))
    };
    network.mixtures.iter().map(of).collect()
}

fn heat_capacity(point: &GasPoint, volume_m3: f64) -> f64 {
    point.density_kg_m3.iter().sum::<f64>() * volume_m3 * point.heat_capacity_j_kg_k
}
