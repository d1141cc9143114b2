//! How the components are connected: volumes, gas branches between them, and liquid chains.

mod chains;
mod ends;
mod phases;

use crate::kinds::{Component, Ghost};
use crate::read::Context;
use ends::{Ends, Upstream};
use shared::{Diagnostic, codes};
use sim_core::network::{Phase, Port};

/// A connected stand.
#[derive(Clone, Debug)]
pub struct Plumbing {
    /// Component of each volume but the ambient, which comes last.
    pub volumes: Vec<usize>,
    /// Branches in the order of the file.
    pub branches: Vec<Branch>,
    /// Phase that each component works in, if it is a branch.
    pub phases: Vec<Option<Phase>>,
}

/// What lies between two volumes.
#[derive(Clone, Debug)]
pub struct Branch {
    /// Its components in the order of flow: one in gas, a chain in liquid.
    pub components: Vec<usize>,
    /// What flows.
    pub phase: Phase,
    /// Upstream end.
    pub from: Port,
    /// Downstream end.
    pub to: Port,
}

impl Plumbing {
    /// Connects the components as far as they can be; what is wrong goes into the context.
    pub fn of(components: &[Component], ghosts: &[Ghost], context: &mut Context) -> Self {
        let ends = Ends::resolve(components, ghosts, context);
        let roots = phases::roots(components, &ends, context);
        let phases = phases::phases(components, &ends, &roots, context);
        let mut branches = gas_branches(components, &ends, &phases, context);
        branches.extend(chains::chains(components, &ends, &phases, context));
        branches.sort_by_key(|b| b.components.first().copied());
        check_same_ends(components, &branches, context);
        check_connected(components, &ends, context);
        Self {
            volumes: ends.volumes,
            branches,
            phases,
        }
    }
}

/// Gas branches: each stands between two volumes.
fn gas_branches(
    components: &[Component],
    ends: &Ends,
    phases: &[Option<Phase>],
    context: &mut Context,
) -> Vec<Branch> {
    let mut branches = Vec::new();
    for (i, component) in components.iter().enumerate() {
        if phases[i] != Some(Phase::Gas) {
            continue;
        }
        match ends.from[i] {
            Some(Upstream::Branch(j)) => report_joint(&components[j], component, context),
            Some(Upstream::Volume(volume)) => {
                let port = |volume| Port {
                    volume,
                    phase: Phase::Gas,
                };
                if let Some(to) = ends.gas_end(components, i, context) {
                    branches.push(Branch {
                        components: vec![i],
                        phase: Phase::Gas,
                        from: port(volume),
                        to: port(to),
                    });
                }
            }
            None => {}
        }
    }
    branches
}

fn report_joint(up: &Component, down: &Component, context: &mut Context) {
    let (up_name, down_name) = (&up.name, &down.name);
    let message =
        format!("{up_name} and {down_name} meet without a volume for the gas between them");
    let span = down.from.as_ref().map_or(&down.span, |end| &end.span);
    let name = format!("{up_name}_line");
    let diagnostic = Diagnostic::error(&codes::GAS_JOINT, message)
        .at(span, "")
        .at(&up.span, "this is a branch, not a volume")
        .remedy(format!(
            "insert a plenum with the volume of the pipe between them: [plenum.{name}] with volume = \"50 mL\"; then write to = \"{name}\" in [{}] and from = \"{name}\" in [{}]",
            up.path(),
            down.path()
        ));
    let tank = up.from.as_ref().filter(|end| end.port == Some(Phase::Gas));
    context.report(match tank {
        Some(tank) => diagnostic.remedy(format!(
            "if liquid is to flow, write from = \"{}\" in [{}]",
            tank.name,
            up.path()
        )),
        None => diagnostic,
    });
}

fn check_same_ends(components: &[Component], branches: &[Branch], context: &mut Context) {
    for branch in branches {
        let (Some(&first), true) = (
            branch.components.first(),
            branch.from.volume == branch.to.volume,
        ) else {
            continue;
        };
        let component = &components[first];
        let message = format!("{} leads back to where it comes from", component.name);
        let diagnostic = Diagnostic::error(&codes::SAME_ENDS, message).at(&component.span, "");
        context.report(diagnostic.remedy("let from and to name two volumes"));
    }
}

/// A volume that nothing reaches is a slip where other components are connected.
fn check_connected(components: &[Component], ends: &Ends, context: &mut Context) {
    let has_branches = components.iter().any(|c| !c.kind.is_volume());
    for (id, &i) in ends.volumes.iter().enumerate() {
        if ends.reach(id) || ends.is_touched(&components[i]) {
            continue;
        }
        let component = &components[i];
        let message = format!("{} is connected to nothing", component.name);
        let remedy = format!(
            "name it in the from or to of a branch: from = \"{}\"",
            component.name
        );
        let diagnostic = if has_branches {
            Diagnostic::error(&codes::NOT_CONNECTED, message)
        } else {
            Diagnostic::warning(&codes::VOLUME_IDLE, message)
        };
        context.report(diagnostic.at(&component.span, "").remedy(remedy));
    }
}
