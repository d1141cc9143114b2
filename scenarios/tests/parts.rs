//! The pieces of a stand file that `explain` shows: each put into the demonstration is read without an error
//! or another warning, and runs.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use scenarios::{parts, ready_made};

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
