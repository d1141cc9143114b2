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
use crate::elastic_column::{ElasticColumn, Stopped};
use crate::evaluate::Evaluation;
use crate::modes::BranchMode;
use crate::network::{ActuatorId, BranchKind, ChainElement, ElementKind, Line, VolumeKind};
use crate::observe::{chain_choke, chain_end_pa, column_of};
use crate::outcome::{Parting, Surge, SurgeCause};
use crate::run::Run;
use fluids::LiquidState;
use std::borrow::Cow;

/// Flow, as a part of the chain's flow scale, below which no front strikes.
const NO_FLOW: f64 = 0.1;

/// The same, below which no valve brings anything to a stop.
const NOTHING_TO_STOP: f64 = 1e-3;

/// An elastic rise of this part of the rigid one is no news.
const AS_GOOD_AS_RIGID: f64 = 0.9;

/// Before the end of a stroke, in echoes, from when on waves are looked at: a stop that takes longer
/// is a rigid column's, to about a part in as many.
const WAVY_ECHOES: f64 = 40.0;

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
    /// Columns of the pressure before each element: its inlet's first, then the outlet's of what is before it.
    joints: Vec<Vec<usize>>,
    last: Option<Last>,
    ceilings: Vec<Ceiling>,
    /// Stops that are over.
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
    /// What it is the ceiling of.
    surge: Surge,
    /// For each joint from the tank to the place.
    bounds_pa: Vec<f64>,
    /// From when on the pressure has risen to the bound itself; none if it may stay below.
    reached_s: Option<f64>,
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
            let over = chain.ceilings.extract_if(.., |c| c.calm);
            chain.surges.extend(over.map(|c| c.surge));
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

    /// A row of an instant with the pressures of a stopping column held to their bounds.
    pub fn bounded<'a>(&mut self, row: &'a [f64], time_s: f64) -> Cow<'a, [f64]> {
        let mut row = Cow::Borrowed(row);
        for chain in &mut self.chains {
            chain.bound(&mut row, time_s);
        }
        row
    }

    /// The stops that a rigid column does not describe.
    #[must_use]
    pub fn surges(&self) -> Vec<Surge> {
        let all = self.chains.iter().flat_map(Chain::in_order);
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
        let column = |e: &ChainElement, of: &str| {
            let name = format!("{}.{of}_pressure_pa", e.name);
            run.observer().index_of(&name)
        };
        let joint = |place: usize| {
            let inlet = column(&elements[place], "inlet")?;
            let outlet = place
                .checked_sub(1)
                .and_then(|before| column(&elements[before], "outlet"));
            Some([inlet].into_iter().chain(outlet).collect())
        };
        Some(Self {
            branch,
            joints: (0..elements.len()).map(joint).collect::<Option<_>>()?,
            last: None,
            ceilings: Vec::new(),
            surges: Vec::new(),
            judged: vec![None; elements.len()],
            partings: vec![None; elements.len()],
        })
    }

    /// Its stops, the earliest first.
    fn in_order(&self) -> Vec<&Surge> {
        let going_on = self.ceilings.iter().map(|c| &c.surge);
        let mut all: Vec<&Surge> = self.surges.iter().chain(going_on).collect();
        all.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        all
    }

    fn elements<'a>(&self, run: &'a Run) -> &'a [ChainElement] {
        match &run.model.network.branches[self.branch].kind {
            BranchKind::LiquidChain(chain) => &chain.elements,
            _ => &[],
        }
    }

    fn see(&mut self, run: &Run, seen: Seen<'_>) {
        let (Some((model, column)), BranchMode::Chain { shut, contents, .. }) = (
            column_of(run, self.branch, seen.y, seen.found),
            run.modes.branches[self.branch],
        ) else {
            return;
        };
        let elements = self.elements(run);
        let actuators = elements.iter().map(actuator_of);
        let end_pa = chain_end_pa(run, self.branch, seen.found);
        let joints_pa = self.joints.iter().map(|j| seen.row[j[0]]);
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
        if let Some(last) = self.last.take() {
            let part = last.flow_kg_s / model.flow_scale_kg_s(column.density);
            self.see_reversal(&last, &now);
            if part > NOTHING_TO_STOP {
                self.see_shutting(run, seen, &last, &now, (model, &column));
            }
            if part > NO_FLOW {
                self.see_arrest(run, seen, &last, &now, (model, &column));
            }
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
            let Some((pipe, liquid)) = self.pipe_before(run, seen, place) else {
                continue;
            };
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
            let ends_s = motion.ends_s().max(begins_s);
            let pipes = before.elastic(&|a| run.travel(a, begins_s));
            let echo_s = match &pipes {
                Some(pipes) => pipes.echo_s(),
                None => pipe.echo_s(&liquid),
            };
            if ends_s - now.time_s > WAVY_ECHOES * echo_s {
                continue;
            }
            self.judged[place] = Some(motion);
            let waves = pipes.and_then(|pipes| {
                let stopped = waves(run, &before, &pipes, begins_s, ends_s)?;
                Some((pipes.rise_at_once_pa(), stopped))
            });
            let held = match &waves {
                Some((rise_pa, stopped)) => Held {
                    area_m2: pipe.last_m2,
                    rise_pa: *rise_pa,
                    bounds_pa: before.highest_pa(stopped),
                    reached_s: Some(ends_s),
                },
                None => Held {
                    reached_s: (motion.lasts_s <= echo_s).then_some(begins_s),
                    ..Held::at_once(last, place, pipe.narrowest_m2, &liquid)
                },
            };
            let cause = SurgeCause::Shutting {
                stroke_s: motion.lasts_s,
                echo_s,
                elastic: waves.map(|(_, stopped)| stopped),
            };
            let surge = Surge {
                component: element.name.clone(),
                time_s: begins_s,
                cause,
                speed_m_s: last.flow_kg_s / (liquid.density_kg_m3 * held.area_m2),
                before_pa: last.pressures_pa[place],
                rigid_pa: f64::NEG_INFINITY,
                bound_pa: last.pressures_pa[place] + held.rise_pa,
            };
            self.hold(surge, held);
        }
    }

    /// A valve turns back before its stroke is over: what was expected of it does not come.
    fn see_reversal(&mut self, last: &Last, now: &Last) {
        for place in 0..now.motions.len() {
            let turned = now.motions[place] != last.motions[place];
            if turned
                && self.judged[place]
                    .is_some_and(|m| Some(m) == last.motions[place] && now.time_s < m.ends_s())
            {
                self.judged[place] = None;
                self.ceilings.retain(|c| c.bounds_pa.len() != place + 1);
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
        let Some((pipe, liquid)) = self.pipe_before(run, seen, place) else {
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
        let held = Held::at_once(last, place, pipe.last_m2, &liquid);
        let surge = Surge {
            component: self.elements(run)[place].name.clone(),
            time_s: seen.time_s,
            cause,
            speed_m_s,
            before_pa: at_front_pa,
            rigid_pa: at_front_pa + rigid_pa,
            bound_pa: at_front_pa + held.rise_pa,
        };
        self.hold(surge, held);
    }

    fn hold(&mut self, surge: Surge, held: Held) {
        self.ceilings.push(Ceiling {
            surge,
            reached_s: held.reached_s,
            bounds_pa: held.bounds_pa,
            calm: false,
        });
    }

    /// A column has settled when it stands, or when no valve shuts and it keeps the bound.
    fn settle(&mut self, run: &Run, time_s: f64, now: &Last) {
        let actuators = self.elements(run).iter().filter_map(actuator_of);
        let mut shutting = actuators.filter(|&a| {
            run.is_moving(a, time_s) && run.modes.motions[a].to < run.modes.motions[a].from
        });
        let shutting = shutting.next().is_some();
        for ceiling in &mut self.ceilings {
            let mut pairs = now.pressures_pa.iter().zip(&ceiling.bounds_pa);
            let is_over = ceiling
                .reached_s
                .is_none_or(|reached_s| reached_s <= time_s);
            ceiling.calm = is_over && (now.shut || (!shutting && pairs.all(|(p, b)| p <= b)));
        }
    }

    /// Where several stops overlap, no pressure is above the highest of their bounds, and each lifts it to its own.
    fn bound(&mut self, row: &mut Cow<'_, [f64]>, time_s: f64) {
        for Ceiling {
            surge, bounds_pa, ..
        } in &mut self.ceilings
        {
            let place = bounds_pa.len() - 1;
            surge.rigid_pa = surge.rigid_pa.max(row[self.joints[place][0]]);
        }
        // The first joint is the tank's outlet, whose pressure the tank holds.
        for (place, columns) in self.joints.iter().enumerate().skip(1) {
            let over = || self.ceilings.iter().filter(|c| c.bounds_pa.len() > place);
            let Some(most_pa) = over().map(|c| c.bounds_pa[place]).max_by(f64::total_cmp) else {
                continue;
            };
            let reached = over().filter(|c| c.reached_s.is_some_and(|s| s <= time_s));
            let least_pa = reached
                .map(|c| c.bounds_pa[place])
                .fold(f64::NEG_INFINITY, f64::max);
            for &column in columns {
                let held = row[column].min(most_pa).max(least_pa);
                row.to_mut()[column] = held;
            }
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

    /// The lines before a place, and the liquid in them.
    fn pipe_before(&self, run: &Run, seen: Seen<'_>, place: usize) -> Option<(Pipes, LiquidState)> {
        let before = self.elements(run)[..place].iter();
        let lines = before.filter_map(|e| match &e.kind {
            ElementKind::Line(line) => Some(line),
            _ => None,
        });
        let pipes = Pipes {
            length_m: lines.clone().map(|l| l.length_m).sum(),
            last_m2: lines.clone().next_back().map(Line::bore_m2)?,
            narrowest_m2: lines.map(Line::bore_m2).min_by(f64::total_cmp)?,
        };
        Some((pipes, self.liquid(run, seen)?))
    }
}

/// To what a stop holds the pressures before it.
struct Held {
    /// Bore in which Joukowsky's rise comes.
    area_m2: f64,
    /// Joukowsky's rise.
    rise_pa: f64,
    /// For each joint from the tank to the place.
    bounds_pa: Vec<f64>,
    /// From when on it is reached, if it is.
    reached_s: Option<f64>,
}

impl Held {
    /// By `p + rho a v` of a rigid pipe, which need not be reached.
    fn at_once(last: &Last, place: usize, area_m2: f64, liquid: &LiquidState) -> Self {
        let speed_m_s = last.flow_kg_s / (liquid.density_kg_m3 * area_m2);
        let rise_pa = liquid.density_kg_m3 * liquid.sound_speed_m_s * speed_m_s;
        let before_pa = last.pressures_pa[..=place].iter();
        Self {
            area_m2,
            rise_pa,
            bounds_pa: before_pa.map(|p| p + rise_pa).collect(),
            reached_s: None,
        }
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
fn waves(
    run: &Run,
    before: &ColumnBefore<'_>,
    pipes: &ElasticColumn,
    begins_s: f64,
    ends_s: f64,
) -> Option<Stopped> {
    let stroke_s = ends_s - begins_s;
    if stroke_s > MOST_ECHOES * pipes.echo_s() {
        return None;
    }
    let lasts_s = stroke_s + AFTERMATH_ECHOES * pipes.echo_s();
    let travel_at = |time_s: f64| move |a| run.travel(a, begins_s + time_s);
    let stopped = before.stopped(pipes, lasts_s, travel_at)?;
    let is_stopped = stopped.parts_s.is_none_or(|parts_s| parts_s > stroke_s);
    is_stopped.then_some(stopped)
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
