//! The relief of a tank behind a regulator that has failed open.
//!
//! Every regulator is a hole as large as its wide open seat, gas valves that lead on from it are
//! open and those that lead to the open air shut, every other valve stays as it stands at the
//! start, and the relief is a hole from the tank's gas to the ambient that is open all along: what
//! a relief valve of that effective area passes once it is at full lift. What a regulator feeds
//! starts at the limit, behind a full bottle: the regulator fails when the relief has just to
//! lift, so that nothing has bled away before. Where the stand has reliefs of its own, it starts
//! where the first of them opens, so that the time they take to lift is in the answer.
//!
//! A seat may pass more than its nominal capacity: beside the area for the nominal seats stands the
//! one for seats at the upper end of what the file states of them, or a fifth larger where it
//! states nothing.

use crate::CheckedStand;
use crate::gas_paths::{downstream, reached, upstream};
use crate::input::{Distribution, Input};
use crate::physics::GAS_CONSTANT;
use crate::studies::factor::Factor;
use crate::studies::parallel::Progress;
use crate::summary::extremes;
use crate::summary::trace::Trace;
use shared::bracketed;
use sim_core::components::restriction::critical_flow_function;
use sim_core::network::{
    Branch, BranchKind, Capacity, ElementKind, GasFill, GasRestriction, Network, Phase, Port,
    Relation, VolumeKind,
};
use sim_core::outcome::Outcome;

/// Areas between which one is sought.
const AREAS_M2: (f64, f64) = (1e-8, 1e-2);
/// Relative tolerance of the area.
const TOLERANCE: f64 = 1e-4;
/// Step of the logarithm of the area on the way up: four times.
const STEP: f64 = 2.0 * std::f64::consts::LN_2;
/// Part of the pressure at which something has to open, where what the regulator feeds starts.
const START: f64 = 0.999;
/// What the relief is called in the changed stand; no component is called so.
const NAME: &str = "the relief that is sought";

/// How much larger than its nominal capacity a seat is taken to be where the file does not say: common
/// practice, no source.
const LARGER: f64 = 1.2;
/// What a capacity is made of, and with which power it grows with each.
const MADE_OF: [(&str, f64); 6] = [
    ("flow_coefficient", 1.0),
    // Choked flow by IEC 60534 grows with its root.
    ("xt", 0.5),
    ("effective_area", 1.0),
    ("diameter", 2.0),
    ("discharge_coefficient", 1.0),
    ("sonic_conductance", 1.0),
];
/// Part of its capacity that a shut regulator passes: next to nothing.
const SHUT: f64 = 1e-6;
/// Part of the highest pressure below which a run counts as past it.
const PAST: f64 = 0.9;

/// Areas that hold a tank below its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Relief {
    /// The limit that they keep, absolute.
    pub limit_pa: f64,
    /// Pressure of the tank when the regulators fail: the limit, or where the first of the stand's
    /// own reliefs opens, absolute.
    pub start_pa: f64,
    /// Relief valves and burst discs that the stand has already, which are at work all along.
    pub installed: Vec<String>,
    /// For the seats as the file gives them.
    pub nominal: Need,
    /// For larger seats.
    pub larger: Need,
    /// The larger seats.
    pub seats: Vec<Seat>,
}

/// What a tank needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Need {
    /// The highest pressure without the area, absolute.
    pub without_pa: f64,
    /// The area, if one is needed.
    pub hole: Option<Hole>,
}

/// An area that holds a tank below its limit.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// Smallest effective area, discharge coefficient included.
    pub area_m2: f64,
    /// Highest flow of the relief.
    pub flow_kg_s: f64,
    /// What the first seats between the bottles and the tank pass from full bottles.
    pub seats_kg_s: f64,
    /// Effective area by hand, for that flow of the seats as it comes in or as the volume of what
    /// the tank holds, whichever asks for more.
    pub by_hand_m2: f64,
}

/// The seat of a regulator that passes more than its nominal capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct Seat {
    /// Which regulator.
    pub regulator: String,
    /// Times the nominal capacity.
    pub factor: f64,
    /// Whether the file states the uncertainty; else it is common practice, no source.
    pub is_stated: bool,
}

/// Why there is no area.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoRelief {
    /// The stand has no such tank or line; the tanks that it has, and the lines that regulators feed.
    NoTank(Vec<String>),
    /// The stand has no regulator.
    NoRegulator,
    /// No regulator leads to the tank.
    NotFed,
    /// The stand has no limit on the tank's pressure.
    NoLimit,
    /// A run failed, or no area in the range does.
    Failed(String),
}

