//! How many steps two solvers take over every ready-made stand: a change that costs three times as many
//! is to be seen, not only one that is wrong.

use scenarios::{load, ready_made};
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
