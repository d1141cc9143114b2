//! The discharge coefficient of a toroidal nozzle against its published formula.

mod common;

use common::{ROOM_K, perfect_nitrogen};
use shared::Dual;
use sim_core::components::gas::{GasSide, viscosity};
use sim_core::components::restriction::gas_flow;
use sim_core::components::toroidal_nozzle::{REYNOLDS, discharge_coefficient};
use sim_core::network::{Capacity, ToroidalNozzle};
use std::f64::consts::PI;

const THROAT_M: f64 = 3e-3;

fn nozzle() -> Capacity {
    Capacity::Nozzle(ToroidalNozzle {
        throat_m: THROAT_M,
        multiplier: 1.0,
    })
}

/// ISO 9300:2022, toroidal throat.
fn published(reynolds: f64) -> f64 {
    0.9959 - 2.720 * reynolds.powf(-0.5)
}

fn side(pressure_pa: f64) -> GasSide<f64> {
    let gas = perfect_nitrogen();
    GasSide::constant(&gas, pressure_pa, ROOM_K, &[1.0]).expect("a state")
}

/// Published, in the whole range of the standard; the tolerance is what levelling out at rest moves there.
#[test]
fn the_coefficient_is_that_of_the_standard() {
    let (low, high) = REYNOLDS;
    for reynolds in [low, 1e5, 1e6, 1e7, high] {
        let found: f64 = discharge_coefficient(reynolds);
        assert!((found - published(reynolds)).abs() < 2e-7, "{reynolds}");
    }
}

/// Critical flow has the coefficient of the Reynolds number that it has itself: what passes over what a throat
/// without a boundary layer passes. 1e-6 is five times what levelling out moves.
#[test]
fn critical_flow_has_the_coefficient_of_its_own_reynolds_number() {
    let gas = perfect_nitrogen();
    let ideal = Capacity::EffectiveArea {
        m2: PI / 4.0 * THROAT_M * THROAT_M,
    };
    for rest_pa in [1.5e5, 1e6, 2e7] {
        let (up, behind) = (side(rest_pa), side(0.2 * rest_pa));
        let flow = |capacity: &Capacity| gas_flow(capacity, &gas, &up, &behind).expect("a flow");
        let viscosity_pa_s = viscosity(&gas, &up).expect("a viscosity");
        let reynolds = 4.0 * flow(&nozzle()) / (PI * THROAT_M * viscosity_pa_s);
        assert!((REYNOLDS.0..REYNOLDS.1).contains(&reynolds), "{reynolds}");
        let part = flow(&nozzle()) / flow(&ideal);
        assert!(
            (part - published(reynolds)).abs() < 1e-6,
            "{reynolds}: {part}"
        );
    }
}

/// The derivative by the pressure behind is that of the flow, from next to no flow to nearly critical flow: central
/// differences of a tenth of a per cent of the drop are good to its square over a few, 1e-5.
#[test]
fn the_flow_has_its_own_derivative_down_to_rest() {
    let gas = perfect_nitrogen();
    let rest_pa = 2e5;
    let flow = |drop_pa: f64| {
        let up = GasSide::<f64>::constant(&gas, rest_pa, ROOM_K, &[1.0]).expect("a state");
        let behind = GasSide {
            pressure: rest_pa - drop_pa,
            ..up
        };
        gas_flow(&nozzle(), &gas, &up, &behind).expect("a flow")
    };
    for drop_pa in [0.01, 1.0, 30.0, 100.0, 1e3, 1e4, 5e4, 9e4] {
        let up = GasSide::<Dual<1>>::constant(&gas, rest_pa, ROOM_K, &[1.0]).expect("a state");
        let behind = GasSide {
            pressure: -Dual::variable(drop_pa, 0) + rest_pa,
            ..up
        };
        let exact = gas_flow(&nozzle(), &gas, &up, &behind)
            .expect("a flow")
            .slope[0];
        let step_pa = 1e-3 * drop_pa;
        let difference = (flow(drop_pa + step_pa) - flow(drop_pa - step_pa)) / (2.0 * step_pa);
        assert!(
            (exact / difference - 1.0).abs() < 1e-5,
            "{drop_pa}: {exact} {difference}"
        );
    }
}

/// At rest nothing flows, and a little drop drives a little flow, either way.
#[test]
fn it_comes_to_rest() {
    let gas = perfect_nitrogen();
    let flow = |from_pa, to_pa| gas_flow(&nozzle(), &gas, &side(from_pa), &side(to_pa));
    assert_eq!(flow(1e5, 1e5), Ok(0.0));
    let forward = flow(1e5 + 1e-3, 1e5).expect("a flow");
    assert!(forward > 0.0);
    assert_eq!(flow(1e5, 1e5 + 1e-3), Ok(-forward));
}
