//! A stand with two propellant sides, vents and a catch tank: every kind, both ports of a tank,
//! several chains.

use scenarios::load;
use sim_core::network::{BranchKind, Phase, TankShape, VolumeKind};

const TEXT: &str = include_str!("two_sides.toml");

#[test]
fn gases_that_can_meet_share_a_list() {
    let network = load(TEXT).expect("a correct stand").lower();
    // The liquid chain from ox to catch passes gas once ox is empty: all are one network.
    let [mixture] = &network.mixtures[..] else {
        panic!("one network");
    };
    let species: Vec<&str> = (0..mixture.len()).map(|k| mixture.name(k)).collect();
    assert_eq!(species, ["nitrogen", "air", "ethanol", "water"]);
    let fractions = |name: &str| {
        let volume = network.volumes.iter().find(|v| v.name == name).expect(name);
        match &volume.kind {
            VolumeKind::Tank(tank) => tank.gas.mole_fractions.clone(),
            VolumeKind::Vessel(vessel) => vessel.gas.mole_fractions.clone(),
            VolumeKind::Ambient => panic!("no gas"),
        }
    };
    assert_eq!(fractions("a"), [1.0, 0.0, 0.0, 0.0]);
    // No vapour was asked for in ox.
    assert_eq!(fractions("ox"), [1.0, 0.0, 0.0, 0.0]);
    let fuel = fractions("fuel");
    assert!(
        fuel[0] == 0.0 && fuel[1] > 0.9 && fuel[2] > 0.0 && fuel[3] == 0.0,
        "{fuel:?}"
    );
}

#[test]
fn branches_reach_the_ports_that_are_meant() {
    let network = load(TEXT).expect("a correct stand").lower();
    let branch = |name: &str| {
        network
            .branches
            .iter()
            .find(|b| b.name == name)
            .expect(name)
    };
    assert_eq!(branch("vent").from.phase, Phase::Gas);
    assert_eq!(branch("cf").to.phase, Phase::Gas);
    assert_eq!(branch("f1").from.phase, Phase::Liquid);
    assert_eq!(branch("ov").to.phase, Phase::Liquid);
    assert!(matches!(branch("vent").kind, BranchKind::GasRestriction(_)));
    let BranchKind::LiquidChain(chain) = &branch("f1").kind else {
        panic!("a chain");
    };
    // Only the line before the shut valve is full: 1 m of half an inch.
    let full = std::f64::consts::PI / 4.0 * 0.0127_f64.powi(2);
    assert!(
        (chain.primed_m3 / full - 1.0).abs() < 1e-12,
        "{}",
        chain.primed_m3
    );
    let ox = network.volumes.iter().find(|v| v.name == "ox").expect("ox");
    let VolumeKind::Tank(tank) = &ox.kind else {
        panic!("a tank");
    };
    assert!(matches!(tank.shape, TankShape::LevelTable { .. }));
    // 30 % of 25 L are gas.
    assert!((tank.liquid_volume_m3 / 0.0175 - 1.0).abs() < 1e-12);
}

#[test]
fn it_runs_and_its_balances_close() {
    let stand = load(TEXT).expect("a correct stand");
    let is_known = stand.warnings.iter().all(|w| w.code == "relief-5");
    assert!(is_known, "{:#?}", stand.warnings);
    let outcome = sim_core::simulate(&stand.lower(), &stand.run);
    assert_eq!(outcome.failure, None);
    // A substance that one list counts and another forgets would show as order one; how well
    // balances close is tested with the simulation.
    assert!(
        outcome.balances.mass_relative < 1e-9,
        "{:?}",
        outcome.balances
    );
    assert!(
        outcome.balances.energy_relative < 1e-6,
        "{:?}",
        outcome.balances
    );
}
