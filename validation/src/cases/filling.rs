//! Vessels that are filled, and gas that is throttled.

use crate::computed::{Filling, Throttling, gas_states};
use crate::report::{Case, Figure, Section};
use crate::trial::Trial;
use fluids::{GasMixture, PropertyMode, SpeciesSpec};
use std::sync::Arc;

/// The section.
pub fn section() -> Section {
    let mut cases = vec![perfect_evacuated(), perfect_partial(), air_line()];
    match gas_states() {
        Ok(states) => {
            cases.extend(steam(&states.steam));
            cases.extend(states.filling.iter().map(real_filling));
            cases.extend(states.throttling.iter().map(throttling));
        }
        Err(why) => cases.push(Case::damaged("real gases", why)),
    }
    Section {
        title: "Filling and throttling",
        method: "A stand file: a vessel of 1 L without heat transfer is filled through an orifice \
                 from a bottle so large (1e9 m3) that it is a line of constant state.",
        cases,
    }
}

const SOURCE: &str = "`validation/peers/gas_states.py` with CoolProp 8";

fn case(
    title: impl Into<String>,
    source: &'static str,
    reason: &'static str,
    figures: Result<Vec<Figure>, String>,
) -> Case {
    Case {
        title: title.into(),
        source,
        reason,
        figures,
    }
}

/// Perfect air.
const PERFECT: &str = r#"
    [perfect_gas.ideal]
    heat_capacity_ratio = 1.4
    molar_mass = "28.97 g/mol"
"#;

/// A line that fills a vessel.
struct Fill<'a> {
    gas: &'a str,
    definition: &'a str,
    line_bar: f64,
    temperature_k: f64,
    vessel: &'a str,
    until_s: f64,
}

impl Fill<'_> {
    fn stand(&self) -> String {
        let Fill {
            gas,
            definition,
            line_bar,
            temperature_k,
            vessel,
            until_s,
        } = self;
        format!(
            r#"
            [ambient]
            pressure = "1.01325 bar(a)"
            temperature = "{temperature_k} K"
            {definition}
            [bottle.line]
            gas = "{gas}"
            volume = "1e9 m3"
            pressure = "{line_bar} bar(a)"
            heat_transfer = "none"
            [bottle.vessel]
            gas = "{gas}"
            {vessel}
            heat_transfer = "none"
            [valve.hole]
            from = "line"
            to = "vessel"
            effective_area = "1 mm2"
            at_start = "open"
            delay = "0 s"
            stroke_time = "0 s"
            [[sequence]]
            when = "vessel.pressure > 4 bar(a)"
            close = "hole"
            [run]
            until = "{until_s} s"
            output_step = "{until_s} s"
            tolerance = 1e-9
            "#
        )
    }

    /// Without the order to stop.
    fn to_the_end(&self) -> String {
        let stand = self.stand();
        match (stand.find("[[sequence]]"), stand.find("[run]")) {
            (Some(from), Some(to)) => format!("{}{}", &stand[..from], &stand[to..]),
            _ => stand,
        }
    }
}

fn perfect_fill(vessel: &str, expected_k: f64) -> Result<Vec<Figure>, String> {
    let fill = Fill {
        gas: "ideal",
        definition: PERFECT,
        line_bar: 10.0,
        temperature_k: 293.15,
        vessel,
        until_s: 20.0,
    };
    let got = Trial::of(&fill.stand())?.last("vessel.temperature_k")?;
    Ok(vec![Figure::relative(
        "end temperature",
        "K",
        expected_k,
        got,
        1e-5,
    )])
}

fn perfect_evacuated() -> Case {
    let vessel = "volume = \"1 L\"\npressure = \"1 Pa(a)\"";
    case(
        "evacuated vessel, perfect gas",
        "closed form: T2 = k T_line, k = 1.4, T_line = 293.15 K",
        "1e-5: the vessel holds 1 Pa at first (1e-6)",
        perfect_fill(vessel, 1.4 * 293.15),
    )
}

fn perfect_partial() -> Case {
    let vessel = "volume = \"1 L\"\npressure = \"2 bar(a)\"";
    case(
        "vessel at half the end pressure, perfect gas",
        "closed form: T2 = k Ts/[1 + (p1/p2)(k Ts/T1 - 1)], p1/p2 = 0.5",
        "1e-5: integrator 1e-9, a line that loses 1e-12 of itself",
        perfect_fill(vessel, 1.4 * 293.15 / (1.0 + 0.5 * 0.4)),
    )
}

fn real_filling(expected: &Filling) -> Case {
    let fill = Fill {
        gas: &expected.gas,
        definition: "",
        line_bar: expected.pressure_pa / 1e5,
        temperature_k: 293.15,
        vessel: "volume = \"1 L\"\npressure = \"100 Pa(a)\"",
        until_s: 120.0,
    };
    let figures = Trial::of(&fill.to_the_end()).and_then(|trial| {
        let got = trial.last("vessel.temperature_k")?;
        Ok(vec![Figure::relative(
            "end temperature",
            "K",
            expected.temperature_k,
            got,
            1e-4,
        )])
    });
    case(
        format!(
            "{} fills an evacuated vessel to the {} bar(a) of its line",
            expected.gas,
            expected.pressure_pa / 1e5
        ),
        SOURCE,
        "1e-4: the vessel holds 100 Pa at first, up to 1e-4 of its end pressure",
        figures,
    )
}

