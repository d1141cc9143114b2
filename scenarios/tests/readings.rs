//! What figures and verdicts are read from, against what they mean.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::predict::Prediction;
use scenarios::studies::StandModel;
use scenarios::{load_with, ready_made};
use sim_core::network::BranchKind;
use sim_core::outcome::EventKind;

fn demonstration() -> &'static str {
    ready_made()[0].text
}

#[test]
fn figures_and_verdicts_do_not_depend_on_how_coarse_a_history_is_kept() {
    for stand in ready_made() {
        let fine = run(stand.text, &[]);
        let coarse = run(stand.text, &[("run.output_step", "1 s")]);
        let kept = |p: &Prediction| p.outcome.history.rows_to_keep().count();
        assert!(kept(&coarse) < kept(&fine) / 5, "{}", stand.name);
        assert_eq!(fine.summary.figures.len(), coarse.summary.figures.len());
        for (a, b) in fine.summary.figures.iter().zip(&coarse.summary.figures) {
            // A long run is read at other instants, between which its figures are straight to
            // some 1e-6 of themselves.
            let difference = (a.value - b.value).abs();
            assert!(
                difference <= 1e-5 * a.value.abs(),
                "{}, {}: {} and {}",
                stand.name,
                a.name,
                a.value,
                b.value
            );
        }
        let kept = |p: &Prediction| -> Vec<bool> {
            let verdicts = p.requirements.iter().chain(&p.limits);
            verdicts.map(|verdict| verdict.is_kept()).collect()
        };
        assert_eq!(kept(&fine), kept(&coarse), "{}", stand.name);
    }
}

/// A large vent that is open for a second, and a small one that always is.
const VENTED: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "50 L"
pressure = "200 bar(a)"
[regulator.press]
from = "supply"
to = "middle"
set_pressure = "10 bar(g)"
droop = "2 bar"
flow_coefficient = "0.1 Cv"
[plenum.middle]
volume = "1 L"
gas = "nitrogen"
pressure = "10 bar(g)"
[valve.large]
from = "middle"
to = "ambient"
effective_area = "40 mm2"
stroke_time = "10 ms"
[orifice.small]
from = "middle"
to = "ambient"
effective_area = "1 mm2"
[[sequence]]
at = "1 s"
open = "large"
[[sequence]]
at = "2 s"
close = "large"
[run]
until = "5 s"
"#;

#[test]
fn a_regulator_that_comes_back_is_not_said_to_be_wide_open_to_the_end() {
    let prediction = run(VENTED, &[]);
    let get = |name: &str| prediction.summary.get(&format!("press.{name}"));
    assert_eq!(get("regulation_lost_s"), None);
    let events = &prediction.outcome.events;
    let at_s = |kind| events.iter().find(|e| e.kind == kind).map(|e| e.time_s);
    let lost_s = at_s(EventKind::RegulationLost).expect("the vent is too large");
    let back_s = at_s(EventKind::Regulating).expect("it comes back");
    assert_eq!(get("first_wide_open_s"), Some(lost_s));
    assert_eq!(get("wide_open_time_s"), Some(back_s - lost_s));
    let mut warnings = prediction.warnings.iter();
    let warning = warnings.find(|w| w.code == "regulator-3");
    let warning = &warning.expect("it is warned of").message;
    assert!(warning.contains("regulating at its end"), "{warning}");
}

#[test]
fn a_least_flow_is_judged_once_the_flow_has_started_up() {
    let judged = |least: &str| {
        let prediction = run(demonstration(), &[("requirement.run.mass_flow", least)]);
        let mut verdicts = prediction.requirements.iter();
        let verdict = verdicts.find(|v| v.bound.path == "run.mass_flow");
        verdict.expect("it is judged").clone()
    };
    let end = run(demonstration(), &[]).summary.get("run.end_flow_kg_s");
    let end = end.expect("it flows");
    let met = judged(">= 0.5 kg/s");
    assert!(met.is_kept());
    // The flow sags from its start to its end.
    assert_eq!(met.observed, Some(end));
    assert!(!judged(">= 1.1 kg/s").is_kept());
}

#[test]
fn a_draw_that_overfills_a_tank_says_so() {
    let set = [("tank.fuel.volume".to_owned(), "19 L ± 40 %".to_owned())];
    let stand = load_with(demonstration(), &set).expect("the stand has no errors");
    let model = StandModel::new(&stand, stand.run);
    let mut values = model.nominal_values();
    let volume = model
        .factors
        .iter()
        .position(|f| f.name == "tank.fuel.volume");
    values[volume.expect("it is uncertain")] = 13e-3;
    let reason = model
        .run_with(&values)
        .expect_err("14 L do not fit in 13 L");
    assert!(
        reason.contains("13.00 L") && reason.contains("14.00 L"),
        "{reason}"
    );
}

