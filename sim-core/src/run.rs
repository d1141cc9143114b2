//! A run in progress: the model with its present modes, as the integrator sees it.

use crate::components::actuator::Motion;
use crate::components::chain::{Contents, EMPTY_FRACTION, SHUT_FRACTION};
use crate::components::liquid_choking::{CERTAIN_PA, Throat};
use crate::components::poppet::PoppetMode;
use crate::components::regulator::RegulatorMode;
use crate::evaluate::{Evaluation, Side, evaluate};
use crate::fault::Fault;
use crate::integrate::{Hybrid, Rates};
use crate::layout::BranchStates;
use crate::model::{BranchModel, Model, VolumeModel};
use crate::modes::{
    BranchMode, Modes, Order, above_residual_m3, before_gas_m3, pressure_difference_pa,
    regulator_demand,
};
use crate::network::{BranchKind, Duty, Phase, Relation, Trigger};
use crate::observe::{Observer, chain_end_pa, chain_throat, column_of};
use crate::outcome::{Event, EventKind};
use nalgebra::{DMatrix, DVector};
use shared::Dual;
use std::cell::RefCell;

/// Directions differentiated at once where they take all states of a plain stand.
const NARROW: usize = 20;

/// Directions differentiated at once where there are more states: three passes take all states of
/// a stand with a tank of twelve layers and two reliefs. Numbers with more directions crowd each
/// other out of the nearest memory, and what a pass would look up anew is mostly remembered.
const WIDE: usize = 30;

/// Fraction of capacity at which a gas valve counts as shut.
const GAS_SHUT_FRACTION: f64 = 1e-6;

/// A valve that is open is shut at this part of the opening at which it opened.
const SHUT_HYSTERESIS: f64 = 0.9;

/// Ullage of a tank that is being filled, as a part of its volume, below which a run ends.
const LEAST_ULLAGE: f64 = 0.005;

/// Back-flow, as a part of the chain's flow scale, at which air is let in at an open end.
const BACKFLOW: f64 = 1e-6;

/// What a guard leads to.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Switch {
    Regulator {
        branch: usize,
        to: RegulatorMode,
    },
    Poppet {
        branch: usize,
        to: PoppetMode,
    },
    Burst {
        branch: usize,
    },
    Valve {
        branch: usize,
        shut: bool,
    },
    ChainShut {
        branch: usize,
        shut: bool,
    },
    Contents {
        branch: usize,
        to: Contents,
    },
    /// Another throat, or none, holds the flow of a chain.
    Choking {
        branch: usize,
        to: Option<usize>,
    },
    Command {
        command: usize,
    },
    Arm {
        command: usize,
    },
    /// The layers of a cryogenic tank's ullage are divided anew.
    Relayer {
        volume: usize,
    },
    /// What the equations do not hold: the run ends there.
    Beyond {
        branch: usize,
        what: Beyond,
    },
}

/// What a chain may run into that is not modelled.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Beyond {
    AirIntoTank,
    BackIntoGas,
    ReceiverFull,
    ReceiverEmpty,
}

/// An evaluation, kept while time, state and modes stay.
struct Latest {
    time_s: f64,
    y: Vec<f64>,
    dy: Vec<f64>,
    found: Evaluation<f64>,
    valid: bool,
}

/// Room for dual evaluations of `N` directions at once.
struct DualRoom<const N: usize> {
    y: Vec<Dual<N>>,
    dy: Vec<Dual<N>>,
    found: Evaluation<Dual<N>>,
}

/// Room for the Jacobian.
enum Differentiation {
    Narrow(DualRoom<NARROW>),
    Wide(DualRoom<WIDE>),
}

impl<const N: usize> DualRoom<N> {
    fn new(model: &Model) -> Self {
        let zero = Dual {
            value: 0.0,
            slope: [0.0; N],
        };
        Self {
            y: vec![zero; model.layout.total],
            dy: vec![zero; model.layout.total],
            found: Evaluation::new(model),
        }
    }

    /// Takes over what another evaluation found of properties.
    fn remember(&mut self, found: &Evaluation<f64>) {
        for (to, from) in self.found.cryogenic.iter_mut().zip(&found.cryogenic) {
            to.properties.clone_from(&from.properties);
        }
    }

