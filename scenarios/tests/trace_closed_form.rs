//! Readings of a history against what they are by definition.

use scenarios::summary::trace::Trace;
use sim_core::outcome::History;

/// Straight lines through whole numbers: nothing is lost but the last bits.
const LAST_BITS: f64 = 1e-12;

fn trace(points: &[(f64, f64)]) -> Trace {
    let history = History {
        columns: vec!["time_s".to_owned(), "x.y".to_owned()],
        values: points.iter().flat_map(|&(t, v)| [t, v]).collect(),
        readings: Vec::new(),
    };
    Trace::of_component(&history, "x", "y").expect("the history has the column and rows")
}

fn close(got: f64, expected: f64) {
    assert!(
        (got - expected).abs() < LAST_BITS,
        "{got} is not {expected}"
    );
}

#[test]
fn an_event_has_a_value_before_and_one_after() {
    let step = trace(&[(0.0, 0.0), (1.0, 2.0), (1.0, 5.0), (2.0, 7.0)]);
    close(step.before(1.0), 2.0);
    close(step.after(1.0), 5.0);
    close(step.before(0.5), 1.0);
    close(step.after(1.5), 6.0);
    close(step.before(-1.0), 0.0);
    close(step.after(9.0), 7.0);
}

#[test]
fn integrals_and_means_of_a_step_and_a_ramp() {
    let step = trace(&[(0.0, 0.0), (1.0, 2.0), (1.0, 5.0), (2.0, 7.0)]);
    close(step.integral(0.0, 2.0), 1.0 + 6.0);
    close(step.integral(0.5, 1.0), 0.75);
    close(step.mean(1.0, 2.0), 6.0);
    close(step.mean(1.5, 1.5), 6.0);
}

#[test]
fn extremes_name_their_first_instant() {
    let hill = trace(&[(0.0, 1.0), (1.0, 4.0), (2.0, 4.0), (3.0, -1.0)]);
    assert_eq!(hill.maximum(0.0, 3.0), (1.0, 4.0));
    assert_eq!(hill.minimum(0.0, 3.0), (3.0, -1.0));
    let within = hill.maximum(2.25, 2.5);
    assert_eq!(within, (2.25, 2.75));
}

#[test]
fn a_level_is_reached_between_rows() {
    let ramp = trace(&[(0.0, 0.0), (2.0, 4.0), (3.0, 0.0)]);
    assert_eq!(ramp.first_reach(1.0, 0.0, 3.0), Some(0.5));
    assert_eq!(ramp.first_reach(1.0, 1.0, 3.0), Some(1.0));
    assert_eq!(ramp.first_reach(5.0, 0.0, 3.0), None);
}

#[test]
fn a_short_overshoot_is_not_held_but_the_plateau_is() {
    let points = [(0.0, 0.0), (0.1, 2.0), (0.2, 1.0), (5.0, 1.0), (6.0, 0.5)];
    let (at_s, held) = trace(&points).highest_held(0.5, 0.0, 6.0);
    close(held, 1.0);
    // The first interval that holds it begins at the row of the overshoot's peak, 0.1 s.
    close(at_s, 0.1 + 0.5);
}

#[test]
fn a_falling_flow_is_held_at_the_end_of_its_first_interval() {
    let (at_s, held) = trace(&[(0.0, 2.0), (10.0, 1.0)]).highest_held(0.5, 0.0, 10.0);
    close(held, 1.95);
    close(at_s, 0.5);
}
