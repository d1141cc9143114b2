//! Liquids along isobars against the reference library CoolProp 8
//! (`generator/reference_liquids.py`) and printed values.

use fluids::{FluidError, GasMixture, Liquid, PropertyMode, SpeciesSpec};
use serde::Deserialize;

#[derive(Deserialize)]
struct Row {
    fluid: String,
    pressure_pa: f64,
    temperature_k: f64,
    density_kg_m3: f64,
    energy_j_kg: f64,
    heat_capacity_j_kg_k: f64,
    expansivity_1_k: f64,
    viscosity_pa_s: f64,
    conductivity_w_m_k: f64,
    sound_speed_m_s: f64,
    vapour_pressure_pa: f64,
    vapour_density_kg_m3: f64,
}

fn rows() -> Vec<Row> {
    serde_json::from_str(include_str!("data/liquids.json")).expect("committed data")
}

fn close(what: &str, row: &Row, got: f64, expected: f64, tolerance: f64) {
    let error = (got / expected - 1.0).abs();
    let (fluid, t, p) = (&row.fluid, row.temperature_k, row.pressure_pa);
    assert!(
        error < tolerance,
        "{what} of {fluid} at {t} K, {p} Pa: {error:e}"
    );
}

/// Splines with steps of 2.5 K: values to 1e-6, slopes to 1e-4; transport as its tables.
#[test]
fn curves_follow_the_equation_of_state() {
    for row in rows() {
        let liquid = Liquid::new(&row.fluid, row.pressure_pa).expect("a known liquid");
        let state = liquid.at(row.temperature_k).expect("in range");
        close(
            "density",
            &row,
            state.density_kg_m3,
            row.density_kg_m3,
            1e-6,
        );
        let heat = row.heat_capacity_j_kg_k * row.temperature_k;
        let energy = (state.internal_energy_j_kg - row.energy_j_kg).abs() / heat;
        assert!(
            energy < 1e-7,
            "energy at {} K: {energy:e}",
            row.temperature_k
        );
        close(
            "cp",
            &row,
            state.heat_capacity_j_kg_k,
            row.heat_capacity_j_kg_k,
            1e-4,
        );
        // Water's expansivity passes through zero at 4 degC.
        let expansivity = (state.expansivity_1_k - row.expansivity_1_k).abs();
        assert!(
            expansivity < 1e-7 + 1e-4 * row.expansivity_1_k.abs(),
            "{expansivity:e}"
        );
        close(
            "viscosity",
            &row,
            state.viscosity_pa_s,
            row.viscosity_pa_s,
            2e-3,
        );
        close(
            "conductivity",
            &row,
            state.conductivity_w_m_k,
            row.conductivity_w_m_k,
            1e-3,
        );
        close(
            "sound",
            &row,
            state.sound_speed_m_s,
            row.sound_speed_m_s,
            1e-6,
        );
        close(
            "vapour pressure",
            &row,
            state.vapour_pressure_pa,
            row.vapour_pressure_pa,
            1e-6,
        );
        let vapour = state.saturated_vapour_density_kg_m3;
        close(
            "vapour density",
            &row,
            vapour,
            row.vapour_density_kg_m3,
            1e-6,
        );
    }
}

/// Slopes are those of the curves themselves, to the accuracy of a central difference.
#[test]
fn slopes_are_derivatives() {
    let water = Liquid::new("water", 3e6).expect("a known liquid");
    for i in 0..40 {
        let (t, h) = (275.0 + 5.0 * f64::from(i), 1e-3);
        let at = |t: f64| water.at(t).expect("in range");
        let (state, low, high) = (at(t), at(t - h), at(t + h));
        let pairs = [
            (
                state.density_by_t,
                high.density_kg_m3 - low.density_kg_m3,
                state.density_kg_m3,
            ),
            (
                state.heat_capacity_j_kg_k,
                high.internal_energy_j_kg - low.internal_energy_j_kg,
                state.internal_energy_j_kg,
            ),
            (
                state.viscosity_by_t,
                high.viscosity_pa_s - low.viscosity_pa_s,
                state.viscosity_pa_s,
            ),
            (
                state.vapour_pressure_by_t,
                high.vapour_pressure_pa - low.vapour_pressure_pa,
                state.vapour_pressure_pa,
            ),
        ];
        for (slope, rise, value) in pairs {
            assert!(
                (slope - rise / (2.0 * h)).abs() < 1e-8 * value.abs(),
                "{slope} at {t} K"
            );
        }
    }
}

