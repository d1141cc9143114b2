//! From components and plumbing to a [`Plan`]: bodies find their places, and what depends on
//! the place (phase, filling of lines) is settled.

use crate::input::InputId;
use crate::kinds::{Body, Capacity, Component, Line};
use crate::networks::GasNetworks;
use crate::plan::{Branch, BranchBody, Command, Element, Plan, Volume, VolumeBody};
use crate::plumbing::{self, Plumbing};
use crate::read::Context;
use crate::tables::Ambient;
use crate::words::words;
use fluids::{FluidError, GasMixture, Liquid};
use shared::quantity::{Dimension, Display, significant};
use shared::{Diagnostic, codes};
use sim_core::network::{ActuatorId, GasFill};
use std::sync::Arc;

/// Move of a flow curve that is not worth a word.
const UNNOTED_PA: f64 = 1.0;

/// What a plan is made of.
#[derive(Debug)]
pub struct Parts<'a> {
    /// The air around.
    pub ambient: Ambient,
    /// Components.
    pub components: &'a [Component],
    /// Units to show.
    pub display: &'a Display,
    /// How they are connected.
    pub plumbing: &'a Plumbing,
    /// Liquid by component.
    pub liquids: &'a [Option<Arc<Liquid>>],
    /// Gas networks.
    pub networks: GasNetworks,
    /// Orders to valves.
    pub commands: Vec<Command>,
}

