//! Liquids in a tank against the equation of state behind them, and what must hold of any of them.

use fluids::{CompressedLiquid, FluidError, Phase};

const NAMES: [&str; 11] = [
    "oxygen",
    "nitrogen",
    "argon",
    "methane",
    "parahydrogen",
    "propane",
    "nitrous oxide",
    "carbon dioxide",
    "water",
    "ethanol",
    "methanol",
];

fn liquid(name: &str) -> CompressedLiquid {
    CompressedLiquid::new(name).expect("a known liquid")
}

/// Temperatures from the cold end to a share of the range.
fn temperatures(liquid: &CompressedLiquid, share: f64) -> impl Iterator<Item = f64> {
    let (low, high) = liquid.temperature_range_k();
    (1..40).map(move |i| low + share * (high - low) * (f64::from(i) - 0.31) / 39.0)
}

/// The tables hold to 2e-5 in density and enthalpy, 2e-4 in the slopes (splines of order four lose one),
/// up to 0.95 critical temperatures; enthalpies count against the heat that boils.
#[test]
fn tables_follow_the_equation() {
    for name in NAMES {
        let liquid = liquid(name);
        let fluid = liquid.fluid();
        for t in temperatures(&liquid, 0.95) {
            let pair = liquid.saturation(t).expect("in range");
            let exact = fluid.saturation_at_temperature(t).expect("in range");
            let heat = exact.vaporisation_enthalpy_j_kg();
            let close = |what: &str, got: f64, expected: f64, scale: f64, tolerance: f64| {
                let error = (got - expected).abs() / scale;
                assert!(error < tolerance, "{what} of {name} at {t} K: {error:e}");
            };
            close(
                "p_sat",
                pair.pressure_pa.0,
                exact.pressure_pa,
                exact.pressure_pa,
                1e-5,
            );
            let slope = exact.pressure_by_temperature();
            close("dp/dT", pair.pressure_pa.1, slope, slope, 1e-3);
            close("h_fg", pair.vaporisation_enthalpy_j_kg(), heat, heat, 1e-5);
            for excess in [1e3, 1e5, 2e6, 1.5e7] {
                let p = exact.pressure_pa + excess;
                let Ok(state) = liquid.at(p, t) else { continue };
                let point = fluid.in_phase(p, t, Phase::Liquid).expect("a liquid");
                let rho = point.density_kg_m3;
                close("rho", state.density_kg_m3, rho, rho, 2e-5);
                close("h", state.enthalpy_j_kg, point.enthalpy_j_kg, heat, 2e-5);
                close(
                    "cp",
                    state.heat_capacity_j_kg_k,
                    point.cp_j_kg_k,
                    point.cp_j_kg_k,
                    2e-3,
                );
                let sound = point.sound_speed_m_s;
                close("sound", state.sound_speed_m_s, sound, sound, 1e-4);
                let by_p = 1.0 / fluid.equation().state(rho, t).pressure_by_density();
                close("d rho/dp", state.density_by_p, by_p, by_p, 1e-2);
            }
        }
    }
}

/// From enthalpy back to temperature: the table inverted, so only rounding is left.
#[test]
fn enthalpy_finds_its_temperature() {
    for name in NAMES {
        let liquid = liquid(name);
        for t in temperatures(&liquid, 0.9) {
            let p = liquid.saturation(t).expect("in range").pressure_pa.0 + 3e5;
            let Ok(state) = liquid.at(p, t) else { continue };
            let found = liquid.by_enthalpy(p, state.enthalpy_j_kg);
            let back = found.expect("in range").temperature_k;
            assert!((back / t - 1.0).abs() < 1e-8, "{name}: {back} from {t}");
        }
    }
}

/// Boiling points of CoolProp 8 at 101325 Pa, to half a unit of the last digit printed.
#[test]
fn boiling_at_one_atmosphere() {
    let rows = [
        ("oxygen", 90.188),
        ("parahydrogen", 20.271),
        ("methane", 111.667),
    ];
    for (name, t) in rows {
        let found = liquid(name).boiling_temperature_k(101_325.0);
        assert!((found.expect("it boils") - t).abs() < 6e-4, "{name}");
    }
}

#[test]
fn what_is_no_liquid_is_refused() {
    let oxygen = liquid("oxygen");
    let boiling = oxygen.at(101_325.0, 100.0);
    assert!(matches!(boiling, Err(FluidError::OutOfRange { .. })));
    let hot = oxygen.at(3e6, 154.0);
    assert!(matches!(hot, Err(FluidError::OutOfRange { .. })));
    let frozen = liquid("parahydrogen").at(2e7, 15.0);
    assert!(matches!(frozen, Err(FluidError::Frozen { .. })));
    let nothing = oxygen.at(f64::NAN, 90.0);
    assert!(matches!(nothing, Err(FluidError::NotFinite { .. })));
    let plain = CompressedLiquid::new("kerosene");
    assert!(matches!(plain, Err(FluidError::NotAvailable { .. })));
    let air = CompressedLiquid::new("air");
    assert!(matches!(air, Err(FluidError::NotAvailable { .. })));
}

/// A liquid a little superheated is still answered: 2 % of the critical pressure.
#[test]
fn a_little_superheat_is_allowed() {
    let oxygen = liquid("oxygen");
    let state = oxygen.at(0.5e5, 90.188).expect("superheated by half a bar");
    assert!(state.excess_pa < 0.0 && state.density_kg_m3 > 1140.0);
}
