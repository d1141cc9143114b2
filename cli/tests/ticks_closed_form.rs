//! Axis numbers are round, within the range and told apart.

use cli::plot::ticks::{Ticks, roomy_range};

#[test]
fn steps_are_one_two_five() {
    // Whole multiples of a step: only the last bits of a product are lost.
    let check = |low, high, wanted, expected: &[f64]| {
        let ticks = Ticks::within(low, high, wanted);
        assert_eq!(ticks.at.len(), expected.len(), "{ticks:?}");
        for (got, expected) in ticks.at.iter().zip(expected) {
            assert!(
                (got - expected).abs() < 1e-12 * expected.abs().max(1.0),
                "{ticks:?}"
            );
        }
    };
    check(0.0, 25.0, 5, &[0.0, 5.0, 10.0, 15.0, 20.0, 25.0]);
    check(0.0, 1.16, 5, &[0.0, 0.5, 1.0]);
    check(-53.0, 120.0, 4, &[-50.0, 0.0, 50.0, 100.0]);
    check(17.6, 18.6, 3, &[18.0, 18.5]);
    // One number would tell no scale.
    check(17.6, 18.6, 1, &[18.0, 18.5]);
    check(0.21, 0.39, 2, &[0.25, 0.3, 0.35]);
}

#[test]
fn labels_have_the_decimals_of_their_step_and_no_negative_nought() {
    let ticks = Ticks::within(-0.05, 0.05, 5);
    let labels: Vec<String> = ticks.at.iter().map(|&t| ticks.label(t)).collect();
    assert_eq!(
        labels,
        ["\u{2212}0.04", "\u{2212}0.02", "0.00", "0.02", "0.04"]
    );
}

#[test]
fn ranges_hold_their_values_also_when_nothing_varies_or_nothing_is_known() {
    for (low, high) in [
        (0.0, 40.0),
        (28.0, 32.0),
        (5.0, 5.0),
        (0.0, 0.0),
        (-3.0, -3.0),
    ] {
        let range = roomy_range(low, high);
        assert!(
            range.0 <= low && high <= range.1 && range.0 < range.1,
            "{range:?}"
        );
    }
    assert_eq!(roomy_range(f64::INFINITY, f64::NEG_INFINITY), (0.0, 1.0));
}
