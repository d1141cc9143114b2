//! What figures and verdicts are read from, against what they mean.

use scenarios::predict::{PredictOptions, Prediction, predict};
use scenarios::studies::StandModel;
use scenarios::{load_with, ready_made};
use sim_core::outcome::{EventKind, Integrator};

const OPTIONS: PredictOptions = PredictOptions {
    tolerance: None,
    integrator: Integrator::Rodas5p,
};

fn run(text: &str, overrides: &[(&str, &str)]) -> Prediction {
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let overrides: Vec<_> = overrides.iter().map(owned).collect();
    let stand = load_with(text, &overrides).expect("the stand has no errors");
    predict(&stand, &OPTIONS)
}

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