impl Parts<'_> {
    /// Assembles the plan and checks the states of its gases; none if anything is wrong.
    pub fn assemble(self, context: &mut Context) -> Option<Plan> {
        let volumes = (0..self.plumbing.volumes.len()).map(|id| self.volume(id, context));
        let volumes = volumes.collect::<Option<_>>()?;
        let branches = self.plumbing.branches.iter();
        let branches = branches.map(|b| self.branch(b, context));
        let branches = branches.collect::<Option<_>>()?;
        let actuators = self.components.iter().filter_map(|c| match &c.body {
            Some(Body::Valve(valve)) => Some((c.name.clone(), valve.clone())),
            _ => None,
        });
        let plan = Plan {
            ambient: self.ambient,
            volumes,
            branches,
            actuators: actuators.collect(),
            commands: self.commands.clone(),
            networks: self.networks.clone(),
        };
        check_states(&plan, &self, context);
        check_curves(&plan, self.components, self.display, context);
        Some(plan)
    }

    fn volume(&self, id: usize, context: &mut Context) -> Option<Volume> {
        let i = self.plumbing.volumes[id];
        let component = &self.components[i];
        let body = match component.body.clone()? {
            Body::Vessel(vessel) => VolumeBody::Vessel(vessel),
            Body::Tank(mut tank) => {
                let liquid = self.liquids[i].clone()?;
                let mixture = &self.networks.mixtures[self.networks.of_volume[id]];
                let species = liquid.vapour_species().filter(|_| tank.has_vapour);
                let vapour = species.and_then(|s| mixture.index_of(s));
                if let Some(cryogen) = &mut tank.cryogen {
                    cryogen.settle(mixture, vapour, &component.path(), context);
                }
                VolumeBody::Tank {
                    vapour,
                    tank,
                    liquid,
                }
            }
            _ => return None,
        };
        Some(Volume {
            name: component.name.clone(),
            body,
        })
    }

    fn branch(&self, branch: &plumbing::Branch, context: &mut Context) -> Option<Branch> {
        let &first = branch.components.first()?;
        let body = match branch.phase {
            sim_core::network::Phase::Gas => self.gas_body(first, context)?,
            sim_core::network::Phase::Liquid => self.chain(&branch.components, context)?,
        };
        Some(Branch {
            name: self.components[first].name.clone(),
            from: branch.from,
            to: branch.to,
            body,
        })
    }

    fn gas_body(&self, i: usize, context: &mut Context) -> Option<BranchBody> {
        let component = &self.components[i];
        let path = component.path();
        let mut settle = |capacity: &mut Capacity, is_measured| {
            capacity.settle_for_gas(context, &path, is_measured);
        };
        Some(match component.body.clone()? {
            Body::Regulator(mut regulator) => {
                let is_measured = regulator.has_curve();
                settle(&mut regulator.capacity, is_measured);
                BranchBody::Regulator(Box::new(regulator))
            }
            Body::CheckValve(mut valve) => {
                settle(&mut valve.capacity, false);
                BranchBody::CheckValve(valve)
            }
            Body::Relief(mut valve) => {
                settle(&mut valve.capacity, false);
                BranchBody::Relief(valve)
            }
            Body::BurstDisc(mut disc) => {
                settle(&mut disc.capacity, false);
                BranchBody::BurstDisc(disc)
            }
            Body::Orifice(mut orifice) => {
                settle(&mut orifice.capacity, false);
                if orifice.capacity.has_style() {
                    orifice.capacity.assume_no_recovery(context, &path);
                }
                BranchBody::Orifice(orifice)
            }
            Body::Line(line) => {
                check_gas_line(component, &line, context);
                BranchBody::Line(line)
            }
            Body::Valve(mut valve) => {
                settle(&mut valve.capacity, false);
                if valve.capacity.has_style() {
                    let usual = valve.usual_recovery();
                    valve.capacity.settle_recovery(context, &path, usual);
                }
                BranchBody::Valve(Box::new(valve), self.actuator(i))
            }
            _ => return None,
        })
    }

    fn chain(&self, members: &[usize], context: &mut Context) -> Option<BranchBody> {
        let mut elements = Vec::with_capacity(members.len());
        let mut is_open = true;
        let mut is_full_so_far = true;
        for &i in members {
            let component = &self.components[i];
            let element = match component.body.clone()? {
                Body::Line(line) => {
                    let is_full = fill_line(component, line.is_full, is_open, context);
                    if is_full && !is_full_so_far {
                        report_gap(component, context);
                    }
                    is_full_so_far &= is_full;
                    Element::Line(line, is_full)
                }
                Body::Valve(mut valve) => {
                    is_open &= valve.is_open_at_start();
                    check_liquid_capacity(component, &valve.capacity, context);
                    let usual = valve.usual_recovery();
                    let path = component.path();
                    valve.capacity.settle_recovery(context, &path, usual);
                    Element::Valve(Box::new(valve), self.actuator(i))
                }
                Body::Orifice(orifice) => {
                    check_liquid_capacity(component, &orifice.capacity, context);
                    let path = component.path();
                    orifice.capacity.assume_no_recovery(context, &path);
                    Element::Orifice(orifice)
                }
                Body::Venturi(venturi) => Element::Venturi(venturi),
                _ => return None,
            };
            elements.push((component.name.clone(), element));
        }
        Some(BranchBody::Chain(elements))
    }

    /// Valves are numbered in the order of the file.
    fn actuator(&self, i: usize) -> ActuatorId {
        actuator_of(self.components, i)
    }
}

/// Number of a valve among the valves.
pub fn actuator_of(components: &[Component], i: usize) -> ActuatorId {
    let valves = components[..i].iter();
    valves
        .filter(|c| matches!(c.body, Some(Body::Valve(_))))
        .count()
}

/// Liquid stands in a chain up to its first shut valve unless the file says otherwise.
fn fill_line(
    component: &Component,
    stated: Option<bool>,
    is_open: bool,
    context: &mut Context,
) -> bool {
    stated.unwrap_or_else(|| {
        let value = if is_open { "full" } else { "dry" };
        let path = format!("{}.at_start", component.path());
        context.assume(&path, value, "liquid stands up to the first shut valve");
        is_open
    })
}