    /// One dual evaluation for each run of `N` columns; the ledgers' columns are zero because
    /// nothing depends on them. Time is the direction behind the last state.
    fn jacobian(
        &mut self,
        (model, modes): (&Model, &Modes),
        (t_s, y): (f64, &[f64]),
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Fault> {
        let dynamic = model.layout.dynamic;
        let height = model.layout.total;
        for first in (0..=dynamic).step_by(N) {
            let carried = first..(first + N).min(dynamic + 1);
            for (column, (dual, &value)) in self.y.iter_mut().zip(y).enumerate() {
                dual.value = value;
                dual.slope.fill(0.0);
                if column < dynamic && carried.contains(&column) {
                    dual.slope[column - first] = 1.0;
                }
            }
            // A direction that this pass does not carry gives a constant.
            let time = Dual::variable(t_s, dynamic - first);
            evaluate(model, modes, time, &self.y, &mut self.found, &mut self.dy)?;
            for column in carried {
                let entries = if column == dynamic {
                    time_slope.as_mut_slice()
                } else {
                    &mut jacobian.as_mut_slice()[column * height..][..height]
                };
                let direction = column - first;
                for (entry, rate) in entries.iter_mut().zip(&self.dy) {
                    *entry = rate.slope[direction];
                }
            }
        }
        jacobian.as_mut_slice()[dynamic * height..].fill(0.0);
        Ok(())
    }
}

/// A run in progress.
pub struct Run {
    /// The model.
    pub model: Model,
    /// Its present modes.
    pub modes: Modes,
    /// What happened so far.
    pub events: Vec<Event>,
    observer: Observer,
    /// Column of each command's condition.
    condition_columns: Vec<Option<usize>>,
    /// The last two evaluations, the later one first: a step is read at its middle and its end
    /// by the guards, then by the sink.
    latest: RefCell<[Latest; 2]>,
    /// Tanks whose layers the guards watch, each with the place of its guard.
    watched: RefCell<Vec<(usize, usize)>>,
    differentiation: RefCell<Differentiation>,
}

impl Run {
    /// Starts a run at time zero.
    ///
    /// # Errors
    /// When the start state cannot be evaluated or a condition names no column.
    pub fn new(model: Model) -> Result<Self, Fault> {
        let observer = Observer::new(&model);
        let condition_columns = condition_columns(&model, &observer)?;
        let total = model.layout.total;
        let nothing = || Latest {
            time_s: 0.0,
            y: model.start.clone(),
            dy: vec![0.0; total],
            found: Evaluation::new(&model),
            valid: false,
        };
        let differentiation = if model.layout.dynamic < NARROW {
            Differentiation::Narrow(DualRoom::new(&model))
        } else {
            Differentiation::Wide(DualRoom::new(&model))
        };
        let mut run = Self {
            modes: Modes::at_rest(&model),
            events: Vec::new(),
            observer,
            condition_columns,
            latest: RefCell::new([nothing(), nothing()]),
            watched: RefCell::default(),
            differentiation: RefCell::new(differentiation),
            model,
        };
        let start = run.model.start.clone();
        let mut modes = run.modes.clone();
        let reliefs = run.with_evaluation(0.0, &start, |run, found, _| {
            modes.fit_start(&run.model, found);
            modes.resting_reliefs(&run.model, found)
        })?;
        for (place, lift) in reliefs {
            run.model.start[place] = lift;
        }
        let start = run.model.start.clone();
        run.set_modes(|m| *m = modes);
        run.give_due(0.0);
        run.arm_at_start(&start)?;
        Ok(run)
    }

    /// What a history row holds.
    #[must_use]
    pub fn observer(&self) -> &Observer {
        &self.observer
    }

    /// Evaluates at a time and state, or hands out an evaluation that was just that.
    ///
    /// # Errors
    /// When a component's state is outside its fluid's range.
    pub fn with_evaluation<R>(
        &self,
        time_s: f64,
        y: &[f64],
        read: impl FnOnce(&Self, &Evaluation<f64>, &[f64]) -> R,
    ) -> Result<R, Fault> {
        let mut latest = self.latest.borrow_mut();
        let holds = |e: &Latest| e.valid && e.time_s == time_s && e.y == y;
        if !holds(&latest[0]) {
            latest.swap(0, 1);
        }
        let latest = &mut latest[0];
        if !holds(latest) {
            latest.valid = false;
            latest.time_s = time_s;
            latest.y.copy_from_slice(y);
            evaluate(
                &self.model,
                &self.modes,
                time_s,
                y,
                &mut latest.found,
                &mut latest.dy,
            )?;
            latest.valid = true;
        }
        Ok(read(self, &latest.found, &latest.dy))
    }

    /// Changes modes; what was evaluated under the old ones is forgotten.
    fn set_modes(&mut self, change: impl FnOnce(&mut Modes)) {
        change(&mut self.modes);
        for latest in self.latest.borrow_mut().iter_mut() {
            latest.valid = false;
        }
    }

