//! The balances of a run: what the volumes, chains and ledgers hold at the end against what
//! they held at the start (theory 6).
//!
//! Masses are sums of states. Energy is the sum of internal energies, ledgers, and the two
//! forms that are no states: kinetic energy of liquid columns, I m^2/(2 rho), and potential
//! energy of liquid in tanks and chains.

use crate::components::chain::Contents;
use crate::evaluate::{Evaluation, Side};
use crate::fault::Fault;
use crate::layout::BranchStates;
use crate::model::{Model, VolumeModel};
use crate::network::{Tank, VolumeKind};
use crate::observe::column_of;
use crate::outcome::Balances;
use crate::run::Run;
use fluids::GasMixture;

/// Part of the whole below which what has moved is no scale for an error.
const AT_REST: f64 = 1e-6;

/// Part of the mass of all substances below which that of one is no scale for an error. The masses of
/// a step come from one solution, and each carries the rounding of the greatest: of a trace hardly
/// more than that is known.
const TRACE: f64 = 1e-6;

/// Work and heat of a run, for scale.
#[derive(Clone, Copy, Debug, Default)]
pub struct Exchanged {
    /// Int |p dV|, J.
    pub work_j: f64,
    /// Int |Q|, J.
    pub heat_j: f64,
}

/// Kinetic energy of a chain's column, J; zero where it cannot be evaluated.
#[must_use]
pub fn chain_kinetic_energy_j(run: &Run, branch: usize, y: &[f64]) -> f64 {
    run.with_evaluation(0.0, y, |run, found, _| {
        kinetic_energy_j(run, branch, y, found)
    })
    .unwrap_or(0.0)
}

fn kinetic_energy_j(run: &Run, branch: usize, y: &[f64], found: &Evaluation<f64>) -> f64 {
    match column_of(run, branch, y, found) {
        Some((chain, column)) if column.contents != Contents::Gas => {
            // Inertance depends on what stands in the chain, not on the valves.
            let inertance = chain.inertance(&column);
            0.5 * inertance * column.flow * column.flow / column.density
        }
        _ => 0.0,
    }
}

/// Total energy in J at a state.
///
/// # Errors
/// When the state cannot be evaluated.
pub fn total_energy_j(run: &Run, time_s: f64, y: &[f64]) -> Result<f64, Fault> {
    run.with_evaluation(time_s, y, |run, found, _| {
        let model = &run.model;
        let ledgers = &model.layout.ledgers;
        let mut energy = y[ledgers.surroundings] + y[ledgers.dissipation] + y[ledgers.chain_energy];
        energy += y[ledgers.dissolved_energy];
        for (id, states) in model.layout.volumes.iter().enumerate() {
            let Some(states) = states else { continue };
            energy += states.energies().iter().map(|&place| y[place]).sum::<f64>();
            energy += tank_potential_energy_j(model, id, found);
        }
        for branch in 0..model.branches.len() {
            energy += kinetic_energy_j(run, branch, y, found);
            if let Some((chain, column)) = column_of(run, branch, y, found) {
                energy += chain.potential_energy_j(&column);
            }
        }
        energy
    })
}

fn tank_potential_energy_j(model: &Model, id: usize, found: &Evaluation<f64>) -> f64 {
    match (&model.volumes[id], &found.sides[id]) {
        (VolumeModel::Tank(tank), Side::Tank(side)) => {
            let gravity = model.network.surroundings.gravity_m_s2;
            side.liquid.density * gravity * tank.geometry.level_integral(side.liquid.volume)
        }
        _ => 0.0,
    }
}

/// The balances between two states of a run.
///
/// # Errors
/// When either state cannot be evaluated.
pub fn balances(
    run: &Run,
    start_energy_j: f64,
    end_s: f64,
    end: &[f64],
    exchanged: &Exchanged,
) -> Result<Balances, Fault> {
    let start = &run.model.start;
    let species = imbalances(substances(&run.model), start, end);
    let energy = total_energy_j(run, end_s, end)? - start_energy_j;
    // Of what hardly moves, only the rounding of the whole is left.
    let scale = energy_scale_j(run, start, end, exchanged).max(AT_REST * start_energy_j.abs());
    Ok(Balances {
        mass_relative: species.iter().map(|(_, e)| *e).fold(0.0, f64::max),
        energy_relative: energy.abs() / scale,
        species,
    })
}

/// Int |p dV| + Int |Q|; where no piston and no wall is, the energy handed to the ambient.
fn energy_scale_j(run: &Run, start: &[f64], end: &[f64], exchanged: &Exchanged) -> f64 {
    let place = run.model.layout.ledgers.surroundings;
    let scale = exchanged.work_j + exchanged.heat_j;
    if scale > 0.0 {
        scale
    } else {
        (end[place] - start[place]).abs().max(1.0)
    }
}

/// A substance whose mass is kept: its places in the state vector.
struct Substance {
    name: String,
    places: Vec<usize>,
}

impl Substance {
    /// The mass at a state, kg.
    fn held_kg(&self, y: &[f64]) -> f64 {
        self.places.iter().map(|p| y[*p].abs()).sum()
    }

