//! Liquid chains: lines, valves and orifices in series from a tank.

use super::Branch;
use super::ends::{Ends, Upstream};
use crate::kinds::{Component, Kind};
use crate::read::Context;
use shared::{Diagnostic, codes};
use sim_core::network::{Phase, Port, VolumeId};

/// All chains, each from its tank to where it ends.
pub fn chains(
    components: &[Component],
    ends: &Ends,
    phases: &[Option<Phase>],
    context: &mut Context,
) -> Vec<Branch> {
    (0..components.len())
        .filter(|&i| phases[i] == Some(Phase::Liquid))
        .filter_map(|i| match ends.from[i] {
            Some(Upstream::Volume(volume)) => chain(components, ends, i, volume, context),
            _ => None,
        })
        .collect()
}

/// The chain that begins with a component.
fn chain(
    components: &[Component],
    ends: &Ends,
    head: usize,
    from: VolumeId,
    context: &mut Context,
) -> Option<Branch> {
    let mut members = vec![head];
    let mut last = head;
    loop {
        let followers = &ends.followers[last];
        check_fork(components, ends, last, context);
        match followers.first() {
            Some(&next) => last = next,
            None => break,
        }
        members.push(last);
    }
    let to = end(components, ends, last, context)?;
    Some(Branch {
        components: members,
        phase: Phase::Liquid,
        from: Port {
            volume: from,
            phase: Phase::Liquid,
        },
        to,
    })
}

fn check_fork(components: &[Component], ends: &Ends, at: usize, context: &mut Context) {
    let (component, followers) = (&components[at], &ends.followers[at]);
    // One that names no volume names a follower, or has been reported.
    let end = component.to.as_ref().filter(|_| ends.to[at].is_some());
    if followers.len() + usize::from(end.is_some()) < 2 {
        return;
    }
    let mut ways: Vec<&str> = followers
        .iter()
        .map(|&f| components[f].name.as_str())
        .collect();
    ways.extend(end.map(|e| e.name.as_str()));
    let name = &component.name;
    let message = format!("the chain forks behind {name}, to {}", ways.join(" and "));
    let remedy = "let each chain start at the tank, with lines of its own; or let one branch follow the other";
    let mut diagnostic = Diagnostic::error(&codes::FORK, message).at(&component.span, "");
    let spans = followers
        .iter()
        .filter_map(|&f| components[f].from.as_ref());
    for end in spans.chain(end) {
        diagnostic = diagnostic.at(&end.span, "");
    }
    context.report(diagnostic.remedy(remedy));
}

/// Where a chain ends: the ambient, or a tank's liquid or gas.
fn end(components: &[Component], ends: &Ends, last: usize, context: &mut Context) -> Option<Port> {
    let component = &components[last];
    let Some(end) = &component.to else {
        ends.report_open_end(component, context);
        return None;
    };
    let volume = ends.to[last]?;
    match ends.kind(components, volume) {
        None => Some(Port {
            volume,
            phase: Phase::Gas,
        }),
        Some(Kind::Tank) => Some(Port {
            volume,
            phase: end.port.unwrap_or(Phase::Liquid),
        }),
        Some(_) => {
            let message = format!(
                "{} would carry liquid into {}, which holds gas only",
                component.name, end.name
            );
            let diagnostic = Diagnostic::error(&codes::WRONG_PHASE, message).at(&end.span, "");
            context.report(diagnostic.remedy("let the chain end in the ambient or in a tank"));
            None
        }
    }
}