    fn record(&mut self, time_s: f64, component: &str, kind: EventKind) {
        self.events.push(Event {
            time_s,
            component: component.to_owned(),
            kind,
        });
    }

    fn record_branch(&mut self, time_s: f64, branch: usize, kind: EventKind) {
        let name = self.model.network.branches[branch].name.clone();
        self.record(time_s, &name, kind);
    }

    /// Travel of an actuator.
    #[must_use]
    pub fn travel(&self, actuator: usize, time_s: f64) -> f64 {
        self.model.stems[actuator].travel(&self.modes.motions[actuator], time_s)
    }

    /// Whether an actuator is on its way.
    #[must_use]
    pub fn is_moving(&self, actuator: usize, time_s: f64) -> bool {
        let motion = &self.modes.motions[actuator];
        motion.from != motion.to && time_s < motion.ends_s()
    }

    // ---- guards ----

    /// The guards of the present modes in a fixed order, each with what it leads to.
    fn armed(
        &self,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        dy: &[f64],
    ) -> Vec<(Switch, f64)> {
        let mut armed = Vec::new();
        for branch in 0..self.model.branches.len() {
            self.arm_branch(branch, time_s, y, found, &mut armed);
        }
        self.arm_layers(y, found, &mut armed);
        self.arm_commands(time_s, y, found, dy, &mut armed);
        armed
    }

    fn arm_branch(
        &self,
        branch: usize,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        armed: &mut Vec<(Switch, f64)>,
    ) {
        let kind = &self.model.network.branches[branch].kind;
        match (self.modes.branches[branch], kind) {
            (BranchMode::Regulator(mode), BranchKind::Regulator(regulator)) => {
                let (BranchModel::Regulator(curve), BranchStates::Lift(place)) = (
                    &self.model.branches[branch],
                    self.model.layout.branches[branch],
                ) else {
                    return;
                };
                let ends = &self.model.network.branches[branch];
                let demand = regulator_demand(&self.model, found, ends, regulator, curve);
                let exits = mode.exits(regulator, demand, y[place]).into_iter();
                armed.extend(exits.map(|(to, guard)| (Switch::Regulator { branch, to }, guard)));
            }
            (BranchMode::Poppet(mode), BranchKind::Poppet(valve)) => {
                let BranchStates::Lift(place) = self.model.layout.branches[branch] else {
                    return;
                };
                let difference = pressure_difference_pa(&self.model, found, branch);
                armed.extend(
                    valve
                        .exits(mode, difference, y[place])
                        .into_iter()
                        .map(|(to, guard)| (Switch::Poppet { branch, to }, guard)),
                );
            }
            (BranchMode::BurstDisc { whole: true }, BranchKind::BurstDisc(disc)) => {
                let difference = pressure_difference_pa(&self.model, found, branch);
                armed.push((Switch::Burst { branch }, disc.guard(difference)));
            }
            (BranchMode::Valve { shut }, BranchKind::GasRestriction(_)) => {
                let opening = self.gas_opening(branch, time_s);
                let guard = shut_guard(shut, opening, GAS_SHUT_FRACTION);
                armed.push((
                    Switch::Valve {
                        branch,
                        shut: !shut,
                    },
                    guard,
                ));
            }
            (BranchMode::Chain { shut, contents, .. }, _) => {
                self.arm_chain(branch, shut, contents, time_s, y, found, armed);
                self.arm_choking(branch, time_s, y, found, armed);
            }
            _ => {}
        }
    }

    fn arm_layers(&self, y: &[f64], found: &Evaluation<f64>, armed: &mut Vec<(Switch, f64)>) {
        for volume in 0..self.model.volumes.len() {
            if let Some(tank) = self.model.cryogenic_tank(volume)
                && let Side::Tank(side) = &found.sides[volume]
                && let Some(guard) = tank.uneven(y, side.ullage)
            {
                armed.push((Switch::Relayer { volume }, guard));
            }
        }
    }

    /// Divides the layers of a tank anew; nothing is gained or lost.
    fn relayer(&mut self, volume: usize, time_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        let ullage = self.with_evaluation(time_s, y, |_, found, _| match &found.sides[volume] {
            Side::Tank(side) => side.ullage,
            _ => 0.0,
        })?;
        if let Some(tank) = self.model.cryogenic_tank(volume) {
            tank.relayer(y, ullage);
        }
        Ok(())
    }

    fn gas_opening(&self, branch: usize, time_s: f64) -> f64 {
        match (
            &self.model.network.branches[branch].kind,
            &self.model.branches[branch],
        ) {
            (BranchKind::GasRestriction(r), BranchModel::Restriction(Some(trim))) => r
                .valve
                .as_ref()
                .map_or(1.0, |v| trim.fraction(self.travel(v.actuator, time_s))),
            _ => 1.0,
        }
    }

