//! The last phase of a day, and the way out of an abort: the vent of a pressed cryogenic tank is opened.

#[path = "support/prediction.rs"]
mod prediction;

use fluids::PureFluid;
use prediction::run;
use scenarios::predict::Prediction;

/// Ready-made stands with a cryogenic tank, its name, and its liquid.
const STANDS: [(&str, &str, &str); 4] = [
    ("lox-helium", "lox", "oxygen"),
    ("lox-nitrogen", "lox", "oxygen"),
    ("methane-helium", "methane", "methane"),
    ("ln2-cold-flow", "ln2", "nitrogen"),
];

/// When the liquid has been pushed out, s, and when it would have begun to flow.
const AFTER_S: f64 = 52.0;
const ABORT_S: f64 = 30.0;

/// A minute after the vent opens.
const UNTIL_S: f64 = 112.0;

const AMBIENT_PA: f64 = 101_300.0;

fn text(stand: &str) -> &'static str {
    let stands = scenarios::ready_made();
    let ready = stands.iter().find(|s| s.name == stand);
    ready.expect("it is ready made").text
}

/// A stand whose tank is vented: after the flow, or instead of it.
fn vented(stand: &str, at_s: f64) -> String {
    let vent = format!("at = \"{at_s} s\"\nopen = \"vent\"\nclose = \"press_valve\"");
    let flow = "at = \"30 s\"\nopen = \"run\"";
    let text = text(stand);
    assert!(text.contains(flow));
    if at_s > ABORT_S {
        format!("{text}\n[[sequence]]\n{vent}\n")
    } else {
        text.replace(flow, &vent)
    }
}

/// Calls with each ready-made stand, its vent opened after the flow and instead of it.
fn each(layers: &str, look: impl Fn(&Vented)) {
    for (stand, tank, liquid) in STANDS {
        for at_s in [AFTER_S, ABORT_S] {
            let sets = [
                (&*format!("tank.{tank}.layers"), layers),
                ("run.until", &*format!("{UNTIL_S} s")),
                ("run.output_step", "100 ms"),
            ];
            look(&Vented {
                name: format!("{stand} vented at {at_s} s, layers = {layers}"),
                tank,
                liquid,
                at_s,
                prediction: run(&vented(stand, at_s), &sets),
            });
        }
    }
}

struct Vented {
    name: String,
    tank: &'static str,
    liquid: &'static str,
    at_s: f64,
    prediction: Prediction,
}

impl Vented {
    fn column(&self, quantity: &str) -> Vec<f64> {
        let name = if quantity.contains('.') || quantity == "time_s" {
            quantity.to_owned()
        } else {
            format!("{}.{quantity}", self.tank)
        };
        let column = self.prediction.outcome.history.column(&name);
        column.unwrap_or_else(|| panic!("{name} is there"))
    }

    fn end(&self, quantity: &str) -> f64 {
        *self.column(quantity).last().expect("it has rows")
    }

    /// From when the vent opens to the end.
    fn gain(&self, quantity: &str) -> f64 {
        let row = self.column("time_s").iter().position(|t| *t >= self.at_s);
        let start = self.column(quantity)[row.expect("it is reached")];
        self.end(quantity) - start
    }

    fn boiling_k(&self, pressure_pa: f64) -> f64 {
        let fluid = PureFluid::named(self.liquid).expect("it is known");
        let saturation = fluid.saturation_at_pressure(pressure_pa);
        saturation.expect("it boils there").temperature_k
    }

    /// What every run has to show, however the ullage is divided.
    fn comes_to_rest(&self) {
        let (name, outcome) = (&self.name, &self.prediction.outcome);
        assert_eq!(self.end("time_s"), UNTIL_S, "{name}");
        // The bars of every run.
        let balances = &outcome.balances;
        assert!(balances.mass_relative < 1e-9, "{name}: {balances:?}");
        assert!(balances.energy_relative < 1e-6, "{name}: {balances:?}");
        // 1 mbar: what boil-off of a gram a second loses in 2 Cv.
        let above_pa = self.end("pressure_pa") - AMBIENT_PA;
        assert!((0.0..100.0).contains(&above_pa), "{name}: {above_pa} Pa");
        // What came out of the vent is what gas and liquid have lost: states, to rounding.
        let out_kg = self.gain("ambient.gas_mass_kg");
        // Some gas still comes in while the press valve shuts.
        let holders = ["supply", "press_line", self.tank].map(|v| format!("{v}.gas_mass_kg"));
        let gas_kg: f64 = holders.iter().map(|q| self.gain(q)).sum();
        let lost_kg = -gas_kg - self.gain("liquid_mass_kg") - self.gain("dissolved_kg");
        assert!(
            (out_kg / lost_kg - 1.0).abs() < 1e-9,
            "{name}: {out_kg} {lost_kg}"
        );
        self.has_boiled_down();
    }

