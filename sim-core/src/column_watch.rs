//! Where the rigid column of a chain does not hold, seen along a run: a valve that shuts faster
//! than waves travel, a front that strikes a restriction, a joint below the vapour pressure
//! (theory 4).
//!
//! What a rigid column answers to a sudden stop has no bound. The last echoes of a stroke that shuts are
//! reckoned anew with an elastic column; any other stop is held to Joukowsky's p + rho a v. The history
//! keeps the rigid column's pressures, the extremes are those of the elastic one.

use crate::column_before::ColumnBefore;
use crate::components::actuator::Motion;
use crate::components::chain::{ChainModel, Column, Contents};
use crate::elastic_column::Stopped;
use crate::evaluate::Evaluation;
use crate::modes::BranchMode;
use crate::network::{ActuatorId, BranchKind, ChainElement, ElementKind, Line, VolumeKind};
use crate::observe::{chain_choke, chain_end_pa, column_of};
use crate::outcome::{Parting, Surge, SurgeCause};
use crate::run::Run;
use fluids::LiquidState;
use std::borrow::Cow;
use std::f64::consts::PI;

/// Flow, as a part of the chain's flow scale, below which nothing is brought to a stop.
const NO_FLOW: f64 = 0.1;

/// An elastic rise of this part of the rigid one is no news.
const AS_GOOD_AS_RIGID: f64 = 0.9;

/// Before the end of a stroke, in echoes, from when on waves are looked at: a stop that takes longer
/// is a rigid column's, to about a part in as many.
const WAVY_ECHOES: f64 = 10.0;

/// A stroke from beyond this many echoes before its end is left to the rigid column: the steps of the
/// run are then longer than all that a wave does.
const MOST_ECHOES: f64 = 100.0;

/// After the end of a stroke, in echoes, how long waves are looked at: there and back twice.
const AFTERMATH_ECHOES: f64 = 2.0;

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
    /// The strokes that are judged, by place.
    judged: Vec<Option<Motion>>,
    partings: Vec<Option<Parting>>,
}