/// The smallest effective areas that keep the limit on the pressure of a tank, or of a line that a
/// regulator feeds.
///
/// # Errors
/// [`NoRelief`] says why there is none.
pub fn relief(
    stand: &CheckedStand,
    tank: &str,
    progress: Progress<'_>,
) -> Result<Relief, NoRelief> {
    let network = stand.lower();
    let id = tank_id(&network, tank)?;
    let path = format!("{tank}.pressure");
    let mut limits = stand.limits.iter();
    let limit = limits.find(|l| l.path == path && l.relation == Relation::Below);
    let limit_pa = limit.ok_or(NoRelief::NoLimit)?.threshold;
    if regulators(&network).next().is_none() {
        return Err(NoRelief::NoRegulator);
    }
    let seats = seats(stand, &network, id);
    if seats.is_empty() {
        return Err(NoRelief::NotFed);
    }
    let start_pa = start_pa(&network, id, limit_pa);
    let names: Vec<&str> = seats.iter().map(|s| s.regulator.as_str()).collect();
    // What fails alone has the bottle to itself.
    let alone = names.iter().map(|&name| vec![name]);
    let together = (names.len() > 1).then(|| names.clone());
    let failures: Vec<Vec<&str>> = alone.chain(together).collect();
    let worst = |network: &Network| {
        let needs = failures.iter().map(|failed| {
            let case = Case {
                stand,
                network: network.clone(),
                failed: failed.clone(),
                tank: id,
                limit_pa,
                start_pa,
                progress,
            };
            case.need()
        });
        let needs = needs.collect::<Result<Vec<Need>, NoRelief>>()?;
        let area = |need: &Need| need.hole.as_ref().map_or(0.0, |hole| hole.area_m2);
        let more = |a: &Need, b: &Need| {
            let by_area = area(a).total_cmp(&area(b));
            by_area.then(a.without_pa.total_cmp(&b.without_pa))
        };
        needs.into_iter().max_by(more).ok_or(NoRelief::NotFed)
    };
    let larger = worst(&with_larger(&network, &seats))?;
    let nominal = worst(&network)?;
    Ok(Relief {
        limit_pa,
        start_pa,
        installed: installed(&network, id),
        nominal,
        larger,
        seats,
    })
}

/// A network whose tank is to be held below a limit while some of its regulators have failed.
struct Case<'a> {
    stand: &'a CheckedStand,
    network: Network,
    failed: Vec<&'a str>,
    tank: usize,
    limit_pa: f64,
    start_pa: f64,
    progress: Progress<'a>,
}

