//! Whether what was read can physically be: fills, shapes, states of the fluids.

use crate::gas_paths::along;
use crate::input::{InputId, Values};
use crate::kinds::{Body, Component, Cryogen, Fill, Kind, StartTemperature, Tank};
use crate::plumbing::{self, Plumbing};
use crate::read::Context;
use crate::summary::Bound;
use crate::words::words;
use fluids::{Liquid, LiquidState};
use shared::quantity::{Dimension, Display, significant};
use shared::{Code, Diagnostic, codes};
use sim_core::components::tank_shape::TankGeometry;
use sim_core::network::{Phase, Relation};
use std::sync::Arc;

/// Molar gas constant, J/(mol K) (exact, SI of 2019).
pub const GAS_CONSTANT: f64 = 8.314_462_618_153_24;

/// Least part of a tank that is gas: below it, an incompressible liquid misleads.
const LEAST_ULLAGE: f64 = 0.005;

/// A cryogen's properties are those at this many times the highest set pressure; where its surface
/// gets warmer than it boils at that, those of saturation.
const CRYOGEN_MARGIN: f64 = 1.4;

/// Part by which rounding may put a liquid that boils above its pressure.
const ROUNDING: f64 = 1e-6;

/// Pressure over that at which it boils up to which a liquid counts as boiling.
const BOILING: f64 = 1.1;

/// Loads the liquid of every tank, by component; reports those that cannot be loaded.
///
/// A liquid is taken as incompressible at the highest pressure that it is meant to see: that
/// of the tank at the start, or a set pressure of the regulators.
pub fn load_liquids(
    components: &[Component],
    display: &Display,
    context: &mut Context,
) -> Vec<Option<Arc<Liquid>>> {
    let set = highest_set_pressure(components, context);
    components
        .iter()
        .map(|component| {
            let Some(Body::Tank(tank)) = &component.body else {
                return None;
            };
            let start_k = tank.temperature.k(&context.inputs.nominal());
            if start_k.is_nan() {
                // That it does not boil at the pressure given was told where that was read.
                return None;
            }
            let start = (tank.pressure, context.inputs.nominal().si(tank.pressure));
            let mut highest = set.filter(|s| s.1 > start.1).unwrap_or(start);
            if let Some(cryogen) = &tank.cryogen {
                highest.1 = match lowest_if_boiling_pa(cryogen, start_k, highest.1) {
                    Some(lowest_pa) => lowest_pa,
                    // Its surface gets as warm as it boils at the tank's pressure.
                    None => highest.1 * CRYOGEN_MARGIN,
                };
            }
            load_liquid(component, tank, highest, display, context)
        })
        .collect()
}

/// Lowest pressure of a cryogen's properties where nothing presses its liquid beyond boiling, Pa: warmer than
/// it boils at that they are those of saturation, on which such a liquid stays.
fn lowest_if_boiling_pa(cryogen: &Cryogen, start_k: f64, highest_pa: f64) -> Option<f64> {
    let pressure_pa = |k: f64| {
        cryogen
            .boiling
            .saturation(k)
            .map(|at| at.pressure_pa.0)
            .ok()
    };
    let boils = highest_pa < BOILING * pressure_pa(start_k)?;
    let coldest_k = cryogen.boiling.temperature_range_k().0;
    pressure_pa(coldest_k + 1.0).filter(|_| boils)
}