    #[allow(clippy::too_many_arguments)]
    fn arm_chain(
        &self,
        branch: usize,
        shut: bool,
        contents: Contents,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        armed: &mut Vec<(Switch, f64)>,
    ) {
        let (BranchModel::Chain(chain), BranchStates::Chain { flow, mass }) = (
            &self.model.branches[branch],
            self.model.layout.branches[branch],
        ) else {
            return;
        };
        let opening = chain.opening(&|a| self.travel(a, time_s));
        let guard = shut_guard(shut, opening, SHUT_FRACTION);
        armed.push((
            Switch::ChainShut {
                branch,
                shut: !shut,
            },
            guard,
        ));
        let ends = &self.model.network.branches[branch];
        let density = match &found.sides[ends.from.volume] {
            Side::Tank(tank) => tank.liquid.density,
            _ => return,
        };
        let full_kg = chain.volume_m3() * density;
        let backflow = -y[flow] / self.model.scales[flow];
        let mut arm = |to, guard| armed.push((Switch::Contents { branch, to }, guard));
        match contents {
            Contents::Full | Contents::Priming => {
                let flow_m3_s = y[flow] / density;
                let left = before_gas_m3(&self.model, found, ends.from.volume, flow_m3_s);
                arm(Contents::Draining, -left);
                if contents == Contents::Priming {
                    arm(Contents::Full, y[mass] - full_kg);
                } else if self.ends_in_ambient(branch) && full_kg > 0.0 {
                    arm(Contents::Priming, backflow - BACKFLOW);
                }
            }
            Contents::Draining => arm(
                Contents::Gas,
                full_kg * EMPTY_FRACTION + f64::MIN_POSITIVE - y[mass],
            ),
            Contents::Gas => {}
        }
        let mut refuse = |what, guard| armed.push((Switch::Beyond { branch, what }, guard));
        match contents {
            Contents::Priming => refuse(Beyond::AirIntoTank, -y[mass] / full_kg - BACKFLOW),
            Contents::Draining => refuse(Beyond::BackIntoGas, backflow - BACKFLOW),
            Contents::Full | Contents::Gas => {}
        }
        if let Some((ullage_share, left_m3)) = self.receiver(branch, found) {
            refuse(Beyond::ReceiverFull, LEAST_ULLAGE - ullage_share);
            if ends.to.phase == Phase::Liquid {
                refuse(
                    Beyond::ReceiverEmpty,
                    f64::min(-left_m3, backflow - BACKFLOW),
                );
            }
        }
    }

    /// Watches for another throat to become the one that holds the flow of a full chain.
    fn arm_choking(
        &self,
        branch: usize,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        armed: &mut Vec<(Switch, f64)>,
    ) {
        let BranchMode::Chain {
            shut: false,
            contents: Contents::Full,
            choking,
        } = self.modes.branches[branch]
        else {
            return;
        };
        let excess = |throat| {
            chain_throat(self, branch, (time_s, y), found, throat)
                .map_or((None, 0.0), |choke| (Some(choke.element), choke.excess))
        };
        let (hardest, most) = excess(Throat::Hardest);
        let (_, held) = excess(Throat::Held(choking));
        let to = hardest.filter(|_| most > 0.0);
        let guard = most.max(0.0) - held - CERTAIN_PA;
        armed.push((Switch::Choking { branch, to }, guard));
    }

    /// Ullage of the tank that a chain fills, as a part of its volume, and the liquid above its
    /// residual, m3.
    fn receiver(&self, branch: usize, found: &Evaluation<f64>) -> Option<(f64, f64)> {
        let to = self.model.network.branches[branch].to.volume;
        match (&self.model.volumes[to], &found.sides[to]) {
            (VolumeModel::Tank(model), Side::Tank(side)) => Some((
                side.ullage / model.geometry.volume_m3(),
                above_residual_m3(&self.model, found, to),
            )),
            _ => None,
        }
    }

    /// Says what a chain has run into.
    fn beyond(&self, branch: usize, what: Beyond) -> Fault {
        let ends = &self.model.network.branches[branch];
        let receiver = &self.model.network.volumes[ends.to.volume].name;
        let message = match what {
            Beyond::AirIntoTank => {
                "the liquid has run back out of the line and the open end draws air into the \
                 tank, which is not modelled; pressurise the tank, vent its ullage, or close the \
                 valve earlier"
                    .to_owned()
            }
            Beyond::BackIntoGas => {
                "the flow turns back while gas follows the last of the liquid, which is not \
                 modelled; close the valve when the outlet uncovers, or keep more pressure"
                    .to_owned()
            }
            Beyond::ReceiverFull => format!(
                "it fills {receiver} to less than 0.5 % ullage, beyond which the liquid would have \
                 to be compressed; close its valve earlier or transfer less"
            ),
            Beyond::ReceiverEmpty => format!(
                "the flow runs back until the outlet of {receiver} uncovers, which is not modelled; \
                 close its valve earlier or keep more pressure upstream"
            ),
        };
        Fault::at(&ends.name, message)
    }

