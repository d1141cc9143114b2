//! A purge of a liquid line, as the error on one that joins the line advises.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use sim_core::outcome::EventKind;

/// Led into the tank's gas, the purge follows the last of the liquid through the line.
#[test]
fn a_purge_into_the_tank_blows_its_line_through() {
    let wrong = include_str!("wrong_files/purge_into_a_line.toml");
    let text = wrong.replace("to = \"run\"", "to = \"fuel.gas\"");
    let outcome = run(&text, &[("run.until", "60 s")]).outcome;
    let column = |name: &str| outcome.history.column(name).expect("it is there");
    let events = &outcome.events;
    assert!(events.iter().any(|e| e.kind == EventKind::GasThrough));
    let times = column("time_s");
    let leaves = column("run.mass_flow_kg_s");
    let given = column("purge_valve.mass_flow_kg_s");
    let opens = times.iter().position(|&t| t > 8.0).expect("it is reached");
    let last = times.len() - 1;
    assert!(
        leaves[opens].abs() < 0.01 * leaves[last],
        "{}",
        leaves[opens]
    );
    // The bottle empties slowly: the ullage, which empties behind it, adds to what comes.
    assert!(
        given[last] > 0.0 && leaves[last] > given[last],
        "{}",
        leaves[last]
    );
    assert!(outcome.balances.mass_relative.abs() < 1e-9);
}
