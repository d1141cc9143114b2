//! Sizes that were found on the simulation beside a textbook's.

use crate::report::{Case, Figure, Section};
use crate::trial::{Trial, stand};
use scenarios::studies::parallel::silent;
use scenarios::studies::size::{Confidence, Found, Knob, Sizer, Wanted};

/// The section.
pub fn section() -> Section {
    Section {
        title: "Sizing",
        method: "A bracketed root on whole runs, in the limit in which the textbook's formula holds.",
        cases: vec![pressurant()],
    }
}

/// 0.160 m3 of propellant with 5 % more for the ullage, which the formula takes as pushed out;
/// the smallest ullage that a tank may have is filled beforehand.
const STAND: &str = r#"
title = "Pressurant of a textbook"
[ambient]
pressure = "1.013 bar(a)"
temperature = "298 K"
[perfect_gas.ideal]
molar_mass = "28.7697 g/mol"
heat_capacity_ratio = 1.40
[bottle.supply]
gas = "ideal"
volume = "60 L"
pressure = "140 bar(a)"
heat_transfer = "none"
[regulator.press]
from = "supply"
to = "tank"
set_pressure = "30 bar(a)"
droop = "0.05 bar"
supply_effect = 0
flow_coefficient = "20 Cv"
[tank.tank]
volume = "168.84 L"
diameter = "500 mm"
liquid = "water"
ullage = "0.5 %"
gas = "ideal"
pressure = "30 bar(a)"
heat_transfer = "none"
interface_heat_transfer = "none"
vapour = "none"
residual = "0.01 L"
[orifice.tip]
from = "tank"
to = "ambient"
effective_area = "20 mm2"
[run]
until = "140 s"
[requirement]
"tank.pressure_end" = ">= 29.9 bar(a)"
"#;

fn pressurant() -> Case {
    Case {
        title: "Pressurant for a pressure-fed tank".to_owned(),
        source: "G. P. Sutton and O. Biblarz, Rocket Propulsion Elements, example 6-2, from memory: \
                 m = p V k/(R T (1 - p/p0)), 10.4 kg, without the 5 % that it adds to the bottle",
        reason: "1 %: the tank's ullage of 0.5 % is there beforehand, and the regulator needs some \
                 difference at the end",
        figures: sized(),
    }
}

fn sized() -> Result<Vec<Figure>, String> {
    let stand = stand(STAND)?;
    let between = Some(("50 L", "90 L"));
    let knob = Knob::new(&stand, "bottle.supply.volume", between).map_err(|e| e.to_string())?;
    let sizer = Sizer {
        stand: &stand,
        knob,
        wanted: Wanted::Smallest,
        confidence: Confidence {
            part: 0.95,
            draws: 0,
            seed: 1,
        },
    };
    let Found::Value(answer) = sizer.find(&silent).found else {
        return Err("no volume does".to_owned());
    };
    let text = STAND.replace(
        "volume = \"60 L\"",
        &format!("volume = \"{}\"", answer.text),
    );
    let put_back = Trial::of(&text)?;
    let (p, p0, k, v, r_t) = (3.0e6, 14.0e6, 1.4, 0.168, 289.0 * 298.0);
    let mass = p * v * k / (r_t * (1.0 - p / p0));
    Ok(vec![
        Figure::relative(
            "pressurant",
            "kg",
            mass,
            put_back.first("supply.gas_mass_kg")?,
            0.01,
        ),
        Figure::relative("bottle", "L", 1e3 * mass * r_t / p0, answer.value, 0.01),
        Figure::at_most(
            "answer put back: short of the pressure by",
            shortfall(&put_back)?,
            5e-4,
        ),
    ])
}

/// Part by which the pressure at the end of the flow is below what was asked for.
fn shortfall(trial: &Trial) -> Result<f64, String> {
    let summary = scenarios::summary::Summary::of(&trial.network, &trial.outcome);
    let end_pa = summary.get("tank.pressure_end_pa").ok_or("nothing flows")?;
    Ok((1.0 - end_pa / 29.9e5).max(0.0))
}
