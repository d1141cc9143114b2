//! Property: networks made at random, with several bottles on a manifold, a regulator in one or two
//! stages or none, and several tanks, keep mass and energy, and do not care in which order their parts are written.

#[path = "support/prediction.rs"]
mod prediction;

use prediction::run;
use proptest::prelude::*;

/// What a network is made of.
#[derive(Clone, Debug)]
struct Parts {
    gas: &'static str,
    liquid: &'static str,
    /// Volume in litres and pressure in bar(g).
    bottles: Vec<(f64, f64)>,
    /// Set pressures in bar(g), from the bottles on.
    stages: Vec<f64>,
    /// Volume in litres, filled part, and bore of the tip in mm.
    tanks: Vec<(f64, f64, f64)>,
}

fn parts() -> impl Strategy<Value = Parts> {
    let gas = prop_oneof![Just("nitrogen"), Just("helium"), Just("air")];
    let liquid = prop_oneof![Just("water"), Just("ethanol")];
    let bottles = prop::collection::vec((2.0..20.0_f64, 90.0..250.0_f64), 1..4);
    let stages = prop_oneof![Just(vec![]), Just(vec![25.0]), Just(vec![55.0, 25.0])];
    let tanks = prop::collection::vec((5.0..30.0_f64, 0.3..0.9_f64, 2.0..6.0_f64), 1..3);
    (gas, liquid, bottles, stages, tanks).prop_map(|(gas, liquid, bottles, stages, tanks)| Parts {
        gas,
        liquid,
        bottles,
        stages,
        tanks,
    })
}

impl Parts {
    /// A table for each component.
    fn tables(&self) -> Vec<String> {
        let Self { gas, liquid, .. } = self;
        let plenum = |name: &str, bar: f64| {
            format!(
                "[plenum.{name}]\nvolume = \"0.2 L\"\ngas = \"{gas}\"\npressure = \"{bar} bar(g)\"\n"
            )
        };
        let least = self.bottles.iter().map(|b| b.1).fold(f64::MAX, f64::min);
        let mut tables = vec![plenum("manifold", least)];
        for (i, (volume, bar)) in self.bottles.iter().enumerate() {
            tables.push(format!(
                "[bottle.bottle{i}]\ngas = \"{gas}\"\nvolume = \"{volume} L\"\npressure = \"{bar} bar(g)\"\n"
            ));
            tables.push(format!(
                "[check_valve.guard{i}]\nfrom = \"bottle{i}\"\nto = \"manifold\"\n\
                 cracking_pressure = \"0.3 bar\"\nflow_coefficient = \"1 Cv\"\n"
            ));
        }
        let mut before = "manifold".to_owned();
        for (i, bar) in self.stages.iter().enumerate() {
            let after = format!("stage{i}");
            tables.push(plenum(&after, *bar));
            tables.push(format!(
                "[regulator.regulator{i}]\nfrom = \"{before}\"\nto = \"{after}\"\nset_pressure = \"{bar} bar(g)\"\n\
                 droop = \"3 bar\"\nflow_coefficient = \"0.3 Cv\"\n"
            ));
            before = after;
        }
        // Without a regulator a small hole, so that no tank rises above what it is filled from.
        let inlet = if self.stages.is_empty() { 0.02 } else { 1.0 };
        for (i, (volume, fill, tip)) in self.tanks.iter().enumerate() {
            tables.push(format!(
                "[orifice.inlet{i}]\nfrom = \"{before}\"\nto = \"tank{i}.gas\"\nflow_coefficient = \"{inlet} Cv\"\n"
            ));
            tables.push(format!(
                "[tank.tank{i}]\nvolume = \"{volume} L\"\ndiameter = \"{} mm\"\nliquid = \"{liquid}\"\n\
                 fill = \"{} L\"\ngas = \"{gas}\"\npressure = \"20 bar(g)\"\n",
                100.0 * volume.cbrt(),
                volume * fill
            ));
            tables.push(format!(
                "[valve.run{i}]\nfrom = \"tank{i}\"\nflow_coefficient = \"4 Cv\"\nstroke_time = \"80 ms\"\n"
            ));
            tables.push(format!(
                "[orifice.tip{i}]\nfrom = \"run{i}\"\nto = \"ambient\"\ndiameter = \"{tip} mm\"\n\
                 discharge_coefficient = \"0.62\"\n"
            ));
        }
        tables
    }

    /// The stand, its tables in an order.
    fn stand(&self, tables: &[String]) -> String {
        let opened: String = (0..self.tanks.len())
            .map(|i| format!("[[sequence]]\nat = \"0.{} s\"\nopen = \"run{i}\"\n", i + 3))
            .collect();
        format!(
            "title = \"At random\"\n{}{opened}[run]\nuntil = \"3 s\"\noutput_step = \"100 ms\"\n",
            tables.concat()
        )
    }
}

/// A network and its tables in another order.
fn shuffled() -> impl Strategy<Value = (Parts, Vec<String>)> {
    parts().prop_flat_map(|parts| {
        let tables = Just(parts.tables()).prop_shuffle();
        (Just(parts), tables)
    })
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 48,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// The audit of a run: mass to rounding; energy to ten times the tolerance of the steps, 1e-5,
    /// which goes by what the volumes hold, while the audit goes by the work and heat of a short run. And the order in
    /// which states stand in a file moves no figure by more than the tolerance of the steps lets it.
    #[test]
    fn nothing_is_lost_and_the_order_of_the_parts_is_of_no_account((parts, tables) in shuffled()) {
        let one = run(&parts.stand(&parts.tables()), &[]);
        let balances = &one.outcome.balances;
        prop_assert!(balances.mass_relative.abs() < 1e-9, "{balances:?}");
        prop_assert!(balances.energy_relative.abs() < 1e-4, "{balances:?}");
        let other = run(&parts.stand(&tables), &[]);
        for i in 0..parts.tanks.len() {
            for figure in [format!("tank{i}.pressure_end_pa"), format!("run{i}.mean_flow_kg_s")] {
                let (a, b) = (one.summary.get(&figure), other.summary.get(&figure));
                let (a, b) = (a.expect("liquid flows"), b.expect("liquid flows"));
                // Ten times the tolerance of a step, 1e-5.
                prop_assert!((a / b - 1.0).abs() < 1e-4, "{figure}: {a} {b}");
            }
        }
    }
}
