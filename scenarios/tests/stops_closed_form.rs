//! Columns that are stopped or part, against Joukowsky's rise and hydrostatics.

#[path = "support/prediction.rs"]
mod prediction;

use fluids::Liquid;
use prediction::run;
use scenarios::predict::Prediction;
use std::f64::consts::PI;

/// Water at 21 bar before a line of 4 m and a valve that shuts in the middle of the run.
const SHUTTING: &str = r#"
[tank.supply]
volume = "100 L"
shape = "sphere"
liquid = "water"
fill = "50 L"
gas = "nitrogen"
pressure = "20 bar(g)"
vapour = "none"
heat_transfer = "none"
[line.feed]
from = "supply"
length = "4 m"
bore = "10 mm"
[valve.run]
from = "feed"
to = "ambient"
effective_area = "30 mm2"
characteristic = "linear"
stroke_time = "1 ms"
at_start = "open"
[[sequence]]
at = "1 s"
close = "run"
[run]
until = "2 s"
[limit]
"run.inlet_pressure" = "< 400 bar(g)"
"#;

const BORE_M2: f64 = PI / 4.0 * 1e-4;

fn messages<'a>(prediction: &'a Prediction, code: &str) -> Vec<&'a str> {
    let of_code = prediction.warnings.iter().filter(|w| w.code == code);
    of_code.map(|w| w.message.as_str()).collect()
}

/// Value of a column in the last row before an instant.
fn before(prediction: &Prediction, column: &str, time_s: f64) -> f64 {
    let history = &prediction.outcome.history;
    let times = history.column("time_s").expect("time is a column");
    let row = times
        .iter()
        .position(|&t| t >= time_s)
        .expect("it is reached");
    history.column(column).expect("a column")[row]
}

#[test]
fn a_valve_that_shuts_within_an_echo_is_judged_by_joukowskys_pressure() {
    // 2L/a is 5.4 ms.
    for stroke in ["0 ms", "1 us", "1 ms", "5 ms"] {
        let smooth = ("line.feed.friction_factor", "0");
        let prediction = run(SHUTTING, &[("valve.run.stroke_time", stroke), smooth]);
        let flow = before(&prediction, "run.mass_flow_kg_s", 1.0);
        let inlet = before(&prediction, "run.inlet_pressure_pa", 1.0);
        let kelvin = before(&prediction, "supply.liquid_temperature_k", 1.0);
        let water = Liquid::new("water", 21e5)
            .expect("known")
            .at(kelvin)
            .expect("liquid");
        let by_hand = inlet + water.sound_speed_m_s * flow / BORE_M2;
        let figure = prediction.summary.get("run.peak_inlet_pressure_pa");
        let figure = figure.expect("a peak");
        // The density that the model runs on is that of the tank's pressure at the start.
        assert!(
            (figure / by_hand - 1.0).abs() < 1e-3,
            "{stroke}: {figure} {by_hand}"
        );
        let limit = &prediction.limits[0];
        assert_eq!(limit.observed, Some(figure), "{stroke}");
        assert!(limit.is_kept(), "{stroke}");
        // The line's outlet is the valve's inlet.
        let outlet = prediction.summary.get("feed.peak_outlet_pressure_pa");
        assert_eq!(outlet, Some(figure), "{stroke}");
        assert_eq!(messages(&prediction, "liquid-3").len(), 1, "{stroke}");
    }
}

/// From 3 bar the wave that comes back takes as much as the stop gave, some tens of bar: the column
/// parts behind the first peak.
#[test]
fn a_column_that_parts_behind_its_peak_may_strike_harder() {
    let prediction = run(SHUTTING, &[("tank.supply.pressure", "3 bar(a)")]);
    let [message] = messages(&prediction, "liquid-3")[..] else {
        panic!("{:?}", prediction.warnings);
    };
    assert!(message.contains("may strike harder"), "{message}");
}

#[test]
fn friction_raises_the_peak_by_at_most_what_it_took() {
    let prediction = run(SHUTTING, &[]);
    let [surge] = &prediction.outcome.surges[..] else {
        panic!("{:?}", prediction.outcome.surges);
    };
    let outlet = before(&prediction, "supply.outlet_pressure_pa", 1.0);
    let lost = outlet - surge.before_pa;
    let peak = surge.judged_pa();
    assert!(lost > 5e5, "{lost}");
    assert!(peak > surge.bound_pa + 0.1 * lost, "{peak} {surge:?}");
    assert!(peak < surge.bound_pa + lost, "{peak} {surge:?}");
}

#[test]
fn a_wall_that_gives_way_slows_the_wave() {
    let smooth = ("line.feed.friction_factor", "0");
    let rise = |sets: &[(&str, &str)]| {
        let prediction = run(SHUTTING, sets);
        let surge = prediction.outcome.surges[0].clone();
        (surge.judged_pa() - surge.before_pa) / surge.speed_m_s
    };
    let rigid = rise(&[smooth]);
    let hose = [
        smooth,
        ("line.feed.wall_thickness", "1 mm"),
        ("line.feed.elastic_modulus", "1 GPa"),
    ];
    // a^2 falls by 1 + K D/(E e), K = rho c^2 = (rho c)^2/rho.
    let bulk = rigid * rigid / 998.0;
    let expected = rigid / (1.0 + bulk * 10.0 / 1e9).sqrt();
    assert!((rise(&hose) / expected - 1.0).abs() < 3e-3);
}

