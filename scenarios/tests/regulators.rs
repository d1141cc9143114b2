//! Regulators: flow curves at several supply pressures, creep.

use scenarios::predict::{PredictOptions, predict};
use scenarios::{CheckedStand, load, load_with, ready_made};
use sim_core::components::regulator::DemandCurve;
use sim_core::network::{BranchKind, Regulator};
use sim_core::outcome::Integrator;

/// The demonstration with other lines in the place of its droop and its supply effect.
fn with(lines: &str) -> String {
    let text = ready_made()[0].text;
    let is_replaced =
        |line: &&str| !line.starts_with("droop") && !line.starts_with("supply_effect");
    let kept: Vec<&str> = text.lines().filter(is_replaced).collect();
    let text = kept.join("\n");
    let changed = text.replace(
        "[regulator.press]\n",
        &format!("[regulator.press]\n{lines}\n"),
    );
    assert_ne!(text, changed);
    changed
}

fn regulator(stand: &CheckedStand) -> Regulator {
    let branches = stand.lower().branches.into_iter();
    let mut regulators = branches.filter_map(|b| match b.kind {
        BranchKind::Regulator(regulator) => Some(regulator),
        _ => None,
    });
    regulators.next().expect("a regulator")
}

/// In any order.
const CURVES: &str = r#"flow_curves = [
  { supply = "180 bar(g)", curve = [["0 scfm", "32 bar(g)"], ["20 scfm", "31 bar(g)"], ["60 scfm", "28 bar(g)"]] },
  { supply = "60 bar(g)", curve = [["0 scfm", "33.2 bar(g)"], ["15 scfm", "31 bar(g)"]] },
]"#;

fn bar_g(bar: f64, stand: &CheckedStand) -> f64 {
    bar * 1e5 + stand.lower().surroundings.pressure_pa
}

/// Property: at a curve's own supply pressure nothing of the other one is left; in the middle the
/// demand and lock-up are the mean of both; beyond, the nearest curve holds and lock-up goes on.
#[test]
fn a_supply_between_two_curves_has_their_mean() {
    let stand = load(&with(CURVES)).expect("a stand");
    let regulator = regulator(&stand);
    let (low, high) = (bar_g(60.0, &stand), bar_g(180.0, &stand));
    // 1.2 bar in 120 bar: only the rounding of pressures of 1e7 Pa separates the two.
    for (supply, lock_up) in [
        (high, 32.0),
        (low, 33.2),
        ((low + high) / 2.0, 32.6),
        (low - 20e5, 33.4),
    ] {
        let found = regulator.lock_up(supply);
        assert!(
            (found - bar_g(lock_up, &stand)).abs() < 1e-3,
            "{lock_up}: {found}"
        );
    }
    let both = DemandCurve::new(&regulator.droop);
    for fall in [-1e5, 0.4e5, 2e5, 7e5] {
        let [at_low, at_high] = [low, high].map(|supply| both.demand(fall, supply));
        let middle = both.demand(fall, (low + high) / 2.0);
        assert!((middle - (at_low + at_high) / 2.0).abs() < 1e-12);
        assert_eq!(both.demand(fall, low - 20e5), at_low);
        assert_eq!(both.demand(fall, high + 20e5), at_high);
    }
}

/// Property: the measured flow comes back at its own supply and outlet. Only the cubic's rounding
/// is between them.
#[test]
fn each_measured_point_is_met_at_its_own_supply() {
    let stand = load(&with(CURVES)).expect("a stand");
    let regulator = regulator(&stand);
    let demand = DemandCurve::new(&regulator.droop);
    let sim_core::network::Droop::Curves(curves) = &regulator.droop else {
        panic!("curves");
    };
    assert_eq!(
        curves.iter().map(|c| c.measured.len()).collect::<Vec<_>>(),
        [2, 3]
    );
    for curve in curves {
        for (&(fall, lift), &(_, outlet)) in curve.points.iter().zip(&curve.measured) {
            let stands = regulator.lock_up(curve.supply_pa) - outlet;
            assert!((stands - fall).abs() < 1e-3);
            assert!((demand.demand(fall, curve.supply_pa) - lift).abs() < 1e-12);
        }
    }
}

#[test]
fn a_supply_that_leaves_the_curves_warns() {
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let warns = |until: &str| {
        let until = [("run.until".to_owned(), until.to_owned())];
        let stand = load_with(&with(CURVES), &until).expect("a stand");
        let found = predict(&stand, &options);
        found.warnings.iter().any(|w| w.code == "regulator-5")
    };
    // The bottle starts at 180 bar; in a second of flow it does not fall to 60, in 20 s it does.
    assert!(!warns("6 s"));
    assert!(warns("25 s"));
}