    fn ends_in_ambient(&self, branch: usize) -> bool {
        let to = self.model.network.branches[branch].to.volume;
        self.model.layout.volumes[to].is_none()
    }

    fn arm_commands(
        &self,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        dy: &[f64],
        armed: &mut Vec<(Switch, f64)>,
    ) {
        for (command, order) in self.model.network.commands.iter().enumerate() {
            let (
                false,
                Trigger::When {
                    relation,
                    threshold,
                    ..
                },
                Some(column),
            ) = (
                self.modes.given[command] && !order.repeats,
                &order.trigger,
                self.condition_columns[command],
            )
            else {
                continue;
            };
            let value = self.observer.value(self, column, time_s, y, found, dy);
            let guard = match relation {
                Relation::Below => threshold - value,
                Relation::Above => value - threshold,
            };
            armed.push(if self.modes.armed[command] {
                (Switch::Command { command }, guard)
            } else {
                (Switch::Arm { command }, -guard)
            });
        }
    }

    /// The component whose guard fires again and again, and what helps.
    #[must_use]
    pub fn culprit(&self, guard: usize, time_s: f64, y: &[f64]) -> (Option<String>, &'static str) {
        let Ok(Some(switch)) = self.switch_of(guard, time_s, y) else {
            return (None, "write a smaller tolerance in [run]");
        };
        let network = &self.model.network;
        match switch {
            Switch::Command { command } | Switch::Arm { command } => {
                let valve = network.commands[command].actuator;
                let remedy = "the conditions that open and shut it contradict each other: set their \
                              values further apart in [[sequence]], or give the valve a stroke_time";
                (Some(network.actuators[valve].name.clone()), remedy)
            }
            Switch::Relayer { volume } => {
                let remedy = "write fewer layers for this tank";
                (Some(network.volumes[volume].name.clone()), remedy)
            }
            Switch::Regulator { branch, .. }
            | Switch::Poppet { branch, .. }
            | Switch::Burst { branch }
            | Switch::Valve { branch, .. }
            | Switch::ChainShut { branch, .. }
            | Switch::Choking { branch, .. }
            | Switch::Contents { branch, .. }
            | Switch::Beyond { branch, .. } => {
                let remedy = "write a longer response_time where it has one, a larger volume next to \
                              it, or a smaller tolerance in [run]";
                (Some(network.branches[branch].name.clone()), remedy)
            }
        }
    }

    // ---- switches ----

    /// What a guard leads to.
    fn switch_of(&self, guard: usize, time_s: f64, y: &[f64]) -> Result<Option<Switch>, Fault> {
        self.with_evaluation(time_s, y, |run, found, dy| {
            let armed = run.armed(time_s, y, found, dy);
            armed.get(guard).map(|&(switch, _)| switch)
        })
    }

    fn switch(&mut self, switch: Switch, time_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        match switch {
            Switch::Regulator { branch, to } => {
                let before = self.modes.branches[branch];
                self.set_modes(|m| m.branches[branch] = BranchMode::Regulator(to));
                let kind = match to {
                    RegulatorMode::Shut => EventKind::LockUp,
                    RegulatorMode::WideOpen => EventKind::RegulationLost,
                    _ => EventKind::Regulating,
                };
                let is_told = !matches!(before, BranchMode::Regulator(was)
                    if was.is_regulating() && to.is_regulating());
                if is_told {
                    self.record_branch(time_s, branch, kind);
                }
            }
            Switch::Poppet { branch, to } => self.switch_poppet(branch, to, time_s),
            Switch::Burst { branch } => {
                self.set_modes(|m| m.branches[branch] = BranchMode::BurstDisc { whole: false });
                self.record_branch(time_s, branch, EventKind::Burst);
            }
            Switch::Valve { branch, shut } => {
                self.set_modes(|m| m.branches[branch] = BranchMode::Valve { shut });
            }
            Switch::ChainShut { branch, shut } => {
                self.switch_chain_shut(branch, shut, time_s, y)?;
            }
            Switch::Contents { branch, to } => self.switch_contents(branch, to, time_s, y)?,
            Switch::Choking { branch, to } => self.set_modes(|m| {
                if let BranchMode::Chain { choking, .. } = &mut m.branches[branch] {
                    *choking = to;
                }
            }),
            Switch::Command { command } => self.give(command, time_s),
            Switch::Arm { command } => self.set_modes(|m| m.armed[command] = true),
            Switch::Relayer { volume } => self.relayer(volume, time_s, y)?,
            Switch::Beyond { branch, what } => return Err(self.beyond(branch, what)),
        }
        Ok(())
    }

