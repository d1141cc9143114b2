//! How many steps the solvers take over the ready-made stands: a change that costs three times as many
//! is to be seen, not only one that is wrong.

use scenarios::{load, ready_made};
use sim_core::network::{Network, VolumeKind};
use sim_core::outcome::{Integrator, RunOptions};
use sim_core::simulate;
use std::fmt::Write;
use validation::bdf::compared;

#[test]
fn steps_of_two_solvers() {
    let mut table = "stand, stretches, steps, steps by backward differentiation\n".to_owned();
    for ready in ready_made() {
        let stand = load(ready.text).expect("a ready-made stand has no errors");
        let found = compared(&stand.lower(), &stand.run).expect("it runs");
        assert_eq!(found.failure, None, "{}", ready.name);
        let (steps, other) = found.steps;
        writeln!(
            table,
            "{}, {}, {steps}, {other}",
            ready.name, found.stretches
        )
        .expect("a string takes text");
    }
    insta::assert_snapshot!(table);
}

/// Of the stands without layers of gas over a boiling liquid, whose conduction holds an explicit method to steps so
/// short that a run takes minutes.
#[test]
fn steps_of_the_explicit_method() {
    let has_layers = |network: &Network| {
        let mut volumes = network.volumes.iter();
        volumes.any(|v| matches!(&v.kind, VolumeKind::Tank(tank) if tank.cryogen.is_some()))
    };
    let mut table = "stand, steps, evaluations\n".to_owned();
    for ready in ready_made() {
        let stand = load(ready.text).expect("a ready-made stand has no errors");
        let network = stand.lower();
        if has_layers(&network) {
            continue;
        }
        let options = RunOptions {
            integrator: Integrator::Dopri5,
            ..stand.run
        };
        let outcome = simulate(&network, &options);
        assert_eq!(outcome.failure, None, "{}", ready.name);
        let statistics = outcome.statistics;
        writeln!(
            table,
            "{}, {}, {}",
            ready.name, statistics.steps, statistics.evaluations
        )
        .expect("a string takes text");
    }
    insta::assert_snapshot!(table);
}
