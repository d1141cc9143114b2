//! Sizing against what the answer must do, and the loss budget against its sum.

use scenarios::studies::loss_budget::{Cause, NoBudget, loss_budgets, mean_gain};
use scenarios::studies::parallel::silent;
use scenarios::studies::size::relief::{Hole, NoRelief, Relief, relief};
use scenarios::studies::size::{
    Confidence, Found, Knob, KnobFault, Sizer, Sizing, Wanted, margin, raised,
};
use scenarios::studies::{StandModel, size};
use scenarios::{CheckedStand, load_with};
use sim_core::network::VolumeKind;

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
    let reachable = nearest
        .missed
        .first()
        .expect("a requirement fails")
        .reachable;
    assert!(reachable > 0.8 && reachable < 1.0, "{reachable}");
    let lever = nearest.levers.first().expect("a larger tip does");
    // Halved four times between what is there and a factor that does.
    assert!((lever.factor - 1.0).abs() < 0.35, "{lever:?}");
    let mut changes = vec![asks, (&lever.change.0, &lever.change.1)];
    changes.push(("tank.fuel.ullage", &nearest.best.text));
    let changed = stand("blowdown-water", &changes);
    assert!(margin(&StandModel::new(&changed, changed.run).nominal()) >= 0.0);
}

/// Each end of a window has the bound that a run there just meets: too little flow below it, too
/// much pressure above. The scan's nearest values are 28 and 34 bar(g).
#[test]
fn a_window_between_the_values_of_the_scan_is_found_with_both_its_ends() {
    let path = "regulator.press.set_pressure";
    let (low, high) = (32.6, 32.8);
    let figure = |set: f64, name: &str| {
        let text = format!("{set} bar(g)");
        let stand = stand("regulated-water", &[(path, &text)]);
        let run = StandModel::new(&stand, stand.run).nominal();
        run.summary.get(name).expect(name)
    };
    let flow = format!(">= {} kg/s", figure(low, "run.mean_flow_kg_s"));
    let highest = format!("<= {} Pa(a)", highest_pa(high));
    let asks = [
        ("requirement.run.mean_flow", flow.as_str()),
        ("limit.fuel.pressure", highest.as_str()),
    ];
    let asked = stand("regulated-water", &asks);
    let between = ("16 bar(g)", "64 bar(g)");
    // To the root's tolerance and the rounding of four digits, to the inside.
    let near = 2.0 * size::TOLERANCE * high;
    for (wanted, end, inward) in [(Wanted::Smallest, low, 1.0), (Wanted::Largest, high, -1.0)] {
        let sizing = sized(&asked, path, between, wanted);
        let meets = sizing.scan.iter().filter(|(_, margin)| *margin >= 0.0);
        assert_eq!(meets.count(), 1, "the answer alone: {sizing:?}");
        let Found::Value(answer) = sizing.found else {
            panic!("{sizing:?}");
        };
        let inside = (answer.value - end) * inward;
        assert!((0.0..near).contains(&inside), "{answer:?}");
    }
}

/// Highest pressure of the tank with a set pressure in bar(g).
fn highest_pa(set: f64) -> f64 {
    let text = format!("{set} bar(g)");
    let stand = stand(
        "regulated-water",
        &[("regulator.press.set_pressure", &text)],
    );
    let run = StandModel::new(&stand, stand.run).nominal();
    let column = run.outcome.history.index_of("fuel.pressure_pa");
    run.outcome.extremes[column.expect("it is there")]
        .greatest
        .value
}

