//! Gas networks: volumes whose gases can mix, and the species that each of them carries.

use crate::kinds::{Body, Component};
use crate::plumbing::Plumbing;
use crate::read::Context;
use crate::tables::Gases;
use fluids::{GasMixture, Liquid, MAX_SPECIES, PropertyMode};
use shared::{Diagnostic, Span, codes};
use sim_core::network::{MixtureId, Phase};
use std::sync::Arc;

/// The gas networks of a stand.
#[derive(Clone, Debug)]
pub struct GasNetworks {
    /// Their species.
    pub mixtures: Vec<Arc<GasMixture>>,
    /// Which network each volume belongs to; the ambient is not among them.
    pub of_volume: Vec<MixtureId>,
    /// Species that each volume holds at the start, beside vapour.
    pub gas_of_volume: Vec<usize>,
}

/// Warm hydrogen gas, and the species that it is carried as beside its own liquid.
const HYDROGENS: (&str, &str) = ("hydrogen", "parahydrogen");

/// A species that a network needs, and where the file asks for it.
struct Wanted<'a> {
    name: &'a str,
    span: &'a Span,
}

impl GasNetworks {
    /// Finds the networks and loads their species. All components have been read.
    pub fn of(
        components: &[Component],
        plumbing: &Plumbing,
        liquids: &[Option<Arc<Liquid>>],
        gases: &Gases,
        context: &mut Context,
    ) -> Option<Self> {
        let of_volume = group(plumbing);
        let count = of_volume.iter().max().map_or(0, |last| last + 1);
        let mut mixtures = Vec::with_capacity(count);
        let mut lists = Vec::with_capacity(count);
        for network in 0..count {
            let members = (0..of_volume.len()).filter(|&v| of_volume[v] == network);
            let members: Vec<usize> = members.map(|v| plumbing.volumes[v]).collect();
            let list = species(components, &members, liquids);
            mixtures.push(load(&list, gases, context));
            lists.push(list.iter().map(|w| w.name.to_owned()).collect::<Vec<_>>());
        }
        let gas_of_volume = of_volume
            .iter()
            .zip(&plumbing.volumes)
            .map(|(&network, &i)| start_gas(&components[i], &lists[network], context))
            .collect();
        let mixtures: Vec<Arc<GasMixture>> = mixtures.into_iter().collect::<Option<_>>()?;
        for (network, mixture) in mixtures.iter().enumerate() {
            if mixture.index_of("air").is_none() && is_open_to_air(plumbing, &of_volume, network) {
                let value = format!("air that flows in is taken as {}", mixture.name(0));
                let reason = "no volume of this gas network starts with air";
                context.assume("gas", value, reason);
            }
            for words in mixture.assumptions() {
                context.assume("gas", words, "for want of data");
            }
        }
        Some(Self {
            mixtures,
            of_volume,
            gas_of_volume,
        })
    }
}

/// True if a gas branch leads from a network to the ambient or back.
fn is_open_to_air(plumbing: &Plumbing, of_volume: &[usize], network: MixtureId) -> bool {
    let ambient = of_volume.len();
    plumbing.branches.iter().any(|branch| {
        let (from, to) = (branch.from.volume, branch.to.volume);
        let belongs = |volume| of_volume.get(volume) == Some(&network);
        let touches = from == ambient || to == ambient;
        branch.phase == Phase::Gas && touches && (belongs(from) || belongs(to))
    })
}

/// Numbers the groups of volumes between which gas can pass, in the order of the file.
fn group(plumbing: &Plumbing) -> Vec<usize> {
    let count = plumbing.volumes.len();
    let mut group: Vec<usize> = (0..count).collect();
    for branch in &plumbing.branches {
        // The ambient joins nothing: what goes out does not come back in elsewhere.
        let (a, b) = (branch.from.volume, branch.to.volume);
        if a >= count || b >= count {
            continue;
        }
        let (low, high) = (group[a].min(group[b]), group[a].max(group[b]));
        for g in &mut group {
            if *g == high {
                *g = low;
            }
        }
    }
    let mut seen: Vec<usize> = group.clone();
    seen.sort_unstable();
    seen.dedup();
    let place = |g: &usize| seen.binary_search(g).unwrap_or(0);
    group.iter().map(place).collect()
}

