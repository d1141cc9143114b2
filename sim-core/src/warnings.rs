//! Cautions that the models raise: where a correlation is used outside its range, and where
//! something happens that the equations do not hold. Each names its worst number.

use crate::components::chain::Contents;
use crate::evaluate::{Evaluation, Side};
use crate::model::Model;
use crate::modes::BranchMode;
use crate::network::{BranchKind, ChainElement, Duty, ElementKind, Trigger, VolumeKind};
use crate::observe::{chain_choke, chain_pressure_pa, column_of};
use crate::outcome::Warning;
use crate::run::Run;
use shared::codes;

/// Cavitation index (p1 - pv)/(p1 - p2) below which Cd depends on cavitation.
const CAVITATION_INDEX: f64 = 1.5;

/// Pressure beyond the loss from which on a throat counts as choked, Pa.
const CHOKED_PA: f64 = 100.0;

/// Flow, as a part of the chain's flow scale, below which a throat is not looked at.
const NO_FLOW: f64 = 0.1;

/// The least value seen, when it was seen.
#[derive(Clone, Copy, Debug)]
struct Least {
    value: f64,
    time_s: f64,
}

impl Least {
    fn nothing() -> Self {
        Self {
            value: f64::INFINITY,
            time_s: 0.0,
        }
    }

    fn see(&mut self, value: f64, time_s: f64) {
        if value < self.value {
            *self = Self { value, time_s };
        }
    }
}

/// What is watched along a run.
#[derive(Clone, Debug)]
pub struct Watch {
    /// Cavitation index, by branch and chain element.
    cavitation: Vec<Vec<Least>>,
    /// Negative pressure that a choked throat takes beyond the loss, by branch and chain element.
    choking: Vec<Vec<Least>>,
    /// Negative opening of a check valve that flows: its largest lift, by branch.
    lift: Vec<Least>,
}

impl Watch {
    /// Nothing seen yet.
    #[must_use]
    pub fn new(model: &Model) -> Self {
        let elements = |kind: &BranchKind| match kind {
            BranchKind::LiquidChain(chain) => chain.elements.len(),
            _ => 0,
        };
        let by_element: Vec<_> = model
            .network
            .branches
            .iter()
            .map(|b| vec![Least::nothing(); elements(&b.kind)])
            .collect();
        Self {
            cavitation: by_element.clone(),
            choking: by_element,
            lift: vec![Least::nothing(); model.network.branches.len()],
        }
    }

    /// Looks at one evaluated state.
    pub fn see(&mut self, run: &Run, time_s: f64, y: &[f64], found: &Evaluation<f64>, dy: &[f64]) {
        for (id, branch) in run.model.network.branches.iter().enumerate() {
            match &branch.kind {
                BranchKind::LiquidChain(_) => self.see_chain(run, id, time_s, y, found, dy),
                // A relief valve that hardly lifts does what it is there for.
                BranchKind::Poppet(valve)
                    if valve.duty == Duty::Check && found.fluxes[id].gas > 0.0 =>
                {
                    if let crate::layout::BranchStates::Lift(place) = run.model.layout.branches[id]
                    {
                        self.lift[id].see(-y[place], time_s);
                    }
                }
                _ => {}
            }
        }
    }

    fn see_chain(
        &mut self,
        run: &Run,
        id: usize,
        time_s: f64,
        y: &[f64],
        found: &Evaluation<f64>,
        dy: &[f64],
    ) {
        let BranchMode::Chain {
            shut: false,
            contents: Contents::Full,
            ..
        } = run.modes.branches[id]
        else {
            return;
        };
        let branch = &run.model.network.branches[id];
        let (BranchKind::LiquidChain(chain), VolumeKind::Tank(tank), Some((built, column))) = (
            &branch.kind,
            &run.model.network.volumes[branch.from.volume].kind,
            column_of(run, id, y, found),
        ) else {
            return;
        };
        let Side::Tank(side) = &found.sides[branch.from.volume] else {
            return;
        };
        let scale = built.flow_scale_kg_s(column.density);
        let Ok(liquid) = tank.liquid.at(side.liquid.temperature) else {
            return;
        };
        if column.flow < NO_FLOW * scale {
            return;
        }
        // On its way a valve throttles and cavitates for a moment, and so does what lies behind it:
        // every one does.
        let is_moving = |part: &ChainElement| match &part.kind {
            ElementKind::Valve { valve, .. } => run.is_moving(valve.actuator, time_s),
            _ => false,
        };
        if chain.elements.iter().any(is_moving) {
            return;
        }
        let choke = chain_choke(run, id, time_s, y, found);
        for (element, part) in chain.elements.iter().enumerate() {
            if matches!(part.kind, ElementKind::Line(_)) {
                continue;
            }
            if let Some(choke) = choke.filter(|choke| choke.element == element) {
                self.choking[id][element].see(-choke.excess, time_s);
            }
            let before = chain_pressure_pa(run, id, element, time_s, y, found, dy);
            let after = chain_pressure_pa(run, id, element + 1, time_s, y, found, dy);
            if before > after {
                let index = (before - liquid.vapour_pressure_pa) / (before - after);
                self.cavitation[id][element].see(index, time_s);
            }
        }
    }

