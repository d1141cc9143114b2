//! Stand files with cryogens: what is refused, and what is warned of.

use fluids::CompressedLiquid;
use scenarios::predict::{PredictOptions, Prediction, predict};
use scenarios::{load_with, ready_made};
use sim_core::outcome::Integrator;

fn changed(stand: &str, changes: &[(&str, &str)]) -> Result<scenarios::CheckedStand, String> {
    let found = ready_made().iter().find(|s| s.name == stand);
    let text = found.expect("the stand is there").text;
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let changes: Vec<_> = changes.iter().map(owned).collect();
    load_with(text, &changes).map_err(|all| {
        let texts = all.iter().map(|d| format!("{}: {}", d.code, d.message));
        texts.collect::<Vec<_>>().join("\n")
    })
}

fn run(stand: &str, changes: &[(&str, &str)]) -> Prediction {
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&changed(stand, changes).expect("it loads"), &options);
    assert_eq!(prediction.outcome.failure, None);
    prediction
}

fn warnings(stand: &str) -> String {
    warnings_of(&run(stand, &[]))
}

fn warnings_of(prediction: &Prediction) -> String {
    let messages = prediction.warnings.iter();
    let texts = messages.map(|w| format!("{}: {}", w.code, w.message));
    texts.collect::<Vec<_>>().join("\n")
}

/// Oxygen freezes at 54.361 K (triple point, Schmidt and Wagner 1985): colder liquid is refused, by
/// its name.
#[test]
fn a_frozen_liquid_is_refused() {
    let wrong = changed(
        "methane-helium",
        &[("tank.methane.saturated_at", "1 mbar(a)")],
    );
    assert!(wrong.expect_err("it is frozen").contains("methane"));
    let text = ready_made().iter().find(|s| s.name == "lox-helium");
    let text = text.expect("it is there").text;
    let cold = text.replace("saturated_at = \"1.013 bar(a)\"", "temperature = \"50 K\"");
    let wrong = load_with(&cold, &[]).expect_err("it is frozen");
    assert!(
        wrong.iter().any(|d| d.message.contains("oxygen")),
        "{wrong:?}"
    );
}

#[test]
fn what_a_cryogenic_tank_cannot_have_is_refused() {
    for (path, value) in [
        ("tank.lox.heat_transfer", "isothermal"),
        ("tank.lox.vapour", "none"),
        ("tank.lox.layers", "0.5"),
        ("tank.lox.layers", "41"),
    ] {
        let refused = changed("lox-helium", &[(path, value)]);
        assert!(refused.is_err(), "{path} = {value}");
    }
}

/// Liquid that is let out of a vented tank before it is pressed: the hold ends there, and what evaporates while
/// it flows is no boil-off of it.
#[test]
fn a_hold_ends_where_liquid_begins_to_flow() {
    let stand = ready_made().iter().find(|s| s.name == "lox-helium");
    let text = stand.expect("it is there").text;
    let text = text
        .replace("\"30 s\"", "\"5 s\"")
        .replace("\"50 s\"", "\"14 s\"");
    let stand = load_with(&text, &[]).unwrap_or_else(|errors| panic!("{errors:?}"));
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    let history = &prediction.outcome.history;
    let column = |name: &str| history.column(name).expect("it is there");
    let row = column("time_s").iter().position(|&t| t >= 5.0);
    let row = row.expect("it runs on");
    let gained = |name: &str| column(name)[row] - column(name)[0];
    let boil_off = (gained("lox.evaporated_kg") + gained("lox.boiled_kg")) / 5.0;
    let told = figure(&prediction, "lox.boil_off_kg_s");
    // Rounding only: the command makes a row.
    assert!((told / boil_off - 1.0).abs() < 1e-9, "{told}, {boil_off}");
}

/// A tank that starts at its pressure takes next to nothing before its flow: a factor by that would
/// say nothing, and is not told.
#[test]
fn a_factor_of_next_to_nothing_is_not_told() {
    let changes = [
        ("tank.lox.pressure", "19 bar(g)"),
        ("valve.vent.at_start", "shut"),
        ("valve.press_valve.at_start", "open"),
    ];
    let summary = run("lox-helium", &changes).summary;
    assert!(summary.get("lox.collapse_factor_flow_1").is_some());
    assert_eq!(summary.get("lox.collapse_factor_held_1"), None);
}

