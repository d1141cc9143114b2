//! How much nitrogen water could hold.

use crate::report::{Case, Figure};
use crate::trial::Trial;
use scenarios::summary::Summary;

/// As cold as water is still liquid here, degC.
const COLD: f64 = 0.015;

/// Water at degC, at bar(a), and 1e-6 mole fractions of nitrogen per bar.
const PUBLISHED: [(f64, f64, f64); 6] = [
    (20.0, 1.0, 12.52),
    (20.0, 50.0, 11.42),
    (20.0, 100.0, 10.72),
    (COLD, 1.0, 18.65),
    (COLD, 50.0, 17.00),
    (COLD, 100.0, 15.62),
];

/// Molar masses, kg/mol.
const NITROGEN: f64 = 0.028_013_4;
const WATER: f64 = 0.018_015_3;

/// The figure of a run of still water under nitrogen, back in mole fractions per bar.
pub fn nitrogen_in_water() -> Case {
    let figure = |(celsius, bar, expected): (f64, f64, f64)| {
        let trial = Trial::of(&still_water(celsius, bar))?;
        let summary = Summary::of(&trial.network, &trial.outcome);
        let held = summary.get("tank.could_dissolve_kg");
        let held = held.ok_or("no figure of what could dissolve")? / NITROGEN;
        let water = trial.first("tank.liquid_mass_kg")? / WATER;
        let quantity = format!("{bar} bar, {celsius:.0} degC");
        let got = 1e6 * held / water / bar;
        let amount = if celsius == COLD { 0.011 } else { 0.005 };
        Ok(Figure::absolute(
            quantity, "1e-6/bar", expected, got, amount,
        ))
    };
    Case {
        title: "Nitrogen that water could hold".to_owned(),
        source: "J. Res. NBS 77A (1973) 133, mole fraction per bar",
        reason: "half a unit of the last digit, and 0.006 more for 0.015 degC in place of 0, where water is ice",
        figures: PUBLISHED.into_iter().map(figure).collect(),
    }
}

fn still_water(celsius: f64, bar: f64) -> String {
    format!(
        r#"
        [tank.tank]
        volume = "100 L"
        diameter = "400 mm"
        liquid = "water"
        fill = "80 L"
        temperature = "{celsius} degC"
        gas = "nitrogen"
        pressure = "{bar} bar(a)"
        vapour = "none"
        heat_transfer = "none"
        [valve.drain]
        from = "tank"
        to = "ambient"
        flow_coefficient = "1 Cv"
        stroke_time = "100 ms"
        [run]
        until = "1 s"
        output_step = "100 ms"
        "#
    )
}
