//! A liquefied gas in a warm room: what it is taken for is told, and the way out of it runs.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::{checked, run};

const CODE: &str = "state-16";

fn stand(more: &str) -> String {
    format!(
        r#"
[ambient]
temperature = "20 degC"
[tank.ox]
volume = "10 L"
diameter = "150 mm"
liquid = "nitrous oxide"
fill = "5 L"
gas = "nitrous oxide"
layers = 1
{more}
[valve.run]
from = "ox"
to = "ambient"
flow_coefficient = "0.1 Cv"
stroke_time = "100 ms"
[[sequence]]
at = "0.2 s"
open = "run"
[run]
until = "1 s"
"#
    )
}

/// Nitrous oxide has 50.5 bar at 20 degC (Lemmon and Span 2006, as CoolProp gives it: 50.53 bar).
#[test]
fn a_cold_one_is_told_and_the_remedy_runs() {
    let warnings = checked(&stand(""), &[]).warnings;
    let found = warnings.iter().find(|w| w.code == CODE);
    let found = found.expect("it is told");
    let remedy = "saturated_at = \"50.53 bar(a)\" and pressure = \"50.53 bar(a)\"";
    assert!(found.remedies[0].contains(remedy), "{found:?}");

    let own = "saturated_at = \"50.53 bar(a)\"\npressure = \"50.53 bar(a)\"";
    let warm = stand(own);
    assert!(checked(&warm, &[]).warnings.iter().all(|w| w.code != CODE));
    let history = run(&warm, &[]).outcome.history;
    let pressure = history.column("ox.pressure_pa").expect("it is there");
    // It pushes itself: by the end of a second of small flow next to nothing is lost.
    assert!(
        pressure.iter().all(|pa| (50.0e5..50.6e5).contains(pa)),
        "{pressure:?}"
    );
}

#[test]
fn what_no_pressure_keeps_liquid_is_not_told() {
    for ready in scenarios::ready_made() {
        let warnings = checked(ready.text, &[]).warnings;
        assert!(warnings.iter().all(|w| w.code != CODE), "{}", ready.name);
    }
}