    fn switch_poppet(&mut self, branch: usize, to: PoppetMode, time_s: f64) {
        let before = self.modes.branches[branch];
        self.set_modes(|m| m.branches[branch] = BranchMode::Poppet(to));
        let (lifted, seated) = match &self.model.network.branches[branch].kind {
            BranchKind::Poppet(valve) if valve.duty == Duty::Relief => {
                (EventKind::ReliefLifted, EventKind::ReliefReseated)
            }
            _ => (EventKind::CheckOpened, EventKind::CheckSeated),
        };
        match (before, to) {
            (BranchMode::Poppet(PoppetMode::Seated), _) => {
                self.record_branch(time_s, branch, lifted);
            }
            (_, PoppetMode::Seated) => self.record_branch(time_s, branch, seated),
            _ => {}
        }
    }

    fn switch_chain_shut(
        &mut self,
        branch: usize,
        shut: bool,
        time_s: f64,
        y: &mut [f64],
    ) -> Result<(), Fault> {
        if shut {
            self.stop_column(branch, y);
        }
        self.set_modes(|m| {
            if let BranchMode::Chain {
                shut: now, choking, ..
            } = &mut m.branches[branch]
            {
                *now = shut;
                // Its throat is found anew with its flow.
                *choking = None;
            }
        });
        if !shut {
            self.release_column(branch, time_s, y)?;
        }
        Ok(())
    }

    /// Gives a column that has just been released the small flow that its hardly open valve
    /// lets through at once, so that the pressure does not fall through the valve first. Its
    /// kinetic energy is taken from what has been dissipated.
    fn release_column(&self, branch: usize, time_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        let BranchStates::Chain { flow, .. } = self.model.layout.branches[branch] else {
            return Ok(());
        };
        let steady = self.with_evaluation(time_s, y, |run, found, dy| {
            let (chain, column) = column_of(run, branch, y, found)?;
            // At rest all of the driving pressure accelerates; it is what the valve will hold.
            let drive_pa = dy[flow] * chain.inertance(&column);
            let travel = |a| run.travel(a, time_s);
            let area_m2 = chain.series_area(&travel);
            // A valve that jumps open leaves the column to its inertia.
            let creeps = chain.opening(&travel) < 2.0 * SHUT_FRACTION;
            let most = area_m2 * (2.0 * column.density * drive_pa.max(0.0)).sqrt();
            let end_pa = chain_end_pa(run, branch, found);
            let steady = chain.steady_flow_kg_s(&column, drive_pa, end_pa, most, &travel);
            // Never more than inertia allows since the stem began to move.
            let valve = chain.least_open_actuator(&travel)?;
            let moving_s = time_s - run.modes.motions[valve].begins_s;
            (creeps && drive_pa > 0.0).then(|| steady.min(dy[flow] * moving_s))
        })?;
        if let Some(steady) = steady {
            y[flow] = steady;
            let kinetic = crate::audit::chain_kinetic_energy_j(self, branch, y);
            y[self.model.layout.ledgers.dissipation] -= kinetic;
        }
        Ok(())
    }

    /// Brings a column to rest; its kinetic energy is dissipated.
    fn stop_column(&self, branch: usize, y: &mut [f64]) {
        let kinetic = crate::audit::chain_kinetic_energy_j(self, branch, y);
        if let BranchStates::Chain { flow, .. } = self.model.layout.branches[branch] {
            y[flow] = 0.0;
            y[self.model.layout.ledgers.dissipation] += kinetic;
        }
    }