#[derive(Clone, Debug)]
struct Last {
    time_s: f64,
    flow_kg_s: f64,
    contents: Contents,
    shut: bool,
    /// Before each element, then at the end of the chain.
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
            judged: vec![None; elements.len()],
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
        let end_pa = chain_end_pa(run, self.branch, seen.found);
        let joints_pa = self.joints.iter().map(|&j| seen.row[j]);
        let now = Last {
            time_s: seen.time_s,
            flow_kg_s: column.flow,
            contents,
            shut,
            pressures_pa: joints_pa.chain([end_pa]).collect(),
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
            self.see_shutting(run, seen, &last, &now, (model, &column));
            self.see_arrest(run, seen, &last, &now, (model, &column));
        }
        self.settle(run, seen.time_s, &now);
        self.see_parting(run, seen, &now, (model, &column));
        self.last = Some(now);
    }

    /// A valve with liquid in it shuts, and its stroke is about to end.
    fn see_shutting(
        &mut self,
        run: &Run,
        seen: Seen<'_>,
        last: &Last,
        now: &Last,
        (model, column): (&ChainModel, &Column<f64>),
    ) {
        if last.shut || last.contents == Contents::Gas {
            return;
        }
        for (place, element) in self.elements(run).iter().enumerate() {
            let Some(motion) = now.motions[place] else {
                continue;
            };
            let shuts = motion.to < motion.from.max(last.travels[place]);
            if !shuts
                || self.judged[place] == Some(motion)
                || last.wet.is_none_or(|wet| wet < place)
            {
                continue;
            }
            let (Some(pipe), Some(liquid)) = (self.pipe_before(run, place), self.liquid(run, seen))
            else {
                continue;
            };
            let echo_s = pipe.echo_s(&liquid);
            if motion.ends_s() - now.time_s > WAVY_ECHOES * echo_s {
                continue;
            }
            self.judged[place] = Some(motion);
            let before = ColumnBefore {
                model,
                elements: self.elements(run),
                place,
                column: Column {
                    flow: last.flow_kg_s,
                    contents: last.contents,
                    ..*column
                },
                liquid,
                pressures_pa: last.pressures_pa.clone(),
            };
            let begins_s = last.time_s.max(motion.begins_s);
            let elastic = waves(run, &before, begins_s, motion.ends_s().max(begins_s));
            let waves_pa = elastic.as_ref().map(|stopped| before.highest_pa(stopped));
            let cause = SurgeCause::Shutting {
                stroke_s: motion.lasts_s,
                echo_s,
                elastic,
            };
            let speed_m_s = last.flow_kg_s / (liquid.density_kg_m3 * pipe.narrowest_m2);
            let name = &element.name;
            self.expect(place, begins_s, (cause, speed_m_s), (last, &liquid), name);
            if let (Some(waves_pa), Some(ceiling)) = (waves_pa, &mut self.ceiling) {
                ceiling.bounds_pa = waves_pa;
                ceiling.reached = true;
            }
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

    /// Sets the ceiling before a place: what waves make of it, or p + rho a v.
    fn expect(
        &mut self,
        place: usize,
        time_s: f64,
        (cause, speed_m_s): (SurgeCause, f64),
        (last, liquid): (&Last, &LiquidState),
        name: &str,
    ) {
        let rise_pa = liquid.density_kg_m3 * liquid.sound_speed_m_s * speed_m_s;
        let before_pa = &last.pressures_pa[..=place];
        let bounds_pa = before_pa.iter().map(|p| p + rise_pa).collect();
        let surge = Surge {
            component: name.to_owned(),
            time_s,
            cause,
            speed_m_s,
            before_pa: before_pa[place],
            rigid_pa: f64::NEG_INFINITY,
            bound_pa: before_pa[place] + rise_pa,
        };
        self.ceiling = Some(Ceiling {
            reached: surge.cause.is_within_echo(),
            bounds_pa,
            calm: false,
        });
        self.surges.push(surge);
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

    fn pipe_before(&self, run: &Run, place: usize) -> Option<Pipes> {
        let before = self.elements(run)[..place].iter();
        let lines = before.filter_map(|e| match &e.kind {
            ElementKind::Line(line) => Some(line),
            _ => None,
        });
        let area_m2 = |line: &Line| PI / 4.0 * line.bore_m * line.bore_m;
        Some(Pipes {
            length_m: lines.clone().map(|l| l.length_m).sum(),
            last_m2: lines.clone().next_back().map(area_m2)?,
            narrowest_m2: lines.map(area_m2).min_by(f64::total_cmp)?,
        })
    }
}

/// The lines before a place.
struct Pipes {
    length_m: f64,
    last_m2: f64,
    narrowest_m2: f64,
}

impl Pipes {
    /// Time of a wave to the tank and back, a little less than in pipes that give way.
    fn echo_s(&self, liquid: &LiquidState) -> f64 {
        2.0 * self.length_m / liquid.sound_speed_m_s
    }
}

/// What an elastic column does while a stroke lasts and a little longer. None where it parts before it
/// has been stopped, or where the run's own steps are longer than all its waves.
fn waves(run: &Run, before: &ColumnBefore<'_>, begins_s: f64, ends_s: f64) -> Option<Stopped> {
    let elastic = before.elastic(&|a| run.travel(a, begins_s))?;
    let stroke_s = ends_s - begins_s;
    if stroke_s > MOST_ECHOES * elastic.echo_s() {
        return None;
    }
    let lasts_s = stroke_s + AFTERMATH_ECHOES * elastic.echo_s();
    let travel_at = |time_s: f64| move |a| run.travel(a, begins_s + time_s);
    let stopped = before.stopped(&elastic, lasts_s, travel_at)?;
    stopped
        .parts_s
        .is_none_or(|parts_s| parts_s > stroke_s)
        .then_some(stopped)
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
