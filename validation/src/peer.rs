//! The demonstration stand for the SciPy peer `peers/regulated_run.py`: the numbers that it
//! runs on, and what it found.

use crate::trial::stand;
use serde::Deserialize;
use serde_json::{Value, json};
use sim_core::components::characteristic::Trim;
use sim_core::network::{
    Branch, BranchKind, Capacity, Droop, ElementKind, Friction, LiquidChain, Network, Poppet,
    Regulator, Tank, TankEnds, TankShape, Trigger, Vessel, VolumeKind, Wall,
};
use std::collections::BTreeMap;

/// What the peer found.
#[derive(Debug, Deserialize)]
pub struct Reference {
    /// The numbers that it ran on.
    pub parameters: Value,
    /// When what happened.
    pub events_s: BTreeMap<String, f64>,
    /// At which times it looked.
    pub times_s: Vec<f64>,
    /// What it saw, by column of the history.
    pub columns: BTreeMap<String, Vec<f64>>,
}

impl Reference {
    /// Reads the committed output of the peer.
    ///
    /// # Errors
    /// When it is damaged or was run on other numbers than those of the stand.
    pub fn load() -> Result<Self, String> {
        let text = include_str!("../peers/demonstration_reference.json");
        let reference: Self = serde_json::from_str(text).map_err(|e| e.to_string())?;
        let now: Value = serde_json::from_str(&parameters()?).map_err(|e| e.to_string())?;
        if reference.parameters != now {
            return Err(
                "the peer ran on other numbers than those of the stand; run \
                        validation/peers/regulated_run.py again"
                    .to_owned(),
            );
        }
        Ok(reference)
    }
}

/// The stand file of the demonstration.
#[must_use]
pub fn demonstration() -> &'static str {
    scenarios::ready_made()[0].text
}

/// `peers/demonstration.json`: the numbers of the demonstration in SI.
///
/// # Errors
/// When the demonstration has come to hold what the peer does not model.
pub fn parameters() -> Result<String, String> {
    let stand = stand(demonstration())?;
    let network = stand.lower();
    let regulator = regulator(&network)?;
    let value = json!({
        "surroundings": {
            "pressure_pa": network.surroundings.pressure_pa,
            "temperature_k": network.surroundings.temperature_k,
            "gravity_m_s2": network.surroundings.gravity_m_s2,
        },
        "bottle": vessel(vessel_named(&network, "supply")?),
        "regulator": regulator_numbers(regulator)?,
        "plenum": vessel(vessel_named(&network, "press_line")?),
        "check_valve": check_valve(&network)?,
        // A liquid is incompressible at the highest set pressure.
        "tank": tank(&network, regulator.lock_up_pa)?,
        "line": line(chain(&network)?)?,
        "valve": valve(&network)?,
        "orifice": { "area_m2": orifice_m2(chain(&network)?)? },
        "sequence": sequence(&network)?,
        "run": { "until_s": stand.run.until_s },
    });
    let text = serde_json::to_string_pretty(&value).map_err(|e| e.to_string())?;
    Ok(text + "\n")
}

fn missing(what: &str) -> String {
    format!("the peer wants the demonstration to have {what}")
}

fn vessel_named<'a>(network: &'a Network, name: &str) -> Result<&'a Vessel, String> {
    let volume = network.volumes.iter().find(|v| v.name == name);
    match volume.map(|v| &v.kind) {
        Some(VolumeKind::Vessel(vessel)) => Ok(vessel),
        _ => Err(missing(&format!("a vessel \"{name}\""))),
    }
}

fn vessel(vessel: &Vessel) -> Value {
    json!({
        "volume_m3": vessel.volume_m3,
        "pressure_pa": vessel.gas.pressure_pa,
        "temperature_k": vessel.gas.temperature_k,
        "wall": vessel.wall.as_ref().map(wall),
    })
}

fn wall(wall: &Wall) -> Value {
    // The curve is a cubic between points 40 K apart or more: through points 5 K apart it is
    // the same to 1e-5.
    let temperatures = (0..=20).map(|i| 250.0 + 5.0 * f64::from(i));
    let cp = temperatures.map(|t| (t, wall.material.heat_capacity_j_kg_k(t).0));
    json!({
        "mass_kg": wall.mass_kg,
        "heat_capacity_j_kg_k": cp.collect::<Vec<_>>(),
        "area_m2": wall.inner_area_m2,
        "height_m": wall.height_m,
        "temperature_k": wall.temperature_k,
        "inside_multiplier": wall.inside_multiplier,
        "outside_w_m2_k": wall.outside_w_m2_k,
    })
}

fn find<'a, T>(
    network: &'a Network,
    what: &str,
    pick: impl Fn(&'a Branch) -> Option<T>,
) -> Result<T, String> {
    let mut found = network.branches.iter().filter_map(pick);
    found.next().ok_or_else(|| missing(what))
}

fn regulator(network: &Network) -> Result<&Regulator, String> {
    find(network, "a regulator", |branch| match &branch.kind {
        BranchKind::Regulator(regulator) => Some(regulator),
        _ => None,
    })
}

fn chain(network: &Network) -> Result<&LiquidChain, String> {
    find(network, "a liquid chain", |branch| match &branch.kind {
        BranchKind::LiquidChain(chain) => Some(chain),
        _ => None,
    })
}

