//! Which component each `from` and `to` means.

use crate::kinds::{Component, End, Ghost, Kind};
use crate::read::Context;
use shared::{Diagnostic, codes, nearest};
use sim_core::network::{Phase, VolumeId};
use std::collections::{BTreeMap, BTreeSet};

/// What stands upstream of a branch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Upstream {
    /// A volume.
    Volume(VolumeId),
    /// Another branch, by its place among the components.
    Branch(usize),
}

/// The ends of all components; none where there is no end or it means nothing.
#[derive(Clone, Debug)]
pub struct Ends {
    /// Component of each volume; the ambient comes after them.
    pub volumes: Vec<usize>,
    /// Upstream end of each component.
    pub from: Vec<Option<Upstream>>,
    /// Downstream volume of each component.
    pub to: Vec<Option<VolumeId>>,
    /// Branches that name each component as upstream.
    pub followers: Vec<Vec<usize>>,
    /// Names that components of unknown kinds are plumbed to.
    touched: BTreeSet<String>,
}

/// What a name means.
enum Named {
    Volume(VolumeId),
    Branch(usize),
    Ghost,
}

impl Ends {
    /// Looks up every end.
    pub fn resolve(components: &[Component], ghosts: &[Ghost], context: &mut Context) -> Self {
        let volumes: Vec<usize> = (0..components.len())
            .filter(|&i| components[i].kind.is_volume())
            .collect();
        let names = names(components, ghosts, &volumes);
        let mut ends = Self {
            from: vec![None; components.len()],
            to: vec![None; components.len()],
            followers: vec![Vec::new(); components.len()],
            touched: ghosts.iter().flat_map(|g| g.ends.clone()).collect(),
            volumes,
        };
        for (i, component) in components.iter().enumerate() {
            let look_up = |end: &Option<End>, context: &mut Context| {
                let end = end.as_ref()?;
                look_up(components, &ends.volumes, &names, end, context)
            };
            ends.from[i] = match look_up(&component.from, context) {
                Some(Named::Volume(id)) => Some(Upstream::Volume(id)),
                Some(Named::Branch(j)) => Some(Upstream::Branch(j)),
                Some(Named::Ghost) | None => None,
            };
            ends.to[i] = match (look_up(&component.to, context), &component.to) {
                (Some(Named::Volume(id)), _) => Some(id),
                (Some(Named::Branch(j)), Some(end)) if !follows(&components[j], component) => {
                    report_branch_as_end(components, component, &components[j], end, context);
                    None
                }
                _ => None,
            };
        }
        for i in 0..components.len() {
            if let Some(Upstream::Branch(j)) = ends.from[i] {
                ends.followers[j].push(i);
            }
        }
        ends
    }

    /// True if a branch names the volume.
    #[must_use]
    pub fn reach(&self, id: VolumeId) -> bool {
        self.from.contains(&Some(Upstream::Volume(id))) || self.to.contains(&Some(id))
    }

    /// True if a component of unknown kind is plumbed to a component.
    #[must_use]
    pub fn is_touched(&self, component: &Component) -> bool {
        self.touched.contains(&component.name)
    }

    /// The kind of a volume; none for the ambient.
    #[must_use]
    pub fn kind(&self, components: &[Component], id: VolumeId) -> Option<Kind> {
        self.volumes.get(id).map(|&i| components[i].kind)
    }

    /// Where a gas branch ends.
    pub fn gas_end(
        &self,
        components: &[Component],
        i: usize,
        context: &mut Context,
    ) -> Option<VolumeId> {
        let component = &components[i];
        let Some(end) = &component.to else {
            if self.followers[i].is_empty() {
                self.report_open_end(component, context);
            }
            return None;
        };
        if end.port == Some(Phase::Liquid) {
            let message = format!(
                "{} would blow gas into the liquid of {}",
                component.name, end.name
            );
            let remedy = format!("write to = \"{}.gas\"", end.name);
            let diagnostic = Diagnostic::error(&codes::WRONG_PHASE, message).at(&end.span, "");
            context.report(diagnostic.remedy(remedy));
        }
        self.to[i]
    }

    /// Reports a branch that does not say where it ends, unless what comes behind it is not known.
    pub fn report_open_end(&self, component: &Component, context: &mut Context) {
        if self.is_touched(component) {
            return;
        }
        let name = &component.name;
        let message = format!("{name} does not say where it ends, and no branch comes from it");
        let diagnostic = Diagnostic::error(&codes::OPEN_END, message).at(&component.span, "");
        let remedy = format!(
            "add to = \"ambient\" or another volume, or let the next branch say from = \"{name}\""
        );
        context.report(diagnostic.remedy(remedy));
    }
}

