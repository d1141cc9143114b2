//! Balances of runs with many switchings.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use sim_core::outcome::EventKind;

/// A tank of water whose pressure a valve holds within a tenth of a bar, before a short line.
const SWITCHED: &str = r#"
[bottle.supply]
gas = "nitrogen"
volume = "10 L"
pressure = "200 bar(g)"
[valve.press]
from = "supply"
to = "fuel"
effective_area = "5 mm2"
delay = "10 ms"
stroke_time = "10 ms"
[tank.fuel]
volume = "19 L"
diameter = "230 mm"
liquid = "water"
fill = "14 L"
gas = "nitrogen"
pressure = "20 bar(g)"
[line.feed]
from = "fuel"
length = "0.2 m"
bore = "15.5 mm"
[valve.run]
from = "feed"
flow_coefficient = "12 Cv"
stroke_time = "140 ms"
[orifice.tip]
from = "run"
to = "ambient"
diameter = "5.5 mm"
discharge_coefficient = 0.63
[[sequence]]
whenever = "fuel.pressure < 19.9 bar(g)"
open = "press"
[[sequence]]
whenever = "fuel.pressure > 20.1 bar(g)"
close = "press"
[[sequence]]
at = "1 s"
open = "run"
[run]
until = "16 s"
"#;

/// The bars of every run: 1e-9 of the mass that moved, 1e-6 of the work and heat.
#[test]
fn a_tank_that_is_switched_many_times_keeps_its_energy() {
    let outcome = run(SWITCHED, &[]).outcome;
    let opened = outcome.events.iter();
    let opened = opened.filter(|e| e.component == "press" && e.kind == EventKind::CommandedOpen);
    assert!(opened.count() > 20);
    let balances = &outcome.balances;
    assert!(balances.mass_relative.abs() < 1e-9, "{balances:?}");
    assert!(balances.energy_relative.abs() < 1e-6, "{balances:?}");
}

/// The same bar for a species that is there in a trace only: what rounds in the mass of all the others is no loss
/// of it.
#[test]
fn a_trace_of_a_gas_is_held_to_the_rounding_of_the_whole() {
    let stand = include_str!("../stands/lox-helium.toml");
    let changes = [
        ("tank.lox.liquid", "LH2"),
        ("tank.lox.gas", "nitrogen"),
        ("regulator.press.set_pressure", "6 bar(g)"),
        ("regulator.press.droop", "1 bar"),
        ("plenum.press_line.pressure", "6 bar(g)"),
    ];
    let balances = run(stand, &changes).outcome.balances;
    assert!(balances.mass_relative.abs() < 1e-9, "{balances:?}");
}