#[test]
fn what_is_wrong_with_curves_is_said() {
    let codes = |lines: &str| {
        let errors = load(&with(lines)).expect_err("it is wrong");
        errors.iter().map(|e| e.code).collect::<Vec<_>>()
    };
    let both = format!("{CURVES}\nsupply_effect = 0.01");
    assert_eq!(codes(&both), ["file-10"]);
    assert_eq!(
        codes(&CURVES.replace("60 bar(g)", "180 bar(g)")),
        ["state-8"]
    );
    assert_eq!(codes("flow_curves = [1, 2]"), ["file-6", "file-6"]);
    assert_eq!(codes("flow_curves = []"), ["file-14"]);
    assert_eq!(codes(&CURVES.replace("15 scfm", "900 scfm")), ["state-8"]);
    assert_eq!(
        codes(&CURVES.replacen("supply =", "suply =", 1)),
        ["file-4"]
    );
}

/// A regulator shut from the start, whose seat leaks into a volume that keeps its temperature.
const SHUT: &str = r#"
title = "a seat that leaks"
[ambient]
pressure = "1 bar(a)"
temperature = "300 K"
[perfect_gas.ideal]
heat_capacity_ratio = 1.4
molar_mass = "28 g/mol"
[bottle.supply]
gas = "ideal"
volume = "1000 L"
pressure = "100 bar(a)"
heat_transfer = "none"
[regulator.press]
from = "supply"
to = "line"
set_pressure = "20 bar(a)"
droop = "2 bar"
supply_effect = 0
response_time = "5 ms"
effective_area = "1 mm2"
seat_leakage = "20 sccm"
[plenum.line]
gas = "ideal"
volume = "0.1 L"
pressure = "20 bar(a)"
heat_transfer = "isothermal"
wall_mass = "1 kg"
wall_material = "aluminium"
[relief.guard]
from = "line"
to = "ambient"
set_pressure = "20 bar(g)"
effective_area = "20 mm2"
[run]
until = "100 s"
"#;

/// Closed form: choked, the leak does not ask what stands behind it, dp/dt = n R T/V with n of
/// 20 cm3 a minute at 0 degC and 101 325 Pa. The bottle loses 3e-7 of its gas, the wall holds the
/// temperature to its contact of 0.1 ms; 1e-4 is ten times the tolerance of the run.
#[test]
fn creep_fills_a_shut_volume_as_its_leak_says() {
    let stand = load(SHUT).unwrap_or_else(|e| panic!("{e:#?}"));
    let options = PredictOptions {
        tolerance: Some(1e-7),
        integrator: Integrator::Rodas5p,
    };
    let found = predict(&stand, &options);
    let mol_s = 20e-6 / 60.0 * 101_325.0 / (8.314_462_618 * 273.15);
    let rate_pa_s = mol_s * 8.314_462_618 * 300.0 / 1e-4;
    let pressure = found
        .outcome
        .history
        .column("line.pressure_pa")
        .expect("it is there");
    let rise = pressure[pressure.len() - 1] - pressure[0];
    assert!((rise / (100.0 * rate_pa_s) - 1.0).abs() < 1e-4, "{rise}");
    // The relief opens at 21 bar(a), lock-up is 20.
    let figure = |name: &str| found.summary.get(&format!("press.{name}")).expect(name);
    assert!((figure("creep_in_a_minute_pa") / (60.0 * rate_pa_s) - 1.0).abs() < 1e-4);
    assert!((figure("creep_to_relief_s") / (1e5 / rate_pa_s) - 1.0).abs() < 1e-4);
    assert!(found.warnings.iter().any(|w| w.code == "regulator-6"));
}

/// Closed form, as above: a limit half a bar above lock-up is passed in half the time in which the relief a bar
/// above it opens; one beyond the relief, or beyond the supply, is not.
#[test]
fn creep_past_a_limit_is_told_unless_a_relief_opens_before() {
    let warned = |limit: &str, others: &str| {
        let text = format!("{SHUT}\n[limit]\n\"line.pressure\" = \"<= {limit} bar(a)\"\n");
        let text = match others {
            "no relief" => {
                let guard = text.find("[relief.guard]").expect("a relief");
                let run = text.find("[run]").expect("a run");
                text.replace(&text[guard..run], "")
            }
            _ => text,
        };
        let stand = load(&text).unwrap_or_else(|e| panic!("{e:#?}"));
        let options = PredictOptions {
            tolerance: None,
            integrator: Integrator::Rodas5p,
        };
        let found = predict(&stand, &options);
        let warning = found.warnings.iter().find(|w| w.code == "regulator-8");
        let to_relief = found.summary.get("press.creep_to_relief_s");
        (warning.map(|w| w.message.clone()), to_relief)
    };
    let (message, to_relief) = warned("20.5", "relief");
    let message = message.expect("it warns");
    let half = format!(
        "19.50 bar(g), {:.1} s after",
        0.5 * to_relief.expect("a time")
    );
    assert!(message.contains(&half), "{message}: {half}");
    assert_eq!(warned("21.5", "relief").0, None);
    assert!(warned("21.5", "no relief").0.is_some());
    assert_eq!(warned("101", "no relief").0, None);
}