impl Case<'_> {
    fn run(&self, area_m2: f64) -> Outcome {
        let network = self.failed_open(area_m2, self.start_pa);
        let outcome = sim_core::simulate(&network, &self.stand.run);
        (self.progress)();
        outcome
    }

    fn need(&self) -> Result<Need, NoRelief> {
        let limit_pa = self.limit_pa;
        let pressure = format!("{}.pressure_pa", self.network.volumes[self.tank].name);
        let closed = self.run(AREAS_M2.0);
        let without_pa = highest(&closed, &pressure);
        // A run that leaves the range of the properties on its way up needs a relief all the more;
        // one that the stand's own reliefs hold down until then leaves the question open.
        match &closed.failure {
            None if without_pa <= limit_pa => {
                return Ok(Need {
                    without_pa,
                    hole: None,
                });
            }
            Some(failure)
                if without_pa <= limit_pa && !installed(&self.network, self.tank).is_empty() =>
            {
                return Err(NoRelief::Failed(format!(
                    "the reliefs of the stand keep the limit until the run ends at {:.3} s: {}",
                    failure.time_s, failure.message
                )));
            }
            _ => {}
        }
        let excess = |ln_area: f64| {
            let outcome = self.run(ln_area.exp());
            let highest = highest(&outcome, &pressure);
            let end = Trace::of(&outcome.history, &pressure).map(|t| t.before(t.span_s().1));
            // A hole that never shuts may empty a tank far below what it is for.
            let is_past = end.is_some_and(|end| end < PAST * highest);
            match outcome.failure {
                Some(_) if !is_past => 1.0,
                _ => highest / limit_pa - 1.0,
            }
        };
        // From below: a hole far too large empties the tank at once, and the run fails on that.
        let (low, high) = (AREAS_M2.0.ln(), AREAS_M2.1.ln());
        let steps = (1..).map(|i| low + f64::from(i) * STEP);
        let mut steps = steps.take_while(|&x| x < high).chain(std::iter::once(high));
        let enough = steps.find(|&x| excess(x) <= 0.0);
        let enough = enough.ok_or_else(|| self.why_none(&closed))?;
        let found = bracketed(excess, enough - STEP, enough, TOLERANCE);
        let found = found.map_err(|e| NoRelief::Failed(e.to_string()))?;
        let area_m2 = (found + TOLERANCE).exp();
        let outcome = self.run(area_m2);
        let flow = |name: &str| highest(&outcome, &format!("{name}.mass_flow_kg_s"));
        let first = first_regulators(&self.network, self.tank);
        let seats_kg_s = first.map(|b| flow(&b.name)).sum();
        let hole = Hole {
            area_m2,
            flow_kg_s: flow(NAME),
            seats_kg_s,
            by_hand_m2: self.by_hand_m2(seats_kg_s),
        };
        Ok(Need {
            without_pa,
            hole: Some(hole),
        })
    }

    /// Area for a flow of gas from the seats, which may leave as it came in, or push out as much
    /// volume of what the tank holds as the relief opens: the greater of the two.
    fn by_hand_m2(&self, flow_kg_s: f64) -> f64 {
        let network = self.failed_open(AREAS_M2.0, self.limit_pa);
        let held = network.volumes[self.tank].gas();
        let Some((held, coming)) = held.zip(pressurant(&self.network)) else {
            return f64::NAN;
        };
        let mole = |gas: &GasFill| masses_kg_mol(&network, gas).iter().sum::<f64>();
        let pushed_kg_s = flow_kg_s * mole(held) / mole(&coming);
        let area = |gas: &GasFill, kg_s| choked_area_m2(&network, gas, kg_s, self.limit_pa);
        area(&coming, flow_kg_s).max(area(held, pushed_kg_s))
    }

    /// Why no area does, by the run without one.
    fn why_none(&self, closed: &Outcome) -> NoRelief {
        let failed = closed.failure.as_ref();
        let failed = failed.map_or(String::new(), |f| {
            format!(
                "; without a relief the run ends at {:.3} s: {}",
                f.time_s, f.message
            )
        });
        let most_mm2 = 1e6 * AREAS_M2.1;
        NoRelief::Failed(format!(
            "no run with up to {most_mm2} mm2 keeps the limit{failed}"
        ))
    }
}

/// Highest value of a column.
fn highest(outcome: &Outcome, column: &str) -> f64 {
    extremes(outcome, column).map_or(f64::NAN, |e| e.greatest.value)
}

fn regulators(network: &Network) -> impl Iterator<Item = &Branch> {
    let branches = network.branches.iter();
    branches.filter(|b| matches!(b.kind, BranchKind::Regulator(_)))
}

/// The regulators that lead to a tank, with how much more each may pass.
fn seats(stand: &CheckedStand, network: &Network, tank: usize) -> Vec<Seat> {
    let before = reached(network, vec![tank], upstream);
    let seat = |branch: &Branch| {
        let stated = stated_factor(stand, &branch.name);
        Seat {
            regulator: branch.name.clone(),
            factor: stated.unwrap_or(LARGER),
            is_stated: stated.is_some(),
        }
    };
    let leading = regulators(network).filter(|b| before.contains(&b.to.volume));
    leading.map(seat).collect()
}

/// Upper end of a regulator's capacity over its nominal one, by the uncertainty that the file
/// states of what it is made of; none if it states none.
fn stated_factor(stand: &CheckedStand, regulator: &str) -> Option<f64> {
    let part = |(key, power): (&str, f64)| {
        let id = stand.inputs.find(&format!("regulator.{regulator}.{key}"))?;
        let input = stand.inputs.get(id);
        let is_stated = input.span.is_some() && input.distribution != Distribution::Exact;
        is_stated.then(|| (upper(input) / input.nominal).powf(power))
    };
    MADE_OF.into_iter().filter_map(part).reduce(|a, b| a * b)
}

/// The end of a range, or of the interval that holds 95 %.
fn upper(input: &Input) -> f64 {
    match input.distribution {
        Distribution::Uniform { high, .. } => high,
        _ => Factor::of(input).interval_95().1,
    }
}

