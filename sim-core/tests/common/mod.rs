//! Small networks for tests: perfect gases, so that closed forms hold.

#![allow(dead_code)] // each test file uses its own part

use fluids::{GasMixture, PropertyMode, SpeciesSpec};
use sim_core::network::{
    Branch, BranchKind, Capacity, GasFill, GasRestriction, HeatTransfer, Network, Phase, Port,
    Surroundings, Vessel, Volume, VolumeKind,
};
use sim_core::outcome::{Integrator, RunOptions};
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
        tolerance: 1e-7,
        integrator: Integrator::Rodas5p,
    }
}

/// The kinds of heat transfer that need no transport data.
pub const PLAIN_HEAT: [HeatTransfer; 3] = [
    HeatTransfer::None,
    HeatTransfer::Isothermal,
    HeatTransfer::Coefficient { w_m2_k: 20.0 },
];