#[test]
fn what_stands_behind_the_valve_takes_its_part() {
    // An injector behind a wide valve holds the flow until late in the stroke, and stops it the faster.
    let behind = r#"
[orifice.injector]
from = "run"
to = "ambient"
effective_area = "30 mm2"
"#;
    let text = SHUTTING.replace("to = \"ambient\"\neffective", "effective") + behind;
    let sets = [
        ("line.feed.length", "6 m"),
        ("line.feed.bore", "20 mm"),
        ("valve.run.effective_area", "200 mm2"),
        ("valve.run.stroke_time", "100 ms"),
        ("run.output_step", "0.2 ms"),
    ];
    let prediction = run(&text, &sets);
    let figure = prediction.summary.get("run.peak_inlet_pressure_pa");
    let column = prediction.outcome.history.column("run.inlet_pressure_pa");
    let rigid = column.expect("a column").into_iter().fold(0.0, f64::max);
    let rise = |pa: f64| pa - before(&prediction, "supply.outlet_pressure_pa", 1.5);
    // Twelve echoes, but the flow falls in the last third of them: waves and rigid column differ by about one in four.
    let part = rise(figure.expect("a peak")) / rise(rigid);
    assert!((0.75..1.25).contains(&part), "{part} {rigid}");
    // The same joint has two names.
    let both = "[limit]\n\"feed.outlet_pressure\" = \"< 400 bar(g)\"\n";
    let both = run(&text.replace("[limit]\n", both), &sets);
    let observed: Vec<_> = both.limits.iter().map(|l| l.observed).collect();
    assert_eq!(observed.len(), 2);
    assert_eq!(observed[0], observed[1]);
}

#[test]
fn a_valve_that_turns_back_in_time_has_no_peak_of_its_whole_stroke() {
    let back = "\n[[sequence]]\nat = \"1.03 s\"\nopen = \"run\"\n";
    let text = SHUTTING.replace("[run]\nuntil", &format!("{back}[run]\nuntil"));
    let prediction = run(&text, &[("valve.run.stroke_time", "100 ms")]);
    let column = prediction.outcome.history.column("run.inlet_pressure_pa");
    let rigid = column.expect("a column").into_iter().fold(0.0, f64::max);
    let figure = prediction.summary.get("run.peak_inlet_pressure_pa");
    // Between two rows the extreme may be a little above.
    let figure = figure.expect("a peak");
    assert!((figure / rigid - 1.0).abs() < 0.01, "{figure} {rigid}");
    assert!(messages(&prediction, "liquid-3").is_empty());
}

#[test]
fn a_stroke_of_some_echoes_is_judged_by_waves_and_a_long_one_by_none() {
    // A line whose loss is small beside the valve's: linear, the rise is spread over the stroke.
    // Where the valve is open by a thousandth, what a flow is off is twice as large a part of the pressure
    // before it as of the flow: the rigid column's pressure needs a finer run than its flow.
    let wide = [
        ("line.feed.bore", "25 mm"),
        ("run.output_step", "0.1 ms"),
        ("run.tolerance", "1e-7"),
    ];
    let peak = |stroke: &str| {
        let mut sets = wide.to_vec();
        sets.push(("valve.run.stroke_time", stroke));
        let prediction = run(SHUTTING, &sets);
        let figure = prediction.summary.get("run.peak_inlet_pressure_pa");
        let column = prediction.outcome.history.column("run.inlet_pressure_pa");
        let rigid = column.expect("a column").into_iter().fold(0.0, f64::max);
        (
            figure.expect("a peak"),
            rigid,
            prediction.outcome.surges.len(),
        )
    };
    let (elastic, rigid, told) = peak("8 ms");
    assert!((elastic / rigid - 1.0).abs() > 0.01, "{elastic} {rigid}");
    assert_eq!(told, 1);
    let (elastic, rigid, _) = peak("200 ms");
    // 37 echoes: what is left of the waves is of the order of an echo over the stroke.
    assert!((elastic / rigid - 1.0).abs() < 0.03, "{elastic} {rigid}");
}

#[test]
fn a_valve_that_shuts_slowly_has_the_rigid_columns_peak() {
    let fine = ("run.output_step", "0.2 ms");
    let prediction = run(SHUTTING, &[("valve.run.stroke_time", "500 ms"), fine]);
    assert!(messages(&prediction, "liquid-3").is_empty());
    let column = prediction.outcome.history.column("run.inlet_pressure_pa");
    let highest = column.expect("a column").into_iter().fold(0.0, f64::max);
    let figure = prediction.summary.get("run.peak_inlet_pressure_pa");
    let figure = figure.expect("a peak");
    // Waves that the stroke excites swing about the rigid rise: by nothing to by as much again.
    let rise = highest - before(&prediction, "supply.outlet_pressure_pa", 1.5);
    assert!(rise > 0.5e5, "{rise}");
    assert!(figure > highest * (1.0 - 1e-3), "{figure} {highest}");
    assert!(figure < highest + rise, "{figure} {highest} {rise}");
}

