//! Gas lines in a stand file.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::load;

/// A bottle that fills a vessel through a long thin line.
const STAND: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "50 L"
pressure = "100 bar(g)"
[line.hose]
from = "supply"
to = "receiver"
length = "20 m"
bore = "4 mm"
roughness = "1.5 um"
[plenum.receiver]
volume = "5 L"
[run]
until = "200 s"
"#;

fn changed(from: &str, to: &str) -> String {
    assert!(STAND.contains(from), "{from}");
    STAND.replace(from, to)
}

/// Property: the balances close, the pressures meet, and a longer line takes longer over it.
#[test]
fn a_line_fills_a_vessel_the_slower_the_longer_it_is() {
    let half = |text: &str| {
        let outcome = run(text, &[]).outcome;
        assert!(outcome.balances.mass_relative.abs() < 1e-9);
        assert!(outcome.balances.energy_relative.abs() < 1e-6);
        let column = |name: &str| outcome.history.column(name).expect("a column");
        let (time, pressure) = (column("time_s"), column("receiver.pressure_pa"));
        let last = pressure[pressure.len() - 1];
        let supply = column("supply.pressure_pa");
        // What differs is the heat that the walls still give.
        assert!((last / supply[supply.len() - 1] - 1.0).abs() < 1e-3);
        let filled = pressure.iter().position(|&p| p > 0.5 * last);
        time[filled.expect("it fills")]
    };
    assert!(half(&changed("20 m", "40 m")) > 1.2 * half(STAND));
}

/// Beyond the range of its equations it warns: nitrogen at 300 bar has Z 1.14 (NIST webbook, from memory), at
/// 100 bar 1.00; through a capillary the flow is not turbulent.
#[test]
fn a_line_warns_outside_of_its_range() {
    let warnings = |text: &str| {
        let found = run(text, &[]).warnings.into_iter();
        found
            .filter(|w| w.code == "gas-9")
            .map(|w| w.message)
            .collect::<Vec<_>>()
            .join("\n")
    };
    assert_eq!(warnings(STAND), "");
    let far = warnings(&changed("100 bar(g)", "300 bar(g)"));
    assert!(
        far.contains("300.0 bar(g), has a compressibility of 1.1"),
        "{far}"
    );
    let text = changed("bore = \"4 mm\"", "bore = \"0.2 mm\"");
    let slow = warnings(&text.replace("100 bar(g)", "4 bar(g)"));
    assert!(slow.contains("Reynolds number"), "{slow}");
}

#[test]
fn what_only_liquid_has_is_refused() {
    for (from, to, code) in [
        (
            "bore = \"4 mm\"",
            "bore = \"4 mm\"\nat_start = \"full\"",
            "plumbing-8",
        ),
        ("bore = \"4 mm\"", "bore = \"0 mm\"", "state-1"),
        ("length = \"20 m\"", "length = \"20 kg\"", "quantity-4"),
        ("to = \"receiver\"\n", "", "plumbing-2"),
    ] {
        let errors = load(&changed(from, to)).expect_err("it is wrong");
        assert!(errors.iter().any(|e| e.code == code), "{to}: {errors:?}");
    }
}
