//! Gas lines against published numbers of adiabatic flow with friction.

mod common;

use common::{ROOM_K, perfect_nitrogen};
use shared::Dual;
use sim_core::components::gas::GasSide;
use sim_core::components::restriction::gas_flow;
use sim_core::network::{Capacity, Friction, Line};

/// A line of 20 mm with a given Darcy factor.
fn line(length_m: f64, factor: f64) -> Line {
    Line {
        length_m,
        bore_m: 0.02,
        friction: Friction::Factor(factor),
        minor_loss: 0.0,
        rise_m: 0.0,
        softness_per_pa: 0.0,
    }
}

fn side(pressure_pa: f64) -> GasSide<f64> {
    let gas = perfect_nitrogen();
    GasSide::constant(&gas, pressure_pa, ROOM_K, &[1.0]).expect("a state")
}

/// kg/s through a line or another capacity.
fn flow(capacity: &Capacity, from_pa: f64, to_pa: f64) -> f64 {
    gas_flow(capacity, &perfect_nitrogen(), &side(from_pa), &side(to_pa)).expect("a flow")
}

const REST_PA: f64 = 1e6;

/// kg/s at a Mach number at the inlet of that line, k = 1.4, from rest without loss.
fn at_inlet(mach: f64) -> f64 {
    let gas = side(REST_PA);
    let sonic = (1.4 * gas.pressure * gas.density).sqrt();
    mach * sonic / (1.0 + 0.2 * mach * mach).powi(3) * line(1.0, 0.0).bore_m2()
}

/// p/p0 of rest at a Mach number.
fn static_part(mach: f64) -> f64 {
    (1.0 + 0.2 * mach * mach).powf(-3.5)
}

/// M, 4 f L*/D and p/p* for k = 1.4: A. H. Shapiro, The Dynamics and Thermodynamics of Compressible Fluid Flow,
/// vol. 1 (1953), table B.4 (from memory). With Darcy's factor 4 f is one number.
const FANNO: [(f64, f64, f64); 9] = [
    (0.1, 66.922, 10.9435),
    (0.2, 14.533, 5.4555),
    (0.3, 5.2992, 3.6190),
    (0.4, 2.3085, 2.6958),
    (0.5, 1.0691, 2.1381),
    (0.6, 0.49081, 1.7634),
    (0.7, 0.20814, 1.4934),
    (0.8, 0.07229, 1.2892),
    (0.9, 0.014513, 1.1291),
];

/// Published: a line as long as the table says chokes at its end with the table's Mach number at its inlet, and
/// does so as soon as the pressure behind has fallen to the table's p*. Five digits of the length are 1e-5 of the
/// flow at most; the pressures have five digits, and are tried a thousandth below; what the choked flow still
/// depends on the pressure behind is (100 Pa/drop)^2/2, below 1e-7 for drops of half a bar on.
#[test]
fn a_line_chokes_by_friction_as_the_table_says() {
    for (mach, loss, over_choked) in FANNO {
        let pipe = Capacity::Line(line(loss * 0.02 / 0.025, 0.025));
        let choked = flow(&pipe, REST_PA, 0.05 * REST_PA);
        assert!(
            (choked / at_inlet(mach) - 1.0).abs() < 2e-5,
            "{mach}: {choked}"
        );
        let end_pa = REST_PA * static_part(mach) / over_choked;
        let at_table = flow(&pipe, REST_PA, 0.999 * end_pa);
        assert!((at_table / choked - 1.0).abs() < 1e-7, "{mach}");
        assert!(flow(&pipe, REST_PA, 1.01 * end_pa) < choked, "{mach}");
    }
}

/// Published: air in a duct of 2 cm with f = 0.024 goes from Mach 0.1 to 0.5 in 55 m (F. M. White, Fluid
/// Mechanics, example 9.10 in the 7th ed.; from memory). The length to five digits is that of the table above;
/// the pressures have four to five.
#[test]
fn a_duct_accelerates_over_the_length_of_the_worked_example() {
    let length: f64 = (66.922 - 1.0691) * 0.02 / 0.024;
    assert!((length - 55.0).abs() < 0.5);
    let end_pa = REST_PA * static_part(0.1) * 2.1381 / 10.9435;
    let found = flow(&Capacity::Line(line(length, 0.024)), REST_PA, end_pa);
    assert!((found / at_inlet(0.1) - 1.0).abs() < 5e-5, "{found}");
}

/// Closed form: without friction it is the isentropic nozzle of its bore, choked or not. At 0.1 bar of drop
/// the regularisation of both is 2.5e-5, at 1 bar nothing; choked, that of the line alone is (100 Pa/7 bar)^2/2.
#[test]
fn a_line_without_friction_is_a_nozzle() {
    let pipe = line(1.0, 0.0);
    let nozzle = Capacity::EffectiveArea { m2: pipe.bore_m2() };
    for (ratio, tolerance) in [(0.99, 1e-4), (0.9, 1e-6), (0.6, 1e-6), (0.3, 1e-7)] {
        let [own, other] =
            [Capacity::Line(pipe), nozzle].map(|c| flow(&c, REST_PA, ratio * REST_PA));
        assert!(
            (own / other - 1.0).abs() < tolerance,
            "{ratio}: {own} {other}"
        );
    }
}

/// Property: its derivatives are those of differences, laminar, turbulent and choked, and it is smooth and odd
/// where the drop vanishes. Central differences of 1e-5 leave 1e-6.
#[test]
fn its_derivatives_are_those_of_differences() {
    let gas = perfect_nitrogen();
    let rough = Line {
        friction: Friction::Roughness { m: 2e-6 },
        bore_m: 4e-3,
        ..line(20.0, 0.0)
    };
    for pipe in [rough, line(3.0, 0.02)] {
        let capacity = Capacity::Line(pipe);
        for back_pa in [0.2e6, 0.7e6, 0.99e6, REST_PA - 500.0, REST_PA - 10.0] {
            let (up, down) = (side(REST_PA), side(back_pa));
            let dual = |side: &GasSide<f64>, pressure: Dual<1>| GasSide {
                pressure,
                temperature: Dual {
                    value: side.temperature,
                    slope: [0.0],
                },
                density: Dual {
                    value: side.density,
                    slope: [0.0],
                },
                enthalpy: Dual {
                    value: side.enthalpy,
                    slope: [0.0],
                },
                partial_density: side.partial_density.map(|value| Dual {
                    value,
                    slope: [0.0],
                }),
                fraction: side.fraction.map(|value| Dual {
                    value,
                    slope: [0.0],
                }),
            };
            let constant = Dual {
                value: up.pressure,
                slope: [0.0],
            };
            let back = Dual::variable(back_pa, 0);
            let own = gas_flow(&capacity, &gas, &dual(&up, constant), &dual(&down, back))
                .expect("a flow");
            let step = 1e-5 * (REST_PA - back_pa);
            let [more, less] = [back_pa + step, back_pa - step].map(|pa| {
                let mut down = side(back_pa);
                down.pressure = pa;
                gas_flow(&capacity, &gas, &up, &down).expect("a flow")
            });
            let slope = (more - less) / (2.0 * step);
            let size = own.value / (REST_PA - back_pa);
            assert!(
                (own.slope[0] - slope).abs() < 1e-5 * size,
                "{back_pa}: {own:?} {slope}"
            );
        }
        assert_eq!(flow(&capacity, REST_PA, REST_PA), 0.0);
        let [one, other] = [(REST_PA, 0.9e6), (0.9e6, REST_PA)].map(|(a, b)| flow(&capacity, a, b));
        assert_eq!(one, -other);
    }
}
