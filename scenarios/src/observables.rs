//! What is observed of each component, and which figures the summary may have: the names
//! that conditions, requirements and limits can use.

use crate::kinds::{Body, Component, Kind, Tank, Vessel};
use shared::quantity::Dimension::{self, *};
use shared::quantity::UNITS;
use sim_core::network::Phase;

/// A quantity's name without its unit, and its dimension.
pub type Observable = (&'static str, Dimension);

macro_rules! layer_names {
    ($($number:literal)*) => { [$(concat!("layer_", $number, "_temperature")),*] };
}

const VESSEL: &[Observable] = &[
    ("pressure", Pressure),
    ("temperature", Temperature),
    ("gas_mass", Mass),
];
const TANK: &[Observable] = &[
    ("pressure", Pressure),
    ("ullage_temperature", Temperature),
    ("ullage_volume", Volume),
    ("gas_mass", Mass),
    ("liquid_mass", Mass),
    ("liquid_volume", Volume),
    ("liquid_temperature", Temperature),
    ("level", Length),
    ("outlet_pressure", Pressure),
];
const WALL: Observable = ("wall_temperature", Temperature);
const OVERWRAP: Observable = ("overwrap_temperature", Temperature);
const VAPOUR: Observable = ("vapour_mass", Mass);
const FLOW: Observable = ("mass_flow", MassFlow);
const LIFT: Observable = ("lift", Fraction);
const TRAVEL: Observable = ("travel", Fraction);
const ELEMENT: &[Observable] = &[
    FLOW,
    ("inlet_pressure", Pressure),
    ("outlet_pressure", Pressure),
];
const AMBIENT: &[Observable] = &[("gas_mass", Mass), ("liquid_mass", Mass)];

/// Columns of the history that every component of a kind has, in a phase if that is known.
#[must_use]
pub fn of_kind(kind: Kind, phase: Option<Phase>) -> Vec<Observable> {
    let mut columns = match kind {
        Kind::Bottle | Kind::Plenum => VESSEL.to_vec(),
        Kind::Tank => TANK.to_vec(),
        Kind::Regulator | Kind::CheckValve | Kind::Relief => vec![FLOW, LIFT],
        Kind::BurstDisc => vec![FLOW],
        Kind::Line | Kind::Orifice | Kind::Valve if phase == Some(Phase::Gas) => vec![FLOW],
        Kind::Line | Kind::Orifice | Kind::Valve | Kind::Venturi => ELEMENT.to_vec(),
    };
    if kind == Kind::Valve {
        columns.push(TRAVEL);
    }
    columns
}

/// Columns of the history that a component has, in a phase if that is known.
#[must_use]
pub fn columns(component: &Component, phase: Option<Phase>) -> Vec<Observable> {
    let mut columns = of_kind(component.kind, phase);
    match &component.body {
        Some(Body::Vessel(vessel)) => columns.extend(of_vessel(vessel)),
        Some(Body::Tank(tank)) => columns.extend(of_tank(tank)),
        _ => {}
    }
    columns
}

fn of_vessel(vessel: &Vessel) -> impl Iterator<Item = Observable> {
    let wall = vessel.wall.is_some().then_some(WALL);
    let overwrap = vessel.has_overwrap().then_some(OVERWRAP);
    wall.into_iter().chain(overwrap)
}

/// Of a cryogenic tank, beside those of its layers.
const CRYOGEN: &[Observable] = &[
    ("surface_temperature", Temperature),
    ("boil_off", MassFlow),
    ("vapour_pressure", Pressure),
    ("probe", Fraction),
    ("scale", Mass),
    ("heat_leak", Energy),
    ("heat_to_wall", Energy),
    ("heat_to_surface", Energy),
    ("evaporated", Mass),
    ("boiled", Mass),
    ("work_on_liquid", Energy),
    ("vapour_energy", Energy),
    ("ports_gas", Mass),
    ("ports_energy", Energy),
    ("heat_on_the_way", Energy),
    ("dissolved", Mass),
    ("dissolved_energy", Energy),
    ("gas_energy", Energy),
];

/// Temperatures of the layers of an ullage, from the liquid up.
static LAYERS: [&str; 40] = layer_names!(
    1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20
    21 22 23 24 25 26 27 28 29 30 31 32 33 34 35 36 37 38 39 40
);

fn of_tank(tank: &Tank) -> impl Iterator<Item = Observable> {
    let vapour = tank.has_vapour.then_some(VAPOUR);
    let wall = tank.has_wall().then_some(WALL);
    let layers = tank.layers.filter(|&count| count > 1).unwrap_or(0);
    let layers = LAYERS.iter().take(layers).map(|name| (*name, Temperature));
    let cryogen = tank.cryogen.is_some().then_some(CRYOGEN);
    let cryogen = cryogen.into_iter().flatten().copied().chain(layers);
    vapour.into_iter().chain(wall).chain(cryogen)
}

/// Columns of the ambient.
#[must_use]
pub fn ambient_columns() -> &'static [Observable] {
    AMBIENT
}

/// What passes liquid or gas may have these, and more.
macro_rules! passing {
    ($($more:expr),*) => {
        &[
            ("steady_flow", MassFlow),
            ("mean_flow", MassFlow),
            ("end_flow", MassFlow),
            ("flow_time", Time),
            ("liquid_passed", Mass),
            ("command", Time),
            ("delay", Time),
            ("travel_10_90", Time),
            ("time_to_90", Time),
            ("peak_inlet_pressure", Pressure),
            ("peak_inlet_pressure_time", Time),
            ("least_boiling_margin", PressureDifference),
            ("peak_flow", MassFlow),
            ("peak_flow", StandardFlow),
            ("peak_flow_time", Time),
            ("peak_running_flow", MassFlow),
            $($more),*
        ]
    };
}