fn with_larger(network: &Network, seats: &[Seat]) -> Network {
    let mut network = network.clone();
    for branch in &mut network.branches {
        let seat = seats.iter().find(|s| s.regulator == branch.name);
        if let (BranchKind::Regulator(regulator), Some(seat)) = (&mut branch.kind, seat) {
            regulator.capacity = regulator.capacity.scaled(seat.factor);
        }
    }
    network
}

/// What relieves the tank, and what is joined to it, already.
fn installed(network: &Network, tank: usize) -> Vec<String> {
    let joined = joined(network, tank);
    let reliefs = network.branches.iter();
    let reliefs =
        reliefs.filter(|b| b.relieves_at_pa().is_some() && joined.contains(&b.from.volume));
    reliefs.map(|b| b.name.clone()).collect()
}

/// The limit, or where the first of the reliefs to the open air opens on what is joined to the
/// tank; at least where its regulators hold it, at most the limit.
fn start_pa(network: &Network, tank: usize, limit_pa: f64) -> f64 {
    let joined = joined(network, tank);
    let ambient = network.volumes.len() - 1;
    let reliefs = network.branches.iter();
    let reliefs = reliefs.filter(|b| b.to.volume == ambient && joined.contains(&b.from.volume));
    let opens =
        reliefs.filter_map(|b| Some(network.surroundings.pressure_pa + b.relieves_at_pa()?));
    let feeds = regulators(network).filter(|b| joined.contains(&b.to.volume));
    let held = feeds.filter_map(|b| match &b.kind {
        BranchKind::Regulator(regulator) => Some(regulator.lock_up_pa),
        _ => None,
    });
    opens
        .fold(limit_pa, f64::min)
        .max(held.fold(0.0, f64::max))
        .min(limit_pa)
}

/// What stands at about the pressure of a tank: joined to it with no regulator and no open air in
/// between.
fn joined(network: &Network, tank: usize) -> Vec<usize> {
    let ambient = network.volumes.len() - 1;
    reached(network, vec![tank], |branch| {
        let (from, to) = (branch.from.volume, branch.to.volume);
        let divides = matches!(branch.kind, BranchKind::Regulator(_));
        if divides || from == ambient || to == ambient {
            return Vec::new();
        }
        vec![(from, to), (to, from)]
    })
}

fn tank_id(network: &Network, name: &str) -> Result<usize, NoRelief> {
    let fed = fed(network);
    let tanks = network.volumes.iter().enumerate();
    let tanks = tanks.filter(|(id, v)| match v.kind {
        VolumeKind::Tank(_) => true,
        VolumeKind::Vessel(_) => fed.contains(id),
        VolumeKind::Ambient => false,
    });
    let found = tanks.clone().find(|(_, v)| v.name == name);
    let names = || tanks.map(|(_, v)| v.name.clone()).collect();
    found
        .map(|(id, _)| id)
        .ok_or_else(|| NoRelief::NoTank(names()))
}

/// Volumes that a failed regulator fills, directly or through others.
fn fed(network: &Network) -> Vec<usize> {
    let seats = regulators(network).map(|b| b.to.volume);
    reached(network, seats.collect(), downstream)
}

/// The regulators that gas on its way to a tank meets first.
fn first_regulators(network: &Network, tank: usize) -> impl Iterator<Item = &Branch> {
    let fed = fed(network);
    let before = reached(network, vec![tank], upstream);
    let is_first =
        move |b: &&Branch| before.contains(&b.to.volume) && !fed.contains(&b.from.volume);
    regulators(network).filter(is_first)
}

/// Raises the gas of a volume to a pressure by more of what is not vapour. In a cryogenic tank the
/// pressurant has come in warm: cold vapour alone would condense long before.
fn raise(network: &mut Network, volume: usize, pressure_pa: f64) {
    let warm_k = network.surroundings.temperature_k;
    let pressurant = pressurant(network);
    let (fill, vapour) = match &mut network.volumes[volume].kind {
        VolumeKind::Vessel(vessel) => (&mut vessel.gas, None),
        VolumeKind::Tank(tank) if tank.cryogen.is_some() => {
            tank.gas.temperature_k = warm_k;
            tank.gas.pressure_pa = tank.gas.pressure_pa.max(pressure_pa);
            let same = pressurant.filter(|p| p.mixture == tank.gas.mixture);
            if let Some(pressurant) = same {
                tank.gas.mole_fractions = pressurant.mole_fractions;
            }
            return;
        }
        VolumeKind::Tank(tank) => (&mut tank.gas, tank.vapour),
        VolumeKind::Ambient => return,
    };
    if fill.pressure_pa >= pressure_pa {
        return;
    }
    let thinner = fill.pressure_pa / pressure_pa;
    fill.pressure_pa = pressure_pa;
    let Some(vapour) = vapour else { return };
    let kept = fill.mole_fractions[vapour] * thinner;
    let rest = 1.0 - fill.mole_fractions[vapour];
    if rest <= 0.0 {
        return;
    }
    for (k, x) in fill.mole_fractions.iter_mut().enumerate() {
        *x *= if k == vapour {
            thinner
        } else {
            (1.0 - kept) / rest
        };
    }
}