/// A tight seat, given as none or as nothing, lets nothing by and says nothing.
#[test]
fn a_tight_seat_does_not_creep() {
    let tight = SHUT.replace("seat_leakage = \"20 sccm\"\n", "");
    for text in [SHUT.replace("20 sccm", "0 sccm"), tight] {
        let stand = load(&text).unwrap_or_else(|e| panic!("{e:#?}"));
        assert_eq!(regulator(&stand).leak_m2, 0.0);
    }
}

/// A regulator that fills a shut plenum from far below lock-up, choked all the way; its supply is so large
/// that it hardly falls.
fn filling(volume: &str) -> String {
    let leak = "seat_leakage = \"20 sccm\"\n";
    let isothermal =
        "heat_transfer = \"isothermal\"\nwall_mass = \"1 kg\"\nwall_material = \"aluminium\"\n";
    SHUT.replace(leak, "")
        .replace(isothermal, "heat_transfer = \"none\"\n")
        .replace(
            "volume = \"0.1 L\"\npressure = \"20 bar(a)\"",
            &format!("volume = \"{volume}\"\npressure = \"1 bar(a)\""),
        )
        .replace("droop = \"2 bar\"", "droop = \"0.2 bar\"")
        .replace("volume = \"1000 L\"", "volume = \"1e6 L\"")
        .replace(
            "set_pressure = \"20 bar(g)\"",
            "set_pressure = \"90 bar(g)\"",
        )
        .replace(
            "until = \"100 s\"",
            "until = \"3 s\"\noutput_step = \"1 ms\"",
        )
}

/// Closed form (theory 2.10): a perfect gas that flows in without exchanging heat raises p by k R T/V, and
/// choked it does so evenly. Then the run obeys the equations of the hand formula to the last: the 40 g that
/// the supply loses are 4e-6 of it, and the valve has been wide open for twenty of its response times. 2e-4 of the overshoot is twenty times the tolerance of the run.
#[test]
fn a_regulator_that_fills_a_shut_volume_overshoots_as_its_loop_says() {
    let options = PredictOptions {
        tolerance: Some(1e-7),
        integrator: Integrator::Rodas5p,
    };
    let mut overshoots = Vec::new();
    for volume in ["0.2 L", "0.3 L", "0.4 L", "1 L"] {
        let stand = load(&filling(volume)).unwrap_or_else(|e| panic!("{e:#?}"));
        let found = predict(&stand, &options);
        assert_eq!(found.outcome.failure, None);
        let figure = |name: &str| found.summary.get(&format!("press.{name}")).expect(name);
        // W = A p sqrt(k/(R T)) (2/(k+1))^((k+1)/(2(k-1))), K tau = W tau k R T/(V D).
        let (k, r_t) = (1.4_f64, 8.314_462_618 / 28e-3 * 300.0);
        let flow =
            1e-6 * 100e5 * (k / r_t).sqrt() * (2.0 / (k + 1.0)).powf((k + 1.0) / (2.0 * (k - 1.0)));
        let litres: f64 = volume.trim_end_matches(" L").parse().expect("a number");
        let gain = flow * 5e-3 * k * r_t / (litres * 1e-3 * 2e4);
        assert!(
            (figure("damping_ratio_1") * 2.0 * gain.sqrt() - 1.0).abs() < 1e-4,
            "{volume}"
        );
        let (seen, by_hand) = (
            figure("overshoot_pa"),
            figure("overshoot_from_wide_open_pa"),
        );
        assert!(
            (seen - by_hand).abs() < 2e-4 * by_hand + 1.0,
            "{volume}: {seen} {by_hand}"
        );
        let warns = found.warnings.iter().any(|w| w.code == "regulator-7");
        // 1 % of 19 bar above ambient.
        assert_eq!(warns, seen > 0.19e5, "{volume}: {seen}");
        overshoots.push(seen);
    }
    assert!(overshoots.is_sorted_by(|a, b| a > b), "{overshoots:?}");
}

