//! Where gas can get to.

use sim_core::network::{Branch, BranchKind, Network, Volume, VolumeId, VolumeKind};

/// Volumes with those that gas comes to from them, along arcs that a branch allows: each from one
/// volume to another.
pub fn reached(
    network: &Network,
    volumes: Vec<VolumeId>,
    arcs: impl Fn(&Branch) -> Vec<(VolumeId, VolumeId)>,
) -> Vec<VolumeId> {
    let branches = network.branches.iter();
    let gas = branches.filter(|b| !matches!(b.kind, BranchKind::LiquidChain(_)));
    along(volumes, &gas.flat_map(arcs).collect::<Vec<_>>())
}

/// Volumes with those that arcs lead to from them, the nearest first.
#[must_use]
pub fn along(mut volumes: Vec<VolumeId>, arcs: &[(VolumeId, VolumeId)]) -> Vec<VolumeId> {
    let mut next = 0;
    while let Some(&volume) = volumes.get(next) {
        for &(from, to) in arcs {
            if from == volume && !volumes.contains(&to) {
                volumes.push(to);
            }
        }
        next += 1;
    }
    volumes
}

/// Whether a volume holds a fluid at the start, as a gas or as its liquid.
#[must_use]
pub fn holds(network: &Network, volume: &Volume, fluid: &str) -> bool {
    let in_gas = volume.gas().is_some_and(|fill| {
        let k = network.mixtures[fill.mixture].index_of(fluid);
        k.is_some_and(|k| fill.mole_fractions[k] > 0.0)
    });
    in_gas || matches!(&volume.kind, VolumeKind::Tank(tank) if tank.liquid.name() == fluid)
}

/// The way that a branch is plumbed.
#[must_use]
pub fn downstream(branch: &Branch) -> Vec<(VolumeId, VolumeId)> {
    vec![(branch.from.volume, branch.to.volume)]
}

/// Against the way that a branch is plumbed.
#[must_use]
pub fn upstream(branch: &Branch) -> Vec<(VolumeId, VolumeId)> {
    vec![(branch.to.volume, branch.from.volume)]
}

/// The two ways through a valve or an orifice; none through what lets gas pass one way only.
#[must_use]
pub fn both_ways(branch: &Branch) -> Vec<(VolumeId, VolumeId)> {
    let (from, to) = (branch.from.volume, branch.to.volume);
    match branch.kind {
        BranchKind::GasRestriction(_) => vec![(from, to), (to, from)],
        _ => Vec::new(),
    }
}

/// The ways that gas can take: a valve or an orifice lets it pass both ways, all else one way.
#[must_use]
pub fn open_ways(branch: &Branch) -> Vec<(VolumeId, VolumeId)> {
    match branch.kind {
        BranchKind::GasRestriction(_) => both_ways(branch),
        _ => downstream(branch),
    }
}
