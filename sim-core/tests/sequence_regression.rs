//! What a sequence does to a run: commands at the start, during strokes, on conditions.

mod common;

use common::{ambient, gas_port, network, options, vessel};
use sim_core::network::{
    Actuator, Branch, BranchKind, Capacity, Characteristic, Command, GasRestriction, Network,
    PositionLaw, Relation, Trigger, Valve,
};
use sim_core::outcome::{EventKind, Outcome};
use sim_core::simulate;

/// A vessel that a valve lets out; delay 50 ms, stroke 200 ms.
fn valved(commands: Vec<Command>) -> Network {
    let valve = Valve {
        actuator: 0,
        characteristic: Characteristic::Linear,
    };
    let mut stand = network(
        vec![ambient(), vessel("supply", 0.01, 20e5)],
        vec![Branch {
            name: "vent".to_owned(),
            from: gas_port(1),
            to: gas_port(0),
            kind: BranchKind::GasRestriction(GasRestriction {
                capacity: Capacity::EffectiveArea { m2: 1e-6 },
                valve: Some(valve),
            }),
        }],
    );
    stand.actuators = vec![Actuator {
        name: "vent".to_owned(),
        delay_s: 0.05,
        opening_s: 0.2,
        closing_s: 0.2,
        law: PositionLaw::Linear,
        initial: 0.0,
    }];
    stand.commands = commands;
    stand
}

fn at(time_s: f64, travel: f64) -> Command {
    Command {
        trigger: Trigger::At { time_s },
        actuator: 0,
        travel,
        repeats: false,
    }
}

fn when(column: &str, relation: Relation, threshold: f64, travel: f64) -> Command {
    Command {
        trigger: Trigger::When {
            column: column.to_owned(),
            relation,
            threshold,
        },
        actuator: 0,
        travel,
        repeats: false,
    }
}

fn run(commands: Vec<Command>) -> Outcome {
    let outcome = simulate(&valved(commands), &options(5.0));
    assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
    outcome
}

fn time_of(outcome: &Outcome, kind: EventKind) -> Option<f64> {
    outcome
        .events
        .iter()
        .find(|e| e.kind == kind)
        .map(|e| e.time_s)
}

#[test]
fn a_command_at_zero_is_given_at_zero() {
    let outcome = run(vec![at(0.0, 1.0)]);
    assert_eq!(time_of(&outcome, EventKind::CommandedOpen), Some(0.0));
    assert_eq!(time_of(&outcome, EventKind::MotionStarted), Some(0.05));
    let last = *outcome
        .history
        .column("vent.travel_1")
        .expect("shown")
        .last()
        .expect("rows");
    assert_eq!(last, 1.0);
}

/// A repeated order changes nothing; a contrary one lets the stem go on for its delay.
#[test]
fn a_stem_on_its_way_goes_on_until_the_delay_is_over() {
    let outcome = run(vec![at(1.0, 1.0), at(1.1, 1.0), at(1.15, 0.0)]);
    let greatest = outcome
        .history
        .index_of("vent.travel_1")
        .map(|c| outcome.extremes[c].greatest);
    let greatest = greatest.expect("shown");
    // Moves from 1.05 s; turns back at 1.20 s, after 0.15 s of a stroke of 0.2 s.
    assert!((greatest.value - 0.75).abs() < 1e-9, "{greatest:?}");
    assert!((greatest.time_s - 1.20).abs() < 1e-9, "{greatest:?}");
}

/// A closing condition that is true before the valve has opened waits until it has been false.
#[test]
fn a_condition_acts_when_it_becomes_true() {
    let outcome = run(vec![
        at(1.0, 1.0),
        when("vent.mass_flow_kg_s", Relation::Below, 4.4e-3, 0.0),
    ]);
    let shut = time_of(&outcome, EventKind::CommandedShut).expect("the flow falls below");
    assert!(shut > 1.25, "not before the valve has opened: {shut}");
}

#[test]
fn conditions_that_never_act_are_warned_of() {
    let outcome = run(vec![
        when("supply.pressure_pa", Relation::Above, 1e5, 1.0),
        when("supply.pressure_pa", Relation::Below, 1e5, 1.0),
    ]);
    let codes: Vec<_> = outcome.warnings.iter().map(|w| w.code).collect();
    assert_eq!(codes, ["sequence-10", "sequence-9"]);
}

/// The end of the run has a row, also where the output step does not divide it.
#[test]
fn the_last_row_is_the_end_of_the_run() {
    let mut coarse = options(5.0);
    coarse.output_step_s = 0.7;
    let outcome = simulate(&valved(vec![at(0.0, 1.0)]), &coarse);
    let times = outcome.history.column("time_s").expect("always shown");
    assert_eq!(times.last(), Some(&5.0));
}