/// An inlet that the liquid would swallow, one whose bore is not given, and a bore without its pipe.
#[test]
fn inlets_that_do_not_fit_are_refused() {
    let own = changed("ln2-cold-flow", &[("tank.ln2.inlet", "bubbled")]);
    assert!(own.expect_err("it condenses").contains("would condense"));
    let without = changed("lox-helium", &[("tank.lox.inlet", "pipe")]);
    assert!(without.expect_err("no bore").contains("inlet_bore"));
    let idle = changed("lox-helium", &[("tank.lox.inlet_bore", "10 mm")]);
    assert!(idle.expect_err("no pipe").contains("belongs to an inlet"));
}

/// Light gas that rises from the surface mixes the whole ullage, so that the number of layers does
/// not count: 1 %.
#[test]
fn bubbled_gas_mixes_the_ullage() {
    for (stand, tank) in [("lox-helium", "lox"), ("methane-helium", "methane")] {
        let used = |layers: &str| {
            let keys = ["inlet", "layers"].map(|key| format!("tank.{tank}.{key}"));
            let changes = [(keys[0].as_str(), "bubbled"), (keys[1].as_str(), layers)];
            figure(&run(stand, &changes), &format!("{tank}.pressurant_kg"))
        };
        let (one, many) = (used("1"), used("12"));
        assert!((many / one - 1.0).abs() < 0.01, "{stand}: {one}, {many} kg");
    }
}

/// Nitrogen at 20 bar over oxygen at 90.2 K is above its own saturation pressure there, 3.66 bar
/// (absolute; Span et al. 2000), which is 2.65 bar above ambient.
#[test]
fn nitrogen_over_oxygen_is_warned_of_with_its_number() {
    let nitrogen = warnings("lox-nitrogen");
    assert!(
        nitrogen.contains("condenses into the surface"),
        "{nitrogen}"
    );
    assert!(nitrogen.contains("2.649 bar(g)"), "{nitrogen}");
    assert!(!warnings("lox-helium").contains("helium hardly dissolves"));
}

fn figure(prediction: &Prediction, name: &str) -> f64 {
    prediction.summary.get(name).expect(name)
}

/// Heat that came in and heat of compression are what wall, surface, vapour and ullage have of it:
/// the ullage's own balance, in which all terms are counted apart, to the 1e-6 of the energy
/// balance.
#[test]
fn the_heat_of_the_pressurant_adds_up() {
    for (stand, tank) in [("lox-helium", "lox"), ("ln2-cold-flow", "ln2")] {
        let prediction = run(stand, &[]);
        let heat = |name: &str| figure(&prediction, &format!("{tank}.{name}_j"));
        let given = heat("heat_brought") + heat("heat_of_compression");
        let ways = [
            "to_wall",
            "to_surface",
            "with_vapour",
            "with_solution",
            "in_ullage",
        ];
        let of = |way: &&str| prediction.summary.get(&format!("{tank}.heat_{way}_j"));
        let taken: f64 = ways.iter().filter_map(of).sum();
        assert!((given / taken - 1.0).abs() < 1e-6, "{given} J, {taken} J");
    }
}

/// An ideal gas that gives the heat Q away at constant pressure loses the volume of Q/(cp T) of
/// itself at the temperature T at which it comes in. What a gas like helium takes is therefore
/// explained by its heat but for what it is not ideal in, and the vapour's other heat capacity: 3 %.
#[test]
fn what_came_in_is_explained_by_its_heat() {
    let prediction = run("lox-helium", &[]);
    let gas = |name: &str| figure(&prediction, &format!("lox.pressurant{name}_kg"));
    assert!(
        gas("_for_wall") > 0.2 * gas(""),
        "the wall takes a part worth telling"
    );
    assert!(gas("_rest").abs() < 0.03 * gas(""), "{} kg", gas("_rest"));
}

