//! Valves whose stroke takes no time.

mod common;

use common::{AMBIENT_PA, ambient, fill, network, options};
use fluids::Liquid;
use sim_core::network::{
    Actuator, Branch, BranchKind, Capacity, ChainElement, Characteristic, Command, ElementKind,
    HeatTransfer, LiquidChain, Network, Phase, Port, PositionLaw, Tank, TankEnds, TankShape,
    Trigger, Valve, Volume, VolumeKind,
};
use sim_core::outcome::EventKind;
use sim_core::simulate;
use std::sync::Arc;

/// Ten litres of water under 3 bar of gas.
fn tank() -> Volume {
    let water = Liquid::new("water", 3e5).expect("water is known");
    let tank = Tank {
        shape: TankShape::Cylinder {
            volume_m3: 0.02,
            diameter_m: 0.2,
            ends: TankEnds::Flat,
            lying: false,
        },
        liquid: Arc::new(water),
        vapour: None,
        liquid_volume_m3: 0.01,
        liquid_temperature_k: 300.0,
        gas: fill(3e5),
        wall: None,
        interface: HeatTransfer::None,
        interface_multiplier: 1.0,
        residual_m3: 0.0,
        dips: false,
        cryogen: None,
    };
    Volume {
        name: "tank".to_owned(),
        kind: VolumeKind::Tank(tank),
    }
}

/// A valve from the tank to the air, which opens at 1 s and shuts at 2 s after a delay.
fn stand(delay_s: f64) -> Network {
    let valve = ElementKind::Valve {
        capacity: Capacity::EffectiveArea { m2: 1e-5 },
        recovery: 1.0,
        valve: Valve {
            actuator: 0,
            characteristic: Characteristic::Linear,
        },
    };
    let chain = LiquidChain {
        elements: vec![ChainElement {
            name: "run".to_owned(),
            kind: valve,
        }],
        primed_m3: 0.0,
    };
    let end = |volume, phase| Port { volume, phase };
    let branch = Branch {
        name: "run".to_owned(),
        from: end(1, Phase::Liquid),
        to: end(0, Phase::Liquid),
        kind: BranchKind::LiquidChain(chain),
    };
    let command = |time_s, travel| Command {
        trigger: Trigger::At { time_s },
        actuator: 0,
        travel,
        repeats: false,
    };
    let mut net = network(vec![ambient(), tank()], vec![branch]);
    net.actuators = vec![Actuator {
        name: "run".to_owned(),
        delay_s,
        opening_s: 0.0,
        closing_s: 0.0,
        law: PositionLaw::Linear,
        initial: 0.0,
    }];
    net.commands = vec![command(1.0, 1.0), command(2.0, 0.0)];
    net
}

#[test]
fn an_instant_stroke_jumps_between_two_segments() {
    for delay_s in [0.0, 0.25] {
        let outcome = simulate(&stand(delay_s), &options(4.0));
        assert!(outcome.failure.is_none(), "{:?}", outcome.failure);
        let ends = outcome
            .events
            .iter()
            .filter(|e| e.kind == EventKind::MotionEnded)
            .map(|e| e.time_s);
        assert_eq!(ends.collect::<Vec<_>>(), [1.0 + delay_s, 2.0 + delay_s]);
        let passed = outcome
            .history
            .column("ambient.liquid_mass_kg")
            .expect("the ambient shows it");
        let most_kg = 1e-5 * (2.0 * 997.0 * (3e5 - AMBIENT_PA + 4e3)).sqrt();
        let got = passed.last().expect("there are rows");
        // One second of flow; the pressure falls by a few per cent as the gas expands.
        assert!((0.97..1.0).contains(&(got / most_kg)), "{got} of {most_kg}");
    }
}
