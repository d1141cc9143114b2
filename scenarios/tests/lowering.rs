//! What a stand file is lowered to, number by number, and how overrides take the place of
//! its values.

use scenarios::{Distribution, load, load_with};
use sim_core::network::{
    BranchKind, Capacity, ElementKind, FlowCurve, Friction, HeatTransfer, Phase, Posture, Relation,
    Trigger, VolumeKind,
};
use std::collections::BTreeMap;
use std::f64::consts::{FRAC_PI_4, PI};

/// A bottle of a perfect gas that blows through an orifice.
const BLOWDOWN: &str = r#"
title = "Perfect gas"

[ambient]
pressure = "1 bar(a)"
temperature = "300 K"

[perfect_gas.ideal]
heat_capacity_ratio = 1.4
molar_mass = "28 g/mol"

[bottle.supply]
gas = "ideal"
volume = "10 L ± 2 %"
pressure = "99 bar(g)"
heat_transfer = "none"

[orifice.hole]
from = "supply"
to = "ambient"
diameter = "2 mm"
discharge_coefficient = 0.5

[run]
until = "2 s"
"#;

fn of(text: &str) -> sim_core::network::Network {
    load(text).expect("a correct stand").lower()
}

fn overridden(path: &str, value: &str) -> sim_core::network::Network {
    let overrides = [(path.to_owned(), value.to_owned())];
    load_with(BLOWDOWN, &overrides)
        .expect("a correct stand")
        .lower()
}

/// Relative rounding of a product of a few factors.
fn close(got: f64, expected: f64) -> bool {
    (got - expected).abs() <= 1e-12 * expected.abs()
}

#[test]
fn a_bottle_and_an_orifice() {
    let network = of(BLOWDOWN);
    assert_eq!(network.surroundings.pressure_pa, 1e5);
    let VolumeKind::Vessel(bottle) = &network.volumes[0].kind else {
        panic!("a vessel");
    };
    assert_eq!(network.volumes[0].name, "supply");
    assert!(close(bottle.volume_m3, 0.01));
    assert!(close(bottle.gas.pressure_pa, 100e5));
    assert_eq!(bottle.gas.temperature_k, 300.0);
    assert_eq!(bottle.gas.mole_fractions, [1.0]);
    assert!(bottle.wall.is_none());
    assert_eq!(network.volumes[1].name, "ambient");
    let branch = &network.branches[0];
    assert_eq!((branch.from.volume, branch.to.volume), (0, 1));
    let BranchKind::GasRestriction(hole) = &branch.kind else {
        panic!("a gas restriction");
    };
    let Capacity::EffectiveArea { m2 } = hole.capacity else {
        panic!("an area");
    };
    assert!(close(m2, 0.5 * std::f64::consts::PI * 1e-6));
}

#[test]
fn every_number_has_a_path_and_its_uncertainty() {
    let stand = load(BLOWDOWN).expect("a correct stand");
    let id = stand.inputs.find("bottle.supply.volume").expect("an input");
    let spread = stand.inputs.get(id).distribution;
    let Distribution::Normal { half_width_95 } = spread else {
        panic!("{spread:?}");
    };
    assert!(close(half_width_95, 0.0002));
    let mut values = stand.inputs.nominal();
    values.set(id, 0.02);
    let network = stand.lower_with(&values);
    let VolumeKind::Vessel(bottle) = &network.volumes[0].kind else {
        panic!("a vessel");
    };
    assert_eq!(bottle.volume_m3, 0.02);
}

#[test]
fn gauge_pressures_follow_the_ambient_when_it_is_drawn() {
    let stand = load(BLOWDOWN).expect("a correct stand");
    let ambient = stand.inputs.find("ambient.pressure").expect("an input");
    let mut values = stand.inputs.nominal();
    values.set(ambient, 0.9e5);
    let network = stand.lower_with(&values);
    let VolumeKind::Vessel(bottle) = &network.volumes[0].kind else {
        panic!("a vessel");
    };
    assert!(close(bottle.gas.pressure_pa, 99.9e5));
}