/// The figures are those of the history's columns at the end of the flow, where the interpolation
/// between two rows makes no difference worth 1e-6.
#[test]
fn the_collapse_factor_is_a_column() {
    let prediction = run("lox-helium", &[]);
    let history = &prediction.outcome.history;
    let column = |name: &str| history.column(name).expect(name);
    let factor = column("lox.collapse_factor_1");
    let (gas, ideal) = (
        column("lox.pressurant_kg"),
        column("lox.pressurant_without_exchange_kg"),
    );
    let seen: Vec<usize> = (0..factor.len())
        .filter(|&i| factor[i].is_finite())
        .collect();
    assert!(seen.len() > 100 && seen.iter().all(|&i| factor[i] > 1.0));
    assert!(
        seen.iter()
            .all(|&i| (factor[i] * ideal[i] / gas[i] - 1.0).abs() < 1e-12)
    );
    let time = column("time_s");
    let end_s = figure(&prediction, "run.command_s") + figure(&prediction, "run.flow_time_s");
    // The flow ends with an event, and an event has a row.
    let end = time.iter().position(|&t| (t - end_s).abs() < 1e-9);
    let column = factor[end.expect("a row")];
    let figure = figure(&prediction, "lox.collapse_factor_1");
    // The figure is summed up in other steps than the column.
    assert!((figure - column).abs() < 1e-6, "{figure}, {column}");
}

const PIPE: [(&str, &str); 2] = [("tank.lox.inlet", "pipe"), ("tank.lox.inlet_bore", "10 mm")];
const DIP_TUBE: [(&str, &str); 2] = [
    ("tank.lox.inlet", "dip_tube"),
    ("tank.lox.inlet_bore", "10 mm"),
];
const BUBBLED: (&str, &str) = ("tank.lox.inlet", "bubbled");

/// The bars of every run, for each way in: 1e-9 of the mass, 1e-6 of work and heat.
#[test]
fn balances_close_for_every_inlet() {
    for changes in [&PIPE[..], &DIP_TUBE, &[BUBBLED]] {
        let balances = run("lox-helium", changes).outcome.balances;
        assert!(balances.mass_relative < 1e-9, "{changes:?}: {balances:?}");
        assert!(balances.energy_relative < 1e-6, "{changes:?}: {balances:?}");
    }
}

/// Bubbles come up at the liquid's temperature, and vapour at its saturation pressure fills its part
/// of them. With walls and surface that exchange nothing, the flow takes helium by the ratio of its
/// densities, at the pressure that the vapour leaves. 3 %: the ullage's pressure and the bottle's
/// temperature move on the way.
#[test]
fn bubbled_gas_comes_up_at_the_liquids_temperature() {
    let changes = [
        BUBBLED,
        ("tank.lox.heat_transfer", "none"),
        ("tank.lox.interface_heat_transfer", "none"),
    ];
    let prediction = run("lox-helium", &changes);
    let history = &prediction.outcome.history;
    let time = history.column("time_s").expect("it is there");
    let flowing = |t: f64| (30.5..48.5).contains(&t);
    let mean = |name: &str| {
        let column = history.column(name).expect(name);
        let rows = time.iter().zip(&column).filter(|(t, _)| flowing(**t));
        let (sum, count) = rows.fold((0.0, 0.0), |(s, n), (_, v)| (s + v, n + 1.0));
        sum / count
    };
    let density = |pressure_pa: f64, temperature_k: f64| {
        let helium = fluids::PureFluid::named("helium").expect("known");
        let point = helium.by_pressure_temperature(pressure_pa, temperature_k);
        point.expect("a gas").density_kg_m3
    };
    let pressure = mean("lox.pressure_pa");
    let cold = density(
        pressure - mean("lox.vapour_pressure_pa"),
        mean("lox.liquid_temperature_k"),
    );
    let expected = cold / density(pressure, mean("press_line.temperature_k"));
    let factor = figure(&prediction, "lox.collapse_factor_flow_1");
    assert!(expected > 2.0);
    assert!(
        (factor / expected - 1.0).abs() < 0.03,
        "{factor} against {expected}"
    );
}

