//! The sequence, understood: which valve, and on what.

use crate::assemble::actuator_of;
use crate::conditions::Observed;
use crate::kinds::{Body, Kind};
use crate::plan::{Command, Trigger};
use crate::read::Context;
use crate::tables::{Action, Moment, Step};
use shared::{Diagnostic, codes, nearest};
use sim_core::network as net;

/// Understands all steps; warns of steps and valves that do nothing.
pub fn commands(
    steps: &[Step],
    observed: &Observed<'_>,
    until_s: f64,
    context: &mut Context,
) -> Vec<Command> {
    let mut commands = Vec::new();
    for step in steps {
        let trigger = trigger(&step.moment, observed, until_s, context);
        for action in &step.actions {
            let valve = valve(action, observed, context);
            if let (Some(trigger), Some(i)) = (&trigger, valve) {
                commands.push(Command {
                    trigger: trigger.clone(),
                    actuator: actuator_of(observed.components, i),
                    travel: action.travel,
                    repeats: matches!(step.moment, Moment::When { repeats: true, .. }),
                });
            }
        }
    }
    warn_of_idle_valves(steps, observed, context);
    commands
}

fn trigger(
    moment: &Moment,
    observed: &Observed<'_>,
    until_s: f64,
    context: &mut Context,
) -> Option<Trigger> {
    match moment {
        Moment::At { time, span } => {
            let at_s = context.inputs.nominal().si(*time);
            if at_s > until_s {
                let message =
                    format!("a step at {at_s} s comes after the run, which ends at {until_s} s");
                let warning = Diagnostic::warning(&codes::LATE_STEP, message);
                context.report(warning.at(span, "").remedy("lengthen the run: [run] until"));
            }
            Some(Trigger::At(*time))
        }
        Moment::When { condition, .. } => {
            let (column, bound) = observed.condition(condition, context)?;
            Some(Trigger::When(net::Trigger::When {
                column,
                relation: bound.relation,
                threshold: bound.threshold,
            }))
        }
    }
}

fn valve(action: &Action, observed: &Observed<'_>, context: &mut Context) -> Option<usize> {
    let is_valve = |i: &usize| observed.components[*i].kind == Kind::Valve;
    let valves: Vec<usize> = (0..observed.components.len()).filter(is_valve).collect();
    let name = |&i: &usize| observed.components[i].name.as_str();
    if let Some(&i) = valves.iter().find(|i| name(i) == action.valve) {
        return Some(i);
    }
    if observed.is_ghost(&action.valve) {
        return None;
    }
    let names: Vec<&str> = valves.iter().map(name).collect();
    let message = format!("there is no valve \"{}\"", action.valve);
    let remedy = if names.is_empty() {
        "the stand has no valve; add [valve.NAME]".to_owned()
    } else {
        format!("the valves are {}", names.join(", "))
    };
    context.report(
        Diagnostic::error(&codes::UNKNOWN_VALVE, message)
            .at(&action.span, "")
            .remedy(remedy)
            .meant(nearest(&action.valve, names)),
    );
    None
}

fn warn_of_idle_valves(steps: &[Step], observed: &Observed<'_>, context: &mut Context) {
    let commanded: Vec<&str> = steps
        .iter()
        .flat_map(|s| &s.actions)
        .map(|a| a.valve.as_str())
        .collect();
    for component in observed.components {
        // One that stands open is meant to.
        let is_shut = matches!(&component.body, Some(Body::Valve(v)) if !v.is_open_at_start());
        if is_shut && !commanded.contains(&component.name.as_str()) {
            let name = &component.name;
            let message = format!("{name} is never commanded");
            let warning = Diagnostic::warning(&codes::IDLE_VALVE, message);
            let remedy =
                format!("add a step: [[sequence]] with at = \"5 s\" and open = \"{name}\"");
            context.report(warning.at(&component.span, "").remedy(remedy));
        }
    }
}
