//! Components against published figures and against the tests of general-purpose libraries.

use sim_core::components::chain::{ChainModel, Column, Contents};
use sim_core::components::characteristic::Trim;
use sim_core::components::film::{level_stable, level_stirred};
use sim_core::components::fittings::{Fitting, turbulent_factor};
use sim_core::components::friction::{haaland, laminar};
use sim_core::components::liquid_choking::throat_pressure;
use sim_core::network::{
    Capacity, ChainElement, Characteristic, ElementKind, LiquidChain, Posture,
};

/// Figures printed to six digits or more: agreement to the last one printed.
const PRINTED: f64 = 1e-6;

fn assert_close(got: f64, expected: f64, tolerance: f64) {
    assert!(
        (got - expected).abs() <= tolerance * expected.abs(),
        "got {got}, expected {expected}"
    );
}

fn nusselt(posture: Posture, prandtl: f64, grashof: f64) -> f64 {
    posture.nusselt(prandtl * grashof * posture.rayleigh_factor(prandtl))
}

/// Walls as tested in the PyPI package `ht`: plate and horizontal cylinder of Churchill and Chu (1975),
/// sphere of Churchill (1983).
#[test]
fn walls_of_churchill() {
    let (plate, cylinder) = (Posture::Upright, Posture::Lying);
    assert_close(nusselt(plate, 0.69, 2.63e9), 147.161_85, PRINTED);
    assert_close(nusselt(cylinder, 0.69, 2.63e9), 139.134_94, PRINTED);
    for (grashof, expected) in [(1e4, 6.150_727_22), (1e8, 47.271_761_31)] {
        assert_close(nusselt(Posture::Sphere, 0.7, grashof), expected, PRINTED);
    }
}

