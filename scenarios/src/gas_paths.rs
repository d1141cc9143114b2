//! Where gas can get to.

use sim_core::network::{Branch, BranchKind, Network, VolumeId};

/// Volumes with those that gas comes to from them, along arcs that a branch allows: each from one
/// volume to another.
pub fn reached(
    network: &Network,
    mut volumes: Vec<VolumeId>,
    arcs: impl Fn(&Branch) -> Vec<(VolumeId, VolumeId)>,
) -> Vec<VolumeId> {
    let branches = network.branches.iter();
    let gas = branches.filter(|b| !matches!(b.kind, BranchKind::LiquidChain(_)));
    let arcs: Vec<(VolumeId, VolumeId)> = gas.flat_map(arcs).collect();
    let mut next = 0;
    while let Some(&volume) = volumes.get(next) {
        for &(from, to) in &arcs {
            if from == volume && !volumes.contains(&to) {
                volumes.push(to);
            }
        }
        next += 1;
    }
    volumes
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
