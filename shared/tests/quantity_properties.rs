//! Properties of quantities over many inputs.

use proptest::prelude::*;
use shared::quantity::{Dimension, Display, Quantity, Reference, UNITS, Unit};

const ALL: [Dimension; 31] = {
    use Dimension::*;
    [
        Fraction,
        Length,
        Area,
        Volume,
        Mass,
        Time,
        Pressure,
        PressureDifference,
        Temperature,
        TemperatureDifference,
        MassFlow,
        VolumeFlow,
        StandardFlow,
        FlowCoefficient,
        SonicConductance,
        Density,
        Velocity,
        Acceleration,
        Force,
        Energy,
        Power,
        HeatTransferCoefficient,
        ThermalConductance,
        SpecificHeat,
        ThermalConductivity,
        MolarMass,
        Viscosity,
        PressureRate,
        TemperatureRate,
        Angle,
        Frequency,
    ]
};

fn pressure_unit() -> impl Strategy<Value = &'static Unit> {
    let units = UNITS.iter();
    let pressure = units.filter(|u| u.dimension == Dimension::PressureDifference);
    prop::sample::select(pressure.collect::<Vec<_>>())
}

/// Text that is nearly a quantity: pieces of quantities in any order.
fn near_quantity() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just(" "),
        Just("±"),
        Just("+-"),
        Just(".."),
        Just("."),
        Just("-"),
        Just("−"),
        Just("e"),
        Just("1"),
        Just("23"),
        Just("1e9"),
        Just("%"),
        Just("bar"),
        Just("(g)"),
        Just("psi"),
        Just("g"),
        Just("degC"),
        Just("°"),
        Just("²"),
        Just("L"),
        Just(","),
        Just("/"),
        Just("kg"),
    ];
    prop::collection::vec(piece, 0..9).prop_map(|p| p.concat())
}

proptest! {
    #[test]
    fn a_number_in_any_unit_comes_back(index in 0..UNITS.len(), number in -1e6..1e6_f64) {
        let unit = &UNITS[index];
        let text = format!("{number} {}", unit.symbol);
        let quantity = Quantity::parse(&text, &[unit.dimension]).expect("a known unit");
        let back = unit.from_si(quantity.value);
        // Rounding, larger where a zero of some hundreds of kelvin is added and taken away.
        prop_assert!((back - number).abs() <= 1e-12 * (number.abs() + unit.zero.abs() + 1.0));
    }

    #[test]
    fn a_level_comes_back_through_the_display(unit in pressure_unit(), gauge: bool, number in 0.1..1e4_f64) {
        let spelled = format!("{}{}", unit.symbol, if gauge { "(g)" } else { "(a)" });
        let quantity = Quantity::parse(&format!("{number} {spelled}"), &[Dimension::Pressure]).expect("a level");
        let mut display = Display::new(95_000.0);
        display.show(Dimension::Pressure, &spelled).expect("a unit of pressure");
        let back = display.value(Dimension::Pressure, quantity.absolute(95_000.0));
        // The ambient pressure is added and taken away: its rounding in the unit.
        prop_assert!((back - number).abs() <= 1e-12 * number + 1e-10 / unit.factor);
    }

    #[test]
    fn a_bare_pressure_is_never_a_level(unit in pressure_unit(), number in 0.0..1e4_f64) {
        let text = format!("{number} {}", unit.symbol);
        let fault = Quantity::parse(&text, &[Dimension::Pressure]).expect_err("ambiguous");
        prop_assert_eq!(fault.code.id, "quantity-5");
        let difference = Quantity::parse(&text, &[Dimension::PressureDifference]).expect("a difference");
        prop_assert_eq!(difference.reference, Reference::None);
    }

    #[test]
    fn no_text_breaks_the_parser(text in prop_oneof![".*", near_quantity()]) {
        for dimension in ALL {
            match Quantity::parse(&text, &[dimension]) {
                Ok(quantity) => prop_assert!(quantity.value.is_finite()),
                Err(fault) => {
                    prop_assert!(text.get(fault.at.clone()).is_some(), "{:?}", fault.at);
                    prop_assert!(!fault.remedy.is_empty());
                }
            }
            let _ = Display::new(1e5).show(dimension, &text);
        }
    }
}