/// A limit is not traded for what is asked: the nearest is the last value that keeps it, and what
/// could be asked for there is what a run there has.
#[test]
fn without_a_window_the_nearest_keeps_the_limit() {
    let path = "regulator.press.set_pressure";
    let asks = [
        ("requirement.run.mean_flow", ">= 1.1 kg/s"),
        ("limit.fuel.pressure", "<= 28 bar(g)"),
    ];
    let asked = stand("regulated-water", &asks);
    let sizing = sized(&asked, path, ("16 bar(g)", "64 bar(g)"), Wanted::Smallest);
    let Found::Nothing(nearest) = sizing.found else {
        panic!("{sizing:?}");
    };
    let value = nearest.best.value;
    let limit_pa = asked.limits[0].threshold;
    let step = 3.0 * size::TOLERANCE * value;
    assert!(nearest.keeps_limits);
    assert!(highest_pa(value) <= limit_pa && highest_pa(value + step) > limit_pa);
    let limit = nearest.limit.expect("there is one");
    assert_eq!(limit.bound.path, "fuel.pressure");
    let missed: Vec<&str> = nearest.missed.iter().map(|s| &s.bound.path[..]).collect();
    assert_eq!(missed, ["run.mean_flow"]);
    let text = format!("{value} bar(g)");
    let there = stand("regulated-water", &[(path, &text)]);
    let run = StandModel::new(&there, there.run).nominal();
    let flow = run.summary.get("run.mean_flow_kg_s").expect("it flows");
    assert!((nearest.missed[0].reachable / flow - 1.0).abs() < 1e-12);
}

/// Two limits that no value keeps: the nearest is between them, and says that it keeps neither.
#[test]
fn limits_that_nothing_keeps_are_not_called_kept() {
    let path = "regulator.press.set_pressure";
    let asks = [
        ("limit.fuel.pressure", "<= 28 bar(g)"),
        ("limit.run.peak_flow", ">= 1.2 kg/s"),
    ];
    let asked = stand("regulated-water", &asks);
    let sizing = sized(&asked, path, ("16 bar(g)", "64 bar(g)"), Wanted::Smallest);
    let Found::Nothing(nearest) = sizing.found else {
        panic!("{sizing:?}");
    };
    assert!(!nearest.keeps_limits);
    assert!(nearest.limit.expect("there are two").room < 0.0);
}

/// What one set of draws takes for the edge lies where another set knows it to lie, and three of
/// four times as many draws stand at what was asked.
#[test]
fn draws_know_an_edge_to_what_they_say() {
    let asks = ("requirement.fuel.pressure_end", ">= 12 bar(g)");
    let asked = stand("blowdown-water", &[asks]);
    let path = "tank.fuel.ullage";
    let of_seed = |seed| {
        let sizer = Sizer {
            stand: &asked,
            knob: Knob::new(&asked, path, Some(("30 %", "80 %"))).expect("the stand has it"),
            wanted: Wanted::Smallest,
            confidence: Confidence {
                part: 0.75,
                draws: 16,
                seed,
            },
        };
        let Found::Value(answer) = sizer.find(&silent).found else {
            panic!("some value does");
        };
        answer
    };
    let (one, other) = (of_seed(1), of_seed(2));
    for (answer, beside) in [(&one, &other), (&other, &one)] {
        let (low, high) = answer.edge_95.expect("it has draws");
        assert!(low <= beside.value && beside.value <= high, "{answer:?}");
        assert_eq!(answer.success.of, 16 * size::FINER);
        // Rounded to the side that does: at most a few of 64 more.
        let part = answer.success.part();
        assert!((0.75..0.85).contains(&part), "{part}");
    }
    assert_eq!(one, of_seed(1));
}

/// A range that nobody gave goes on where it ended too early; one that was given does not.
#[test]
fn a_range_that_nobody_gave_is_carried_on() {
    let asks = ("requirement.run.mean_flow", ">= 0.5 kg/s");
    let asked = stand("regulated-water", &[asks, ("bottle.supply.volume", "60 L")]);
    let path = "bottle.supply.volume";
    let found = |between| {
        let sizer = Sizer {
            stand: &asked,
            knob: Knob::new(&asked, path, between).expect("the stand has it"),
            wanted: Wanted::Smallest,
            confidence: Confidence {
                part: 0.95,
                draws: 0,
                seed: 1,
            },
        };
        sizer.find(&silent)
    };
    let free = found(None);
    let Found::Value(answer) = &free.found else {
        panic!("{free:?}");
    };
    assert!(answer.value < 6.0 && free.range.0 < 6.0, "{free:?}");
    assert_eq!(free.range.1, 600.0);
    let held = found(Some(("6 L", "600 L")));
    assert!(matches!(held.found, Found::WholeRange(_)), "{held:?}");
    let nought = stand("regulated-water", &[("tank.fuel.pressure", "0 bar(g)")]);
    assert_eq!(
        Knob::new(&nought, "tank.fuel.pressure", None),
        Err(KnobFault::Nought)
    );
}

