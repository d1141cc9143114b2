//! From the text of a stand file to a [`CheckedStand`].

use crate::area_flow;
use crate::assemble::Parts;
use crate::cold_start::warn_of_cold_start;
use crate::cold_ullage::refuse_cold_ullage;
use crate::conditions::Observed;
use crate::decomposing::warn_of_decomposition;
use crate::document::{self, Table};
use crate::dry_ice::warn_of_dry_ice;
use crate::input::{Assumption, Inputs, Values};
use crate::kinds::{Body, Component};
use crate::networks::GasNetworks;
use crate::physics;
use crate::plan::Plan;
use crate::plumbing::Plumbing;
use crate::proportions::warn_of_misfits;
use crate::read::Context;
use crate::sequence;
use crate::stand::Stand;
use crate::summary::{Bound, warn_of_dissolving};
use crate::tables::Judgement;
use shared::quantity::Display;
use shared::{Diagnostic, Severity, codes};
use sim_core::network::Network;
use sim_core::outcome::RunOptions;

/// A stand that can be run.
#[derive(Clone, Debug)]
pub struct CheckedStand {
    /// Title.
    pub title: String,
    /// Units to show.
    pub display: Display,
    /// All numbers of the stand, with their uncertainties.
    pub inputs: Inputs,
    /// What the file does not say.
    pub assumptions: Vec<Assumption>,
    /// What may be a slip.
    pub warnings: Vec<Diagnostic>,
    /// What the run should reach; not reaching it is printed.
    pub requirements: Vec<Bound>,
    /// What the run must not leave; leaving it is a failure.
    pub limits: Vec<Bound>,
    /// How to run it.
    pub run: RunOptions,
    /// The stand file.
    pub text: String,
    /// What stood in place of its values.
    pub overrides: Vec<(String, String)>,
    /// Where it names a gas, as a path, and which.
    pub gases: Vec<(String, String)>,
    plan: Plan,
}

impl CheckedStand {
    /// What stands in place of the file's values, once for each path: the last is in force.
    #[must_use]
    pub fn in_force(&self) -> Vec<(String, String)> {
        let overrides = &self.overrides;
        let is_last = |i: usize| overrides[i + 1..].iter().all(|o| o.0 != overrides[i].0);
        let kept = overrides.iter().enumerate().filter(|(i, _)| is_last(*i));
        kept.map(|(_, o)| o.clone()).collect()
    }

    /// The network with nominal values.
    #[must_use]
    pub fn lower(&self) -> Network {
        self.lower_with(&self.inputs.nominal())
    }

    /// The network with other values in place of the nominal ones.
    #[must_use]
    pub fn lower_with(&self, values: &Values<'_>) -> Network {
        self.plan.lower(values)
    }
}

/// Reads and checks a stand file.
///
/// # Errors
/// Everything that is wrong with it, in the order of the file; warnings stand among the errors.
pub fn load(text: &str) -> Result<CheckedStand, Vec<Diagnostic>> {
    load_with(text, &[])
}

/// Reads and checks a stand file with other values in place of some of its own, given as
/// `(path, value)`, for example `("bottle.supply.volume", "7 L")`.
///
/// # Errors
/// Everything that is wrong, as with [`load`]; what an override brings in points at the
/// override.
pub fn load_with(
    text: &str,
    overrides: &[(String, String)],
) -> Result<CheckedStand, Vec<Diagnostic>> {
    let (mut document, syntax) = document::parse(text);
    let is_well_formed = syntax.is_empty();
    let mut context = Context {
        diagnostics: syntax,
        ..Context::default()
    };
    let misfits = document::apply_overrides(&mut document, overrides);
    context.diagnostics.extend(misfits);
    if !is_well_formed && document.entries.is_empty() {
        return Err(in_order(context.diagnostics));
    }
    if is_well_formed && is_empty(&document) {
        return Err(vec![empty_file()]);
    }
    let stand = Stand::read(&document, &mut context);
    if !is_well_formed {
        // What the parser passed over looks as if it were missing.
        let missing = codes::MISSING_KEY.id;
        context.diagnostics.retain(|d| d.code != missing);
        return Err(in_order(context.diagnostics));
    }
    let doubled = codes::NAME_TAKEN.id;
    if context.diagnostics.iter().any(|d| d.code == doubled) {
        // Nothing can be said of connections while a name means two things.
        return Err(in_order(context.diagnostics));
    }
    match check(stand, &mut context) {
        Some(checked) => Ok(CheckedStand {
            text: text.to_owned(),
            overrides: overrides.to_vec(),
            ..checked
        }),
        None => Err(in_order(context.diagnostics)),
    }
}

/// A document without a component.
fn is_empty(document: &Table) -> bool {
    let mut tables = document.entries.iter();
    tables.all(|e| e.node.table().is_none())
}