/// A dip tube in liquid that takes no heat is no dip tube; one that is as thin as a hair, in liquid
/// that takes all, gives off all there is down to the liquid's temperature: what bubbles give off
/// for their mass. 3 %: even that is too short as the last liquid leaves, and the bottle cools on
/// another way.
#[test]
fn a_dip_tube_gives_off_between_nothing_and_all() {
    let dip = |bore: &'static str, film: &'static str| {
        let keys = [
            ("tank.lox.inlet", "dip_tube"),
            ("tank.lox.inlet_bore", bore),
            ("tank.lox.wet_film", film),
        ];
        run("lox-helium", &keys)
    };
    let given_off = |prediction: &Prediction| {
        let heat = prediction
            .summary
            .get("lox.heat_on_the_way_j")
            .unwrap_or(0.0);
        heat / figure(prediction, "lox.pressurant_kg")
    };
    let all = given_off(&run("lox-helium", &[BUBBLED]));
    let none = given_off(&dip("10 mm", "0.001 W/m2K"));
    let some = given_off(&dip("10 mm", "500 W/m2K"));
    let most = given_off(&dip("0.01 mm", "1e9 W/m2K"));
    assert!(none < 1e-4 * all, "{none} of {all}");
    assert!(0.05 * all < some && some < 0.5 * all, "{some} of {all}");
    assert!((most / all - 1.0).abs() < 0.03, "{most} of {all}");
}

/// The faster a jet, the deeper it stirs and the more gas it takes. One as wide as the tank hardly
/// moves: a diffuser, but for what its correlations leave at a Froude number below their range: 5 %.
#[test]
fn a_faster_jet_takes_more_gas() {
    let used = |bore: &'static str| {
        let keys = [("tank.lox.inlet", "pipe"), ("tank.lox.inlet_bore", bore)];
        figure(&run("lox-helium", &keys), "lox.pressurant_kg")
    };
    let still = figure(&run("lox-helium", &[]), "lox.pressurant_kg");
    let mut before = still;
    for bore in ["80 mm", "20 mm", "10 mm", "5 mm"] {
        let taken = used(bore);
        assert!(taken > before, "{bore}: {taken} after {before}");
        before = taken;
    }
    assert!(used("230 mm") / still < 1.05, "{}", used("230 mm") / still);
    let warned = warnings_of(&run("lox-helium", &PIPE));
    assert!(warned.contains("gas-6: lox"), "{warned}");
}

/// Bubbles leave the bulk saturated: helium in it stands at its partial pressure over the Henry
/// constant. The file gives that constant; 10 % for what surface layer and falling level change.
#[test]
fn bubbles_saturate_the_liquid() {
    let changes = [BUBBLED, ("tank.lox.henry_constant", "10000 bar(a)")];
    let prediction = run("lox-helium", &changes);
    let history = &prediction.outcome.history;
    let at_30_s = |name: &str| {
        let time = history.column("time_s").expect("it is there");
        let row = time.iter().position(|&t| t > 29.9).expect("rows");
        history.column(name).expect(name)[row]
    };
    let helium_pa = at_30_s("lox.pressure_pa") - at_30_s("lox.vapour_pressure_pa");
    let moles = at_30_s("lox.liquid_mass_kg") / 0.031_998_8;
    let expected = helium_pa / 1e9 * moles * 0.004_002_6;
    let dissolved = at_30_s("lox.dissolved_kg");
    assert!(
        (dissolved / expected - 1.0).abs() < 0.1,
        "{dissolved} of {expected} kg"
    );
}

/// Nitrogen at 21 bar condenses and dissolves into liquid oxygen, which takes more of it than
/// without; helium goes in hundreds of times less. Mass and energy still balance.
#[test]
fn nitrogen_goes_into_oxygen_and_helium_hardly() {
    let dissolving = run("lox-nitrogen", &[]);
    let without = run("lox-nitrogen", &[("tank.lox.dissolution", "none")]);
    let balances = &dissolving.outcome.balances;
    assert!(
        balances.mass_relative < 1e-9 && balances.energy_relative < 1e-6,
        "{balances:?}"
    );
    let gained = figure(&dissolving, "lox.pressurant_kg") - figure(&without, "lox.pressurant_kg");
    let nitrogen = figure(&dissolving, "lox.dissolved_kg");
    assert!(gained > 0.3 * nitrogen, "{gained} of {nitrogen} kg");
    let helium = figure(&run("lox-helium", &[]), "lox.dissolved_kg");
    assert!(
        helium > 0.0 && helium < nitrogen / 100.0,
        "{helium}, {nitrogen} kg"
    );
}

