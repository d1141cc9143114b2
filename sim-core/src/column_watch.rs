//! Where the rigid column of a chain does not hold, seen along a run: a valve that shuts faster
//! than waves travel, a front that strikes a restriction, a joint below the vapour pressure
//! (theory 4).
//!
//! What a rigid column answers to a sudden stop has no bound; what a liquid answers has:
//! Joukowsky's p + rho a v. The history keeps the rigid column's pressures, the extremes are
//! held to the bound.

use crate::components::actuator::Motion;
use crate::components::chain::{ChainModel, Column, Contents};
use crate::evaluate::Evaluation;
use crate::modes::BranchMode;
use crate::network::{ActuatorId, BranchKind, ChainElement, ElementKind, Line, VolumeKind};
use crate::observe::{chain_choke, column_of};
use crate::outcome::{Parting, Surge, SurgeCause};
use crate::run::Run;
use fluids::LiquidState;
use std::borrow::Cow;
use std::f64::consts::PI;

/// Flow, as a part of the chain's flow scale, below which nothing is brought to a stop.
const NO_FLOW: f64 = 0.1;

/// An elastic rise of this part of the rigid one is no news.
const AS_GOOD_AS_RIGID: f64 = 0.9;

/// Least part of the vapour pressure at which a throat chokes (IEC 60534-2-1: 0.96 - 0.28).
const LEAST_THROAT_PART: f64 = 0.68;

/// What is watched along a run.
#[derive(Clone, Debug)]
pub struct ColumnWatch {
    chains: Vec<Chain>,
    seen_s: f64,
}

/// An evaluated state and its row.
#[derive(Clone, Copy)]
pub struct Seen<'a> {
    /// Instant.
    pub time_s: f64,
    /// State.
    pub y: &'a [f64],
    /// Its evaluation.
    pub found: &'a Evaluation<f64>,
    /// Its row of the history.
    pub row: &'a [f64],
}

/// One chain and what it was like when last looked at.
#[derive(Clone, Debug)]
struct Chain {
    branch: usize,
    /// Column of the pressure before each element.
    joints: Vec<usize>,
    last: Option<Last>,
    ceiling: Option<Ceiling>,
    surges: Vec<Surge>,
    partings: Vec<Option<Parting>>,
}

#[derive(Clone, Debug)]
struct Last {
    flow_kg_s: f64,
    contents: Contents,
    shut: bool,
    pressures_pa: Vec<f64>,
    motions: Vec<Option<Motion>>,
    travels: Vec<f64>,
    wet: Option<usize>,
}

/// To what the pressures before a place are held while the column there stops.
#[derive(Clone, Debug)]
struct Ceiling {
    /// For each joint from the tank to the place.
    bounds_pa: Vec<f64>,
    /// Stopped within an echo, the pressure rises to the bound itself.
    reached: bool,
    /// The column has settled: the ceiling falls with the next step.
    calm: bool,
}

impl ColumnWatch {
    /// Nothing seen yet of the chains of a run.
    #[must_use]
    pub fn new(run: &Run) -> Self {
        let branches = run.model.network.branches.iter().enumerate();
        let chains = branches.filter_map(|(branch, b)| match &b.kind {
            BranchKind::LiquidChain(chain) => Chain::new(run, branch, &chain.elements),
            _ => None,
        });
        Self {
            chains: chains.collect(),
            seen_s: f64::NEG_INFINITY,
        }
    }

    /// Before a new step: a ceiling over what has settled is no longer needed.
    pub fn begin_step(&mut self) {
        for chain in &mut self.chains {
            chain.ceiling.take_if(|c| c.calm);
        }
    }

    /// Looks at a state. Rows of the grid, read after the step that holds them, are passed over.
    pub fn see(&mut self, run: &Run, seen: Seen<'_>) {
        if seen.time_s >= self.seen_s {
            self.seen_s = seen.time_s;
            for chain in &mut self.chains {
                chain.see(run, seen);
            }
        }
    }

    /// A row with the pressures of a stopping column held to their bounds.
    pub fn bounded<'a>(&mut self, row: &'a [f64]) -> Cow<'a, [f64]> {
        let mut row = Cow::Borrowed(row);
        for chain in &mut self.chains {
            chain.bound(&mut row);
        }
        row
    }

    /// The stops that a rigid column does not describe.
    #[must_use]
    pub fn surges(&self) -> Vec<Surge> {
        let all = self.chains.iter().flat_map(|c| &c.surges);
        all.filter(|s| s.is_beyond_rigid()).cloned().collect()
    }

    /// Where the column parts.
    #[must_use]
    pub fn partings(&self) -> Vec<Parting> {
        let all = self.chains.iter().flat_map(|c| &c.partings);
        all.flatten().cloned().collect()
    }
}

impl Chain {
    fn new(run: &Run, branch: usize, elements: &[ChainElement]) -> Option<Self> {
        let column = |e: &ChainElement| {
            let name = format!("{}.inlet_pressure_pa", e.name);
            run.observer().index_of(&name)
        };
        Some(Self {
            branch,
            joints: elements.iter().map(column).collect::<Option<_>>()?,
            last: None,
            ceiling: None,
            surges: Vec::new(),
            partings: vec![None; elements.len()],
        })
    }