#[test]
fn what_never_comes_is_later_than_any_time_and_lasts_for_none() {
    let large = ("regulator.press.flow_coefficient", "0.3 Cv");
    let kept = |bound: (&str, &str)| {
        let prediction = run(demonstration(), &[large, bound]);
        let mut verdicts = prediction.requirements.iter();
        let verdict = verdicts.find(|v| bound.0.ends_with(&v.bound.path));
        verdict.expect("it is judged").is_kept()
    };
    assert!(kept(("requirement.press.wide_open_time", "<= 1 s")));
    assert!(kept(("requirement.press.regulation_lost", ">= 8 s")));
    assert!(!kept(("requirement.press.regulation_lost", "<= 8 s")));
}

#[test]
fn a_lift_does_not_pass_one() {
    let prediction = run(demonstration(), &[("limit.press.lift", "<= 1")]);
    let mut limits = prediction.limits.iter();
    let lift = limits.find(|v| v.bound.path == "press.lift");
    assert!(lift.is_some_and(|v| v.is_kept()), "{lift:?}");
}

/// The demonstration with a valve and a pipe at the ambient's pressure before the regulator.
#[test]
fn a_regulator_behind_a_valve_was_set_at_the_bottle_and_one_behind_another_at_its_set_pressure() {
    let reference_pa = |before: &str| {
        let text = demonstration().replace("from = \"supply\"", "from = \"pipe\"");
        let text = text.replacen(
            "[[sequence]]\n",
            &format!("{before}[plenum.pipe]\nvolume = \"20 mL\"\n[[sequence]]\n"),
            1,
        );
        let stand = load_with(&text, &[]).expect("the stand has no errors");
        let path = "regulator.press.reference_supply_pressure";
        assert!(stand.assumptions.iter().any(|a| a.path == path));
        let network = stand.lower();
        let press = network.branches.iter().find(|b| b.name == "press");
        match &press.expect("it is there").kind {
            BranchKind::Regulator(regulator) => regulator.reference_supply_pa,
            other => panic!("{other:?}"),
        }
    };
    let valve =
        "[orifice.isolation]\nfrom = \"supply\"\nto = \"pipe\"\neffective_area = \"50 mm2\"\n";
    assert!((reference_pa(valve) - (180e5 + 101_300.0)).abs() < 1.0);
    let stage = "[regulator.first]\nfrom = \"supply\"\nto = \"pipe\"\nset_pressure = \"60 bar(g)\"\n\
                 droop = \"5 bar\"\nflow_coefficient = \"0.2 Cv\"\n";
    assert!((reference_pa(stage) - (60e5 + 101_300.0)).abs() < 1.0);
}

/// Written against the order of their names, and joined to the pipe against the order of the bottles.
#[test]
fn of_bottles_of_one_pressure_the_first_in_the_file_is_told_as_the_supply() {
    let bottle = |name: &str| {
        format!(
            "[bottle.{name}]\ngas = \"nitrogen\"\nvolume = \"10 L\"\npressure = \"150 bar(g)\"\n"
        )
    };
    let joint = |name: &str| {
        format!(
            "[orifice.{name}_neck]\nfrom = \"{name}\"\nto = \"pipe\"\neffective_area = \"10 mm2\"\n"
        )
    };
    let rest = "[plenum.pipe]\nvolume = \"1 L\"\n[regulator.press]\nfrom = \"pipe\"\nto = \"ambient\"\n\
                set_pressure = \"30 bar(g)\"\ndroop = \"2 bar\"\nflow_coefficient = \"0.3 Cv\"\n\
                [run]\nuntil = \"1 s\"\n";
    let text = [bottle("west"), bottle("east"), joint("east"), joint("west")].concat() + rest;
    let stand = load_with(&text, &[]).unwrap_or_else(|e| panic!("{e:?}"));
    let path = "regulator.press.reference_supply_pressure";
    let told = stand.assumptions.iter().find(|a| a.path == path);
    assert_eq!(told.expect("it is listed").value, "as west at its start");
}

#[test]
fn a_pressure_that_still_rises_at_the_end_of_a_run_is_warned_of() {
    let warned = |until: &str| {
        let prediction = run(demonstration(), &[("run.until", until)]);
        let mut warnings = prediction.warnings.iter();
        warnings.any(|w| w.code == "run-3" && w.message.contains("fuel: "))
    };
    // The tank is pressed until some 3 s, and then stands at lock-up.
    assert!(warned("1.5 s"));
    assert!(!warned("4.9 s"));
}

#[test]
fn a_tank_that_warms_behind_shut_valves_is_warned_of() {
    let stand = ready_made()
        .iter()
        .find(|s| s.name == "helium-large-regulator");
    let prediction = run(stand.expect("it is ready made").text, &[]);
    let pressure = prediction.outcome.history.column("fuel.pressure_pa");
    let pressure = pressure.expect("a tank has one");
    let most = pressure.iter().copied().fold(0.0, f64::max);
    // Cold helium warms in a tank that is shut in the middle of its run.
    assert_eq!(pressure.last().copied(), Some(most));
    let mut warnings = prediction.warnings.iter();
    assert!(warnings.any(|w| w.code == "run-3" && w.message.contains("fuel: ")));
}
