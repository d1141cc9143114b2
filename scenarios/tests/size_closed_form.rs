//! Sizing against what the answer must do, and the loss budget against its sum.

use scenarios::studies::loss_budget::{Cause, loss_budgets, mean_gain};
use scenarios::studies::parallel::silent;
use scenarios::studies::size::relief::{NoRelief, relief};
use scenarios::studies::size::{Confidence, Found, Knob, Sizer, Sizing, Wanted, margin};
use scenarios::studies::{StandModel, size};
use scenarios::{CheckedStand, load_with};

fn stand(name: &str, changes: &[(&str, &str)]) -> CheckedStand {
    let mut stands = scenarios::ready_made().iter();
    let stand = stands.find(|s| s.name == name).expect("it is ready made");
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let changes: Vec<(String, String)> = changes.iter().map(owned).collect();
    load_with(stand.text, &changes).expect("the stand is in order")
}

fn sized(stand: &CheckedStand, path: &str, between: (&str, &str), wanted: Wanted) -> Sizing {
    let sizer = Sizer {
        stand,
        knob: Knob::new(stand, path, Some(between)).expect("the stand has it"),
        wanted,
        confidence: Confidence {
            part: 0.95,
            draws: 0,
            seed: 1,
        },
    };
    sizer.find(&silent)
}

/// The answer put back meets what is asked for, and a little beyond it does not: the answer is
/// on the edge to within the tolerance of the root and the rounding of its digits.
#[test]
fn an_answer_that_is_put_back_stands_on_the_edge() {
    let path = "tank.fuel.ullage";
    let asks = ("requirement.fuel.pressure_end", ">= 12 bar(g)");
    let asked = stand("blowdown-water", &[asks]);
    let sizing = sized(&asked, path, ("30 %", "80 %"), Wanted::Smallest);
    let Found::Value(answer) = sizing.found else {
        panic!("{sizing:?}");
    };
    let room = |value: f64| {
        let text = format!("{value} %");
        let changed = stand("blowdown-water", &[asks, (path, &text)]);
        margin(&StandModel::new(&changed, changed.run).nominal())
    };
    assert!(room(answer.value) >= 0.0);
    let beyond = answer.value * (1.0 - 3.0 * size::TOLERANCE);
    assert!(room(beyond) < 0.0, "{}", answer.value);
}

#[test]
fn what_cannot_be_met_ends_with_the_nearest_and_a_change_that_is_enough() {
    // A wide ullage at 28 bar(g) gives some 0.82 kg/s.
    let asks = ("requirement.run.mean_flow", ">= 1.0 kg/s");
    let asked = stand("blowdown-water", &[asks]);
    let sizing = sized(
        &asked,
        "tank.fuel.ullage",
        ("40 %", "60 %"),
        Wanted::Smallest,
    );
    let Found::Nothing(nearest) = sizing.found else {
        panic!("{sizing:?}");
    };
    let reachable = nearest.reachable.expect("a bound fails");
    assert!(reachable > 0.8 && reachable < 1.0, "{reachable}");
    let lever = nearest.levers.first().expect("a larger tip does");
    let mut changes = vec![asks, (&lever.change.0, &lever.change.1)];
    changes.push(("tank.fuel.ullage", &nearest.best.text));
    let changed = stand("blowdown-water", &changes);
    assert!(margin(&StandModel::new(&changed, changed.run).nominal()) >= 0.0);
}

/// Two causes by hand: each gets half of what they gain together beyond their own.
#[test]
fn mean_gains_sum_to_the_whole() {
    // By the set of what is out: none, first, second, both.
    let values = [0.0, 3.0, 1.0, 8.0];
    assert!((mean_gain(&values, 0, 2) - 5.0).abs() < 1e-12);
    assert!((mean_gain(&values, 1, 2) - 3.0).abs() < 1e-12);
}

#[test]
fn a_loss_budget_sums_to_the_whole() {
    let budgets = loss_budgets(&stand("regulated-water", &[]), &silent);
    assert_eq!(budgets.len(), 2);
    for budget in budgets {
        let losses: f64 = budget.losses.iter().map(|l| l.pa).sum();
        let whole = budget.lock_up_pa - budget.pressure_pa;
        // Sums of a few numbers of 1e6 Pa.
        assert!((losses + budget.rest_pa - whole).abs() < 1e-6, "{budget:?}");
        assert!(losses > 0.0);
    }
}

/// A bottle to whose gas no heat comes cools the most and a bottle held at its temperature not
/// at all: what the cooling takes is ordered alike, and the parts still sum to the whole.
#[test]
fn cooling_takes_most_from_a_bottle_without_heat_and_nothing_from_an_isothermal_one() {
    let cooling = |heat: &str| {
        let heat = ("bottle.supply.heat_transfer", heat);
        let budgets = loss_budgets(&stand("regulated-water", &[heat]), &silent);
        let budget = budgets.last().expect("a regulator feeds a tank").clone();
        let losses: f64 = budget.losses.iter().map(|l| l.pa).sum();
        let whole = budget.lock_up_pa - budget.pressure_pa;
        // Sums of a few numbers of 1e6 Pa.
        assert!((losses + budget.rest_pa - whole).abs() < 1e-6, "{budget:?}");
        let mut losses = budget.losses.iter();
        let cooling = losses.find(|l| l.cause == Cause::BottleCooling);
        cooling.expect("all causes are there").pa
    };
    let (none, film, isothermal) = (cooling("none"), cooling("film"), cooling("isothermal"));
    // Taking out what is not there leaves the very same network.
    assert_eq!(isothermal, 0.0);
    assert!(film > 0.0 && none > film, "{none} {film}");
}

#[test]
fn a_relief_keeps_the_limit_and_is_near_the_formula() {
    let found = relief(&stand("regulated-water", &[]), "fuel", &silent).expect("it is needed");
    assert!(found.without_pa > found.limit_pa);
    // The gas of the tank is some tens of kelvin from the ambient: the root of that is 10 %.
    let ratio = found.area_m2 / found.by_hand_m2;
    assert!((ratio - 1.0).abs() < 0.1, "{ratio}");
    let wide = stand(
        "regulated-water",
        &[("limit.fuel.pressure", "<= 200 bar(g)")],
    );
    assert_eq!(relief(&wide, "fuel", &silent), Err(NoRelief::NotNeeded));
}
