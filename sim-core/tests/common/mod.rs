//! Small networks for tests: perfect gases, so that closed forms hold.

#![allow(dead_code)] // each test file uses its own part

use fluids::{GasMixture, Liquid, PropertyMode, SpeciesSpec};
use sim_core::network::{
    Actuator, Branch, BranchKind, Capacity, ChainElement, Characteristic, Command, ElementKind,
    GasFill, GasRestriction, HeatTransfer, Line, LiquidChain, Network, Phase, Port, PositionLaw,
    Surroundings, Tank, TankEnds, TankShape, Trigger, Valve, Vessel, Volume, VolumeKind,
};
use sim_core::outcome::{Integrator, Outcome, RunOptions};
use std::sync::Arc;

pub const AMBIENT_PA: f64 = 101_325.0;
pub const ROOM_K: f64 = 300.0;

/// Nitrogen as a perfect gas.
pub fn perfect_nitrogen() -> Arc<GasMixture> {
    let spec = SpeciesSpec::Perfect {
        name: "perfect".to_owned(),
        heat_capacity_ratio: 1.4,
        molar_mass_kg_mol: 28.0134e-3,
    };
    Arc::new(GasMixture::new(&[spec], PropertyMode::Polished).expect("one perfect gas"))
}

pub fn fill(pressure_pa: f64) -> GasFill {
    GasFill {
        mixture: 0,
        pressure_pa,
        temperature_k: ROOM_K,
        mole_fractions: vec![1.0],
    }
}

/// An adiabatic vessel.
pub fn vessel(name: &str, volume_m3: f64, pressure_pa: f64) -> Volume {
    Volume {
        name: name.to_owned(),
        kind: VolumeKind::Vessel(Vessel {
            volume_m3,
            gas: fill(pressure_pa),
            wall: None,
            overwrap: None,
        }),
    }
}

pub fn ambient() -> Volume {
    Volume {
        name: "ambient".to_owned(),
        kind: VolumeKind::Ambient,
    }
}

pub fn gas_port(volume: usize) -> Port {
    Port {
        volume,
        phase: Phase::Gas,
    }
}

pub fn orifice(name: &str, from: usize, to: usize, area_m2: f64) -> Branch {
    Branch {
        name: name.to_owned(),
        from: gas_port(from),
        to: gas_port(to),
        kind: BranchKind::GasRestriction(GasRestriction {
            capacity: Capacity::EffectiveArea { m2: area_m2 },
            valve: None,
        }),
    }
}

pub fn network(volumes: Vec<Volume>, branches: Vec<Branch>) -> Network {
    Network {
        surroundings: Surroundings {
            pressure_pa: AMBIENT_PA,
            temperature_k: ROOM_K,
            gravity_m_s2: 9.806_65,
        },
        mixtures: vec![perfect_nitrogen()],
        volumes,
        branches,
        actuators: Vec::new(),
        commands: Vec::new(),
    }
}

pub fn options(until_s: f64) -> RunOptions {
    RunOptions {
        until_s,
        output_step_s: until_s / 100.0,
        readings: 1,
        step_rows: false,
        tolerance: 1e-7,
        integrator: Integrator::Rodas5p,
    }
}

/// A 20 L upright flat-ended tank of water under the perfect gas, without a wall.
pub fn water_tank(name: &str, liquid_m3: f64, pressure_pa: f64) -> Volume {
    Volume {
        name: name.to_owned(),
        kind: VolumeKind::Tank(Tank {
            shape: TankShape::Cylinder {
                volume_m3: 0.02,
                diameter_m: 0.25,
                ends: TankEnds::Flat,
                lying: false,
            },
            liquid: Arc::new(Liquid::new("water", pressure_pa.max(2e5)).expect("water")),
            vapour: None,
            liquid_volume_m3: liquid_m3,
            liquid_temperature_k: ROOM_K,
            gas: fill(pressure_pa),
            wall: None,
            interface: HeatTransfer::None,
            interface_multiplier: 1.0,
            residual_m3: 1e-4,
            dips: false,
            cryogen: None,
        }),
    }
}

/// A line behind a valve that strokes in `stroke_s`, from volume 1 to the ambient.
pub fn valved_line(line: Line, primed_m3: f64) -> Branch {
    let valve = ElementKind::Valve {
        capacity: Capacity::EffectiveArea { m2: 0.02 },
        recovery: 1.0,
        valve: Valve {
            actuator: 0,
            characteristic: Characteristic::Linear,
        },
    };
    let element = |name: &str, kind| ChainElement {
        name: name.to_owned(),
        kind,
    };
    let elements = if primed_m3 > 0.0 {
        vec![
            element("line", ElementKind::Line(line)),
            element("run", valve),
        ]
    } else {
        vec![
            element("run", valve),
            element("line", ElementKind::Line(line)),
        ]
    };
    Branch {
        name: "line".to_owned(),
        from: Port {
            volume: 1,
            phase: Phase::Liquid,
        },
        to: gas_port(0),
        kind: BranchKind::LiquidChain(LiquidChain {
            elements,
            primed_m3,
        }),
    }
}

pub fn actuator(stroke_s: f64) -> Actuator {
    Actuator {
        name: "run".to_owned(),
        delay_s: 0.0,
        opening_s: stroke_s,
        closing_s: stroke_s,
        law: PositionLaw::Linear,
        initial: 0.0,
    }
}

pub fn open_at(time_s: f64) -> Command {
    Command {
        trigger: Trigger::At { time_s },
        actuator: 0,
        travel: 1.0,
        repeats: false,
    }
}

/// As of every run: mass to rounding, energy to 1e-6 of work and heat.
pub fn assert_balanced(outcome: &Outcome) {
    let balances = &outcome.balances;
    assert!(balances.energy_relative < 1e-6, "{balances:?}");
    assert!(balances.mass_relative < 1e-9, "{balances:?}");
}