fn highest_set_pressure(components: &[Component], context: &Context) -> Option<(InputId, f64)> {
    let values = context.inputs.nominal();
    let set = components.iter().filter_map(|c| match &c.body {
        Some(Body::Regulator(regulator)) => Some(regulator.set_pressure),
        _ => None,
    });
    set.map(|id| (id, values.si(id)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
}

fn load_liquid(
    component: &Component,
    tank: &Tank,
    (at, pressure_pa): (InputId, f64),
    display: &Display,
    context: &mut Context,
) -> Option<Arc<Liquid>> {
    let name = &tank.liquid.name;
    let loaded = if tank.cryogen.is_some() {
        Liquid::rising(name, pressure_pa)
    } else {
        Liquid::new(name, pressure_pa)
    };
    match loaded {
        Ok(liquid) => {
            let path = format!("{}.liquid", component.path());
            let highest_pa = context.inputs.nominal().si(at);
            let value = if pressure_pa < highest_pa {
                "density as it boils".to_owned()
            } else {
                let shown = display.text(Dimension::Pressure, pressure_pa);
                format!("density at {shown} throughout")
            };
            context.assume(&path, value, "the liquid is taken as incompressible");
            Some(Arc::new(liquid))
        }
        Err(error) => {
            let diagnostic = Diagnostic::error(&codes::FLUID_RANGE, words(&error, display));
            let remedy = "choose another liquid or another pressure";
            let pressure = context.inputs.get(at).span.clone();
            let span = pressure.as_ref().unwrap_or(&component.span);
            let diagnostic = diagnostic.at(span, "").at(&tank.liquid.span, "");
            context.report(diagnostic.remedy(remedy));
            None
        }
    }
}

/// Checks every tank that could be read.
pub fn check_tanks(
    components: &[Component],
    liquids: &[Option<Arc<Liquid>>],
    display: &Display,
    context: &mut Context,
) {
    for (component, liquid) in components.iter().zip(liquids) {
        if let (Some(Body::Tank(tank)), Some(liquid)) = (&component.body, liquid) {
            TankCheck {
                component,
                tank,
                display,
            }
            .check(liquid, context);
        }
    }
}

struct TankCheck<'a> {
    component: &'a Component,
    tank: &'a Tank,
    display: &'a Display,
}

impl TankCheck<'_> {
    /// Reports an error at an input, or at the heading where the file does not give it.
    fn report(
        &self,
        code: &Code,
        at: InputId,
        message: String,
        remedy: &str,
        context: &mut Context,
    ) {
        let input = context.inputs.get(at).span.as_ref();
        let span = input.unwrap_or(&self.component.span);
        let diagnostic = Diagnostic::error(code, message).at(span, "");
        context.report(diagnostic.remedy(remedy));
    }

    fn check(&self, liquid: &Liquid, context: &mut Context) {
        let inputs = context.inputs.clone();
        let values = inputs.nominal();
        if TankGeometry::new(&self.tank.shape.lower(&values)).is_none() {
            let name = &self.component.name;
            let message = format!("the ends of {name} alone hold more than its volume");
            let remedy = "check that the diameter is inner, and that the volume includes the ends";
            let diagnostic = Diagnostic::error(&codes::IMPOSSIBLE_SHAPE, message);
            context.report(diagnostic.at(&self.component.span, "").remedy(remedy));
        }
        match liquid.at(self.tank.temperature.k(&values)) {
            Ok(state) => {
                self.check_fill(&values, &state, context);
                self.check_pressure(&values, &state, context);
            }
            Err(error) => {
                let remedy = "choose a temperature at which it is liquid";
                self.report(
                    &codes::FLUID_RANGE,
                    self.tank.temperature.input(),
                    words(&error, self.display),
                    remedy,
                    context,
                );
            }
        }
    }

    fn check_fill(&self, values: &Values<'_>, state: &LiquidState, context: &mut Context) {
        let whole = self.tank.shape.volume_m3(values);
        let liquid = self.tank.liquid_volume_m3(values, state.density_kg_m3);
        let (name, fill) = (&self.component.name, self.tank.fill.input());
        if liquid > whole {
            let message = format!(
                "{name} holds {}, but {} of liquid are in it",
                self.volume(whole),
                self.volume(liquid)
            );
            let remedy = self.largest_fill(whole, state.density_kg_m3);
            self.report(&codes::OVERFILLED, fill, message, &remedy, context);
        } else if liquid <= 0.0 {
            let message = format!("{name} would hold {} of liquid", self.volume(liquid));
            let remedy = "let the ullage be less than the tank";
            self.report(&codes::OUT_OF_RANGE, fill, message, remedy, context);
        } else if liquid > whole * (1.0 - LEAST_ULLAGE) {
            let percent = 100.0 * (1.0 - liquid / whole);
            let message = format!("{name} has an ullage of {percent:.2} %, less than 0.5 %");
            let remedy = self.largest_fill(whole, state.density_kg_m3);
            self.report(&codes::TIGHT_ULLAGE, fill, message, &remedy, context);
        }
    }

    /// A volume in the unit in which the fill is written, if that is a volume.
    fn volume(&self, m3: f64) -> String {
        match self
            .tank
            .fill_unit
            .filter(|u| u.measures(Dimension::Volume))
        {
            Some(unit) => format!("{} {}", significant(unit.from_si(m3), 4, 4), unit.printed()),
            None => self.display.text(Dimension::Volume, m3),
        }
    }

    /// The most that would be accepted, in the unit in which the fill is written.
    fn largest_fill(&self, whole_m3: f64, density_kg_m3: f64) -> String {
        let (most_m3, least_m3) = (whole_m3 * (1.0 - LEAST_ULLAGE), whole_m3 * LEAST_ULLAGE);
        let text = |si: f64, round: fn(f64) -> f64| {
            let unit = self.tank.fill_unit?;
            let step = 10_f64.powf(unit.from_si(si).log10().floor() - 3.0);
            let rounded = round(unit.from_si(si) / step) * step;
            Some(format!(
                "\"{} {}\"",
                significant(rounded, 4, 6),
                unit.symbol
            ))
        };
        let largest = match self.tank.fill {
            Fill::Volume(_) => text(most_m3, f64::floor).map(|t| format!("fill = {t}")),
            Fill::Mass(_) => {
                text(most_m3 * density_kg_m3, f64::floor).map(|t| format!("fill = {t}"))
            }
            Fill::UllageVolume(_) => text(least_m3, f64::ceil).map(|t| format!("ullage = {t}")),
            Fill::UllageFraction(_) => None,
        };
        let largest = largest.unwrap_or_else(|| format!("ullage = \"{} %\"", 100.0 * LEAST_ULLAGE));
        format!(
            "the fullest that is accepted is {largest}; several per cent of ullage are usual; or enlarge the tank"
        )
    }

    fn check_pressure(&self, values: &Values<'_>, state: &LiquidState, context: &mut Context) {
        let (total, vapour) = (values.si(self.tank.pressure), state.vapour_pressure_pa);
        // A liquid that boils starts at its vapour pressure, but for rounding.
        let is_below = match self.tank.cryogen {
            Some(_) => total < vapour * (1.0 - ROUNDING),
            None => total <= vapour,
        };
        // Where no vapour is carried because none is known, the liquid boils all the same.
        let is_known = self.tank.liquid.has_vapour();
        if (self.tank.has_vapour || !is_known) && is_below {
            let text = |pa| self.display.text(Dimension::Pressure, pa);
            let message = format!(
                "{} starts at {}, but its {} has a vapour pressure of {}",
                self.component.name,
                text(total),
                self.tank.liquid.name,
                text(vapour)
            );
            let remedy = match &self.tank.cryogen {
                Some(_) => self.remedy_of_boiling(total, vapour),
                None if is_known => {
                    "raise the pressure, lower the temperature, or write vapour = \"none\""
                        .to_owned()
                }
                None => "raise the pressure, or lower the temperature".to_owned(),
            };
            self.report(
                &codes::BELOW_VAPOUR_PRESSURE,
                self.tank.pressure,
                message,
                &remedy,
                context,
            );
        }
    }

    /// What to write where a liquid boils above the tank's pressure, Pa.
    fn remedy_of_boiling(&self, total_pa: f64, vapour_pa: f64) -> String {
        const STEP_PA: f64 = 1e3;
        let bar = |pa: f64| format!("\"{:.2} bar(a)\"", pa / 1e5);
        let raised = bar((vapour_pa * (1.0 - ROUNDING) / STEP_PA).ceil() * STEP_PA);
        let boiled_pa = (total_pa / STEP_PA).floor() * STEP_PA;
        let otherwise = match &self.tank.temperature {
            StartTemperature::Given(_) => ", or lower the temperature".to_owned(),
            StartTemperature::SaturatedAt(_, boiling) => boiling
                .boiling_temperature_k(boiled_pa)
                .map_or(String::new(), |_| {
                    let boiled = bar(boiled_pa);
                    format!(
                        "; or saturated_at = {boiled}, if it has boiled so far at that pressure"
                    )
                }),
        };
        format!("write pressure = {raised} or more{otherwise}")
    }
}