/// From an open tank 12 m up and 18 m down again: 10.3 m hold an atmosphere.
const SIPHON: &str = r#"
[tank.supply]
volume = "100 L"
shape = "sphere"
liquid = "water"
fill = "50 L"
gas = "nitrogen"
pressure = "0 bar(g)"
vapour = "none"
heat_transfer = "none"
[orifice.breather]
from = "supply.gas"
to = "ambient"
effective_area = "1000 mm2"
[line.up]
from = "supply"
length = "12 m"
bore = "10 mm"
rise = "12 m"
at_start = "full"
[line.down]
from = "up"
length = "18 m"
bore = "10 mm"
rise = "-18 m"
to = "ambient"
at_start = "full"
[run]
until = "1 s"
"#;

#[test]
fn a_siphon_that_is_too_high_parts_at_its_top() {
    let prediction = run(SIPHON, &[]);
    let [message] = messages(&prediction, "liquid-5")[..] else {
        panic!("{:?}", prediction.warnings);
    };
    assert!(message.starts_with("down: "), "{message}");
    // No gauge shows a pressure below none at all.
    assert!(message.contains("bear a tension of "), "{message}");
    let lower = run(
        SIPHON,
        &[("line.up.rise", "6 m"), ("line.down.rise", "-12 m")],
    );
    assert!(messages(&lower, "liquid-5").is_empty());
}

#[test]
fn a_line_behind_a_valve_that_shuts_parts() {
    let behind = r#"
[line.after]
from = "run"
to = "ambient"
length = "4 m"
bore = "10 mm"
"#;
    let text = SHUTTING.replace("to = \"ambient\"\neffective", "effective") + behind;
    // The column of 4 m needs rho L v/t of some bar to stop in 50 ms, and has one.
    let fast = run(&text, &[("valve.run.stroke_time", "50 ms")]);
    let [message] = messages(&fast, "liquid-5")[..] else {
        panic!("{:?}", fast.warnings);
    };
    assert!(message.starts_with("after: "), "{message}");
    let slow = run(
        &text,
        &[("valve.run.stroke_time", "20 s"), ("run.until", "1.5 s")],
    );
    assert!(
        messages(&slow, "liquid-5").is_empty(),
        "{:?}",
        slow.warnings
    );
}

#[test]
fn a_front_that_strikes_an_orifice_is_judged_by_the_bound() {
    let text = r#"
[tank.supply]
volume = "100 L"
shape = "sphere"
liquid = "water"
fill = "50 L"
gas = "nitrogen"
pressure = "20 bar(g)"
vapour = "none"
heat_transfer = "none"
[line.feed]
from = "supply"
length = "1 m"
bore = "10 mm"
[valve.run]
from = "feed"
effective_area = "60 mm2"
stroke_time = "100 ms"
[line.dry]
from = "run"
length = "1 m"
bore = "10 mm"
[orifice.injector]
from = "dry"
to = "ambient"
effective_area = "5 mm2"
[[sequence]]
at = "1 s"
open = "run"
[run]
until = "3 s"
"#;
    let prediction = run(text, &[]);
    let [surge] = &prediction.outcome.surges[..] else {
        panic!("{:?}", prediction.outcome.surges);
    };
    let water = Liquid::new("water", 21e5).expect("known");
    let water = water
        .at(prediction.network.surroundings.temperature_k)
        .expect("liquid");
    let (rho, sound, v0) = (water.density_kg_m3, water.sound_speed_m_s, surge.speed_m_s);
    let at_front = surge.bound_pa - rho * sound * v0;
    // The end is at ambient pressure; the front adds its own head.
    let ambient = prediction.network.surroundings.pressure_pa;
    let head = 0.5 * rho * v0 * v0;
    assert!((at_front - ambient - head).abs() < 0.1 * head, "{at_front}");
    let takes = |v: f64| 0.5 * rho * (v * BORE_M2 / 5e-6).powi(2);
    // The constant density of the model against that of 21 bar, and the speed of sound: 1e-3.
    assert!(((surge.rigid_pa - at_front) / takes(v0) - 1.0).abs() < 2e-3);
    let sim_core::outcome::SurgeCause::Arrest { elastic_pa, .. } = surge.cause else {
        panic!("{:?}", surge.cause);
    };
    let passing = (2.0 * (elastic_pa - at_front) / rho).sqrt() * 5e-6 / BORE_M2;
    let wave = rho * sound * (v0 - passing);
    assert!((wave / (elastic_pa - at_front) - 1.0).abs() < 2e-3);
    let peak = prediction.summary.get("injector.peak_inlet_pressure_pa");
    let peak = peak.expect("a peak");
    assert!(
        peak <= surge.rigid_pa.min(surge.bound_pa) * (1.0 + 1e-9),
        "{peak}"
    );
    let [message] = messages(&prediction, "liquid-4")[..] else {
        panic!("{:?}", prediction.warnings);
    };
    assert!(message.contains("air ahead"), "{message}");
}
