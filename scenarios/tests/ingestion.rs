//! Gas drawn in over an outlet before it uncovers: the warning, and the option that ends the flow there.

#[path = "support/prediction.rs"]
mod prediction;

use scenarios::predict::Prediction;
use sim_core::outcome::EventKind;

/// A flat-bottomed upright tank that nitrogen at a steady pressure empties through 10 mm: 1 m/s or so
/// at the end of 200 mm of water.
fn stand(keys: &str) -> String {
    format!(
        r#"
[ambient]
pressure = "1 bar(a)"
temperature = "290 K"

[bottle.supply]
gas = "nitrogen"
volume = "10 m3"
pressure = "1 bar(g)"
temperature = "290 K"

[orifice.open]
from = "supply"
to = "fuel"
effective_area = "1000 mm2"

[tank.fuel]
volume = "20 L"
diameter = "300 mm"
ends = "flat"
liquid = "water"
fill = "6 L"
gas = "nitrogen"
pressure = "1 bar(g)"
temperature = "290 K"
{keys}

[orifice.drain]
from = "fuel"
to = "ambient"
effective_area = "50 mm2"

[run]
until = "20 s"
output_step = "1 ms"
"#
    )
}

fn run(keys: &str) -> Prediction {
    prediction::run(&stand(keys), &[])
}

fn depleted_s(prediction: &Prediction) -> f64 {
    let events = prediction.outcome.events.iter();
    let mut depleted = events.filter(|e| e.kind == EventKind::Depleted);
    depleted.next().expect("it runs empty").time_s
}

/// The figures of a run at an instant.
fn at(prediction: &Prediction, column: &str, time_s: f64) -> f64 {
    let history = &prediction.outcome.history;
    let times = history.column("time_s").expect("it has times");
    let row = times.iter().position(|&t| t >= time_s - 1e-9);
    history.column(column).expect("a column")[row.expect("a row")]
}

/// Closed form at the event: the level is `0.69 (Q^2/g)^(1/5)` of the flow there. The history's row
/// stands at the event; located to the run's tolerance.
#[test]
fn the_flow_of_liquid_ends_at_the_dip() {
    let dips = run("residual = \"10 mL\"\ningestion = \"dip\"");
    let at_s = depleted_s(&dips);
    let flow_m3_s = at(&dips, "drain.mass_flow_kg_s", at_s) / 998.8;
    let dip_m = 0.69 * (flow_m3_s.powi(2) / 9.806_65).powf(0.2);
    let level_m = at(&dips, "fuel.level_m", at_s);
    assert!((level_m / dip_m - 1.0).abs() < 1e-3, "{level_m} {dip_m}");
    assert!(dips.warnings.iter().all(|w| w.code != "liquid-7"));
    assert!(dips.outcome.balances.mass_relative.abs() < 1e-9);
}

/// Left alone, the run goes on to the residual and says at what time gas would have come: the time at
/// which the other run ends, to a step of the history.
#[test]
fn a_run_that_goes_on_warns_of_the_same_instant() {
    let (plain, dips) = (
        run("residual = \"10 mL\""),
        run("residual = \"10 mL\"\ningestion = \"dip\""),
    );
    let warning = plain.warnings.iter().find(|w| w.code == "liquid-7");
    let message = &warning.expect("a warning").message;
    assert!(depleted_s(&plain) > depleted_s(&dips) + 0.5);
    let said = message
        .split("at ")
        .nth(1)
        .and_then(|m| m.split(" s").next());
    let said: f64 = said.and_then(|s| s.parse().ok()).expect("a time");
    assert!((said - depleted_s(&dips)).abs() < 0.01, "{message}");
}

/// A residual above the dip leaves nothing to warn of: 3 L stand 42 mm above the flat bottom.
#[test]
fn a_larger_residual_is_taken_at_its_word() {
    let warns = |residual| run(residual).warnings.iter().any(|w| w.code == "liquid-7");
    assert!(warns("residual = \"10 mL\""));
    assert!(!warns("residual = \"3 L\""));
}

/// Where a line leaves the tank, its bore says from where on a swirl may draw.
#[test]
fn a_line_says_from_where_on_a_swirl_draws() {
    let message = |text: &str| {
        let found = prediction::run(text, &[]).warnings.into_iter();
        let mut own = found.filter(|w| w.code == "liquid-7");
        own.next().expect("a warning").message
    };
    let plain = stand("residual = \"10 mL\"");
    assert!(message(&plain).contains("a swirl draws earlier)"));
    let drain = "[orifice.drain]\nfrom = \"fuel\"";
    let line = "[line.feed]\nfrom = \"fuel\"\nlength = \"1 m\"\nbore = \"20 mm\"\n[orifice.drain]\nfrom = \"feed\"";
    assert!(plain.contains(drain));
    let said = message(&plain.replace(drain, line));
    assert!(
        said.contains("for pump intakes below ") && said.contains("mm, ANSI/HI 9.8)"),
        "{said}"
    );
}