#[test]
fn overrides_are_read_like_the_file() {
    let VolumeKind::Vessel(bottle) = &overridden("bottle.supply.volume", "20 L").volumes[0].kind
    else {
        panic!("a vessel");
    };
    assert!(close(bottle.volume_m3, 0.02));
    let quoted = overridden("orifice.hole.discharge_coefficient", "\"0.4 .. 0.8\"");
    let BranchKind::GasRestriction(hole) = &quoted.branches[0].kind else {
        panic!("a gas restriction");
    };
    assert!(
        matches!(hole.capacity, Capacity::EffectiveArea { m2 } if close(m2, 0.6 * std::f64::consts::PI * 1e-6))
    );
    let added = overridden("bottle.supply.temperature", "280 K");
    let VolumeKind::Vessel(bottle) = &added.volumes[0].kind else {
        panic!("a vessel");
    };
    assert_eq!(bottle.gas.temperature_k, 280.0);
}

#[test]
fn all_forms_of_capacity() {
    let capacity = |keys: &str| {
        let text = BLOWDOWN.replace("diameter = \"2 mm\"\ndischarge_coefficient = 0.5", keys);
        match &of(&text).branches[0].kind {
            BranchKind::GasRestriction(hole) => hole.capacity,
            _ => panic!("a gas restriction"),
        }
    };
    let Capacity::FlowCoefficient { kv_m3_h, xt } =
        capacity("flow_coefficient = \"2 Cv\"\nxt = 0.6")
    else {
        panic!("a flow coefficient");
    };
    assert!(close(kv_m3_h, 1.73) && xt == 0.6);
    let Capacity::SonicConductance { c_m3_s_pa, b } =
        capacity("sonic_conductance = \"5 L/(s bar)\"\ncritical_ratio = 0.4")
    else {
        panic!("a sonic conductance");
    };
    assert!(close(c_m3_s_pa, 5e-8) && b == 0.4);
    let Capacity::EffectiveArea { m2 } = capacity("effective_area = \"15 mm2\"") else {
        panic!("an area");
    };
    assert!(close(m2, 15e-6));
    let Capacity::Nozzle(nozzle) = capacity("diameter = \"2 mm\"\nthroat_shape = \"toroidal\"")
    else {
        panic!("a nozzle");
    };
    assert!(close(nozzle.throat_m, 2e-3) && nozzle.multiplier == 1.0);
}

/// A catalogue's flow coefficient without a spread of its own carries the model's.
#[test]
fn a_catalogue_coefficient_carries_its_doubt() {
    let bare = BLOWDOWN.replace(
        "diameter = \"2 mm\"\ndischarge_coefficient = 0.5",
        "flow_coefficient = \"2 Cv\"",
    );
    let path = "model.hole.flow_coefficient";
    let stand = load(&bare).expect("a correct stand");
    let doubt = stand.inputs.find(path).expect("an input");
    assert_eq!(
        stand.inputs.get(doubt).distribution,
        Distribution::Normal { half_width_95: 0.2 }
    );
    let mut values = stand.inputs.nominal();
    values.set(doubt, 1.1);
    let BranchKind::GasRestriction(hole) = &stand.lower_with(&values).branches[0].kind else {
        panic!("a gas restriction");
    };
    assert!(
        matches!(hole.capacity, Capacity::FlowCoefficient { kv_m3_h, .. } if close(kv_m3_h, 1.73 * 1.1))
    );
    let measured = bare.replace("2 Cv", "2 Cv ± 5 %");
    assert_eq!(
        load(&measured).expect("a correct stand").inputs.find(path),
        None
    );
}