/// The remedy holds: with the volume that the warning names the overshoot is what it says. The volume is
/// printed to four digits, and the overshoot moves as fast as the volume or up to four times as fast there.
#[test]
fn the_volume_that_the_warning_names_keeps_the_overshoot_small() {
    let overshoot = |volume: &str| {
        let found = predict(
            &load(&filling(volume)).expect("a stand"),
            &PredictOptions {
                tolerance: Some(1e-7),
                integrator: Integrator::Rodas5p,
            },
        );
        let warning = found.warnings.iter().find(|w| w.code == "regulator-7");
        (
            found
                .summary
                .get("press.overshoot_pa")
                .expect("it locks up"),
            warning.map(|w| w.message.clone()),
        )
    };
    let (_, message) = overshoot("0.2 L");
    let message = message.expect("it warns");
    let named = message
        .split("; ")
        .nth(1)
        .and_then(|m| m.split(" behind it").next())
        .expect("a volume");
    let (seen, _) = overshoot(named);
    assert!((seen / 0.19e5 - 1.0).abs() < 2e-3, "{message}: {seen}");
}

/// A regulator whose outlet valve opens slowly, stays, and shuts slowly.
fn led_up_and_down(hysteresis: &str) -> String {
    let guard = SHUT.find("[relief.guard]").expect("a relief");
    let end = SHUT.find("[run]").expect("a run");
    let valve = "[valve.demand]\nfrom = \"line\"\nto = \"ambient\"\neffective_area = \"2 mm2\"\n\
                 characteristic = \"linear\"\nstroke_time = \"20 s\"\ndelay = \"0 s\"\n\
                 [[sequence]]\nat = \"1 s\"\nopen = \"demand\"\n[[sequence]]\nat = \"25 s\"\nclose = \"demand\"\n";
    let text = SHUT.replace(&SHUT[guard..end], valve);
    text.replace("seat_leakage = \"20 sccm\"\n", hysteresis)
        .replace("volume = \"1000 L\"", "volume = \"1e6 L\"")
        .replace("until = \"100 s\"", "until = \"50 s\"\ntolerance = 1e-7")
}

/// Closed form: led slowly, the outlet stands D x below lock-up while the valve shuts, and lower by the
/// hysteresis while it opens; between the two the lift does not move. The lift lags by its response time,
/// 5 ms of 0.02 a second of 2 bar: 20 Pa; the guards' band is 2 Pa. What it swings by as it breaks loose is
/// over within two seconds.
#[test]
fn hysteresis_parts_the_outlet_of_opening_from_that_of_closing() {
    let found = predict(
        &load(&led_up_and_down("hysteresis = \"0.5 bar\"\n")).unwrap_or_else(|e| panic!("{e:#?}")),
        &PredictOptions {
            tolerance: None,
            integrator: Integrator::Rodas5p,
        },
    );
    assert_eq!(found.outcome.failure, None);
    let column = |name: &str| found.outcome.history.column(name).expect("a column");
    let (time, lift, pressure) = (
        column("time_s"),
        column("press.lift_1"),
        column("line.pressure_pa"),
    );
    let at = |t_s: f64| time.iter().position(|&t| t >= t_s).expect("a row");
    let (told, turned) = (lift[at(24.0)], at(25.0));
    for (i, &t) in time.iter().enumerate() {
        let below = |part: f64| (20e5 - part - 2e5 * lift[i] - pressure[i]).abs();
        if (8.0..21.0).contains(&t) {
            assert!(below(0.5e5) < 100.0, "{t} s: {}", below(0.5e5));
        } else if (27.0..44.0).contains(&t) {
            assert!(below(0.0) < 100.0, "{t} s: {}", below(0.0));
        } else if i >= turned && t < 27.0 && pressure[i] < pressure[turned] + 0.49e5 {
            assert!((lift[i] - told).abs() < 1e-6, "{t} s: {}", lift[i] - told);
        }
    }
    let mut after = pressure.iter().skip(turned);
    let held = after.position(|&p| p > pressure[turned] + 0.49e5);
    assert!(held.is_some_and(|rows| rows > 20), "{held:?}");
    let own = found
        .outcome
        .events
        .iter()
        .filter(|e| e.component == "press");
    assert!(own.count() <= 4, "{:?}", found.outcome.events);
}

/// None at all is what it is where the file says nothing.
#[test]
fn a_hysteresis_of_nothing_changes_nothing() {
    let history = |lines: &str| {
        let stand = load(&led_up_and_down(lines)).unwrap_or_else(|e| panic!("{e:#?}"));
        let options = PredictOptions {
            tolerance: None,
            integrator: Integrator::Rodas5p,
        };
        predict(&stand, &options)
            .outcome
            .history
            .column("line.pressure_pa")
            .map(Vec::from_iter)
    };
    assert_eq!(history("hysteresis = \"0 bar\"\n"), history(""));
    for (wrong, code) in [
        ("\"-1 bar\"", "state-1"),
        ("\"1 bar(g)\"", "quantity-6"),
        ("0.5", "quantity-1"),
    ] {
        let errors =
            load(&led_up_and_down(&format!("hysteresis = {wrong}\n"))).expect_err("it is wrong");
        assert!(errors.iter().any(|e| e.code == code), "{wrong}: {errors:?}");
    }
}