    fn elements<'a>(&self, run: &'a Run) -> &'a [ChainElement] {
        match &run.model.network.branches[self.branch].kind {
            BranchKind::LiquidChain(chain) => &chain.elements,
            _ => &[],
        }
    }

    fn see(&mut self, run: &Run, seen: Seen<'_>) {
        let (Some((model, column)), BranchMode::Chain { shut, contents }) = (
            column_of(run, self.branch, seen.y, seen.found),
            run.modes.branches[self.branch],
        ) else {
            return;
        };
        let elements = self.elements(run);
        let actuators = elements.iter().map(actuator_of);
        let now = Last {
            flow_kg_s: column.flow,
            contents,
            shut,
            pressures_pa: self.joints.iter().map(|&j| seen.row[j]).collect(),
            motions: actuators
                .clone()
                .map(|a| Some(run.modes.motions[a?]))
                .collect(),
            travels: actuators
                .map(|a| a.map_or(1.0, |a| run.travel(a, seen.time_s)))
                .collect(),
            wet: model.last_wet_restriction(&column),
        };
        if let Some(last) = self.last.take()
            && last.flow_kg_s > NO_FLOW * model.flow_scale_kg_s(column.density)
        {
            self.see_shutting(run, seen, &last, &now);
            self.see_arrest(run, seen, &last, &now, (model, &column));
        }
        self.settle(run, seen.time_s, &now);
        self.see_parting(run, seen, &now, (model, &column));
        self.last = Some(now);
    }

    /// A valve with liquid in it begins to shut.
    fn see_shutting(&mut self, run: &Run, seen: Seen<'_>, last: &Last, now: &Last) {
        if last.shut || last.contents == Contents::Gas {
            return;
        }
        for (place, element) in self.elements(run).iter().enumerate() {
            let Some(motion) = now.motions[place] else {
                continue;
            };
            let begins =
                now.motions[place] != last.motions[place] && motion.to < last.travels[place];
            if !begins || last.wet.is_none_or(|wet| wet < place) {
                continue;
            }
            let (Some(pipe), Some(liquid)) = (self.pipe_before(run, place), self.liquid(run, seen))
            else {
                continue;
            };
            let cause = SurgeCause::Shutting {
                stroke_s: motion.lasts_s,
                echo_s: 2.0 * pipe.length_m / liquid.sound_speed_m_s,
            };
            let speed_m_s = last.flow_kg_s / (liquid.density_kg_m3 * pipe.narrowest_m2);
            self.expect(
                place,
                seen.time_s,
                (cause, speed_m_s),
                (last, &liquid),
                &element.name,
            );
        }
    }

    /// The front of a filling line strikes a restriction: the flow falls to what passes there.
    fn see_arrest(
        &mut self,
        run: &Run,
        seen: Seen<'_>,
        last: &Last,
        now: &Last,
        (model, column): (&ChainModel, &Column<f64>),
    ) {
        let (Contents::Priming, Some(place)) = (last.contents, now.wet) else {
            return;
        };
        if last.wet >= now.wet {
            return;
        }
        let (Some(pipe), Some(liquid)) = (self.pipe_before(run, place), self.liquid(run, seen))
        else {
            return;
        };
        let struck = Column {
            flow: last.flow_kg_s,
            ..*column
        };
        let rigid_pa = model
            .terms(place, &struck, &|a| run.travel(a, seen.time_s))
            .loss;
        let speed_m_s = last.flow_kg_s / (liquid.density_kg_m3 * pipe.last_m2);
        let part = passing_part(rigid_pa, speed_m_s, &liquid);
        if part * part > AS_GOOD_AS_RIGID {
            return;
        }
        let at_front_pa = last.pressures_pa[place];
        let ahead_m2 = last.flow_kg_s / (2.0 * liquid.density_kg_m3 * rigid_pa).sqrt();
        let cause = SurgeCause::Arrest {
            elastic_pa: at_front_pa + part * part * rigid_pa,
            front_m3_s: speed_m_s * pipe.last_m2,
            ahead_m2,
        };
        let name = &self.elements(run)[place].name;
        self.expect(
            place,
            seen.time_s,
            (cause, speed_m_s),
            (last, &liquid),
            name,
        );
        if let Some(surge) = self.surges.last_mut() {
            surge.rigid_pa = at_front_pa + rigid_pa;
        }
    }

    /// Sets the ceiling p + rho a v before a place.
    fn expect(
        &mut self,
        place: usize,
        time_s: f64,
        (cause, speed_m_s): (SurgeCause, f64),
        (last, liquid): (&Last, &LiquidState),
        name: &str,
    ) {
        let rise_pa = liquid.density_kg_m3 * liquid.sound_speed_m_s * speed_m_s;
        let bounds_pa: Vec<f64> = last.pressures_pa[..=place]
            .iter()
            .map(|p| p + rise_pa)
            .collect();
        self.surges.push(Surge {
            component: name.to_owned(),
            time_s,
            cause,
            speed_m_s,
            rigid_pa: f64::NEG_INFINITY,
            bound_pa: bounds_pa[place],
        });
        self.ceiling = Some(Ceiling {
            bounds_pa,
            reached: cause.is_within_echo(),
            calm: false,
        });
    }

    /// A column has settled when it stands, or when no valve shuts and it keeps the bound.
    fn settle(&mut self, run: &Run, time_s: f64, now: &Last) {
        let actuators = self.elements(run).iter().filter_map(actuator_of);
        let mut shutting = actuators.filter(|&a| {
            run.is_moving(a, time_s) && run.modes.motions[a].to < run.modes.motions[a].from
        });
        if let Some(ceiling) = &mut self.ceiling {
            let mut pairs = now.pressures_pa.iter().zip(&ceiling.bounds_pa);
            ceiling.calm = now.shut || (shutting.next().is_none() && pairs.all(|(p, b)| p <= b));
        }
    }

    fn bound(&mut self, row: &mut Cow<'_, [f64]>) {
        let Some(ceiling) = &self.ceiling else {
            return;
        };
        let place = ceiling.bounds_pa.len() - 1;
        if let Some(surge) = self.surges.last_mut() {
            surge.rigid_pa = surge.rigid_pa.max(row[self.joints[place]]);
        }
        // The first joint is the tank's outlet, whose pressure the tank holds.
        let joints = self.joints.iter().zip(&ceiling.bounds_pa).skip(1);
        for (&joint, &bound_pa) in joints {
            let held = if ceiling.reached {
                bound_pa
            } else {
                row[joint].min(bound_pa)
            };
            let row = row.to_mut();
            row[joint] = held;
        }
    }

    /// Wet joints between the tank's outlet and the end; behind a choked throat liquid boils anyway.
    fn see_parting(
        &mut self,
        run: &Run,
        seen: Seen<'_>,
        now: &Last,
        (model, column): (&ChainModel, &Column<f64>),
    ) {
        let may_boil_pa = column.throat_pressure / LEAST_THROAT_PART;
        if now.pressures_pa.iter().all(|&p| p >= may_boil_pa) {
            return;
        }
        let travel = |a| run.travel(a, seen.time_s);
        let choke = chain_choke(run, self.branch, seen.time_s, seen.y, seen.found);
        let reach = match (now.shut, choke) {
            (true, _) => model.shut_element(&travel),
            (false, Some(choke)) => choke.element,
            (false, None) => model.len(),
        };
        let Some(liquid) = self.liquid(run, seen) else {
            return;
        };
        for (place, element) in self.elements(run).iter().enumerate().skip(1) {
            let pressure_pa = now.pressures_pa[place];
            if place > reach
                || !model.is_wet_before(place, column)
                || pressure_pa >= liquid.vapour_pressure_pa
            {
                continue;
            }
            let parting = self.partings[place].get_or_insert_with(|| Parting {
                component: element.name.clone(),
                time_s: seen.time_s,
                least_pa: pressure_pa,
                vapour_pa: liquid.vapour_pressure_pa,
            });
            parting.least_pa = parting.least_pa.min(pressure_pa);
        }
    }

    fn liquid(&self, run: &Run, seen: Seen<'_>) -> Option<LiquidState> {
        let from = run.model.network.branches[self.branch].from.volume;
        let VolumeKind::Tank(tank) = &run.model.network.volumes[from].kind else {
            return None;
        };
        let crate::evaluate::Side::Tank(side) = &seen.found.sides[from] else {
            return None;
        };
        tank.liquid.at(side.liquid.temperature).ok()
    }

    fn pipe_before(&self, run: &Run, place: usize) -> Option<Pipe> {
        let before = self.elements(run)[..place].iter();
        let lines = before.filter_map(|e| match &e.kind {
            ElementKind::Line(line) => Some(line),
            _ => None,
        });
        let area_m2 = |line: &Line| PI / 4.0 * line.bore_m * line.bore_m;
        Some(Pipe {
            length_m: lines.clone().map(|l| l.length_m).sum(),
            last_m2: lines.clone().next_back().map(area_m2)?,
            narrowest_m2: lines.map(area_m2).min_by(f64::total_cmp)?,
        })
    }
}

/// The lines before a place.
struct Pipe {
    length_m: f64,
    last_m2: f64,
    narrowest_m2: f64,
}

fn actuator_of(element: &ChainElement) -> Option<ActuatorId> {
    match &element.kind {
        ElementKind::Valve { valve, .. } => Some(valve.actuator),
        _ => None,
    }
}

/// Part v/v0 of the front's speed that goes on through a restriction which takes `rigid_pa` at
/// the whole of it: rho a (v0 - v) = rigid (v/v0)^2, what a wave back through the line and the
/// restriction agree on.
fn passing_part(rigid_pa: f64, speed_m_s: f64, liquid: &LiquidState) -> f64 {
    let ratio = rigid_pa / (liquid.density_kg_m3 * liquid.sound_speed_m_s * speed_m_s);
    2.0 / (1.0 + (1.0 + 4.0 * ratio).sqrt())
}