/// The sign of an exponent is none of an uncertainty.
#[test]
fn a_value_with_an_exponent_is_read_whole() {
    let range = |text: &str| {
        let typed = stand("regulated-water", &[("bottle.supply.volume", text)]);
        let knob = Knob::new(&typed, "bottle.supply.volume", None).expect("the stand has it");
        (knob.range, knob.unit)
    };
    assert_eq!(range("0.68e+1 L +- 2 %"), range("6.8 L ± 2 %"));
    assert_eq!(range("680e-2 L"), range("6.8 L"));
}

/// As many bottles have so many times the volume and wall of one, with the same part in doubt.
/// Their surface is that of so many, too.
#[test]
fn counted_bottles_keep_what_is_uncertain_of_one_and_its_surface() {
    let stand_of = |changes: &[(&str, &str)]| stand("regulated-water", changes);
    let one = stand_of(&[("bottle.supply.wall_mass", "9 kg ± 10 %")]);
    let knob = Knob::count(&one, "bottle.supply.volume", None).expect("it is a bottle");
    let changes = knob.overrides(3.0);
    let get = |path: &str| {
        let found = changes.iter().find(|c| c.0 == path);
        found.map(|c| c.1.as_str())
    };
    assert_eq!(get("bottle.supply.volume"), Some("20.4 L ± 1 %"));
    assert_eq!(get("bottle.supply.wall_mass"), Some("27 kg ± 10 %"));
    let area = |stand: &CheckedStand| {
        let network = stand.lower();
        let supply = network.volumes.iter().find(|v| v.name == "supply");
        match &supply.expect("it is there").kind {
            VolumeKind::Vessel(vessel) => vessel.wall.as_ref().map(|w| w.inner_area_m2),
            _ => None,
        }
        .expect("it has a wall")
    };
    let borrowed: Vec<(&str, &str)> = changes.iter().map(|(p, v)| (&p[..], &v[..])).collect();
    let ratio = area(&stand_of(&borrowed)) / area(&one);
    // The diameter is written with four digits, and the surface is nearly its inverse.
    assert!((ratio / 3.0 - 1.0).abs() < 1e-3, "{ratio}");
    assert_eq!(knob.text(1.0), "1 bottle");
}

/// Many bottles are counted by halves; what is one less does not do.
#[test]
fn a_count_beyond_any_default_is_found_in_its_range() {
    let asks = [
        ("bottle.supply.volume", "0.5 L"),
        ("bottle.supply.wall_mass", "0.7 kg"),
        ("requirement.run.mean_flow", ">= 1.07 kg/s"),
    ];
    let asked = stand("regulated-water", &asks);
    let count = |between| Knob::count(&asked, "bottle.supply.volume", between);
    let sizer = |knob| Sizer {
        stand: &asked,
        knob,
        wanted: Wanted::Smallest,
        confidence: Confidence {
            part: 0.95,
            draws: 0,
            seed: 1,
        },
    };
    let sizer = sizer(count(Some(("1", "60"))).expect("it is a range of bottles"));
    let Found::Value(answer) = sizer.find(&silent).found else {
        panic!("some number does");
    };
    let margins = sizer.margins(&[answer.value - 1.0, answer.value], &silent);
    assert!(margins[0] < 0.0 && margins[1] >= 0.0, "{margins:?}");
    assert_eq!(answer.value.fract(), 0.0);
    for (low, high) in [("0", "4"), ("1.5", "4"), ("1 L", "4 L")] {
        let refused = count(Some((low, high)));
        assert!(
            matches!(refused, Err(KnobFault::NotWhole(..))),
            "{refused:?}"
        );
    }
    let tank = Knob::count(&asked, "tank.fuel.volume", None);
    assert_eq!(tank, Err(KnobFault::NoBottle));
}