fn names<'a>(
    components: &'a [Component],
    ghosts: &'a [Ghost],
    volumes: &[usize],
) -> BTreeMap<&'a str, Named> {
    let mut names: BTreeMap<&str, Named> = ghosts
        .iter()
        .map(|g| (g.name.as_str(), Named::Ghost))
        .collect();
    for (i, component) in components.iter().enumerate() {
        let id = volumes.iter().position(|&v| v == i);
        names.insert(
            component.name.as_str(),
            id.map_or(Named::Branch(i), Named::Volume),
        );
    }
    names.insert("ambient", Named::Volume(volumes.len()));
    names
}

fn look_up(
    components: &[Component],
    volumes: &[usize],
    names: &BTreeMap<&str, Named>,
    end: &End,
    context: &mut Context,
) -> Option<Named> {
    let named = match names.get(end.name.as_str()) {
        Some(Named::Volume(id)) => Named::Volume(*id),
        Some(Named::Branch(i)) => Named::Branch(*i),
        Some(Named::Ghost) => return Some(Named::Ghost),
        None => {
            let message = format!("there is no component \"{}\"", end.name);
            let known: Vec<&str> = names.keys().copied().collect();
            let meant = nearest(&end.name, known.iter().copied())
                .or_else(|| the_only_one(components, &end.name));
            context.report(
                Diagnostic::error(&codes::UNKNOWN_COMPONENT, message)
                    .at(&end.span, "")
                    .remedy(format!("the components are {}", known.join(", ")))
                    .meant(meant),
            );
            return None;
        }
    };
    let is_tank = matches!(named, Named::Volume(id) if volumes.get(id).is_some_and(|&i| components[i].kind == Kind::Tank));
    if end.port.is_some() && !is_tank {
        let message = format!("{} is no tank and has no ports", end.name);
        let diagnostic = Diagnostic::error(&codes::WRONG_PORT, message).at(&end.span, "");
        context.report(diagnostic.remedy(format!("write \"{}\"", end.name)));
    }
    Some(named)
}

/// The component of a kind, if there is one only and the kind stands where its name should.
fn the_only_one<'a>(components: &'a [Component], kind: &str) -> Option<&'a str> {
    let mut of_kind = components.iter().filter(|c| c.kind.word() == kind);
    let first = of_kind.next()?;
    of_kind.next().is_none().then_some(first.name.as_str())
}

/// Whether a branch says itself that it comes behind another: then a `to` of that one that names
/// it only says so twice.
fn follows(branch: &Component, before: &Component) -> bool {
    let from = branch.from.as_ref();
    from.is_some_and(|from| from.name == before.name)
}

/// The volume from which a branch comes, by names, and the port of it.
fn source<'a>(
    components: &'a [Component],
    branch: &'a Component,
) -> Option<(&'a Component, Phase)> {
    let mut at = branch;
    for _ in components {
        let end = at.from.as_ref()?;
        let before = components.iter().find(|c| c.name == end.name)?;
        if before.kind.is_volume() {
            let is_liquid = before.kind == Kind::Tank && !at.kind.is_for_gas_only();
            let default = if is_liquid { Phase::Liquid } else { Phase::Gas };
            return Some((before, end.port.unwrap_or(default)));
        }
        at = before;
    }
    None
}

fn report_branch_as_end(
    components: &[Component],
    component: &Component,
    branch: &Component,
    end: &End,
    context: &mut Context,
) {
    let (name, other) = (&component.name, &branch.name);
    if let (Some((_, Phase::Gas)), Some((tank, Phase::Liquid))) =
        (source(components, component), source(components, branch))
    {
        let tank = &tank.name;
        let message =
            format!("{name} would blow gas into the liquid line of {other}, where no gas comes in");
        context.report(
            Diagnostic::error(&codes::UNKNOWN_COMPONENT, message)
                .at(&end.span, "")
                .remedy(format!("a liquid line is purged from its tank: write to = \"{tank}.gas\", and the gas drives the last of the liquid out and follows it; a purge past liquid that stays in {tank} is not modelled")),
        );
        return;
    }
    let message = format!("{name} ends in {other}, which is no volume");
    context.report(
        Diagnostic::error(&codes::UNKNOWN_COMPONENT, message)
            .at(&end.span, "")
            .remedy(format!("leave this line out and write from = \"{name}\" in [{}]; to names the volume where a chain ends", branch.path())),
    );
}
