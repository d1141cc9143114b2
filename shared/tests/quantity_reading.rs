//! How quantities are read, refused and shown.

use shared::quantity::Dimension::{self, *};
use shared::quantity::{Display, Quantity, Reference, Spread, UNITS, Unit};

fn read(text: &str, dimension: Dimension) -> Quantity {
    Quantity::parse(text, &[dimension]).expect(text)
}

#[test]
fn what_the_trade_writes_is_understood() {
    let cases = [
        ("50 L", Volume, 0.05),
        ("50L", Volume, 0.05),
        (" 50\u{a0}L ", Volume, 0.05),
        ("1.5e-3 m³", Volume, 1.5e-3),
        ("-0.8 m", Length, -0.8),
        ("−0.8 m", Length, -0.8),
        (".5 in", Length, 0.0127),
        ("5 °C", Temperature, 278.15),
        ("5°C", Temperature, 278.15),
        ("5 ºC", Temperature, 278.15),
        ("5 ℃", Temperature, 278.15),
        ("41 ℉", Temperature, 278.15),
        ("5 K", TemperatureDifference, 5.0),
        ("9 R", TemperatureDifference, 5.0),
        ("4 bar", PressureDifference, 4e5),
        ("15 psid", PressureDifference, 15.0 * 6_894.757_293_168_361),
        ("1 Cv", FlowCoefficient, 0.865),
        ("15 mm²", Area, 15e-6),
        ("12 W/m2K", HeatTransferCoefficient, 12.0),
        ("12 W/(m² K)", HeatTransferCoefficient, 12.0),
        ("12 W/(m^2·K)", HeatTransferCoefficient, 12.0),
        ("10 W/K", ThermalConductance, 10.0),
        ("1 L/(s bar)", SonicConductance, 1e-8),
        ("28 g/mol", MolarMass, 0.028),
        ("2 bar/s", PressureRate, 2e5),
        ("25 %", Fraction, 0.25),
        ("0.62", Fraction, 0.62),
        ("2 Wh", Energy, 7_200.0),
        ("10 lbf", Force, 44.482_216_152_605),
    ];
    for (text, dimension, si) in cases {
        let value = read(text, dimension).value;
        // Rounding of one product.
        assert!((value / si - 1.0).abs() < 1e-14, "{text}: {value}");
    }
}

#[test]
fn levels_keep_their_reference() {
    for (text, reference, pa) in [
        ("32 bar(g)", Reference::Gauge, 32e5),
        ("32 barg", Reference::Gauge, 32e5),
        ("32 bar (gauge)", Reference::Gauge, 32e5),
        ("33 bar(a)", Reference::Absolute, 33e5),
        ("33 bara", Reference::Absolute, 33e5),
        ("101.325 kPa(abs)", Reference::Absolute, 101_325.0),
        ("0 psig", Reference::Gauge, 0.0),
        (
            "14.696 psia",
            Reference::Absolute,
            14.696 * 6_894.757_293_168_361,
        ),
    ] {
        let quantity = read(text, Pressure);
        assert_eq!(quantity.reference, reference, "{text}");
        assert!((quantity.value - pa).abs() <= 1e-9 * pa, "{text}");
    }
    assert_eq!(read("32 bar(g)", Pressure).absolute(1e5), 33e5);
    assert_eq!(read("32 bar(a)", Pressure).absolute(1e5), 32e5);
}