/// Checks that no chain leads one liquid into another.
pub fn check_liquids(components: &[Component], plumbing: &Plumbing, context: &mut Context) {
    let liquid = |volume: usize| {
        let &i = plumbing.volumes.get(volume)?;
        match &components[i].body {
            Some(Body::Tank(tank)) => Some(tank.liquid.name.as_str()),
            _ => None,
        }
    };
    for branch in &plumbing.branches {
        if branch.phase == sim_core::network::Phase::Gas {
            continue;
        }
        let (Some(from), Some(to)) = (liquid(branch.from.volume), liquid(branch.to.volume)) else {
            continue;
        };
        if let (true, Some(&last)) = (from != to, branch.components.last()) {
            let component = &components[last];
            let message = format!("{} leads {from} into {to}", component.name);
            let remedy = "liquids do not mix here; let both tanks hold the same one";
            let diagnostic = Diagnostic::error(&codes::MIXED_LIQUIDS, message);
            context.report(diagnostic.at(&component.span, "").remedy(remedy));
        }
    }
}

/// Warns of regulators that cannot regulate from the start.
pub fn warn_of_set_pressures(
    components: &[Component],
    plumbing: &Plumbing,
    display: &Display,
    context: &mut Context,
) {
    for branch in &plumbing.branches {
        let Some(&i) = branch.components.first() else {
            continue;
        };
        let Some(Body::Regulator(regulator)) = &components[i].body else {
            continue;
        };
        let values = context.inputs.nominal();
        let set = values.si(regulator.set_pressure);
        let bottles = bottles_before(components, plumbing, branch.from.volume);
        let pressures = bottles
            .into_iter()
            .filter_map(|v| start_pressure_pa(components, plumbing, v, &values));
        let Some(supply) = pressures.reduce(f64::max) else {
            continue;
        };
        if set >= supply {
            let text = |pa| display.text(Dimension::Pressure, pa);
            let component = &components[i];
            let message = format!(
                "{} is set to {}, but its supply starts at {}",
                component.name,
                text(set),
                text(supply)
            );
            let remedy =
                "it is wide open from the start; lower the set pressure or raise the supply";
            let warning = Diagnostic::warning(&codes::SET_ABOVE_SUPPLY, message);
            context.report(warning.at(&component.span, "").remedy(remedy));
        }
    }
}