/// Says what of a line counts for nothing in gas, and refuses what only liquid has.
fn check_gas_line(component: &Component, line: &Line, context: &mut Context) {
    let path = component.path();
    let volume_m3 = line.volume_m3(&context.inputs.nominal());
    let value = format!(
        "{} mL, counted as nothing",
        significant(1e6 * volume_m3, 3, 2)
    );
    let reason = "a gas line passes what enters it at once; add its volume to a plenum at its end";
    context.assume(&format!("{path}.volume"), value, reason);
    if line.is_full.is_some() {
        let message = format!(
            "{} carries gas, and at_start says whether liquid stands in it",
            component.name
        );
        let diagnostic = Diagnostic::error(&codes::WRONG_PHASE, message).at(&component.span, "");
        context
            .report(diagnostic.remedy("leave at_start out, or lead the line from a tank's liquid"));
    }
}

fn report_gap(component: &Component, context: &mut Context) {
    let message = format!(
        "{} is full at the start, but a line before it is dry",
        component.name
    );
    let diagnostic = Diagnostic::error(&codes::GAP, message).at(&component.span, "");
    context.report(diagnostic.remedy("write at_start = \"dry\" here or \"full\" before"));
}

fn check_liquid_capacity(component: &Component, capacity: &Capacity, context: &mut Context) {
    if let Some(what) = capacity.for_gas_only() {
        let message = format!("{} has {what}, but liquid flows to it", component.name);
        let diagnostic = Diagnostic::error(&codes::WRONG_PHASE, message).at(&component.span, "");
        context.report(diagnostic.remedy("give its flow_coefficient or effective_area"));
    }
}

/// Checks that every volume starts in a state for which there are properties.
fn check_states(plan: &Plan, parts: &Parts<'_>, context: &mut Context) {
    let inputs = context.inputs.clone();
    let values = inputs.nominal();
    for (id, &i) in parts.plumbing.volumes.iter().enumerate() {
        let fill = plan.gas_fill(id, &values);
        let state =
            plan.mixture(&fill)
                .at(fill.pressure_pa, fill.temperature_k, &fill.mole_fractions);
        let component = &parts.components[i];
        let names_liquid = check_is_gas(
            &fill,
            plan.mixture(&fill),
            component,
            parts.display,
            context,
        );
        if names_liquid {
            continue;
        }
        if let Err(error) = state {
            let reason = words(&error, parts.display);
            let message = format!("{} cannot start as stated: {reason}", component.name);
            let diagnostic = Diagnostic::error(&codes::FLUID_RANGE, message);
            let remedy = "choose a pressure and a temperature within the range";
            let span =
                input_at_fault(component, &error).and_then(|id| inputs.get(id).span.as_ref());
            let span = span.unwrap_or(&component.span);
            context.report(diagnostic.at(span, "").remedy(remedy));
        }
    }
}