/// A tank of oxygen shut in under a heat leak for some minutes.
fn shut_in(until: &str, changes: &[(&str, &str)]) -> Prediction {
    let text = format!(
        r#"
        [tank.lox]
        volume = "20 L"
        diameter = "230 mm"
        liquid = "oxygen"
        saturated_at = "1.01325 bar(a)"
        fill = "17 L"
        gas = "helium"
        heat_leak = "400 W"
        heat_transfer = "none"
        interface_heat_transfer = "film"
        [run]
        until = "{until}"
        output_step = "5 s"
        "#
    );
    let owned = |(path, value): &(&str, &str)| ((*path).to_owned(), (*value).to_owned());
    let changes: Vec<_> = changes.iter().map(owned).collect();
    let stand = load_with(&text, &changes).expect("it loads");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    predict(&stand, &options)
}

/// A shut tank may rise as far as its liquid is one: mixed through, 400 W warm 19.4 kg of oxygen of
/// 1.70 kJ/(kg K) (CoolProp 8) by 7.3 K in ten minutes; 2 %: what evaporates takes its heat. The
/// pressure is that of saturation, 1.631 bar at 95 K and 2.540 bar at 100 K (the same), ln p over
/// 1/T straight between them; 0.5 %: that line, and the little helium of the start.
#[test]
fn a_shut_tank_rises_as_far_as_it_boils() {
    let mixed = [
        ("tank.lox.layers", "1"),
        ("tank.lox.liquid_mixing", "1e4"),
        ("tank.lox.interface_heat_transfer", "3000 W/K"),
    ];
    let prediction = shut_in("600 s", &mixed);
    assert_eq!(prediction.outcome.failure, None);
    let column = |name: &str| prediction.outcome.history.column(name).expect(name);
    let (temperature, pressure) = (
        column("lox.liquid_temperature_k"),
        column("lox.pressure_pa"),
    );
    let (first_k, last_k) = (temperature[0], temperature[temperature.len() - 1]);
    let rise = (last_k - first_k) * 19.4 * 1.70e3 / (400.0 * 600.0);
    assert!((rise - 1.0).abs() < 0.02, "{first_k} K, {last_k} K");
    let part = (1.0 / 95.0 - 1.0 / last_k) / (1.0 / 95.0 - 1.0 / 100.0);
    let saturation_pa = 1.631e5 * (2.540_f64 / 1.631).powf(part);
    let ratio = pressure[pressure.len() - 1] / saturation_pa;
    assert!((ratio - 1.0).abs() < 0.005, "{ratio} of saturation");
    let energy = prediction.outcome.balances.energy_relative;
    assert!(energy < 1e-6, "{energy}");
}

/// Heat goes 2 sqrt(2 x 7.9e-8 m2/s x 1800 s) = 34 mm deep in half an hour of twice the conduction
/// of still oxygen: more than the layer of 12 mm, less than one of 40 mm.
#[test]
fn a_surface_layer_that_heat_goes_through_is_warned_of() {
    let leak = ("tank.lox.heat_leak", "40 W");
    let mixing = ("tank.lox.liquid_mixing", "2");
    let warns = |until: &str, layer: &str| {
        let layer = ("tank.lox.surface_layer", layer);
        let prediction = shut_in(until, &[leak, mixing, layer]);
        assert_eq!(prediction.outcome.failure, None);
        let warning = prediction.warnings.iter().find(|w| w.code == "liquid-8");
        warning.map(|w| w.message.clone())
    };
    let long = warns("1800 s", "12 mm").expect("it is warned of");
    assert!(long.contains("surface_layer = \"3"), "{long}");
    assert_eq!(warns("1800 s", "40 mm"), None);
    assert_eq!(warns("60 s", "12 mm"), None);
}