/// Water at 20 degC and one atmosphere: density 998.207 kg/m3, viscosity 1.0016 mPa s (ISO/TR
/// 3666:1998), speed of sound 1482.3 m/s, vapour pressure 2339.3 Pa (IAPWS): last printed digits.
#[test]
fn printed_values_of_water() {
    let water = Liquid::new("water", 101_325.0).expect("a known liquid");
    let state = water.at(293.15).expect("in range");
    assert!((state.density_kg_m3 - 998.207).abs() < 0.002);
    assert!((state.viscosity_pa_s - 1.0016e-3).abs() < 0.0005e-3);
    assert!((state.sound_speed_m_s - 1482.3).abs() < 0.1);
    assert!((state.vapour_pressure_pa - 2339.3).abs() < 0.1);
    // Bulk modulus 2.19 GPa: the usual rounded value of the trade is 2.2 GPa.
    assert!((state.bulk_modulus_pa / 2.193e9 - 1.0).abs() < 1e-3);
}

/// Latent heat of water at 20 degC, 2453.5 kJ/kg (IAPWS-95, last printed digit), between a liquid
/// and a mixture's vapour: both count energy from the same state.
#[test]
fn liquid_and_vapour_share_their_reference() {
    let water = Liquid::new("water", 101_325.0).expect("a known liquid");
    let species = [SpeciesSpec::Named("water".to_owned())];
    let gas = GasMixture::new(&species, PropertyMode::Polished).expect("a known gas");
    let liquid = water.at(293.15).expect("in range");
    let vapour = gas
        .at(liquid.vapour_pressure_pa, 293.15, &[1.0])
        .expect("in range");
    let enthalpy = liquid.internal_energy_j_kg + liquid.vapour_pressure_pa / liquid.density_kg_m3;
    let latent = vapour.enthalpy_j_kg - enthalpy;
    assert!((latent - 2453.5e3).abs() < 0.1e3, "{latent}");
    // The dilute vapour that flows are counted with is 0.05 % above the saturated one.
    let (dilute, _) = gas.vapour_enthalpy(0, 293.15);
    assert!((dilute - vapour.enthalpy_j_kg) / latent < 6e-4, "{dilute}");
}

#[test]
fn beyond_freezing_and_boiling_is_refused() {
    let water = Liquid::new("water", 101_325.0).expect("a known liquid");
    let (low, high) = water.temperature_range_k();
    assert!((low - 273.16).abs() < 1e-9 && (high - 373.124).abs() < 0.01);
    for t in [260.0, 380.0] {
        let error = water.at(t).expect_err("frozen or boiling");
        assert!(
            error.to_string().contains("between freezing and boiling"),
            "{error}"
        );
    }
    assert!(matches!(
        water.at(f64::NAN),
        Err(FluidError::NotFinite { .. })
    ));
    let error = Liquid::new("treacle", 1e5).expect_err("not a known liquid");
    assert!(error.to_string().contains("water, ethanol"));
    assert!(matches!(
        Liquid::new("water", 1.0),
        Err(FluidError::OutOfRange { .. })
    ));
}

/// Where a tank's pressure may rise, a liquid goes on along its saturation: below boiling it is that
/// of its isobar, above it has the density of saturation, 1090.89 kg/m3 at 100 K and 973.85 kg/m3 at
/// 120 K (oxygen, CoolProp 8). 1e-4: the splines where one line passes into the other.
#[test]
fn a_liquid_whose_tank_rises_goes_on_along_saturation() {
    let (isobar, rising) = (
        Liquid::new("oxygen", 1.4e5).expect("known"),
        Liquid::rising("oxygen", 1.4e5).expect("known"),
    );
    let density = |liquid: &Liquid, t| liquid.at(t).expect("in range").density_kg_m3;
    let ratio = density(&rising, 85.0) / density(&isobar, 85.0);
    assert!((ratio - 1.0).abs() < 1e-4, "{ratio}");
    assert!(isobar.at(100.0).is_err());
    for (t, expected) in [(100.0, 1090.89), (120.0, 973.85)] {
        let ratio = density(&rising, t) / expected;
        assert!((ratio - 1.0).abs() < 1e-4, "{t} K: {ratio}");
    }
}

