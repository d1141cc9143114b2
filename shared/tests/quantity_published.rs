//! Unit factors against published values and an independent library.

use shared::quantity::{Dimension, Display, Quantity, UNITS, Unit};
use std::collections::BTreeSet;

fn factor(symbol: &str) -> f64 {
    Unit::find(symbol).expect("a known unit").factor
}

/// `scipy.constants`, SciPy 1.17.1.
#[test]
fn factors_agree_with_an_independent_library() {
    let reference = [
        ("psi", 6_894.757_293_168_361),
        ("in", 0.025_4),
        ("ft", 0.304_8),
        ("gal", 0.003_785_411_784),
        ("lbm", 0.453_592_37),
        ("oz", 0.028_349_523_125),
        ("lbf", 4.448_221_615_260_5),
        ("kgf", 9.806_65),
        ("torr", 133.322_368_421_052_63),
        ("atm", 101_325.0),
        ("BTU", 1_055.055_852_62),
    ];
    for (symbol, si) in reference {
        // Products of exact constants: rounding only.
        assert!((factor(symbol) / si - 1.0).abs() < 1e-15, "{symbol}");
    }
}

/// NIST SP 811 (2008), appendix B.8, seven figures each as printed there; from memory.
#[test]
fn factors_agree_with_the_printed_table() {
    let printed = [
        ("inHg", 3_386.389),
        ("inH2O", 249.088_9),
        ("mmH2O", 9.806_65),
        ("kgf/cm2", 98_066.5),
        ("gpm", 6.309_020e-5),
        ("cfm", 4.719_474e-4),
        ("lbm/ft3", 16.018_46),
        ("in3", 1.638_706e-5),
        ("ft3", 2.831_685e-2),
        ("BTU/h", 0.293_071_1),
        ("BTU/hft2F", 5.678_263),
        ("BTU/lbmF", 4_186.8),
    ];
    for (symbol, si) in printed {
        // Half a unit of the seventh figure of the smallest mantissa.
        assert!(
            (factor(symbol) / si - 1.0).abs() < 5e-7,
            "{symbol} {}",
            factor(symbol)
        );
    }
}

/// Molar volumes of a perfect gas: 22.413 970 L/mol at 0 degC and one atmosphere (CODATA 2018,
/// "molar volume of ideal gas (273.15 K, 101.325 kPa)"). The pound-mole at 60 degF and
/// 14.696 psia takes 379.48 ft3 (common practice in gas supply, no source; 379.5 is the
/// figure usually quoted).
#[test]
fn gas_flows_named_by_volume_stand_for_the_right_amount() {
    let mol_per_litre = factor("slpm") * 60.0;
    assert!((1.0 / mol_per_litre / 22.413_969_54 - 1.0).abs() < 1e-9);
    assert_eq!(factor("NL/min"), factor("slpm"));
    let pound_mole = 453.592_37;
    let ft3 = pound_mole / (factor("scfm") * 60.0);
    // Quoted to four figures.
    assert!((ft3 / 379.5 - 1.0).abs() < 2e-4, "{ft3}");
}

/// 1 Kv = 1.156 Cv (IEC 60534-1), four figures.
#[test]
fn flow_coefficients_convert_as_the_standard_says() {
    assert!((factor("Cv") * 1.156 - 1.0).abs() < 1e-4);
}

#[test]
fn temperatures_convert_at_their_fixed_points() {
    let level = |text: &str| {
        Quantity::parse(text, &[Dimension::Temperature])
            .expect(text)
            .value
    };
    // Definitions of the scales; 1e-12 relative is rounding.
    for (text, kelvin) in [
        ("0 degC", 273.15),
        ("32 °F", 273.15),
        ("212 degF", 373.15),
        ("-40 degF", 233.15),
        ("491.67 R", 273.15),
        ("77 K", 77.0),
    ] {
        assert!(
            (level(text) - kelvin).abs() < 1e-10,
            "{text} {}",
            level(text)
        );
    }
}

#[test]
fn no_two_units_share_a_spelling_and_there_are_enough() {
    let mut seen = BTreeSet::new();
    for unit in UNITS {
        for spelling in std::iter::once(&unit.symbol).chain(unit.aliases) {
            assert!(seen.insert(*spelling), "{spelling} stands twice");
            assert_eq!(Unit::find(spelling), Some(unit));
        }
    }
    assert!(UNITS.len() >= 80);
}

#[test]
fn every_usual_unit_can_be_shown_and_read_back() {
    let display = Display::new(101_325.0);
    for dimension in UNITS.iter().map(|u| u.dimension).chain([
        Dimension::Pressure,
        Dimension::PressureDifference,
        Dimension::TemperatureDifference,
    ]) {
        for unit in dimension.usual_units() {
            let text = format!("1 {unit}");
            let read = Quantity::parse(&text, &[dimension]);
            assert_eq!(read.map(|q| q.dimension), Ok(dimension), "{text}");
        }
        let shown = format!("1 {}", display.unit(dimension));
        assert!(Quantity::parse(&shown, &[dimension]).is_ok(), "{shown}");
    }
}