#[test]
fn heat_transfer_in_all_forms() {
    let heat = |words: &str| {
        let text = BLOWDOWN.replace("\"none\"", words);
        match &of(&text).volumes[0].kind {
            VolumeKind::Vessel(bottle) => bottle.wall.clone().map(|w| w.inside),
            _ => panic!("a vessel"),
        }
    };
    assert_eq!(heat("\"none\""), None);
    assert_eq!(heat("\"film\""), Some(HeatTransfer::Film));
    assert_eq!(heat("\"isothermal\""), Some(HeatTransfer::Isothermal));
    assert_eq!(
        heat("\"12 W/m2K\""),
        Some(HeatTransfer::Coefficient { w_m2_k: 12.0 })
    );
    assert_eq!(
        heat("\"10 W/K\""),
        Some(HeatTransfer::Conductance { w_k: 10.0 })
    );
}

/// What lies or is a sphere has its diameter in the film correlations, what stands its height.
#[test]
fn walls_stand_as_the_file_says() {
    let walls = |network: sim_core::network::Network| {
        let wall = |kind| match kind {
            VolumeKind::Vessel(vessel) => vessel.wall,
            VolumeKind::Tank(tank) => tank.wall,
            VolumeKind::Ambient => None,
        };
        let walls = (network.volumes.into_iter()).filter_map(|v| Some((v.name, wall(v.kind)?)));
        walls
            .map(|(name, wall)| (name, (wall.posture, wall.height_m)))
            .collect::<BTreeMap<_, _>>()
    };
    let bottle = |keys: &str| {
        let text = BLOWDOWN.replace("heat_transfer = \"none\"", keys);
        walls(of(&text))["supply"]
    };
    let (standing, length) = bottle("diameter = \"150 mm\"");
    assert_eq!(standing, Posture::Upright);
    assert!(close(length, 0.01 / (FRAC_PI_4 * 0.15 * 0.15)));
    let lying = bottle("diameter = \"150 mm\"\norientation = \"lying\"");
    assert_eq!(lying, (Posture::Lying, 0.15));
    let tanks = walls(of(include_str!("two_sides.toml")));
    let (catch, fuel) = (tanks["catch"], tanks["fuel"]);
    assert_eq!((catch.0, fuel.0), (Posture::Lying, Posture::Sphere));
    // Tabulated over the height: far inside 1e-9.
    assert!((catch.1 - 0.4).abs() < 1e-9, "{}", catch.1);
    assert!(
        (fuel.1 - (6.0 * 0.02 / PI).cbrt()).abs() < 1e-9,
        "{}",
        fuel.1
    );
}

#[test]
fn the_demonstration_is_plumbed_as_its_file_says() {
    let network = of(scenarios::ready_made()[0].text);
    let names = |id: usize| network.volumes[id].name.as_str();
    let ends: Vec<_> = network
        .branches
        .iter()
        .map(|b| {
            (
                b.name.as_str(),
                names(b.from.volume),
                b.from.phase,
                names(b.to.volume),
            )
        })
        .collect();
    assert_eq!(
        ends,
        [
            ("press", "supply", Phase::Gas, "press_line"),
            ("guard", "press_line", Phase::Gas, "fuel"),
            ("top", "fuel", Phase::Gas, "ambient"),
            ("feed", "fuel", Phase::Liquid, "ambient"),
        ]
    );
    let BranchKind::LiquidChain(chain) = &network.branches[3].kind else {
        panic!("a chain");
    };
    let parts: Vec<&str> = chain.elements.iter().map(|e| e.name.as_str()).collect();
    assert_eq!(parts, ["feed", "run", "tip"]);
    // Liquid stands up to the shut run valve: the whole line is full.
    let area = std::f64::consts::PI / 4.0 * 0.0155_f64.powi(2);
    assert!(close(chain.primed_m3, 1.2 * area));
    let ElementKind::Line(line) = &chain.elements[0].kind else {
        panic!("a line");
    };
    assert_eq!(line.friction, Friction::Roughness { m: 1.5e-6 });
    assert_eq!(line.rise_m, -0.8);
    let [open, close_] = &network.commands[..] else {
        panic!("two commands");
    };
    assert_eq!(
        (open.trigger.clone(), open.travel),
        (Trigger::At { time_s: 5.0 }, 1.0)
    );
    let when = Trigger::When {
        column: "fuel.liquid_mass_kg".to_owned(),
        relation: Relation::Below,
        threshold: 0.3,
    };
    assert_eq!((close_.trigger.clone(), close_.travel), (when, 0.0));
}