/// A limit on the bottle's own pressure is the end of the range, in the unit of the value; a
/// pressure above what the file states is told apart.
#[test]
fn a_pressure_is_not_sought_above_its_limit() {
    let path = "bottle.supply.pressure";
    let limited = stand(
        "regulated-water",
        &[("limit.supply.pressure", "<= 20 MPa(g)")],
    );
    let knob = Knob::new(&limited, path, None).expect("the stand has it");
    assert!((knob.range.1 - 200.0).abs() < 1e-9, "{:?}", knob.range);
    let ceiling = knob.ceiling.expect("a limit ends the range");
    assert_eq!(ceiling.path, "supply.pressure");
    let above = Knob::new(&limited, path, Some(("210 bar(g)", "300 bar(g)")));
    assert!(matches!(above, Err(KnobFault::AboveLimit(_))), "{above:?}");
    let free = Knob::new(&stand("regulated-water", &[]), path, None);
    assert_eq!(free.expect("the stand has it").ceiling, None);
    let change = |value: &str| raised(&limited, &[(path.to_owned(), value.to_owned())]);
    assert_eq!(change("180 bar(g)"), []);
    let higher = change("200 bar(a)");
    assert_eq!(higher.len(), 1);
    assert!((higher[0].offered_pa - 200e5).abs() < 1.0);
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
    let budgets = loss_budgets(&stand("regulated-water", &[]), &silent).expect("whole runs");
    assert_eq!(budgets.len(), 2);
    for budget in budgets {
        let losses: f64 = budget.losses.iter().map(|l| l.pa).sum();
        let whole = budget.lock_up_pa - budget.pressure_pa;
        // Sums of a few numbers of 1e6 Pa.
        assert!((losses + budget.rest_pa - whole).abs() < 1e-6, "{budget:?}");
        assert!(losses > 0.0);
    }
}

/// Without a budget it is said why: what is missing, or which run ended, when and of what.
#[test]
fn without_a_loss_budget_the_reason_is_told() {
    let none = loss_budgets(&stand("blowdown-water", &[]), &silent);
    assert_eq!(none, Err(NoBudget::NoRegulator));
    let shut = [("run.until", "0.05 s")];
    let none = loss_budgets(&stand("regulated-water", &shut), &silent);
    assert!(matches!(none, Err(NoBudget::NoFlow { .. })), "{none:?}");
    let failed = NoBudget::Failed {
        causes: vec![Cause::Droop, Cause::Collapse],
        time_s: 1.5,
        message: "it is too hot".to_owned(),
    };
    let expected = "the run without \"regulator: droop and size of its seat\", \"ullage gas that gives heat \
                    away\" ended at 1.500 s: it is too hot";
    assert_eq!(failed.to_string(), expected);
}