    fn switch_contents(
        &mut self,
        branch: usize,
        to: Contents,
        time_s: f64,
        y: &mut [f64],
    ) -> Result<(), Fault> {
        let BranchMode::Chain { shut, contents, .. } = self.modes.branches[branch] else {
            return Ok(());
        };
        let name = self.model.network.branches[branch].name.clone();
        if contents == Contents::Priming && to == Contents::Draining {
            return Err(Fault::at(
                &name,
                "the tank's outlet uncovered before the line was full of liquid, which is not \
                 modelled; fill the tank further or shorten the line",
            ));
        }
        match to {
            Contents::Full => self.record(time_s, &name, EventKind::Primed),
            Contents::Draining => {
                let from = self.model.network.branches[branch].from.volume;
                let tank = self.model.network.volumes[from].name.clone();
                self.record(time_s, &tank, EventKind::Depleted);
            }
            Contents::Gas => {
                self.stop_column(branch, y);
                self.drop_remainder(branch, y);
                self.record(time_s, &name, EventKind::GasThrough);
            }
            Contents::Priming => {}
        }
        let before = crate::audit::chain_kinetic_energy_j(self, branch, y);
        self.set_modes(|m| {
            m.branches[branch] = BranchMode::Chain {
                shut,
                contents: to,
                choking: None,
            };
        });
        let after = crate::audit::chain_kinetic_energy_j(self, branch, y);
        // The inertance at the entrance comes and goes with what fills the chain.
        y[self.model.layout.ledgers.dissipation] += before - after;
        Ok(())
    }

    /// The last of the liquid in a line is counted as delivered.
    fn drop_remainder(&self, branch: usize, y: &mut [f64]) {
        let ledgers = &self.model.layout.ledgers;
        let from = self.model.network.branches[branch].from.volume;
        let (BranchStates::Chain { mass, .. }, Some(place)) = (
            self.model.layout.branches[branch],
            ledgers.ambient_liquid[from],
        ) else {
            return;
        };
        y[place] += y[mass];
        y[mass] = 0.0;
    }

    /// Gives a command to its actuator. A stem on its way goes on until the delay is over; an
    /// order that asks for what it is doing anyway changes nothing.
    fn give(&mut self, command: usize, time_s: f64) {
        let order = self.model.network.commands[command].clone();
        let actuator = self.model.network.actuators[order.actuator].clone();
        let heading = self.modes.orders[order.actuator]
            .map_or(self.modes.motions[order.actuator].to, |next| next.to);
        self.set_modes(|m| {
            // A command that repeats waits until its condition has been false again.
            m.given[command] = true;
            m.armed[command] = false;
            if heading != order.travel {
                m.orders[order.actuator] = Some(Order {
                    to: order.travel,
                    begins_s: time_s + actuator.delay_s,
                });
            }
        });
        let kind = if order.travel > 0.0 {
            EventKind::CommandedOpen
        } else {
            EventKind::CommandedShut
        };
        self.record(time_s, &actuator.name, kind);
        self.obey(order.actuator, time_s);
    }

    /// Gives the commands whose time has come.
    fn give_due(&mut self, time_s: f64) {
        for command in 0..self.model.network.commands.len() {
            let due = match self.model.network.commands[command].trigger {
                Trigger::At { time_s: at_s } => at_s <= time_s,
                Trigger::When { .. } => false,
            };
            if due && !self.modes.given[command] {
                self.give(command, time_s);
            }
        }
    }

    /// Arms the conditions that are false at the start: they may come true. A condition that is
    /// true already waits until it has been false.
    fn arm_at_start(&mut self, start: &[f64]) -> Result<(), Fault> {
        let false_now: Vec<usize> = self.with_evaluation(0.0, start, |run, found, dy| {
            let guards = run.armed(0.0, start, found, dy);
            let arm = |(switch, guard)| match switch {
                Switch::Arm { command } if guard >= 0.0 => Some(command),
                _ => None,
            };
            guards.into_iter().filter_map(arm).collect()
        })?;
        self.set_modes(|m| {
            for command in false_now {
                m.armed[command] = true;
            }
        });
        Ok(())
    }

    /// Starts the move of an order whose delay is over, and records where a stem starts or ends
    /// its stroke at this very instant. A stroke that takes no time jumps here, between two
    /// segments: within one no step could follow it.
    fn obey(&mut self, actuator: usize, time_s: f64) {
        let name = self.model.network.actuators[actuator].name.clone();
        let due = |order: &Order| order.begins_s <= time_s;
        if let Some(order) = self.modes.orders[actuator].filter(due) {
            let from = self.travel(actuator, time_s);
            let motion = self.model.network.actuators[actuator].motion(from, order.to, time_s);
            let instant = motion.lasts_s <= 0.0;
            self.set_modes(|m| {
                m.orders[actuator] = None;
                m.motions[actuator] = if instant {
                    Motion::rest(motion.to)
                } else {
                    motion
                };
            });
            self.record(time_s, &name, EventKind::MotionStarted);
            if instant {
                self.record(time_s, &name, EventKind::MotionEnded);
            }
        } else if self.modes.motions[actuator].ends_s() == time_s {
            self.record(time_s, &name, EventKind::MotionEnded);
        }
    }