    /// Mass gained or lost, relative to the mass that moved (to the whole where none did), or to
    /// `least_kg` if that is more.
    fn imbalance(&self, start: &[f64], end: &[f64], least_kg: f64) -> f64 {
        let change = |place: &usize| end[*place] - start[*place];
        let moved: f64 = 0.5 * self.places.iter().map(|p| change(p).abs()).sum::<f64>();
        let whole = self.held_kg(start);
        let gained: f64 = self.places.iter().map(change).sum();
        let own = if moved > AT_REST * whole {
            moved
        } else {
            whole
        };
        let scale = own.max(least_kg);
        if scale > 0.0 {
            gained.abs() / scale
        } else {
            0.0
        }
    }
}

/// The imbalance of each substance, by name.
fn imbalances(substances: Vec<Substance>, start: &[f64], end: &[f64]) -> Vec<(String, f64)> {
    let all_kg: f64 = substances.iter().map(|s| s.held_kg(start)).sum();
    let of = |substance: Substance| {
        let error = substance.imbalance(start, end, TRACE * all_kg);
        (substance.name, error)
    };
    substances.into_iter().map(of).collect()
}

/// Place of a tank's liquid among the gas species: chains may lead it to where it has vapour,
/// even if it has none here.
fn species_of(tank: &Tank, mixture: &GasMixture) -> Option<usize> {
    mixture.index_of(tank.liquid.vapour_species()?)
}

/// Every gas species of every mixture; a liquid belongs to its vapour, or to the same liquid
/// of other tanks.
fn substances(model: &Model) -> Vec<Substance> {
    let layout = &model.layout;
    let mut list = Vec::new();
    for (mixture_id, mixture) in model.network.mixtures.iter().enumerate() {
        for k in 0..mixture.len() {
            let mut places = vec![layout.ledgers.ambient_gas[mixture_id].start + k];
            for (id, volume) in model.network.volumes.iter().enumerate() {
                let (of_mixture, liquid) = match &volume.kind {
                    VolumeKind::Ambient => continue,
                    VolumeKind::Vessel(vessel) => (vessel.gas.mixture, None),
                    VolumeKind::Tank(tank) => (tank.gas.mixture, species_of(tank, mixture)),
                };
                if of_mixture != mixture_id {
                    continue;
                }
                places.extend(layout.volumes[id].iter().flat_map(|s| s.gas_masses(k)));
                places.extend(layout.volumes[id].iter().flat_map(|s| s.dissolved(k)));
                if liquid == Some(k) {
                    places.extend(liquid_places(model, id));
                }
            }
            list.push(Substance {
                name: mixture.name(k).to_owned(),
                places,
            });
        }
    }
    let mut liquids = Vec::new();
    for (id, volume) in model.network.volumes.iter().enumerate() {
        if let VolumeKind::Tank(tank) = &volume.kind
            && species_of(tank, model.mixture(tank.gas.mixture)).is_none()
        {
            let name = tank.liquid.name();
            match liquids.iter_mut().find(|s: &&mut Substance| s.name == name) {
                Some(same) => same.places.extend(liquid_places(model, id)),
                None => liquids.push(Substance {
                    name: name.to_owned(),
                    places: liquid_places(model, id),
                }),
            }
        }
    }
    list.extend(liquids);
    list
}

/// Where a tank's liquid is counted: in it, in its chains, in the ambient.
fn liquid_places(model: &Model, tank: usize) -> Vec<usize> {
    let layout = &model.layout;
    let mut places: Vec<usize> = layout.ledgers.ambient_liquid[tank].into_iter().collect();
    places.extend(
        layout.volumes[tank]
            .iter()
            .filter_map(|s| s.liquid.map(|(mass, _)| mass)),
    );
    for (branch, states) in model.network.branches.iter().zip(&layout.branches) {
        if let (true, BranchStates::Chain { mass, .. }) = (branch.from.volume == tank, states) {
            places.push(*mass);
        }
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(start: &[f64], end: &[f64]) -> Vec<f64> {
        let of = |(name, places): (&str, [usize; 2])| Substance {
            name: name.to_owned(),
            places: places.to_vec(),
        };
        let substances = [("liquid", [0, 1]), ("gas", [2, 3])].map(of);
        let found = imbalances(substances.into(), start, end);
        found.into_iter().map(|(_, error)| error).collect()
    }

    /// Property: of a substance of which there is a 1e-12th of the whole, its own loss is no more than
    /// rounding of the whole; of one of which there is a thousandth it counts in full, also if most is at rest.
    #[test]
    fn a_trace_is_measured_by_the_whole() {
        let trace = told(&[100.0, 0.0, 1e-10, 0.0], &[50.0, 50.0, 0.0, 0.0]);
        assert!(trace[0] == 0.0 && trace[1] < 2e-6, "{trace:?}");
        let gas = told(&[100.0, 0.0, 0.1, 0.0], &[50.0, 50.0, 0.09, 0.0]);
        assert!((gas[1] - 2.0).abs() < 1e-9, "{gas:?}");
    }
}