#[test]
fn a_tank_starts_with_saturated_vapour_under_its_total_pressure() {
    let network = of(scenarios::ready_made()[0].text);
    let VolumeKind::Tank(tank) = &network.volumes[2].kind else {
        panic!("a tank");
    };
    let vapour = tank.vapour.expect("vapour is modelled");
    let state = tank.liquid.at(tank.liquid_temperature_k).expect("water");
    let fraction = tank.gas.mole_fractions[vapour];
    assert!(close(
        fraction,
        state.vapour_pressure_pa / tank.gas.pressure_pa
    ));
    let total: f64 = tank.gas.mole_fractions.iter().sum();
    assert!(close(total, 1.0));
    // 14 of 19 litres.
    assert!(close(tank.liquid_volume_m3, 0.014));
}

/// The lift at each point of a flow curve is the measured flow over what the seat passes wide
/// open; the first point is shut, and the curve is led on to full lift.
#[test]
fn a_flow_curve_becomes_lift_against_fall() {
    let network = of(scenarios::ready_made()[2].text);
    let BranchKind::Regulator(regulator) = &network.branches[0].kind else {
        panic!("a regulator");
    };
    let sim_core::network::Droop::Curves(curves) = &regulator.droop else {
        panic!("a curve");
    };
    let [
        FlowCurve {
            points, measured, ..
        },
    ] = &curves[..]
    else {
        panic!("one curve");
    };
    assert_eq!(points[0], (0.0, 0.0));
    assert_eq!(points.last().map(|p| p.1), Some(1.0));
    assert!(
        points
            .windows(2)
            .all(|p| p[1].0 > p[0].0 && p[1].1 > p[0].1)
    );
    // 60 scfm of helium: 60 x 379.48 ft3 a pound-mole at 60 degF and 14.696 psia.
    let kg_s = 60.0 / 60.0 / 379.48 * 4.0026 * 0.453_592_37;
    assert!(
        (measured[2].0 / kg_s - 1.0).abs() < 1e-4,
        "{}",
        measured[2].0
    );
    // Falls from lock-up: 32.0 - 30.9 bar.
    assert!((points[2].0 - 1.1e5).abs() < 1e-3);
}

#[test]
fn a_droop_in_per_cent_is_that_of_the_set_gauge_pressure() {
    let text = scenarios::ready_made()[0].text;
    let set = |value: &str| [("regulator.press.droop".to_owned(), value.to_owned())];
    let droop = |value: &str| {
        let stand = scenarios::load_with(text, &set(value)).expect("a correct stand");
        let network = stand.lower();
        let regulator = network.branches.iter().find_map(|b| match &b.kind {
            sim_core::network::BranchKind::Regulator(r) => Some(r.droop.clone()),
            _ => None,
        });
        match regulator {
            Some(sim_core::network::Droop::Linear { full_pa }) => full_pa,
            other => panic!("{other:?}"),
        }
    };
    // The demonstration is set to 32 bar(g); only rounding separates the two.
    assert!((droop("8 %") / droop("2.56 bar") - 1.0).abs() < 1e-12);
}

#[test]
fn a_chain_may_say_from_and_to_and_means_the_same() {
    let text = scenarios::ready_made()[0].text;
    let twice = text.replace("[line.feed]\n", "[line.feed]\nto = \"run\"\n");
    assert_ne!(text, twice);
    assert_eq!(format!("{:?}", of(text)), format!("{:?}", of(&twice)));
    // Another component than the one that comes from it is a fork.
    let fork = text.replace("[line.feed]\n", "[line.feed]\nto = \"ambient\"\n");
    let errors = load(&fork).expect_err("it leads two ways");
    assert_eq!(errors[0].code, "plumbing-4");
}