    fn stops(&self) -> impl Iterator<Item = f64> {
        let commands = self.model.network.commands.iter().zip(&self.modes.given);
        let due = commands.filter_map(|(command, given)| match command.trigger {
            Trigger::At { time_s } if !given => Some(time_s),
            _ => None,
        });
        let orders = self.modes.orders.iter().flatten().map(|o| o.begins_s);
        let motions = self.modes.motions.iter().map(Motion::ends_s);
        due.chain(orders).chain(motions)
    }
}

fn shut_guard(shut: bool, opening: f64, threshold: f64) -> f64 {
    if shut {
        opening - threshold
    } else {
        threshold * SHUT_HYSTERESIS - opening
    }
}

fn condition_columns(model: &Model, observer: &Observer) -> Result<Vec<Option<usize>>, Fault> {
    model
        .network
        .commands
        .iter()
        .map(|command| match &command.trigger {
            Trigger::At { .. } => Ok(None),
            Trigger::When { column, .. } => match observer.index_of(column) {
                Some(index) => Ok(Some(index)),
                None => Err(Fault {
                    component: None,
                    message: format!("a condition asks for `{column}`, which no component shows"),
                    refusal: None,
                }),
            },
        })
        .collect()
}

impl Rates for Run {
    type Fault = Fault;

    fn dimension(&self) -> usize {
        self.model.layout.total
    }

    fn rates(&self, t_s: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Fault> {
        self.with_evaluation(t_s, y, |_, _, found_dy| dy.copy_from_slice(found_dy))
    }

    fn jacobian(
        &self,
        t_s: f64,
        y: &[f64],
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Fault> {
        let (model, at) = ((&self.model, &self.modes), (t_s, y));
        match &mut *self.differentiation.borrow_mut() {
            Differentiation::Narrow(room) => room.jacobian(model, at, jacobian, time_slope),
            Differentiation::Wide(room) => {
                self.with_evaluation(t_s, y, |_, found, _| room.remember(found))?;
                room.jacobian(model, at, jacobian, time_slope)
            }
        }
    }

    fn coupled(&self) -> usize {
        self.model.layout.dynamic
    }

    fn scale(&self, i: usize) -> f64 {
        self.model.scales[i]
    }
}

impl Hybrid for Run {
    fn guards(&self, t_s: f64, y: &[f64], values: &mut Vec<f64>) -> Result<(), Fault> {
        self.with_evaluation(t_s, y, |run, found, dy| {
            let armed = run.armed(t_s, y, found, dy);
            let mut watched = run.watched.borrow_mut();
            watched.clear();
            for (place, (switch, guard)) in armed.into_iter().enumerate() {
                if let Switch::Relayer { volume } = switch {
                    watched.push((place, volume));
                }
                values.push(guard);
            }
        })
    }

    fn guard(&self, guard: usize, t_s: f64, y: &[f64]) -> Result<f64, Fault> {
        let is_meant = |&&(place, _): &&(usize, usize)| place == guard;
        let watched = self.watched.borrow().iter().find(is_meant).copied();
        // How uneven layers are is a matter of volumes, which need no gas.
        if let Some((_, volume)) = watched
            && let Some(tank) = self.model.cryogenic_tank(volume)
        {
            let name = &self.model.network.volumes[volume].name;
            let ullage = tank.ullage_m3(y);
            let ullage = ullage.map_err(|error| Fault::of_fluid(name, &error))?;
            return Ok(tank.uneven(y, ullage).unwrap_or(-1.0));
        }
        let mut values = Vec::new();
        self.guards(t_s, y, &mut values)?;
        Ok(values[guard])
    }

    fn next_stop(&self, t_s: f64) -> f64 {
        self.stops()
            .filter(|&stop| stop > t_s)
            .fold(f64::INFINITY, f64::min)
    }

    fn at_stop(&mut self, t_s: f64, _y: &mut [f64]) -> Result<(), Fault> {
        for actuator in 0..self.model.network.actuators.len() {
            self.obey(actuator, t_s);
        }
        self.give_due(t_s);
        // The law of motion changes here even where no command is given.
        self.set_modes(|_| {});
        Ok(())
    }

    fn is_gentle(&self, guard: usize, t_s: f64, y: &[f64]) -> Result<bool, Fault> {
        Ok(matches!(
            self.switch_of(guard, t_s, y)?,
            Some(Switch::Arm { .. } | Switch::Choking { .. } | Switch::Relayer { .. })
        ))
    }

    fn at_guard(&mut self, guard: usize, t_s: f64, y: &mut [f64]) -> Result<(), Fault> {
        match self.switch_of(guard, t_s, y)? {
            Some(switch) => self.switch(switch, t_s, y),
            None => Ok(()),
        }
    }
}