/// A bottle to whose gas no heat comes cools the most and a bottle held at its temperature not
/// at all: what the cooling takes is ordered alike, and the parts still sum to the whole.
#[test]
fn cooling_takes_most_from_a_bottle_without_heat_and_nothing_from_an_isothermal_one() {
    let cooling = |heat: &str| {
        let heat = ("bottle.supply.heat_transfer", heat);
        let budgets =
            loss_budgets(&stand("regulated-water", &[heat]), &silent).expect("whole runs");
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

/// The figure by hand for the flow that the relief really has: from full bottles the seats pass more.
fn at_its_flow_m2(hole: &Hole) -> f64 {
    assert!(hole.flow_kg_s <= hole.seats_kg_s, "{hole:?}");
    hole.by_hand_m2 * hole.flow_kg_s / hole.seats_kg_s
}

/// The area for larger seats.
fn larger(found: &Result<Relief, NoRelief>) -> Hole {
    let found = found.as_ref().expect("it is judged");
    found.larger.hole.clone().expect("it is needed")
}

/// The stand's own relief stays shut.
const RESTS: (&str, &str) = ("relief.top.set_pressure", "300 bar(g)");

#[test]
fn a_relief_keeps_the_limit_and_is_near_the_formula() {
    let found = relief(&stand("regulated-water", &[RESTS]), "fuel", &silent);
    let found = found.expect("it is needed");
    for need in [&found.larger, &found.nominal] {
        assert!(need.without_pa > found.limit_pa);
        let hole = need.hole.as_ref().expect("it is needed");
        // The gas of the tank is some tens of kelvin from the ambient: the root of that is 10 %.
        let ratio = hole.area_m2 / at_its_flow_m2(hole);
        assert!((ratio - 1.0).abs() < 0.1, "{ratio}");
    }
    let wide = stand(
        "regulated-water",
        &[RESTS, ("limit.fuel.pressure", "<= 200 bar(g)")],
    );
    let wide = relief(&wide, "fuel", &silent).expect("it is judged");
    assert_eq!((wide.nominal.hole, wide.larger.hole), (None, None));
    let unregulated = relief(&stand("blowdown-water", &[]), "fuel", &silent);
    assert_eq!(unregulated, Err(NoRelief::NoRegulator));
}

/// Helium that comes in pushes out as much volume of nitrogen, seven times as heavy: choked flow takes
/// the root of that more area than for the helium itself.
#[test]
fn a_relief_by_hand_is_for_the_gas_that_asks_for_more() {
    let stand = stand("regulated-water", &[RESTS, ("bottle.supply.gas", "helium")]);
    let helium = larger(&relief(&stand, "fuel", &silent));
    // A = w sqrt(R T/M)/(p C): w of helium, of nitrogen M2/M1 times it; C 0.7262 and 0.6847.
    let (r_t, limit_pa) = (8.314_462_6 * 288.15, 40e5 + 101_325.0);
    let area = |w: f64, m: f64, c: f64| w * (r_t / m).sqrt() / (limit_pa * c);
    let pushed = helium.seats_kg_s * 28.0134 / 4.0026;
    let expected = area(pushed, 28.0134e-3, 0.6847);
    assert!(expected > 2.0 * area(helium.seats_kg_s, 4.0026e-3, 0.7262));
    // The tank's gas holds a little water vapour.
    assert!(
        (helium.by_hand_m2 / expected - 1.0).abs() < 1e-2,
        "{helium:?} {expected}"
    );
}

/// The bottle feeds the seat at far more than twice the tank's pressure: both are choked, and the
/// area grows as the seat does.
#[test]
fn a_relief_grows_with_what_a_seat_may_pass_beyond_its_nominal_capacity() {
    let path = "regulator.press.flow_coefficient";
    let of = |coefficient: &str| {
        let stand = stand("regulated-water", &[RESTS, (path, coefficient)]);
        relief(&stand, "fuel", &silent).expect("it is needed")
    };
    for (coefficient, factor, is_stated) in [
        ("0.08 Cv", 1.2, false),
        ("0.08 Cv ± 10 %", 1.1, true),
        ("0.07 Cv .. 0.09 Cv", 0.09 / 0.08, true),
    ] {
        let found = of(coefficient);
        assert_eq!(found.seats[0].is_stated, is_stated, "{coefficient}");
        assert!(
            (found.seats[0].factor - factor).abs() < 1e-9,
            "{coefficient}"
        );
        let nominal = found.nominal.hole.as_ref().expect("it is needed").area_m2;
        // Larger seats empty the bottle faster and heat the tank's gas more: 2 %.
        let growth = larger(&Ok(found)).area_m2 / nominal;
        assert!(
            (growth / factor - 1.0).abs() < 0.02,
            "{coefficient}: {growth}"
        );
    }
    // The same as a seat that is as large by its nominal capacity.
    let as_large = of("0.088 Cv").nominal.hole.expect("it is needed").area_m2;
    let of_larger = larger(&Ok(of("0.08 Cv ± 10 %"))).area_m2;
    // To the tolerance of the area's root, twice.
    assert!(
        (as_large / of_larger - 1.0).abs() < 5e-4,
        "{as_large} {of_larger}"
    );
}

/// Cold vapour at the limit would be liquid; with warm pressurant in the ullage the formula holds.
/// How the vent and the valve before the tank stand at the start is of no account.
#[test]
fn a_relief_of_a_cryogenic_tank_does_not_count_on_its_valves() {
    // The first seconds, with the fullest bottle, are enough to compare.
    let short = [RESTS, ("run.until", "5 s"), ("tank.lox.layers", "2")];
    let found = |changes: &[(&str, &str)]| {
        let stand = stand("lox-nitrogen", &[&short[..], changes].concat());
        larger(&relief(&stand, "lox", &silent))
    };
    let hole = found(&[]);
    // Cooled by the liquid, the gas is denser than the formula has it; evaporated oxygen is more
    // than what comes in: a tenth between them.
    let ratio = hole.area_m2 / at_its_flow_m2(&hole);
    assert!((ratio - 1.0).abs() < 0.1, "{ratio}");
    let turned = found(&[
        ("valve.vent.at_start", "shut"),
        ("valve.press_valve.at_start", "open"),
    ]);
    assert_eq!(hole, turned);
}