/// Figures of the summary that a component may have.
#[must_use]
pub fn figures(kind: Kind) -> &'static [Observable] {
    match kind {
        Kind::Bottle => &[
            ("gas_used", Mass),
            ("pressure_end", Pressure),
            ("temperature_end", Temperature),
            ("lowest_temperature", Temperature),
            ("highest_temperature", Temperature),
            ("pressure_end_isothermal", Pressure),
            ("pressure_end_isentropic", Pressure),
            ("temperature_end_isentropic", Temperature),
            ("pressure_rewarmed", Pressure),
            ("peak_pressure", Pressure),
            ("peak_pressure_time", Time),
        ],
        Kind::Plenum => &[
            ("highest_temperature", Temperature),
            ("peak_pressure", Pressure),
            ("peak_pressure_time", Time),
        ],
        Kind::Tank => &[
            ("could_dissolve", Mass),
            ("boil_off", MassFlow),
            ("pressurant", Mass),
            ("pressurant_without_exchange", Mass),
            ("collapse_factor", Fraction),
            ("collapse_factor_held", Fraction),
            ("collapse_factor_flow", Fraction),
            ("collapse_factor_correlation", Fraction),
            ("pressurant_for_wall", Mass),
            ("pressurant_for_surface", Mass),
            ("pressurant_for_vapour", Mass),
            ("pressurant_for_inlet", Mass),
            ("pressurant_for_solution", Mass),
            ("dissolved", Mass),
            ("pressurant_rest", Mass),
            ("condensed", Mass),
            ("heat_brought", Energy),
            ("heat_of_compression", Energy),
            ("heat_to_wall", Energy),
            ("heat_to_surface", Energy),
            ("heat_on_the_way", Energy),
            ("heat_with_vapour", Energy),
            ("heat_with_solution", Energy),
            ("heat_in_ullage", Energy),
            ("work_on_liquid", Energy),
            ("liquid_temperature_end", Temperature),
            ("least_boiling_margin", PressureDifference),
            ("time_to_depletion", Time),
            ("liquid_left", Mass),
            ("lowest_ullage_temperature", Temperature),
            ("highest_ullage_temperature", Temperature),
            ("pressure_start", Pressure),
            ("pressure_0_5_s", Pressure),
            ("pressure_middle", Pressure),
            ("pressure_end", Pressure),
            ("pressure_fall", PressureDifference),
            ("peak_pressure", Pressure),
            ("peak_pressure_time", Time),
        ],
        Kind::Regulator => &[
            ("outlet_start", Pressure),
            ("lock_up", Pressure),
            ("droop_0_5_s", PressureDifference),
            ("droop_end", PressureDifference),
            ("lock_up_after", Pressure),
            ("rise_above_lock_up", PressureDifference),
            ("rise_above_lock_up_time", Time),
            ("regulation_lost", Time),
            ("first_wide_open", Time),
            ("wide_open_time", Time),
            ("lift_start", Fraction),
            ("damping_ratio", Fraction),
            ("overshoot_from_wide_open", PressureDifference),
            ("overshoot", PressureDifference),
            ("creep_in_a_minute", PressureDifference),
            ("creep_to_relief", Time),
            ("peak_flow", MassFlow),
            ("peak_flow", StandardFlow),
            ("peak_flow_time", Time),
            ("peak_running_flow", MassFlow),
        ],
        Kind::CheckValve => &[],
        Kind::Relief | Kind::BurstDisc => &[
            ("least_margin", PressureDifference),
            ("first_lift", Time),
            ("peak_flow", MassFlow),
            ("peak_flow", StandardFlow),
            ("peak_flow_time", Time),
            ("peak_running_flow", MassFlow),
        ],
        // A nozzle's alone.
        Kind::Orifice => passing![("discharge_coefficient", Fraction)],
        // At the end of a line before a valve.
        Kind::Line => passing![
            ("peak_outlet_pressure", Pressure),
            ("peak_outlet_pressure_time", Time)
        ],
        Kind::Valve | Kind::Venturi => passing![],
    }
}

/// A column of the history as a stand file spells it, with its dimension:
/// `fuel.liquid_mass_kg` is `fuel.liquid_mass`, a mass.
#[must_use]
pub fn spelled(column: &str) -> Option<(&str, Dimension)> {
    // A mass flow also ends in the suffix of a time: the longer one is meant.
    let dimensions = [
        MassFlow,
        StandardFlow,
        Pressure,
        Temperature,
        Mass,
        Volume,
        Length,
        Time,
        Fraction,
        Energy,
    ];
    dimensions.into_iter().find_map(|dimension| {
        let stem = column.strip_suffix(suffix(dimension))?;
        Some((stem.strip_suffix('_')?, dimension))
    })
}

/// The unit in which numbers of a dimension are kept, as it is written beside one; empty for pure
/// numbers.
#[must_use]
pub fn si_unit(dimension: Dimension) -> &'static str {
    let mut units = UNITS.iter();
    let kept = units.find(|u| u.measures(dimension) && u.factor == 1.0 && u.zero == 0.0);
    kept.map(|u| u.symbol)
        .filter(|u| *u != "1")
        .unwrap_or_default()
}

/// The unit at the end of a column's name.
#[must_use]
pub fn suffix(dimension: Dimension) -> &'static str {
    match dimension {
        Pressure | PressureDifference => "pa",
        Temperature | TemperatureDifference => "k",
        Mass => "kg",
        MassFlow => "kg_s",
        StandardFlow => "mol_s",
        Volume => "m3",
        Length => "m",
        Time => "s",
        Energy => "j",
        _ => "1",
    }
}