fn empty_file() -> Diagnostic {
    Diagnostic::error(&codes::EMPTY, "the file holds no component")
        .remedy("let pressfed new FILE write one to begin with")
}

/// In the order of the file, overrides last, and what has no place at the end.
fn in_order(mut diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    diagnostics.sort_by_key(|d| {
        let first = d.labels.first().map(|l| &l.span);
        (first.is_none(), first.map(|s| (s.source, s.bytes.start)))
    });
    diagnostics
}

fn has_errors(context: &Context) -> bool {
    let mut diagnostics = context.diagnostics.iter();
    diagnostics.any(|d| d.severity == Severity::Error)
}

/// Checks how the parts of a stand fit together; none if anything is wrong.
fn check(stand: Stand, context: &mut Context) -> Option<CheckedStand> {
    let components = &stand.components;
    let plumbing = Plumbing::of(components, &stand.ghosts, context);
    if plumbing.volumes.is_empty() && !has_errors(context) {
        context.report(empty_file());
    }
    let liquids = physics::load_liquids(components, &stand.display, context);
    physics::check_tanks(components, &liquids, &stand.display, context);
    physics::check_liquids(components, &plumbing, context);
    physics::warn_of_set_pressures(components, &plumbing, &stand.display, context);
    let observed = Observed {
        components,
        ghosts: &stand.ghosts,
        phases: &plumbing.phases,
        ambient_pa: stand.display.ambient_pa(),
    };
    let until_s = stand.run.options.until_s;
    let commands = sequence::commands(&stand.sequence, &observed, until_s, context);
    let requirements = bounds(&stand.requirements, &observed, context);
    let limits = bounds(&stand.limits, &observed, context);
    physics::warn_of_reliefs(components, &plumbing, &limits, &stand.display, context);
    if has_errors(context) {
        return None;
    }
    let networks = GasNetworks::of(components, &plumbing, &liquids, &stand.gases, context)?;
    let parts = Parts {
        ambient: stand.ambient,
        components,
        display: &stand.display,
        plumbing: &plumbing,
        liquids: &liquids,
        networks,
        commands,
    };
    let plan = parts.assemble(context)?;
    if has_errors(context) {
        return None;
    }
    let network = plan.lower(&context.inputs.nominal());
    area_flow::check(&network, components, &stand.display, context);
    refuse_cold_ullage(&network, components, &stand.display, context);
    if has_errors(context) {
        return None;
    }
    physics::warn_of_tanks_without_relief(components, &plumbing, context);
    physics::warn_of_tanks_without_vent(components, &plumbing, context);
    warn_of_decomposition(&network, components, context);
    warn_of_dissolving(&network, components, &stand.display, context);
    warn_of_dry_ice(&network, components, &stand.display, context);
    warn_of_cold_start(&network, components, &stand.display, context);
    warn_of_misfits(&network, components, &stand.display, context);
    let context = std::mem::take(context);
    Some(CheckedStand {
        title: stand.title,
        display: stand.display,
        inputs: context.inputs,
        assumptions: by_owner(context.assumptions),
        warnings: in_order(context.diagnostics),
        requirements,
        limits,
        run: stand.run.options,
        text: String::new(),
        overrides: Vec::new(),
        gases: components.iter().filter_map(named_gas).collect(),
        plan,
    })
}

/// The path under which a component names its gas, and that gas.
fn named_gas(component: &Component) -> Option<(String, String)> {
    let gas = match component.body.as_ref()? {
        Body::Vessel(vessel) => vessel.gas.as_ref()?,
        Body::Tank(tank) => &tank.gas,
        _ => return None,
    };
    Some((format!("{}.gas", component.path()), gas.name.clone()))
}

/// What is assumed of one component stands together, in the order of first mention.
fn by_owner(mut assumptions: Vec<Assumption>) -> Vec<Assumption> {
    let owner = |a: &Assumption| a.path.rsplit_once('.').map_or("", |p| p.0).to_owned();
    let mut owners: Vec<String> = Vec::new();
    for assumption in &assumptions {
        if !owners.contains(&owner(assumption)) {
            owners.push(owner(assumption));
        }
    }
    assumptions.sort_by_key(|a| owners.iter().position(|o| *o == owner(a)));
    assumptions
}

fn bounds(judgements: &[Judgement], observed: &Observed<'_>, context: &mut Context) -> Vec<Bound> {
    judgements
        .iter()
        .filter_map(|judgement| {
            let Judgement {
                path,
                path_span,
                bound: node,
            } = judgement;
            let bound = observed.bound(path, path_span, node, context)?;
            Some(Bound {
                path: path.clone(),
                relation: bound.relation,
                threshold: bound.threshold,
                dimension: bound.dimension,
                unit: bound.unit,
                reference: bound.reference,
                text: node.text().unwrap_or_default().to_owned(),
            })
        })
        .collect()
}
