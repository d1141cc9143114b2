//! Refusals of the property engine, in the units of the stand.

use fluids::FluidError;
use shared::quantity::{Dimension, Display, significant};

/// Digits with which a state and the limit that it just left are told apart.
const DIGITS: i32 = 7;
/// What a mixture that is no longer one phase is refused for.
const STABILITY: &str = fluids::STABILITY;
/// No gas on a stand has less: the equations reach down to no pressure at all.
const VACUUM_PA: f64 = 1.0;

/// A refusal with its state and range in the units shown.
#[must_use]
pub fn words(error: &FluidError, display: &Display) -> String {
    let exact = |dimension, si| exact(display, dimension, si);
    match error {
        FluidError::OutOfRange { fluid, what, .. } if *what == STABILITY => format!(
            "{fluid}: a part of this gas would condense, and liquid in a gas is not carried; keep it \
             warmer or at a lower pressure, or take a gas that boils colder, such as helium"
        ),
        FluidError::OutOfRange {
            fluid,
            what,
            value,
            unit,
            low,
            high,
        } => match dimension_of(unit) {
            Some(dimension) => {
                let ends = (*low, *high);
                let range = range(dimension, *value, ends, |si| exact(dimension, si));
                let value = exact(dimension, *value);
                format!(
                    "{fluid}: {what} {value} is {range}; change the state, or the component that \
                     leads to it, so that it stays inside"
                )
            }
            None => error.to_string(),
        },
        FluidError::Frozen {
            fluid,
            temperature_k,
            pressure_pa,
            melting_pressure_pa,
        } => format!(
            "{fluid} would be frozen at {} and {}: it melts at {} there; raise the temperature or \
             lower the pressure",
            exact(Dimension::Temperature, *temperature_k),
            exact(Dimension::Pressure, *pressure_pa),
            exact(Dimension::Pressure, *melting_pressure_pa),
        ),
        FluidError::Freezes {
            fluid,
            temperature_k,
            pressure_pa,
        } => format!(
            "{fluid} freezes: its temperature has come down to {}, where it boils at {}, and ice is not \
             carried; let it boil under a higher pressure, or end the run before",
            exact(Dimension::Temperature, *temperature_k),
            exact(Dimension::Pressure, *pressure_pa),
        ),
        FluidError::TooWarm {
            fluid,
            temperature_k,
            pressure_pa,
        } => format!(
            "{fluid} has warmed up to {}, where it boils at {}: nearer to its critical point it is not known \
             as a liquid; press it less, or end the run before",
            exact(Dimension::Temperature, *temperature_k),
            exact(Dimension::Pressure, *pressure_pa),
        ),
        FluidError::Condenses { fluid, dew, unit } => match dimension_of(unit) {
            Some(dimension) => format!(
                "{fluid} would partly condense here (its dew curve is at {}); treated as one fluid \
                 it has no two-phase states: keep it warmer, or ask for its components",
                exact(dimension, *dew)
            ),
            None => error.to_string(),
        },
        other => other.to_string(),
    }
}

fn dimension_of(unit: &str) -> Option<Dimension> {
    match unit {
        "K" => Some(Dimension::Temperature),
        "Pa" => Some(Dimension::Pressure),
        "kg/m3" => Some(Dimension::Density),
        _ => None,
    }
}

/// Where a value lies that is out of range.
fn range(
    dimension: Dimension,
    value: f64,
    (low, high): (f64, f64),
    text: impl Fn(f64) -> String,
) -> String {
    if dimension == Dimension::Pressure && low < VACUUM_PA && value > high {
        format!("above the highest valid one, {}", text(high))
    } else if text(value) == text(low) || text(value) == text(high) {
        // It is found at the very step out of the range.
        format!(
            "at the end of the valid range {} to {}",
            text(low),
            text(high)
        )
    } else {
        format!("outside the valid range {} to {}", text(low), text(high))
    }
}

fn exact(display: &Display, dimension: Dimension, si: f64) -> String {
    let number = significant(display.value(dimension, si), DIGITS, 4);
    let short = if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        &number
    };
    format!("{short} {}", display.unit(dimension))
}