#[test]
fn uncertainties_are_half_widths_or_ranges() {
    let normal = |half_width_95| Some(Spread::Normal { half_width_95 });
    let uniform = |low, high| Some(Spread::Uniform { low, high });
    let cases = [
        ("50 L ± 2 %", Volume, 0.05, normal(0.001)),
        ("50 ± 1 L", Volume, 0.05, normal(0.001)),
        ("50 L +- 500 mL", Volume, 0.05, normal(0.0005)),
        ("180 bar(g) +/- 1 bar", Pressure, 180e5, normal(1e5)),
        ("180 ± 1 bar(g)", Pressure, 180e5, normal(1e5)),
        ("200 bar(g) ± 1 %", Pressure, 200e5, normal(2e5)),
        ("0 degC ± 2 K", Temperature, 273.15, normal(2.0)),
        ("0 ± 2 degC", Temperature, 273.15, normal(2.0)),
        ("0.5 ± 0.02", Fraction, 0.5, normal(0.02)),
        ("0.5 ± 2 %", Fraction, 0.5, normal(0.01)),
        ("0.5 .. 1", Fraction, 0.75, uniform(0.5, 1.0)),
        ("0.5..1", Fraction, 0.75, uniform(0.5, 1.0)),
        ("1 .. 3 bar(a)", Pressure, 2e5, uniform(1e5, 3e5)),
        ("1 bar(a) .. 3 bar(a)", Pressure, 2e5, uniform(1e5, 3e5)),
        ("500 mL .. 1.5 L", Volume, 1e-3, uniform(0.5e-3, 1.5e-3)),
    ];
    for (text, dimension, value, spread) in cases {
        let quantity = read(text, dimension);
        let got = (quantity.value, quantity.spread);
        assert!(
            close(got.0, value) && same(got.1, spread),
            "{text}: {got:?}"
        );
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-14 * b.abs()
}

fn same(a: Option<Spread>, b: Option<Spread>) -> bool {
    match (a, b) {
        (Some(Spread::Normal { half_width_95: a }), Some(Spread::Normal { half_width_95: b })) => {
            close(a, b)
        }
        (Some(Spread::Uniform { low: a, high: c }), Some(Spread::Uniform { low: b, high: d })) => {
            close(a, b) && close(c, d)
        }
        _ => false,
    }
}

/// Text, what is wanted, code, the place that is marked, what the remedy must offer.
type Refusal = (
    &'static str,
    Dimension,
    &'static str,
    &'static str,
    &'static str,
);

#[test]
fn every_refusal_says_where_and_what_to_write() {
    let cases: [Refusal; 27] = [
        ("50", Volume, "quantity-1", "50", "\"50 L\""),
        ("50 ± 2 %", Volume, "quantity-1", "50", "\"50 L\""),
        ("", Volume, "quantity-2", "", "50 L"),
        ("ten litres", Volume, "quantity-2", "ten litres", "50 L"),
        ("± 5 bar", Pressure, "quantity-2", "", "50 L"),
        (
            "1,013 bar(a)",
            Pressure,
            "quantity-2",
            "1,013 bar(a)",
            "\"1.013 bar(a)\"",
        ),
        ("1/2 in", Length, "quantity-2", "1/2 in", "0.5 in"),
        ("50 Litres", Volume, "quantity-3", "Litres", "\"50 L\""),
        ("50 kg", Volume, "quantity-4", "kg", "in L, mL or gal"),
        ("3 L/min", MassFlow, "quantity-4", "L/min", "kg/s"),
        ("0.6 m", Fraction, "quantity-4", "m", "\"0.6\""),
        ("32 bar", Pressure, "quantity-5", "bar", "\"32 bar(a)\""),
        ("450 psi", Pressure, "quantity-5", "psi", "\"450 psi(g)\""),
        ("100 kPa", Pressure, "quantity-5", "kPa", "\"100 kPa(a)\""),
        (
            "4 bar(g)",
            PressureDifference,
            "quantity-6",
            "bar(g)",
            "\"4 bar\"",
        ),
        (
            "5 degC",
            TemperatureDifference,
            "quantity-7",
            "degC",
            "\"5 K\"",
        ),
        (
            "9 degF",
            TemperatureDifference,
            "quantity-7",
            "degF",
            "\"9 R\"",
        ),
        ("50 L ± 2", Volume, "quantity-8", "2", "\"± 2 %\""),
        ("50 L ± 2 s", Volume, "quantity-8", "s", "L"),
        ("50 L ± -2 %", Volume, "quantity-8", "-2 %", "positive"),
        ("18 degC ± 2 %", Temperature, "quantity-8", "2 %", "± 2 K"),
        ("25 % ± 2 %", Fraction, "quantity-8", "2 %", "23 % .. 27 %"),
        (
            "0 bar(g) ± 2 %",
            Pressure,
            "quantity-8",
            "2 %",
            "with a unit",
        ),
        (
            "0.66 .. 0.60",
            Fraction,
            "quantity-9",
            "0.66 .. 0.60",
            "lower end first",
        ),
        (
            "1 bar(g) .. 2 bar(a)",
            Pressure,
            "quantity-9",
            "1 bar(g) .. 2 bar(a)",
            "both",
        ),
        ("1e999 L", Volume, "quantity-10", "1e999 L", "smaller"),
        ("1e306 km", Length, "quantity-10", "1e306 km", "smaller"),
    ];
    for (text, dimension, code, place, remedy) in cases {
        let fault = Quantity::parse(text, &[dimension]).expect_err(text);
        assert_eq!(fault.code.id, code, "{text}: {fault}");
        assert_eq!(&text[fault.at.clone()], place, "{text}");
        assert!(fault.remedy.contains(remedy), "{text}: {}", fault.remedy);
    }
}

#[test]
fn a_mistyped_unit_finds_its_neighbour() {
    let meant = |text: &str, d| Quantity::parse(text, &[d]).expect_err(text).did_you_mean;
    assert_eq!(meant("50 Litre", Volume), Some("litre"));
    assert_eq!(meant("450 psgi", Pressure), Some("psig"));
    assert_eq!(meant("2 Kg", Mass), Some("kg"));
    assert_eq!(meant("2 furlong", Length), None);
}

#[test]
fn either_of_two_dimensions_will_do() {
    let fill = |text| Quantity::parse(text, &[Volume, Mass]);
    assert_eq!(fill("14 L").map(|q| q.dimension), Ok(Volume));
    assert_eq!(fill("14 kg").map(|q| q.dimension), Ok(Mass));
    let fault = fill("14 s").expect_err("a time is neither");
    assert!(fault.message.contains("a volume or a mass"), "{fault}");
}

#[test]
fn results_are_shown_in_the_units_asked_for() {
    let mut display = Display::new(101_300.0);
    assert_eq!(display.text(Pressure, 3_298_300.0), "31.97 bar(g)");
    assert_eq!(display.text(PressureDifference, 4e5), "4.000 bar");
    assert_eq!(display.text(Temperature, 291.15), "18.0 °C");
    assert_eq!(display.text(TemperatureDifference, 5.0), "5.000 K");
    assert_eq!(display.text(MassFlow, 1.0834), "1.083 kg/s");
    assert_eq!(display.text(Time, 0.1404), "0.140 s");
    assert_eq!(display.text(Fraction, 0.5), "0.5000");
    display.show(Pressure, "psia").expect("a unit of pressure");
    display
        .show(Temperature, "degF")
        .expect("a unit of temperature");
    assert_eq!(display.text(Pressure, 101_300.0), "14.69 psi(a)");
    assert_eq!(display.text(PressureDifference, 1e6), "145.0 psi");
    assert_eq!(display.text(TemperatureDifference, 5.0), "9.000 R");
}

/// What a bore is read off in: mm, and mL for what is left in a tank; a unit that was asked for stays.
#[test]
fn small_lengths_and_volumes_come_in_small_units() {
    let mut display = Display::new(101_300.0);
    assert_eq!(display.text(Length, 0.0155), "15.50 mm");
    assert_eq!(display.text(Length, 1.2), "1.200 m");
    assert_eq!(display.text(Length, 0.0), "0.000 m");
    assert_eq!(display.text(Volume, 50e-6), "50.00 mL");
    assert_eq!(display.text(Volume, 0.019), "19.00 L");
    assert_eq!(display.text(Area, 14.97e-6), "14.97 mm²");
    display.show(Length, "in").expect("a unit of length");
    assert_eq!(display.text(Length, 0.0127), "0.5000 in");
}

/// What is read off the screen can be typed into a stand file.
#[test]
fn a_unit_is_understood_as_it_is_printed() {
    for unit in UNITS {
        let found = Unit::find(unit.printed()).map(|u| u.symbol);
        assert_eq!(found, Some(unit.symbol), "{}", unit.printed());
    }
}

#[test]
fn a_display_unit_that_does_not_fit_is_refused() {
    let mut display = Display::new(101_300.0);
    for (dimension, text, code) in [
        (Pressure, "bar", "quantity-5"),
        (Pressure, "kg", "quantity-4"),
        (PressureDifference, "bar(g)", "quantity-6"),
        (Temperature, "degX", "quantity-3"),
        (Mass, "", "quantity-3"),
    ] {
        let fault = display.show(dimension, text).expect_err(text);
        assert_eq!(fault.code.id, code, "{text}: {fault}");
    }
}

#[test]
fn numbers_keep_the_digits_that_can_be_used() {
    use shared::quantity::significant;
    for (value, text) in [
        (31.974, "31.97"),
        (123_456.7, "123457"),
        (0.001_234_5, "0.0012"),
        (0.0, "0.000"),
        (-0.000_001, "0.0000"),
        (-5.0, "-5.000"),
        (f64::NAN, "NaN"),
    ] {
        assert_eq!(significant(value, 4, 4), text);
    }
}

#[test]
fn a_trace_of_gas_keeps_its_digits() {
    use Dimension::{Mass, MassFlow, PressureDifference};
    let mut display = Display::new(101_300.0);
    for (dimension, si, text) in [
        (MassFlow, 0.000_123_4, "0.1234 g/s"),
        (MassFlow, -0.009_1, "-9.100 g/s"),
        (MassFlow, 0.010_2, "0.0102 kg/s"),
        (Mass, 2.6e-6, "0.00260 g"),
        (Mass, 0.0, "0.000 kg"),
        // No instrument reads more of a pressure.
        (PressureDifference, 26.0, "0.0003 bar"),
    ] {
        assert_eq!(display.text(dimension, si), text);
    }
    display.show(MassFlow, "kg/s").expect("it is a mass flow");
    assert_eq!(display.text(MassFlow, 0.000_123_4), "0.000123 kg/s");
}
