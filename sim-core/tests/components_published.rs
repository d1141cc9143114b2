//! Components against published figures and against the tests of general-purpose libraries.

use sim_core::components::characteristic::Trim;
use sim_core::components::film::{level_stable, vertical_plate};
use sim_core::components::friction::{haaland, laminar};
use sim_core::network::{Capacity, Characteristic};

/// Figures printed to six digits or more: agreement to the last one printed.
const PRINTED: f64 = 1e-6;

fn assert_close(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance * expected.abs(),
        "got {got}, expected {expected}"
    );
}

/// Churchill & Chu vertical plate, as tested in the PyPI package `ht`: Pr 0.69, Gr 2.63e9.
#[test]
fn vertical_plate_of_churchill_and_chu() {
    assert_close(vertical_plate(0.69 * 2.63e9, 0.69), 147.161_85, PRINTED);
}

/// McAdams level plate, stably layered, as tested in the PyPI package `ht`: Pr 5.54, Gr 3.21e8.
#[test]
fn stable_level_plate_of_mcadams() {
    assert_close(level_stable(5.54 * 3.21e8), 55.445_65, PRINTED);
}

/// Friction factors as tested in the PyPI package `fluids`: Re 1e5, eps/D 1e-4.
#[test]
fn friction_factors() {
    assert_close(haaland(1e5, 1e-4), 0.018_265_053_015, PRINTED);
    assert_close(laminar(128.0), 0.5, PRINTED);
    // Haaland's own claim: within 2 % of Colebrook (value from the same package).
    assert_close(haaland(1e5, 1e-4), 0.018_513_866_077, 0.02);
}

/// Equal percentage, R = 50, half lift: 50^-0.5 (definition in IEC 60534-2-4).
#[test]
fn equal_percentage_at_half_lift() {
    let trim = Trim::new(&Characteristic::EqualPercentage { rangeability: 50.0 });
    assert_close(trim.fraction(0.5), 0.141_421_356, PRINTED);
}

/// One Kv passes 1 m3/h of water (1000 kg/m3) at 1 bar: CdA = 1.964e-5 m2 (definition of Kv).
#[test]
fn area_of_a_flow_coefficient() {
    let capacity = Capacity::FlowCoefficient {
        kv_m3_h: 1.0,
        xt: 0.7,
    };
    let flow_kg_s = capacity.liquid_area_m2() * (2.0 * 1000.0 * 1e5_f64).sqrt();
    assert_close(flow_kg_s, 1000.0 / 3600.0, 1e-12);
}