/// Every liquid named can be had at 2 MPa, has positive properties and a density that falls as it
/// warms (water's does not below 4 degC).
#[test]
fn every_liquid_is_there() {
    for &name in Liquid::names() {
        let liquid = Liquid::new(name, 2e6).expect("a known liquid");
        let (low, high) = liquid.temperature_range_k();
        assert!(low < high, "{name}");
        for i in 0..=20 {
            let t = low + (high - low) * f64::from(i) / 20.0;
            let state = liquid.at(t.clamp(low, high)).expect("in range");
            let falls = state.density_by_t < 0.0 || (name == "water" && t < 278.0);
            assert!(falls, "{name} at {t} K");
            let positive = [
                state.density_kg_m3,
                state.heat_capacity_j_kg_k,
                state.viscosity_pa_s,
                state.conductivity_w_m_k,
                state.vapour_pressure_pa,
                state.saturated_vapour_density_kg_m3,
                state.sound_speed_m_s,
            ];
            assert!(
                positive.iter().all(|v| *v > 0.0),
                "{name} at {t} K: {state:?}"
            );
        }
    }
}

/// Handbook values of liquids that only correlations describe, each with the error its page states:
/// isopropanol at 25 degC (CRC Handbook of Chemistry and Physics: 0.7809 g/cm3, 2.038 mPa s, 6.02 kPa;
/// from memory), 90 % hydrogen peroxide (boils at 141 degC at one atmosphere; from memory).
#[test]
fn plain_liquids_meet_handbooks() {
    let isopropanol = Liquid::new("isopropanol", 101_325.0).expect("known");
    let state = isopropanol.at(298.15).expect("in range");
    assert!((state.density_kg_m3 / 780.9 - 1.0).abs() < 0.01);
    assert!((state.viscosity_pa_s / 2.038e-3 - 1.0).abs() < 0.05);
    assert!((state.vapour_pressure_pa / 6.02e3 - 1.0).abs() < 0.03);
    let boils = isopropanol.temperature_range_k().1;
    // 3 % of the vapour pressure are 0.7 K.
    assert!((boils - 355.4).abs() < 0.8, "{boils}");
    let kerosene = Liquid::new("kerosene", 101_325.0).expect("known");
    let state = kerosene.at(288.15).expect("in range");
    assert!((state.density_kg_m3 - 810.0).abs() < 0.01);
    assert_eq!(kerosene.vapour_species(), None);
}

/// n-heptane, whose formulas are held against an equation of state that they do not come from: density kg/m3, cp
/// J/(kg K), viscosity Pa s, conductivity W/(m K), vapour pressure Pa and speed of sound m/s at one atmosphere (CoolProp
/// 8: Span and Wagner 2003, and its transport). Tolerances are the errors that the page of liquids states.
#[test]
fn heptane_meets_its_equation_of_state() {
    let heptane = Liquid::new("n-heptane", 101_325.0).expect("known");
    for (t, expected) in [
        (230.0, [736.229, 2034.97, 1.0165e-3, 0.14310, 57.7, 1429.05]),
        (
            260.0,
            [711.429, 2111.69, 6.2345e-4, 0.13382, 644.0, 1291.95],
        ),
        (
            298.15,
            [679.598, 2240.49, 3.9007e-4, 0.12217, 6_090.8, 1128.53],
        ),
        (
            340.0,
            [643.328, 2412.38, 2.5885e-4, 0.10995, 36_178.1, 958.55],
        ),
        (
            365.0,
            [620.420, 2526.78, 2.0867e-4, 0.10301, 83_287.2, 859.40],
        ),
    ] {
        let state = heptane.at(t).expect("in range");
        let found = [
            (state.density_kg_m3, 0.005),
            (state.heat_capacity_j_kg_k, 0.015),
            (state.viscosity_pa_s, 0.05),
            (state.conductivity_w_m_k, 0.025),
            (state.vapour_pressure_pa, 0.015),
            (state.sound_speed_m_s, 0.02),
        ];
        for ((got, part), expected) in found.into_iter().zip(expected) {
            assert!(
                (got / expected - 1.0).abs() < part,
                "{t} K: {got}, {expected}"
            );
        }
    }
}