/// Level plate, stably layered and stirred, as tested in the PyPI package `ht`: Pr 5.54, Gr 3.21e8.
#[test]
fn level_plates() {
    assert_close(level_stable(5.54 * 3.21e8), 55.445_65, PRINTED);
    assert_close(level_stirred(5.54 * 3.21e8), 181.731_21, PRINTED);
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

/// J. Weisbach's loss of a cock against its angle from open (1855; figures from memory). The curve
/// passes through each, whatever the open valve loses; it is shut where the bore is covered.
#[test]
fn cock_of_weisbach() {
    let table = [
        (5.0, 0.05),
        (10.0, 0.29),
        (15.0, 0.75),
        (20.0, 1.56),
        (25.0, 3.10),
        (30.0, 5.47),
        (35.0, 9.68),
        (40.0, 17.3),
        (45.0, 31.2),
        (50.0, 52.6),
        (55.0, 106.0),
        (60.0, 206.0),
        (65.0, 486.0),
    ];
    for open_loss in [0.05, 0.4, 3.0] {
        let trim = Trim::new(&Characteristic::Cock { open_loss });
        let fraction = |degrees: f64| trim.fraction(1.0 - degrees / 90.0);
        for (degrees, loss) in table {
            let whole = open_loss / f64::powi(fraction(degrees), 2);
            assert_close(whole, open_loss + loss, PRINTED);
        }
        assert_eq!(fraction(82.5), 0.0);
        assert_eq!(fraction(0.0), 1.0);
    }
}

/// Friction factors in complete turbulence: Crane TP-410 prints 0.027 for 1/2 inch (15.8 mm), 0.019
/// for 2 inch (52.5 mm), 0.017 for 4 inch (102.3 mm), 0.015 for 6 inch (154 mm); half a unit of the last
/// digit, and its own formula with 45.7 um. The first is of an older edition, 0.0265 rounded: 5 %.
#[test]
fn turbulent_factors_of_crane() {
    for (bore_m, printed, half_unit) in [
        (0.0158, 0.027, 0.05),
        (0.0525, 0.019, 0.5 / 19.0),
        (0.1023, 0.017, 0.05),
        (0.154, 0.015, 0.5 / 15.0),
    ] {
        assert_close(turbulent_factor(bore_m), printed, half_unit);
    }
}

/// A bore of 77.9 mm, ports and lines of 0.8 and 1/0.7 of it, f_T 0.017314632514764644: losses as the
/// PyPI package `fluids` 1.3.1 has them from Crane TP-410 (`K_ball_valve_Crane`,
/// `K_lift_check_valve_Crane`, `contraction_conical_Crane`, `diffuser_conical`).
#[test]
fn fittings_of_crane() {
    const BORE_M: f64 = 0.0779;
    let (small_m, large_m) = (0.8 * BORE_M, BORE_M / 0.7);
    let (sudden, cone) = (std::f64::consts::PI, std::f64::consts::FRAC_PI_6);
    assert_close(turbulent_factor(BORE_M), 0.017_314_632_514_764_644, PRINTED);
    let (bores_lift, bores_ball) = (600.0, 3.0);
    for (fitting, loss) in [
        (Fitting::Length { bores: 30.0 }, 30.0 * 0.017_314_632_5),
        (Fitting::Loss { heads: 0.5 }, 0.5),
        (
            Fitting::ReducedPort {
                bores: bores_ball,
                port_m: small_m,
            },
            0.882_675_531_113_998_3,
        ),
        (
            Fitting::TurnedSeat {
                bores: bores_lift,
                seat_m: small_m,
            },
            25.967_918_722_799_762,
        ),
        (
            Fitting::Contraction {
                from_m: large_m,
                angle_rad: sudden,
            },
            0.255,
        ),
        (
            Fitting::Contraction {
                from_m: large_m,
                angle_rad: cone,
            },
            0.105_598_170_401_828_46,
        ),
        (
            Fitting::Expansion {
                to_m: large_m,
                angle_rad: sudden,
            },
            0.2601,
        ),
        (
            Fitting::Expansion {
                to_m: large_m,
                angle_rad: cone,
            },
            0.175_028_967_441_030_66,
        ),
    ] {
        assert_close(fitting.loss(BORE_M), loss, PRINTED);
    }
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

/// Water of the examples of IEC 60534-2-1: 965.4 kg/m3, p_v 70.1 kPa, p_c 22.12 MPa, 0.1 m3/s.
fn standard_water() -> Column<f64> {
    Column {
        flow: 96.54,
        mass: 0.0,
        density: 965.4,
        viscosity: 3.26e-7,
        throat_pressure: throat_pressure(70.1e3, 0.0, Some(22.12e6)).0,
        contents: Contents::Full,
        gravity_m_s2: 9.806_65,
    }
}

fn alone(kind: ElementKind) -> ChainModel {
    ChainModel::new(&LiquidChain {
        elements: vec![ChainElement {
            name: "throat".to_owned(),
            kind,
        }],
        primed_m3: 0.0,
    })
}

/// Pressure before a restriction that passes a column against `end_pa`.
fn upstream_pa(chain: &ChainModel, column: &Column<f64>, end_pa: f64) -> f64 {
    let (sum, choke) = chain.sum(column, end_pa, &|_| 1.0);
    end_pa + sum.loss + choke.map_or(0.0, |choke| choke.excess)
}

fn valve(kv_m3_h: f64, recovery: f64) -> ChainModel {
    let capacity = Capacity::FlowCoefficient { kv_m3_h, xt: 0.7 };
    alone(ElementKind::Orifice { capacity, recovery })
}

/// Examples 1 (globe, not choked) and 2 (ball, choked) of IEC 60534-2-1, figures as tested in
/// the PyPI package `fluids`: both pass the flow from 680 kPa to 220 kPa. Area of a Kv by density
/// 1000 against the package's 999.1: 1e-3.
#[test]
fn liquid_through_the_valves_of_the_standard() {
    let water = standard_water();
    assert_close(water.throat_pressure / 70.1e3, 0.944_237_52, PRINTED);
    for (kv, recovery, chokes) in [(164.9955, 0.9, false), (238.0582, 0.6, true)] {
        let chain = valve(kv, recovery);
        assert_eq!(chain.sum(&water, 220e3, &|_| 1.0).1.is_some(), chokes);
        assert_close(upstream_pa(&chain, &water, 220e3), 680e3, 1e-3);
    }
}

/// A cavitating venturi, throat 3 mm, Cd 0.95, water at 20 degC (998.2 kg/m3, p_v 2339 Pa):
/// `Cd A sqrt(2 rho (p_1 - p_v))` at 20 bar is 0.424073 kg/s, whatever stands behind. The
/// standard's throat lies 4 % of p_v deeper: 1e-4.
#[test]
fn cavitating_venturi() {
    let column = Column {
        flow: 0.424_073,
        density: 998.2,
        throat_pressure: throat_pressure(2339.0, 0.0, Some(22.06e6)).0,
        ..standard_water()
    };
    let chain = alone(ElementKind::Venturi {
        throat_m2: 0.95 * std::f64::consts::PI * 0.003_f64.powi(2) / 4.0,
        recovery: (1.0_f64 - 0.85).sqrt(),
    });
    for end_pa in [1e5, 8e5, 16.9e5] {
        assert_close(upstream_pa(&chain, &column, end_pa), 20e5, 1e-4);
    }
    // Against more than 85 % of the supply it passes less.
    assert!(upstream_pa(&chain, &column, 18e5) > 20.5e5);
}