/// The gas that the first regulator is fed with.
fn pressurant(network: &Network) -> Option<GasFill> {
    let regulator = regulators(network).next()?;
    match &network.volumes[regulator.from.volume].kind {
        VolumeKind::Vessel(vessel) => Some(vessel.gas.clone()),
        VolumeKind::Tank(_) | VolumeKind::Ambient => None,
    }
}

/// Opens the gas valves that lead on from what is fed and shuts those that lead out, and the liquid
/// valves: what stands open at the start would be counted as relief, a shut valve as protection.
fn turn_valves(network: &mut Network, fed: &[usize]) {
    let ambient = network.volumes.len() - 1;
    for branch in &network.branches {
        if let BranchKind::LiquidChain(chain) = &branch.kind {
            for element in &chain.elements {
                if let ElementKind::Valve { valve, .. } = &element.kind {
                    network.actuators[valve.actuator].initial = 0.0;
                }
            }
        }
        if let BranchKind::GasRestriction(restriction) = &branch.kind
            && let Some(valve) = &restriction.valve
            && fed.contains(&branch.from.volume)
        {
            let leads_out = branch.to.volume == ambient;
            network.actuators[valve.actuator].initial = if leads_out { 0.0 } else { 1.0 };
        }
    }
}

impl Case<'_> {
    fn failed_open(&self, area_m2: f64, start_pa: f64) -> Network {
        let mut network = self.network.clone();
        network.commands.clear();
        let fed = fed(&network);
        turn_valves(&mut network, &fed);
        for volume in joined(&network, self.tank) {
            raise(&mut network, volume, start_pa * START);
        }
        let hole = |capacity| {
            BranchKind::GasRestriction(GasRestriction {
                capacity,
                valve: None,
            })
        };
        let before = reached(&network, vec![self.tank], upstream);
        for branch in &mut network.branches {
            let BranchKind::Regulator(regulator) = &mut branch.kind else {
                continue;
            };
            if self.failed.contains(&branch.name.as_str()) {
                branch.kind = hole(regulator.capacity);
            } else if !before.contains(&branch.to.volume) {
                // Another side would only take gas from the bottle.
                regulator.capacity = regulator.capacity.scaled(SHUT);
            }
        }
        let port = |volume| Port {
            volume,
            phase: Phase::Gas,
        };
        let ambient = network.volumes.len() - 1;
        network.branches.push(Branch {
            name: NAME.to_owned(),
            from: port(self.tank),
            to: port(ambient),
            kind: hole(Capacity::EffectiveArea { m2: area_m2 }),
        });
        network
    }
}

/// Choked flow of an ideal gas at the limit and the ambient's temperature:
/// A = w sqrt(R T) / (p sqrt(k) (2/(k+1))^((k+1)/(2(k-1)))).
fn choked_area_m2(network: &Network, gas: &GasFill, flow_kg_s: f64, pressure_pa: f64) -> f64 {
    let mixture = &network.mixtures[gas.mixture];
    let temperature_k = network.surroundings.temperature_k;
    let masses = masses_kg_mol(network, gas);
    let molar_mass: f64 = masses.iter().sum();
    let fractions: Vec<f64> = masses.iter().map(|m| m / molar_mass).collect();
    let k = mixture.heat_capacity_ratio(&fractions, temperature_k).value;
    let choked = critical_flow_function(k);
    flow_kg_s * (GAS_CONSTANT / molar_mass * temperature_k).sqrt() / (pressure_pa * choked)
}

/// Mass of each species in a mole of a gas.
fn masses_kg_mol(network: &Network, gas: &GasFill) -> Vec<f64> {
    let mixture = &network.mixtures[gas.mixture];
    let parts = gas.mole_fractions.iter().enumerate();
    parts
        .map(|(k, x)| x * mixture.molar_mass_kg_mol(k))
        .collect()
}