#[cfg(test)]
mod tests {
    use super::words;
    use fluids::FluidError;
    use shared::quantity::{Dimension, Display};

    /// Gauge pressures count from 1 bar, so that the numbers below can be checked by eye.
    fn imperial() -> Display {
        let mut display = Display::new(1e5);
        for (dimension, unit) in [
            (Dimension::Pressure, "bar(g)"),
            (Dimension::Temperature, "degF"),
            (Dimension::Density, "lbm/ft3"),
        ] {
            display.show(dimension, unit).expect("the unit is known");
        }
        display
    }

    fn out_of_range(unit: &'static str, value: f64, (low, high): (f64, f64)) -> String {
        let error = FluidError::OutOfRange {
            fluid: "nitrogen".to_owned(),
            what: "state",
            value,
            unit,
            low,
            high,
        };
        words(&error, &imperial())
    }

    #[test]
    fn a_pressure_above_all_valid_ones_has_no_lower_end() {
        let said = out_of_range("Pa", 301e5, (0.0, 101e5));
        assert!(
            said.contains("state 300 bar(g) is above the highest valid one, 100 bar(g);"),
            "{said}"
        );
    }

    #[test]
    fn a_pressure_below_its_range_has_both_ends() {
        let said = out_of_range("Pa", 1.5e5, (2e5, 101e5));
        assert!(
            said.contains("state 0.5 bar(g) is outside the valid range 1 bar(g) to 100 bar(g);"),
            "{said}"
        );
    }

    #[test]
    fn temperatures_and_densities_come_in_the_units_shown() {
        // 273.15 K is 32 °F; a step of 100 K is one of 180 °F.
        let said = out_of_range("K", 173.15, (273.15, 373.15));
        assert!(
            said.contains("-148 °F is outside the valid range 32 °F to 212 °F"),
            "{said}"
        );
        // 0.45359237 kg in 0.3048^3 m3 (both exact): 16.018463 kg/m3.
        let said = out_of_range("kg/m3", 32.036_926_75, (0.0, 16.018_463_37));
        assert!(
            said.contains("2 lbm/ft³ is outside the valid range 0 lbm/ft³ to 1 lbm/ft³"),
            "{said}"
        );
        // What is not shown in a unit of its own stays in SI.
        let said = out_of_range("J/kg", 2.0, (0.0, 1.0));
        assert!(
            said.contains("2 J/kg is outside the valid range 0"),
            "{said}"
        );
    }

    #[test]
    fn freezing_and_condensing_come_in_the_units_shown() {
        let frozen = FluidError::Frozen {
            fluid: "water".to_owned(),
            temperature_k: 263.15,
            pressure_pa: 11e5,
            melting_pressure_pa: 1101e5,
        };
        let said = words(&frozen, &imperial());
        assert!(
            said.contains("frozen at 14 °F and 10 bar(g): it melts at 1100 bar(g)"),
            "{said}"
        );
        let freezes = FluidError::Freezes {
            fluid: "water".to_owned(),
            temperature_k: 273.15,
            pressure_pa: 2e5,
        };
        let said = words(&freezes, &imperial());
        assert!(
            said.contains("down to 32 °F, where it boils at 1 bar(g),"),
            "{said}"
        );
        let warm = FluidError::TooWarm {
            fluid: "nitrogen".to_owned(),
            temperature_k: 122.594_444_444_444_44,
            pressure_pa: 28e5,
        };
        let said = words(&warm, &imperial());
        assert!(
            said.contains("up to -239 °F, where it boils at 27 bar(g):"),
            "{said}"
        );
        for (dew, unit, shown) in [(173.15, "K", "-148 °F"), (3e5, "Pa", "2 bar(g)")] {
            let condenses = FluidError::Condenses {
                fluid: "air".to_owned(),
                dew,
                unit,
            };
            let said = words(&condenses, &imperial());
            assert!(
                said.contains(&format!("its dew curve is at {shown})")),
                "{said}"
            );
        }
    }
}
