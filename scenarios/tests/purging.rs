//! A purge of a liquid line, as the error on one that joins the line advises.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use sim_core::outcome::EventKind;

/// Led into the tank's gas, the purge follows the last of the liquid through the line; without it, the
/// line has come to rest by then.
#[test]
fn a_purge_into_the_tank_blows_its_line_through() {
    let wrong = include_str!("wrong_files/purge_into_a_line.toml");
    let purged = wrong.replace("to = \"run\"", "to = \"fuel.gas\"");
    let never = purged.replace("at = \"8 s\"", "at = \"100 s\"");
    let [with, without] = [purged, never].map(|text| {
        let outcome = run(&text, &[("run.until", "60 s")]).outcome;
        assert!(outcome.balances.mass_relative.abs() < 1e-9);
        let blown = outcome.events.iter();
        assert!(
            blown
                .map(|e| e.kind)
                .any(|kind| kind == EventKind::GasThrough)
        );
        let flow = outcome
            .history
            .column("run.mass_flow_kg_s")
            .expect("a column");
        *flow.last().expect("it has rows")
    });
    assert!(
        with > 1e-3 && without.abs() < 0.01 * with,
        "{with} {without}"
    );
}
