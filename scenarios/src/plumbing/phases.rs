//! What flows through each branch: gas, or liquid from a tank.

use super::ends::{Ends, Upstream};
use crate::kinds::{Component, Kind};
use crate::read::Context;
use shared::{Diagnostic, codes};
use sim_core::network::Phase;

/// For each branch the branch at the head of its chain, which starts at a volume.
pub fn roots(components: &[Component], ends: &Ends, context: &mut Context) -> Vec<Option<usize>> {
    let root = |start: usize, context: &mut Context| {
        let mut at = start;
        let mut passed = vec![start];
        loop {
            match ends.from[at]? {
                Upstream::Volume(_) => return Some(at),
                Upstream::Branch(up) if passed.contains(&up) => {
                    report_loop(components, &passed, up, start, context);
                    return None;
                }
                Upstream::Branch(up) => at = up,
            }
            passed.push(at);
        }
    };
    (0..components.len()).map(|i| root(i, context)).collect()
}

/// Reports a loop, once: from its first component in the file.
fn report_loop(
    components: &[Component],
    passed: &[usize],
    closing: usize,
    start: usize,
    context: &mut Context,
) {
    let is_first = closing == start && passed.iter().all(|&i| i >= start);
    if !is_first {
        return;
    }
    let mut names: Vec<&str> = passed
        .iter()
        .map(|&i| components[i].name.as_str())
        .collect();
    names.reverse();
    let message = format!("{} form a loop without a volume", names.join(", "));
    let mut diagnostic = Diagnostic::error(&codes::LOOP, message)
        .remedy("let one of them come from a volume, as in from = \"fuel\"");
    for &i in passed {
        if let Some(end) = &components[i].from {
            diagnostic = diagnostic.at(&end.span, "");
        }
    }
    context.report(diagnostic);
}

/// What flows through each component; none for volumes and where it cannot be known.
pub fn phases(
    components: &[Component],
    ends: &Ends,
    roots: &[Option<usize>],
    context: &mut Context,
) -> Vec<Option<Phase>> {
    let own: Vec<Option<Phase>> = (0..components.len())
        .map(|i| {
            let phase = head_phase(components, ends, roots[i]?)?;
            check_phase(&components[i], phase, context).then_some(phase)
        })
        .collect();
    // What comes behind a component in the wrong phase is left in peace.
    (0..components.len())
        .map(|i| own[i].filter(|_| all_known_upstream(ends, &own, i)))
        .collect()
}

fn all_known_upstream(ends: &Ends, phases: &[Option<Phase>], mut at: usize) -> bool {
    while let Some(Upstream::Branch(up)) = ends.from[at] {
        if phases[up].is_none() {
            return false;
        }
        at = up;
    }
    true
}

/// What a branch at a volume takes from it.
fn head_phase(components: &[Component], ends: &Ends, head: usize) -> Option<Phase> {
    let Some(Upstream::Volume(volume)) = ends.from[head] else {
        return None;
    };
    if ends.kind(components, volume) != Some(Kind::Tank) {
        return Some(Phase::Gas);
    }
    let component = &components[head];
    let default = match component.kind {
        kind if kind.is_for_gas_only() => Phase::Gas,
        _ => Phase::Liquid,
    };
    let port = component.from.as_ref().and_then(|end| end.port);
    Some(port.unwrap_or(default))
}

/// Reports a component in the wrong phase.
fn check_phase(component: &Component, phase: Phase, context: &mut Context) -> bool {
    let (name, kind) = (&component.name, component.kind.word());
    let (message, remedy) = match (component.kind, phase) {
        (Kind::Venturi, Phase::Gas) => (
            format!("{name} is a venturi for liquid, but gas flows to it"),
            "for gas, put an orifice with the diameter of the throat",
        ),
        (kind_of_gas, Phase::Liquid) if kind_of_gas.is_for_gas_only() => (
            format!("{name} is a {kind} for gas, but liquid flows to it"),
            "plumb it to a bottle, a plenum or a tank's gas; for liquid, put an orifice or valve",
        ),
        _ => return true,
    };
    let span = component.from.as_ref().map_or(&component.span, |e| &e.span);
    let diagnostic = Diagnostic::error(&codes::WRONG_PHASE, message).at(span, "");
    context.report(diagnostic.remedy(remedy));
    false
}