/// A steam line of 1 MPa and 300 degC, against a book and against its own equation of state.
fn steam(expected: &Filling) -> [Case; 2] {
    let found_k = steam_temperature_k();
    let of = |figure: fn(f64, f64) -> Figure| {
        found_k
            .clone()
            .map(|got| vec![figure(expected.temperature_k, got)])
    };
    let in_book =
        of(|_, got| Figure::absolute("end temperature", "degC", 456.1, got - 273.15, 0.5));
    let exact = of(|expected, got| Figure::relative("end temperature", "K", expected, got, 1e-4));
    [
        case(
            "steam line of 1 MPa and 300 degC, evacuated tank",
            "Cengel and Boles, Thermodynamics: An Engineering Approach, example 5-12",
            "0.5 K: the book draws a straight line between 400 and 500 degC, which costs a third of a kelvin",
            in_book,
        ),
        case(
            "the same without the book's interpolation",
            SOURCE,
            "1e-4: the tank holds 100 Pa at first, 1e-4 of its end pressure",
            exact,
        ),
    ]
}

/// Steam is no gas of the stand file: the network of a perfect gas is given water.
fn steam_temperature_k() -> Result<f64, String> {
    let fill = Fill {
        gas: "ideal",
        definition: PERFECT,
        line_bar: 10.0,
        temperature_k: 573.15,
        vessel: "volume = \"1 L\"\npressure = \"100 Pa(a)\"",
        until_s: 60.0,
    };
    let steam = water_vapour()?;
    let trial = Trial::changed(&fill.to_the_end(), |network| {
        network.mixtures = vec![steam];
    })?;
    trial.last("vessel.temperature_k")
}

fn water_vapour() -> Result<Arc<GasMixture>, String> {
    let spec = SpeciesSpec::Named("water".to_owned());
    let mixture = GasMixture::new(&[spec], PropertyMode::Polished);
    mixture.map(Arc::new).map_err(|e| e.to_string())
}

fn air_line() -> Case {
    case(
        "flow into a tank of 100 L at 201 kPa and 293 K that warms by 0.05 K/s",
        "Fox and McDonald, Introduction to Fluid Mechanics, example 4.12 (its inputs)",
        "0.1 %: four digits given; the rate of warming is a difference over 1 ms",
        air_line_figures(),
    )
}

fn air_line_figures() -> Result<Vec<Figure>, String> {
    let fill = Fill {
        gas: "ideal",
        definition: PERFECT,
        line_bar: 20.0,
        temperature_k: 293.0,
        vessel: "volume = \"100 L\"\npressure = \"201 kPa(a)\"",
        until_s: 1e-3,
    };
    let trial = Trial::of(&fill.to_the_end())?;
    let temperature = trial.column("vessel.temperature_k")?;
    let warming_k_s = (trial.last("vessel.temperature_k")? - temperature[0]) / fill.until_s;
    let flow = trial.first("hole.mass_flow_kg_s")?;
    // Both are proportional to the hole's area.
    let got = flow * 0.05 / warming_k_s * 1e3;
    Ok(vec![Figure::relative("flow", "g/s", 0.1019, got, 1e-3)])
}

fn throttling(expected: &Throttling) -> Case {
    let stand = format!(
        r#"
        [ambient]
        pressure = "1.01325 bar(a)"
        temperature = "300 K"
        [bottle.supply]
        gas = "{}"
        volume = "1e9 m3"
        pressure = "200 bar(a)"
        heat_transfer = "none"
        [regulator.press]
        from = "supply"
        to = "behind"
        set_pressure = "30 bar(a)"
        droop = "0.01 bar"
        effective_area = "1 mm2"
        supply_effect = 0
        response_time = "5 ms"
        [plenum.behind]
        volume = "50 mL"
        pressure = "30 bar(a)"
        heat_transfer = "none"
        [orifice.bleed]
        from = "behind"
        to = "ambient"
        effective_area = "1 mm2"
        [run]
        until = "10 s"
        tolerance = 1e-9
        "#,
        expected.gas
    );
    let figures = Trial::of(&stand).and_then(|trial| {
        let got = trial.last("behind.temperature_k")?;
        Ok(vec![Figure::relative(
            "temperature",
            "K",
            expected.temperature_k,
            got,
            1e-5,
        )])
    });
    case(
        format!(
            "{} throttled from 200 bar(a), 300 K to 30 bar(a)",
            expected.gas
        ),
        SOURCE,
        "1e-5: the regulator holds 30 bar within its droop of 0.01 bar (2 mK)",
        figures,
    )
}