fn coefficient(capacity: &Capacity) -> Result<(f64, f64), String> {
    match *capacity {
        Capacity::FlowCoefficient { kv_m3_h, xt } => Ok((kv_m3_h, xt)),
        _ => Err(missing("flow coefficients")),
    }
}

fn regulator_numbers(regulator: &Regulator) -> Result<Value, String> {
    let (kv, xt) = coefficient(&regulator.capacity)?;
    let Droop::Linear { full_pa } = regulator.droop else {
        return Err(missing("a linear droop"));
    };
    Ok(json!({
        "lock_up_pa": regulator.lock_up_pa,
        "reference_supply_pa": regulator.reference_supply_pa,
        "supply_effect": regulator.supply_effect,
        "droop_pa": full_pa,
        "kv_m3_h": kv,
        "xt": xt,
        "response_s": regulator.response_s,
    }))
}

fn check_valve(network: &Network) -> Result<Value, String> {
    let valve: &Poppet = find(network, "a check valve", |branch| match &branch.kind {
        BranchKind::Poppet(valve) => Some(valve),
        _ => None,
    })?;
    let (kv, xt) = coefficient(&valve.capacity)?;
    Ok(json!({
        "cracking_pa": valve.cracking_pa,
        "full_open_pa": valve.full_open_pa,
        "reseat_pa": valve.reseat_pa,
        "kv_m3_h": kv,
        "xt": xt,
        "response_s": valve.response_s,
    }))
}

fn tank(network: &Network, liquid_pressure_pa: f64) -> Result<Value, String> {
    let mut tanks = network.volumes.iter().filter_map(|v| match &v.kind {
        VolumeKind::Tank(tank) => Some(tank),
        _ => None,
    });
    let tank: &Tank = tanks.next().ok_or_else(|| missing("a tank"))?;
    let TankShape::Cylinder {
        volume_m3,
        diameter_m,
        ends: TankEnds::Elliptical,
        lying: false,
    } = tank.shape
    else {
        return Err(missing("an upright tank with elliptical ends"));
    };
    let vapour = tank.vapour.ok_or_else(|| missing("vapour"))?;
    Ok(json!({
        "volume_m3": volume_m3,
        "diameter_m": diameter_m,
        "liquid_volume_m3": tank.liquid_volume_m3,
        "liquid_temperature_k": tank.liquid_temperature_k,
        "liquid_pressure_pa": liquid_pressure_pa,
        "pressure_pa": tank.gas.pressure_pa,
        "temperature_k": tank.gas.temperature_k,
        "vapour_mole_fraction": tank.gas.mole_fractions[vapour],
        "interface_multiplier": tank.interface_multiplier,
        "wall": tank.wall.as_ref().map(wall),
    }))
}

fn line(chain: &LiquidChain) -> Result<Value, String> {
    let mut lines = chain.elements.iter().filter_map(|e| match &e.kind {
        ElementKind::Line(line) => Some(line),
        _ => None,
    });
    let line = lines.next().ok_or_else(|| missing("a line"))?;
    let Friction::Roughness { m } = line.friction else {
        return Err(missing("a rough line"));
    };
    Ok(json!({
        "length_m": line.length_m,
        "bore_m": line.bore_m,
        "roughness_m": m,
        "minor_loss": line.minor_loss,
        "rise_m": line.rise_m,
    }))
}

/// Travels at which the ball valve's curve is given: each tenth of a degree from where the bore is
/// covered, between which a cubic is good to 1e-7; and shut.
fn ball_travels() -> impl Iterator<Item = f64> {
    let degrees = (0..=825).map(|step| 0.1 * f64::from(step));
    let angles = degrees.chain([90.0]);
    angles.rev().map(|angle| 1.0 - angle / 90.0)
}

fn valve(network: &Network) -> Result<Value, String> {
    let mut valves = chain(network)?
        .elements
        .iter()
        .filter_map(|e| match &e.kind {
            ElementKind::Valve {
                capacity,
                recovery,
                valve,
            } => Some((capacity, recovery, valve)),
            _ => None,
        });
    let (capacity, recovery, valve) = valves.next().ok_or_else(|| missing("a run valve"))?;
    let actuator = &network.actuators[valve.actuator];
    let trim = Trim::new(&valve.characteristic);
    let curve: Vec<_> = ball_travels()
        .map(|travel| (travel, trim.fraction(travel)))
        .collect();
    Ok(json!({
        "kv_m3_h": coefficient(capacity)?.0,
        "recovery": recovery,
        "characteristic": curve,
        "delay_s": actuator.delay_s,
        "opening_s": actuator.opening_s,
        "closing_s": actuator.closing_s,
    }))
}

fn orifice_m2(chain: &LiquidChain) -> Result<f64, String> {
    let mut areas = chain.elements.iter().filter_map(|e| match &e.kind {
        ElementKind::Orifice { capacity, .. } => Some(capacity.liquid_area_m2()),
        _ => None,
    });
    areas.next().ok_or_else(|| missing("an orifice"))
}

fn sequence(network: &Network) -> Result<Value, String> {
    let triggers: Vec<&Trigger> = network.commands.iter().map(|c| &c.trigger).collect();
    match triggers.as_slice() {
        [Trigger::At { time_s }, Trigger::When { threshold, .. }] => Ok(json!({
            "open_at_s": time_s,
            "close_below_kg": threshold,
        })),
        _ => Err(missing(
            "one opening by time and one closing by liquid mass",
        )),
    }
}