/// Bottles that give to a volume, or it itself if it is one; not through another regulator.
fn bottles_before(components: &[Component], plumbing: &Plumbing, volume: usize) -> Vec<usize> {
    let is = |i: usize, kind: Kind| components[i].kind == kind;
    let gas = plumbing.branches.iter().filter(|b| b.phase == Phase::Gas);
    let gas = gas.filter(|b| !b.components.iter().any(|&i| is(i, Kind::Regulator)));
    let back: Vec<(usize, usize)> = gas.map(|b| (b.to.volume, b.from.volume)).collect();
    let mut before = along(vec![volume], &back);
    let is_bottle = |v: &usize| {
        plumbing
            .volumes
            .get(*v)
            .is_some_and(|&i| is(i, Kind::Bottle))
    };
    before.retain(is_bottle);
    before
}

/// Warns of tanks of a boiling liquid that nothing lets breathe.
pub fn warn_of_tanks_without_vent(
    components: &[Component],
    plumbing: &Plumbing,
    context: &mut Context,
) {
    let is_vent = |b: &plumbing::Branch, volume: usize| {
        let way_out = |&i: &usize| matches!(components[i].kind, Kind::Valve | Kind::Orifice);
        b.phase == Phase::Gas && b.from.volume == volume && b.components.iter().all(way_out)
    };
    for (volume, &i) in plumbing.volumes.iter().enumerate() {
        let component = &components[i];
        let boils = matches!(&component.body, Some(Body::Tank(tank)) if tank.cryogen.is_some());
        if !boils || plumbing.branches.iter().any(|b| is_vent(b, volume)) {
            continue;
        }
        let message = format!(
            "{}: its liquid boils, and the stand file has no vent from its gas",
            component.name
        );
        let remedy = "put in the vent valve, and when it opens and shuts; what boils off behind shut valves raises the pressure until something opens or bursts";
        let warning = Diagnostic::warning(&codes::NO_VENT, message);
        context.report(warning.at(&component.span, "").remedy(remedy));
    }
}