/// Reports a gas of a volume that is liquid as stated, and says whether there is one: liquid in a gas
/// is not modelled.
fn check_is_gas(
    fill: &GasFill,
    mixture: &GasMixture,
    component: &Component,
    display: &Display,
    context: &mut Context,
) -> bool {
    let (own_liquid, pressure) = match component.body.as_ref() {
        Some(Body::Vessel(vessel)) => (None, vessel.pressure),
        Some(Body::Tank(tank)) => (Some(tank.liquid.name.as_str()), tank.pressure),
        _ => return false,
    };
    let is_pure = |x: f64| x == 1.0;
    let fractions = fill.mole_fractions.iter().enumerate();
    let liquid = fractions.filter(|&(_, &x)| x > 0.0).find_map(|(k, &x)| {
        // Saturated vapour over its own liquid condenses but for rounding.
        if own_liquid == Some(mixture.name(k)) && !is_pure(x) {
            return None;
        }
        let fluid = mixture.pure(k)?;
        let boiling = fluid.saturation_at_temperature(fill.temperature_k).ok()?;
        let partial_pa = x * fill.pressure_pa;
        (partial_pa >= boiling.pressure_pa).then_some((fluid, partial_pa, boiling.pressure_pa))
    });
    let Some((fluid, partial_pa, boiling_pa)) = liquid else {
        return false;
    };
    let hot_k = fluid.saturation_at_pressure(partial_pa);
    let hot_k = hot_k.map_or(fluid.critical_temperature_k(), |s| s.temperature_k);
    let text = |pa| display.text(Dimension::Pressure, pa);
    let temperature = |k| display.text(Dimension::Temperature, k);
    let message = format!(
        "{} holds {} at {} and {}, where it is liquid",
        component.name,
        fluid.name(),
        text(partial_pa),
        temperature(fill.temperature_k)
    );
    let remedy = format!(
        "it is gas below {} at this temperature, or above {} at this pressure; {}",
        text(boiling_pa),
        temperature(hot_k),
        match own_liquid {
            None => "bottles of liquid are not modelled",
            Some(_) =>
                "take a gas that boils colder, such as helium, a lower pressure, or a warmer ullage",
        }
    );
    let span = context.inputs.get(pressure).span.clone();
    let span = span.unwrap_or_else(|| component.span.clone());
    let diagnostic = Diagnostic::error(&codes::LIQUID_IN_BOTTLE, message).at(&span, "");
    context.report(diagnostic.remedy(remedy));
    true
}

/// The temperature where that is refused, else the pressure.
fn input_at_fault(component: &Component, error: &FluidError) -> Option<InputId> {
    let (pressure, temperature) = match component.body.as_ref()? {
        Body::Vessel(vessel) => (vessel.pressure, vessel.temperature),
        Body::Tank(tank) => (tank.pressure, tank.temperature.input()),
        _ => return None,
    };
    let is_temperature = matches!(error, FluidError::OutOfRange { unit: "K", .. });
    Some(if is_temperature {
        temperature
    } else {
        pressure
    })
}

/// Checks the flow curves of regulators against their capacities, and says at which supply they
/// are taken to have been set.
fn check_curves(plan: &Plan, components: &[Component], display: &Display, context: &mut Context) {
    let inputs = context.inputs.clone();
    let values = inputs.nominal();
    for branch in &plan.branches {
        let BranchBody::Regulator(regulator) = &branch.body else {
            continue;
        };
        let Some(component) = components.iter().find(|c| c.name == branch.name) else {
            continue;
        };
        if regulator.reference_supply.is_none() {
            let path = format!("{}.reference_supply_pressure", component.path());
            let value = format!("as {} at its start", plan.source_name(branch, &values));
            context.assume(&path, value, "the supply at which its lock-up was set");
        }
        let supply = plan.supply(branch, &values);
        let ambient_pa = values.si(plan.ambient.pressure);
        let name = &branch.name;
        let key = || format!("{}.{}", component.path(), regulator.curve_key());
        if let Some(raised_pa) = regulator.curve_raised_pa(&values, ambient_pa)
            && raised_pa.abs() > UNNOTED_PA
        {
            let raised = display.text(Dimension::PressureDifference, raised_pa);
            let reason = "it keeps its shape and begins at set_pressure";
            context.assume(&key(), format!("moved by {raised}"), reason);
        }
        match regulator.check_curve(&values, &supply, ambient_pa) {
            Ok(None) => {}
            Ok(Some(flow)) => {
                let flow = display.text(Dimension::MassFlow, flow);
                let value = format!("straight on beyond {flow}, up to wide open");
                context.assume(&key(), value, "the curve ends there");
            }
            Err(words) => {
                let message = format!("the flow curve of {name} is not physical: {words}");
                let diagnostic = Diagnostic::error(&codes::BAD_CURVE, message);
                let remedy = "begin at zero flow, let the outlet fall as the flow rises, and let flow_coefficient pass the highest flow";
                let span = regulator.curve_span().unwrap_or(&component.span);
                context.report(diagnostic.at(span, "").remedy(remedy));
            }
        }
    }
}