    /// All that is warmer than it boils at the end's pressure has boiled down in a minute, many times
    /// its time constant: 0.02 K for what still comes in. It is no colder than vapour that has a fifth of
    /// that pressure makes it, under helium that has stayed.
    fn has_boiled_down(&self) {
        let pressure_pa = self.end("pressure_pa");
        let boils_k = self.boiling_k(pressure_pa);
        for quantity in ["liquid_temperature_k", "surface_temperature_k"] {
            let end_k = self.end(quantity);
            assert!(end_k < boils_k + 0.02, "{}: {quantity} {end_k}", self.name);
        }
        let coldest_k = self.boiling_k(0.2 * pressure_pa);
        let liquid_k = self.end("liquid_temperature_k");
        assert!(liquid_k > coldest_k, "{}: {liquid_k}", self.name);
        // A full tank's bulk hardly met the pressurant: it boils as it did before, to 0.1 K.
        if self.at_s == ABORT_S {
            let off_k = liquid_k - boils_k;
            assert!(off_k.abs() < 0.1, "{}: {off_k}", self.name);
        }
    }
}

#[test]
fn a_tank_of_layers_is_vented() {
    each("12", Vented::comes_to_rest);
}

#[test]
fn a_mixed_tank_is_vented() {
    each("1", Vented::comes_to_rest);
}

/// Through a hole ten times as wide the pressure is gone in a second: what the cold gas cannot hold has to
/// come down as fast. The bars of every run.
#[test]
fn a_tank_is_vented_through_a_wide_hole() {
    for (stand, ..) in STANDS {
        let wide = [
            ("valve.vent.flow_coefficient", "20 Cv"),
            ("run.until", "60 s"),
            ("run.output_step", "100 ms"),
        ];
        let balances = run(&vented(stand, ABORT_S), &wide).outcome.balances;
        assert!(balances.mass_relative < 1e-9, "{stand}: {balances:?}");
        assert!(balances.energy_relative < 1e-6, "{stand}: {balances:?}");
    }
}

/// Helium that expands from 21 bar in a fraction of a second becomes colder than the vapour in it
/// freezes: oxygen at 54.361 K (triple point, Schmidt and Wagner 1985), methane at 90.694 K (Setzmann and
/// Wagner 1991). The run goes on, and says so.
#[test]
fn vapour_that_freezes_in_cold_helium_is_named() {
    for (stand, told) in [
        (
            "lox-helium",
            "lox: oxygen freezes at 54.4 K, and its ullage",
        ),
        (
            "methane-helium",
            "methane: methane freezes at 90.7 K, and its ullage",
        ),
    ] {
        let warnings = run(&vented(stand, ABORT_S), &[("run.until", "32 s")]).warnings;
        let found = warnings.iter().find(|w| w.code == "gas-7");
        let found = found.unwrap_or_else(|| panic!("{stand}: {warnings:?}"));
        assert!(found.message.contains(told), "{}", found.message);
    }
}

/// Nitrogen kept at 21 bar over oxygen, gas and wall just above the level colder than it boils there
/// (116 K): what the gas cannot hold comes down into the oxygen, and its layers go on.
#[test]
fn nitrogen_that_condenses_above_the_level_comes_down() {
    let text = vented("lox-nitrogen", AFTER_S).replace("\nclose = \"press_valve\"", "");
    let slow = [
        ("valve.vent.flow_coefficient", "0.1 Cv"),
        ("run.until", "80 s"),
        ("run.output_step", "100 ms"),
    ];
    let outcome = run(&text, &slow).outcome;
    assert!(outcome.balances.mass_relative < 1e-9, "{outcome:?}");
    assert!(outcome.balances.energy_relative < 1e-6, "{outcome:?}");
    let column = |name: &str| outcome.history.column(name).expect("it is there");
    let pressure = column("lox.pressure_pa");
    assert!(pressure[pressure.len() - 1] > 20e5);
    // Nitrogen boils at 116.5 K under 20 bar (Span et al. 2000): no gas of its layers is much colder.
    let coldest = column("lox.layer_1_temperature_k");
    assert!(coldest[coldest.len() - 1] > 110.0);
}