/// Warns of relief valves that open only above a limit of the volume which they protect.
pub fn warn_of_reliefs(
    components: &[Component],
    plumbing: &Plumbing,
    limits: &[Bound],
    display: &Display,
    context: &mut Context,
) {
    for branch in &plumbing.branches {
        let (Some(&i), Some(&volume)) = (
            branch.components.first(),
            plumbing.volumes.get(branch.from.volume),
        ) else {
            continue;
        };
        let input = match &components[i].body {
            Some(Body::Relief(relief)) => relief.set_pressure,
            Some(Body::BurstDisc(disc)) => disc.burst_pressure,
            _ => continue,
        };
        let set_pa = context.inputs.nominal().si(input);
        if set_pa <= display.ambient_pa() {
            let message = format!(
                "{} would open at {}, not above ambient",
                components[i].name,
                display.text(Dimension::Pressure, set_pa)
            );
            let span = context.inputs.get(input).span.clone();
            let span = span.unwrap_or_else(|| components[i].span.clone());
            let diagnostic = Diagnostic::error(&codes::OUT_OF_RANGE, message).at(&span, "");
            context.report(
                diagnostic.remedy(
                    "write the pressure above ambient at which it opens, as in \"36 bar(g)\"",
                ),
            );
            continue;
        }
        let path = format!("{}.pressure", components[volume].name);
        let broken = limits.iter().find(|limit| {
            limit.path == path && limit.relation == Relation::Below && limit.threshold < set_pa
        });
        if let Some(limit) = broken {
            let text = |pa| display.text(Dimension::Pressure, pa);
            let (component, limit_pa) = (&components[i], limit.threshold);
            let message = format!(
                "{} is set to {}, above the limit {} of {path}",
                component.name,
                text(set_pa),
                text(limit_pa)
            );
            let warning = Diagnostic::warning(&codes::RELIEF_ABOVE_LIMIT, message);
            let remedy = "it does not keep that limit; set it lower, or state the limit that holds";
            context.report(warning.at(&component.span, "").remedy(remedy));
        }
    }
}

/// Warns of tanks, and of lines that a valve can shut in, that a regulator feeds and that nothing
/// relieves.
pub fn warn_of_tanks_without_relief(
    components: &[Component],
    plumbing: &Plumbing,
    context: &mut Context,
) {
    let fed = fed_by_regulators(components, plumbing);
    let relieved = |volume: usize| {
        plumbing.branches.iter().any(|b| {
            let kind = b.components.first().map(|&i| components[i].kind);
            b.from.volume == volume && matches!(kind, Some(Kind::Relief | Kind::BurstDisc))
        })
    };
    // What a line lets on at all times is relieved with where it leads.
    let passes = |i: &usize| matches!(components[*i].kind, Kind::CheckValve | Kind::Orifice);
    let leads_on = |volume: usize| {
        let mut gas = plumbing.branches.iter().filter(|b| b.phase == Phase::Gas);
        gas.any(|b| b.from.volume == volume && b.components.iter().all(passes))
    };
    let volumes = plumbing.volumes.iter().enumerate();
    let tanks = volumes.filter(|&(volume, &i)| {
        let may_shut_in = match components[i].kind {
            Kind::Tank => true,
            Kind::Plenum => !leads_on(volume),
            _ => false,
        };
        may_shut_in && fed.contains(&volume) && !relieved(volume)
    });
    let tanks: Vec<&Component> = tanks.map(|(_, &i)| &components[i]).collect();
    let Some(first) = tanks.first() else {
        return;
    };
    // One for all of them: on a page it is to be read, not to crowd out the others.
    let names: Vec<&str> = tanks.iter().map(|t| t.name.as_str()).collect();
    let message = format!(
        "{}: fed by a regulator, with no relief valve or burst disc in the stand file",
        names.join(", ")
    );
    let remedy =
        "put in what the stand has; local codes and licensed practice decide what it needs";
    let warning = Diagnostic::warning(&codes::NO_RELIEF, message);
    context.report(warning.at(&first.span, "").remedy(remedy));
}

/// Volumes that gas from a regulator comes to.
fn fed_by_regulators(components: &[Component], plumbing: &Plumbing) -> Vec<usize> {
    let gas = || plumbing.branches.iter().filter(|b| b.phase == Phase::Gas);
    let regulators = gas().filter(|b| {
        let mut parts = b.components.iter();
        parts.any(|&i| components[i].kind == Kind::Regulator)
    });
    let seats = regulators.map(|b| b.to.volume).collect();
    let onward: Vec<(usize, usize)> = gas().map(|b| (b.from.volume, b.to.volume)).collect();
    along(seats, &onward)
}

/// Pressure of a volume at the start; none for the ambient.
fn start_pressure_pa(
    components: &[Component],
    plumbing: &Plumbing,
    volume: usize,
    values: &Values<'_>,
) -> Option<f64> {
    let &i = plumbing.volumes.get(volume)?;
    match &components[i].body {
        Some(Body::Vessel(vessel)) => Some(values.si(vessel.pressure)),
        Some(Body::Tank(tank)) => Some(values.si(tank.pressure)),
        _ => None,
    }
}