    /// The warnings that the run has earned.
    #[must_use]
    pub fn warnings(&self, model: &Model) -> Vec<Warning> {
        let mut warnings = Vec::new();
        let chains = self.cavitation.iter().zip(&self.choking);
        for (branch, (indices, choking)) in model.network.branches.iter().zip(chains) {
            let BranchKind::LiquidChain(chain) = &branch.kind else {
                continue;
            };
            let seen = indices.iter().zip(choking);
            for (part, (index, choke)) in chain.elements.iter().zip(seen) {
                if choke.value < -CHOKED_PA {
                    warnings.push(choked(part, *choke));
                } else if index.value < CAVITATION_INDEX {
                    warnings.push(cavitation(&part.name, *index));
                }
            }
        }
        for (branch, most) in model.network.branches.iter().zip(&self.lift) {
            if most.value.is_finite() && -most.value < 0.99 {
                warnings.push(part_lift(&branch.name, -most.value));
            }
        }
        warnings
    }
}

/// Conditions of the sequence that never gave their command.
#[must_use]
pub fn unmet_conditions(run: &Run) -> Vec<Warning> {
    let network = &run.model.network;
    let states = run.modes.given.iter().zip(&run.modes.armed);
    let unmet = network.commands.iter().zip(states).filter(|(_, s)| !s.0);
    unmet
        .filter_map(|(command, (_, armed))| match &command.trigger {
            Trigger::When { column, .. } => {
                let valve = &network.actuators[command.actuator].name;
                Some(unmet_condition(valve, column, *armed))
            }
            Trigger::At { .. } => None,
        })
        .collect()
}

fn unmet_condition(valve: &str, column: &str, armed: bool) -> Warning {
    if armed {
        Warning {
            code: codes::CONDITION_NEVER_MET.id,
            message: format!(
                "{valve}: the condition on {column} was never met; its command was not given"
            ),
        }
    } else {
        Warning {
            code: codes::CONDITION_TRUE_AT_START.id,
            message: format!(
                "{valve}: the condition on {column} was true from the start on; a command is given \
                 when its condition becomes true, so this one never was"
            ),
        }
    }
}

fn cavitation(name: &str, least: Least) -> Warning {
    let Least { value, time_s, .. } = least;
    let message = if value < 0.0 {
        format!(
            "{name}: at {time_s:.2} s its inlet lies below the liquid's vapour pressure: the liquid \
             boils before it gets there, which is not modelled, and the flow will be lower than \
             predicted"
        )
    } else {
        format!(
            "{name}: cavitation index (p1 - pv)/(p1 - p2) falls to {value:.2} at {time_s:.2} s \
             (warned below {CAVITATION_INDEX}): the discharge coefficient then depends on \
             cavitation and hydraulic flip, and the flow may be lower than predicted"
        )
    };
    Warning {
        code: codes::CAVITATION.id,
        message,
    }
}

fn choked(part: &ChainElement, most: Least) -> Warning {
    let hangs_on = match part.kind {
        ElementKind::Venturi { .. } => {
            "discharge_coefficient, for which a calibration's figure should stand"
        }
        _ => "liquid_recovery, for which a maker's measured figure should stand",
    };
    Warning {
        code: codes::CHOKED_LIQUID.id,
        message: format!(
            "{}: the liquid boils in its throat and chokes, hardest at {:.2} s: a lower pressure \
             behind it brings no more flow, and how much flows hangs on its {hangs_on}",
            part.name, most.time_s
        ),
    }
}

fn part_lift(name: &str, most: f64) -> Warning {
    Warning {
        code: codes::PART_LIFT.id,
        message: format!(
            "{name}: flows without reaching full lift (at most {:.0} %): a check valve that floats \
             may chatter and wear; a smaller one would open fully",
            most * 100.0
        ),
    }
}