/// Heat that leaks in where a tank is wet goes through its wall into liquid that boils, whatever the
/// wall holds. Of a sphere that is half full one half is wet (Archimedes), so that of 50 W that come
/// in evenly 25 W boil off 0.1173 g/s of oxygen at 213.056 kJ/kg (CoolProp 8). 2 %: the liquid gets a
/// little warmer before it boils, and the vapour cools the wall that it passes.
#[test]
fn what_leaks_in_below_the_level_boils_off() {
    let text = r#"
        [tank.lox]
        shape = "sphere"
        volume = "20 L"
        liquid = "oxygen"
        saturated_at = "1.01325 bar(a)"
        fill = "10 L"
        gas = "helium"
        heat_leak = "50 W"
        wall_mass = "16 kg"
        interface_heat_transfer = "none"
        [orifice.vent]
        from = "lox.gas"
        to = "ambient"
        effective_area = "100 mm2"
        [run]
        until = "600 s"
        output_step = "5 s"
        "#;
    let stand = load_with(text, &[]).expect("it loads");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    assert_eq!(prediction.outcome.failure, None);
    let history = &prediction.outcome.history;
    let column = |name: &str| history.column(name).expect(name);
    let (time, mass) = (column("time_s"), column("lox.liquid_mass_kg"));
    let from = time
        .iter()
        .position(|&t| t >= 300.0)
        .expect("it runs so long");
    let last = time.len() - 1;
    let rate = (mass[from] - mass[last]) / (time[last] - time[from]);
    let expected = 0.5 * 50.0 / 213.056e3;
    assert!((rate / expected - 1.0).abs() < 0.02, "{rate} kg/s");
}

/// Oxygen pressed by argon, of which much condenses, and vented when little of the liquid is left: fog that rains
/// brings its heat to a thin surface, which boils it away at once. The run gets to its end, and the surface is
/// never hotter than oxygen boils by more than what argon dissolved in it raises that: 10 K at a mole fraction
/// of a half (Raoult; 27.6 bar and 13.9 bar are the saturation pressures of oxygen at 140 K and 125 K, Schmidt and
/// Wagner 1985).
#[test]
fn a_tank_with_condensed_gas_can_be_vented() {
    let text = r#"
[bottle.supply]
gas = "argon"
volume = "20 L"
pressure = "200 bar(g)"
[regulator.press]
from = "supply"
to = "press_line"
set_pressure = "25 bar(g)"
droop = "3 bar"
flow_coefficient = "0.3 Cv"
[plenum.press_line]
volume = "100 mL"
pressure = "25 bar(g)"
[valve.press_valve]
from = "press_line"
to = "lox"
flow_coefficient = "0.8 Cv"
stroke_time = "300 ms"
[valve.vent]
from = "lox.gas"
to = "ambient"
flow_coefficient = "2 Cv"
stroke_time = "100 ms"
at_start = "open"
[tank.lox]
volume = "30 L"
diameter = "250 mm"
liquid = "oxygen"
saturated_at = "1.013 bar(a)"
fill = "26 L"
gas = "argon"
wall_mass = "24 kg"
wall_material = "stainless steel"
insulation = "foam"
layers = 12
inlet = "diffuser"
[line.feed]
from = "lox"
length = "1.5 m"
bore = "15.5 mm"
[valve.run]
from = "feed"
flow_coefficient = "12 Cv"
stroke_time = "150 ms"
[orifice.tip]
from = "run"
to = "ambient"
diameter = "6 mm"
discharge_coefficient = 0.62
[[sequence]]
at = "1 s"
close = "vent"
[[sequence]]
at = "3 s"
open = "press_valve"
[[sequence]]
at = "63 s"
open = "run"
[[sequence]]
when = "lox.liquid_mass < 0.5 kg"
close = "run"
[[sequence]]
at = "111 s"
close = "press_valve"
[[sequence]]
at = "113 s"
open = "vent"
[run]
until = "130 s"
output_step = "20 ms"
"#;
    let stand = scenarios::load(text).expect("the stand is in order");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = predict(&stand, &options);
    let failure = prediction.outcome.failure.as_ref().map(|f| &f.message);
    assert!(failure.is_none(), "{failure:?}");
    let column = |name: &str| {
        prediction
            .outcome
            .history
            .column(name)
            .expect("it is there")
    };
    let boiling = CompressedLiquid::new("oxygen").expect("it boils");
    for (pressure, surface) in column("lox.pressure_pa")
        .iter()
        .zip(column("lox.surface_temperature_k"))
    {
        let at = boiling.saturation(surface.max(boiling.temperature_range_k().0));
        let at = at.expect("in range").pressure_pa.0;
        assert!(at < 2.0 * pressure, "{surface} K under {pressure} Pa");
    }
}
