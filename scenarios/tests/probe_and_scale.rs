//! Readings of the capacitive probe and of the tank's scale, against closed forms.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use std::f64::consts::PI;

const DIAMETER_M: f64 = 0.2;
const TANK_M3: f64 = 0.02;
const FILL_M3: f64 = 0.012;

/// A tank of liquid at rest under helium, with a drain that opens at 5 s.
fn standing(liquid: &str, saturated: &str, pressure: &str) -> String {
    format!(
        r#"
        [tank.cold]
        volume = "20 L"
        diameter = "200 mm"
        ends = "flat"
        liquid = "{liquid}"
        saturated_at = "{saturated}"
        fill = "12 L"
        gas = "helium"
        pressure = "{pressure}"
        heat_leak = "0 W"
        heat_transfer = "none"
        residual = "0.1 L"
        [valve.drain]
        from = "cold"
        to = "ambient"
        flow_coefficient = "0.5 Cv"
        stroke_time = "100 ms"
        [[sequence]]
        at = "5 s"
        open = "drain"
        [run]
        until = "15 s"
        output_step = "100 ms"
        "#
    )
}

/// Two tubes side by side in parallel: `[h (e_l - 1) + (H - h)(e_g - 1)]/[H (e_0 - 1)]`, calibrated on the
/// liquid of the start, so that the liquid reads h/H, and `(e - 1)/(e + 2) = a rho` for the vapour.
/// Permittivity and density of the saturated liquid at one atmosphere, from memory. 1e-6: the tables of the level and of
/// the density.
#[test]
fn the_probe_reads_level_and_vapour() {
    for (liquid, e, density) in [("oxygen", 1.484, 1141.2), ("nitrogen", 1.432, 806.1)] {
        let history = run(&standing(liquid, "1.013 bar(a)", "8 bar(a)"), &[])
            .outcome
            .history;
        let column = |name: &str| history.column(&format!("cold.{name}")).expect(name);
        let a = (e - 1.0) / ((e + 2.0) * density);
        let over_one = |rho: f64| 3.0 * a * rho / (1.0 - a * rho);
        let (height, level) = (
            TANK_M3 / (PI / 4.0 * DIAMETER_M * DIAMETER_M),
            FILL_M3 / (PI / 4.0 * DIAMETER_M * DIAMETER_M),
        );
        let liquid_density = column("liquid_mass_kg")[0] / FILL_M3;
        let vapour = column("vapour_mass_kg")[0] / (TANK_M3 - FILL_M3);
        let gas = (height - level) * over_one(vapour) / (height * over_one(liquid_density));
        let (got, expected) = (column("probe_1")[0], level / height + gas);
        assert!(
            (got / expected - 1.0).abs() < 1e-6,
            "{liquid}: {got}, {expected}"
        );
        // The vapour counts for more than that.
        assert!(gas > 1e-4, "{gas}");
        let last = history.len() - 1;
        let fallen = column("level_m")[last] / height;
        let read = column("probe_1")[last];
        assert!(
            fallen < 0.55 && read > fallen && read < fallen + 0.01,
            "{read}, {fallen}"
        );
    }
}

/// Nitrous oxide has a permittivity, carbon dioxide none that is listed: its probe reads nothing.
#[test]
fn a_liquid_without_permittivity_has_no_reading() {
    let probe = |liquid: &str| {
        let history = run(&standing(liquid, "30 bar(a)", "35 bar(a)"), &[])
            .outcome
            .history;
        history.column("cold.probe_1").expect("it is there")[0]
    };
    let oxide = probe("nitrous oxide");
    assert!((0.6..0.7).contains(&oxide), "{oxide}");
    assert!(probe("carbon dioxide").is_nan());
}

/// The scale shows liquid, gas and vapour: at the start `rho V` of the liquid and, as ideal gases, `p M V/(R T)` of
/// helium and vapour at their shares (1e-3 of the whole: real vapour); then what the drain has carried off less,
/// to the rounding of the mass balance.
#[test]
fn the_scale_weighs_what_is_there() {
    let history = run(&standing("nitrogen", "1.013 bar(a)", "8 bar(a)"), &[])
        .outcome
        .history;
    let column = |name: &str| history.column(name).expect(name);
    let scale = column("cold.scale_kg");
    // Nitrogen at 77.35 K: 806.1 kg/m3 saturated at one atmosphere, 2.6 more at 11.2 bar(a), for which the model takes it (CoolProp 8).
    let liquid = 808.7 * FILL_M3;
    // In a gas of 82.35 K: vapour at 1.013 bar, helium at 6.987 bar.
    let ideal = |pa: f64, kg_mol: f64| pa * kg_mol * (TANK_M3 - FILL_M3) / (8.314_463 * 82.35);
    let gas = ideal(1.013e5, 0.028_013) + ideal(6.987e5, 0.004_003);
    let expected = liquid + gas;
    assert!(
        (scale[0] / expected - 1.0).abs() < 1e-3,
        "{}, {expected}",
        scale[0]
    );
    let gone = column("ambient.liquid_mass_kg");
    for (row, gone) in gone.iter().enumerate() {
        assert!(
            (scale[0] - scale[row] - gone).abs() < 1e-8 * scale[0],
            "row {row}"
        );
    }
    assert!(gone.last().expect("there are rows") > &1.0);
}
