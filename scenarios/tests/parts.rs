//! The pieces of a stand file that `explain` shows: each put into the demonstration is read without an error
//! or another warning, and runs.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::{parts, ready_made};
use sim_core::outcome::EventKind;

/// The demonstration with a piece put in: a key of a table that is there takes the place of the old one, or stands
/// beside the others.
fn with(piece: &str) -> String {
    let mut stand: Vec<String> = ready_made()[0].text.lines().map(str::to_owned).collect();
    for table in piece.split("\n[").skip(1) {
        let (header, keys) = table.split_once('\n').expect("a header");
        let header = format!("[{header}");
        let place = stand.iter().position(|line| *line == header);
        let Some(place) = place.filter(|_| !header.starts_with("[[")) else {
            stand.push(format!("\n{header}\n{keys}"));
            continue;
        };
        for line in keys.lines().filter(|line| line.contains(" = ")) {
            let key = line.split(" = ").next().expect("a key");
            let table = stand[place + 1..]
                .iter()
                .take_while(|l| !l.starts_with('['));
            let old = table
                .into_iter()
                .position(|l| l.split(" = ").next() == Some(key));
            match old {
                Some(old) => stand[place + 1 + old] = line.to_owned(),
                None => stand.insert(place + 1, line.to_owned()),
            }
        }
    }
    stand.join("\n")
}

#[test]
fn every_piece_runs_in_the_demonstration() {
    for part in parts() {
        let text = with(part.text);
        let stand = scenarios::load(&text).unwrap_or_else(|e| panic!("{}: {e:?}", part.name));
        // The demonstration itself has one of its tank without a relief valve.
        let known = ["relief-5", "state-1"];
        for warning in &stand.warnings {
            assert!(known.contains(&warning.code), "{}: {warning:?}", part.name);
        }
        let prediction = run(&text, &[]);
        let passed = prediction.summary.get("run.liquid_passed_kg");
        assert!(
            passed.is_some_and(|kg| kg > 1.0),
            "{}: {passed:?}",
            part.name
        );
        let balances = prediction.outcome.balances;
        assert!(
            balances.mass_relative.abs() < 1e-9,
            "{}: {balances:?}",
            part.name
        );
    }
}

/// Each takes effect: the demonstration's steady flow is another one with it, except where it only adds.
#[test]
fn the_pieces_that_restrict_the_liquid_lessen_its_flow() {
    let steady = |text: &str| {
        let flow = run(text, &[]).summary.get("run.steady_flow_kg_s");
        flow.expect("a steady flow")
    };
    let plain = steady(ready_made()[0].text);
    for part in parts()
        .iter()
        .filter(|p| ["needle", "filter"].contains(&p.name))
    {
        assert!(steady(&with(part.text)) < 0.999 * plain, "{}", part.name);
    }
}

/// Each does what its words say: with it the outlet stays nearer to lock-up than that of the demonstration's
/// own regulator, which is too small, half a second after the command and at the end of the flow.
#[test]
fn the_pieces_of_regulators_hold_the_outlet_better() {
    let droops = |text: &str| {
        let summary = run(text, &[]).summary;
        ["press.droop_0_5_s_pa", "press.droop_end_pa"]
            .map(|name| summary.get(name).unwrap_or_else(|| panic!("no {name}")))
    };
    let plain = droops(ready_made()[0].text);
    for name in ["two_stage", "parallel_regulators", "dome_loaded"] {
        let part = parts().iter().find(|p| p.name == name);
        let with_it = droops(&with(part.expect("it is one of them").text));
        for (with_it, plain) in with_it.iter().zip(plain) {
            assert!(*with_it < 0.9 * plain, "{name}: {with_it} Pa, {plain} Pa");
        }
    }
}

/// Between the thresholds of 29 and 31 bar(g), and what flows until the valve answers, a delay and a stroke,
/// 20 ms: by the run valve 1.1 L/s out of 5 L at 30 bar, 0.13 bar; by 5.8 mm2 from 60 bar 2.4 L/s, 0.29 bar.
#[test]
fn the_two_valves_of_on_off_control_hold_the_dead_band() {
    let part = parts().iter().find(|p| p.name == "bang_bang");
    let prediction = run(&with(part.expect("it is one of them").text), &[]);
    let column = |name: &str| {
        let column = prediction.outcome.history.column(name);
        column.expect("a column")
    };
    let times = column("time_s");
    let pressures = column("fuel.pressure_pa");
    let flowing = times
        .iter()
        .zip(pressures)
        .filter(|(t, _)| (5.0..16.0).contains(*t));
    let bar_g: Vec<f64> = flowing.map(|(_, p)| p / 1e5 - 1.013).collect();
    let least = bar_g.iter().copied().fold(f64::MAX, f64::min);
    let most = bar_g.iter().copied().fold(f64::MIN, f64::max);
    assert!(least > 28.85 && least < 29.1, "{least}");
    assert!(most < 31.3, "{most}");
    let opened = |name: &str| {
        let events = prediction.outcome.events.iter();
        events
            .filter(|e| e.component == name && e.kind == EventKind::CommandedOpen)
            .count()
    };
    assert!(opened("coarse") >= 4, "{}", opened("coarse"));
    assert!(opened("fine") >= 2, "{}", opened("fine"));
}

/// A hose takes a part of what stands before the regulator, and a light liner gets colder than a steel wall.
#[test]
fn the_hose_and_the_composite_bottle_show_in_the_history() {
    let column = |text: &str, name: &str| {
        let column = run(text, &[]).outcome.history.column(name);
        column.expect("a column").into_iter()
    };
    let piece = |name: &str| {
        let part = parts().iter().find(|p| p.name == name);
        with(part.expect("it is one of them").text)
    };
    let plain = ready_made()[0].text;
    let most = |text: &str| column(text, "press.mass_flow_kg_s").fold(0.0, f64::max);
    assert!(most(&piece("gas_line")) < most(plain));
    let coldest = |text: &str| column(text, "supply.wall_temperature_k").fold(f64::MAX, f64::min);
    let (liner, steel) = (coldest(&piece("composite_bottle")), coldest(plain));
    assert!(liner < steel - 1.0, "{liner} {steel}");
}
