//! What is looked at before a test, and what is done when it goes wrong: only what the stand has.

use maud::{Markup, html};
use sim_core::network::{Branch, BranchKind, Duty, ElementKind, Network, Phase, VolumeKind};

/// What has to be so before the sequence starts.
pub(super) fn go(network: &Network) -> Markup {
    let gas = |is| named(network, is);
    let valves = [liquid_valves(network), gas(is_feed)];
    let valves = valves.into_iter().filter(|names| !names.is_empty());
    let checks = [
        (
            "shut at rest, stroke timed: ",
            valves.collect::<Vec<_>>().join(", "),
        ),
        ("works on command: ", gas(is_vent)),
        ("set and locked up dry: ", gas(is_regulator)),
        ("seats against reverse flow: ", gas(is_check)),
        ("in date, outlet clear: ", gas(is_relief)),
    ];
    let checks = checks.iter().filter(|(_, names)| !names.is_empty());
    let has_relief = network.branches.iter().any(|b| is_relief(network, b));
    html! {
        p { span.box {} "instruments at rest read ambient; set points as above" }
        @for (words, names) in checks { p { span.box {} (words) (names) } }
        @if !has_relief { p { span.box {} "no relief in the stand file; fitted is: ________" } }
        p { span.box {} "area clear, operation remote, abort rehearsed" }
    }
}

/// What shuts and what opens: gas feeds first, then the liquid, then the vents.
pub(super) fn abort(network: &Network) -> Markup {
    let gas = named(network, is_feed);
    let liquid = liquid_valves(network);
    let vents = named(network, is_vent);
    let has_vent = |id: usize| {
        network
            .branches
            .iter()
            .any(|b| b.from.volume == id && is_vent(network, b))
    };
    let without = |is: fn(&VolumeKind) -> bool| {
        let volumes = network.volumes.iter().enumerate();
        let found = volumes.filter(|(id, v)| is(&v.kind) && !has_vent(*id));
        let names: Vec<&str> = found.map(|(_, v)| v.name.as_str()).collect();
        names.join(", ")
    };
    let unvented = without(|kind| matches!(kind, VolumeKind::Tank(_)));
    let pressed = without(|kind| matches!(kind, VolumeKind::Vessel(_)));
    html! { ol {
        li { @if gas.is_empty() { "isolate the pressurant by hand valve (none in the stand file): ________" }
             @else { "shut " (gas) } }
        @if !liquid.is_empty() { li { "shut " (liquid) } }
        @if !vents.is_empty() { li { "open " (vents) } }
        @if !unvented.is_empty() {
            li { "vent " (unvented) " by (nothing in the stand file): ________" }
        }
        @if !pressed.is_empty() {
            li { "isolate and vent what stays pressed: " (pressed) }
        }
    } }
}

/// Names of the branches of a kind.
fn named(network: &Network, is: fn(&Network, &Branch) -> bool) -> String {
    let found = network.branches.iter().filter(|b| is(network, b));
    let names: Vec<&str> = found.map(|b| b.name.as_str()).collect();
    names.join(", ")
}

fn liquid_valves(network: &Network) -> String {
    let chains = network.branches.iter().filter_map(|b| match &b.kind {
        BranchKind::LiquidChain(chain) => Some(chain),
        _ => None,
    });
    let elements = chains.flat_map(|chain| &chain.elements);
    let valves = elements.filter(|e| matches!(e.kind, ElementKind::Valve { .. }));
    let names: Vec<&str> = valves.map(|e| e.name.as_str()).collect();
    names.join(", ")
}

fn is_gas_valve(branch: &Branch) -> bool {
    matches!(&branch.kind, BranchKind::GasRestriction(r) if r.valve.is_some())
}

/// A valve that lets gas out into the air, by itself or through what lies behind it.
fn is_vent(network: &Network, branch: &Branch) -> bool {
    is_gas_valve(branch)
        && branch.from.phase == Phase::Gas
        && leads_to_air(network, branch.to.volume, network.volumes.len())
}

/// Whether all that comes into a volume goes on to the air; a tank keeps what comes. Volumes in
/// a ring lead nowhere.
fn leads_to_air(network: &Network, volume: usize, most: usize) -> bool {
    match network.volumes[volume].kind {
        VolumeKind::Ambient => true,
        VolumeKind::Tank(_) => false,
        VolumeKind::Vessel(_) => {
            let mut exits = network.branches.iter().filter(|b| b.from.volume == volume);
            let is_open = exits.clone().next().is_some();
            most > 0 && is_open && exits.all(|b| leads_to_air(network, b.to.volume, most - 1))
        }
    }
}

fn is_feed(network: &Network, branch: &Branch) -> bool {
    is_gas_valve(branch) && !is_vent(network, branch)
}

fn is_regulator(_: &Network, branch: &Branch) -> bool {
    matches!(branch.kind, BranchKind::Regulator(_))
}

fn is_check(_: &Network, branch: &Branch) -> bool {
    matches!(&branch.kind, BranchKind::Poppet(p) if p.duty == Duty::Check)
}

fn is_relief(_: &Network, branch: &Branch) -> bool {
    branch.relieves_at_pa().is_some()
}