/// The species of a network in the order in which the file names them.
fn species<'a>(
    components: &'a [Component],
    members: &[usize],
    liquids: &'a [Option<Arc<Liquid>>],
) -> Vec<Wanted<'a>> {
    let mut list: Vec<Wanted<'a>> = Vec::new();
    let mut add = |name: &'a str, span: &'a Span| {
        if list.iter().all(|w| w.name != name) {
            list.push(Wanted { name, span });
        }
    };
    for &i in members {
        match &components[i].body {
            Some(Body::Vessel(vessel)) => {
                if let Some(gas) = &vessel.gas {
                    add(&gas.name, &gas.span);
                }
            }
            Some(Body::Tank(tank)) => {
                add(&tank.gas.name, &tank.gas.span);
                let liquid = liquids[i].as_ref().filter(|_| tank.has_vapour);
                if let Some(vapour) = liquid.and_then(|l| l.vapour_species()) {
                    add(vapour, &tank.liquid.span);
                }
            }
            _ => {}
        }
    }
    if let (true, Some(&first)) = (list.is_empty(), members.first()) {
        list.push(Wanted {
            name: "air",
            span: &components[first].span,
        });
    }
    let is_there = |name| list.iter().any(|w| w.name == name);
    if is_there(HYDROGENS.0) && is_there(HYDROGENS.1) {
        list.retain(|w| w.name != HYDROGENS.0);
    }
    list
}

/// Whether a network carries a gas under the name of a species.
fn is_carried_as(gas: &str, species: &str) -> bool {
    gas == species || (gas, species) == HYDROGENS
}

fn load(list: &[Wanted<'_>], gases: &Gases, context: &mut Context) -> Option<Arc<GasMixture>> {
    let span = list.last().map(|w| w.span)?;
    if list.len() > MAX_SPECIES {
        let names: Vec<&str> = list.iter().map(|w| w.name).collect();
        let message = format!("{} gases mix here: {}", list.len(), names.join(", "));
        let remedy =
            format!("at most {MAX_SPECIES} can be carried; use fewer gases, or vapour = \"none\"");
        let diagnostic = Diagnostic::error(&codes::TOO_MANY_SPECIES, message).at(span, "");
        context.report(diagnostic.remedy(remedy));
        return None;
    }
    let specs: Vec<_> = list.iter().map(|w| gases.spec(w.name)).collect();
    match GasMixture::new(&specs, PropertyMode::Polished) {
        Ok(mixture) => Some(Arc::new(mixture)),
        Err(error) => {
            let diagnostic = Diagnostic::error(&codes::FLUID_RANGE, error.to_string());
            let remedy = "choose other gases, or vapour = \"none\"";
            context.report(diagnostic.at(span, "").remedy(remedy));
            None
        }
    }
}

/// Place of the gas that a volume starts with in its network's list.
fn start_gas(component: &Component, list: &[String], context: &mut Context) -> usize {
    let named = match &component.body {
        Some(Body::Vessel(vessel)) => vessel.gas.as_ref().map(|g| &g.name),
        Some(Body::Tank(tank)) => Some(&tank.gas.name),
        _ => None,
    };
    let path = format!("{}.gas", component.path());
    if let Some(name) = named
        && let Some(place) = list.iter().position(|s| is_carried_as(name, s))
    {
        if list[place] != *name {
            let reason = "as the vapour of its liquid; warm gas, a quarter of it parahydrogen, has up to 29 % less heat \
                          capacity, most at 150 K (Leachman et al. 2009)";
            context.assume(&path, list[place].as_str(), reason);
        }
        return place;
    }
    let gas = list.first().map_or("", String::as_str);
    context.assume(&path, gas, "the first gas named in its gas network");
    0
}
