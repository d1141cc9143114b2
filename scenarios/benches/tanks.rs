//! The demonstration with one, two and four tanks on its regulator, 25 s of stand time, integration
//! alone on one thread: what a run costs against the number of tanks.
//!
//! `cargo bench -p scenarios --bench tanks`

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use sim_core::outcome::RunOptions;

/// Tables that every tank has for itself, with the names in them.
const OWN: [&str; 5] = ["check_valve", "tank", "line", "valve", "orifice"];
const NAMES: [&str; 5] = ["guard", "fuel", "feed", "run", "tip"];

/// The demonstration with so many tanks, its bottle and its regulator as many times as large.
fn stand(tanks: usize) -> String {
    let stands = scenarios::ready_made();
    let text = stands.first().expect("the demonstration").text;
    let tables: Vec<&str> = text.split("\n[").collect();
    let has = |table: &&&str, kinds: &[&str]| {
        kinds
            .iter()
            .any(|kind| table.starts_with(&format!("{kind}.")))
    };
    let plain = |table: &&&str| {
        ["ambient", "run]"]
            .iter()
            .any(|word| table.starts_with(word))
            || has(table, &["bottle", "regulator", "plenum"])
    };
    let shared: Vec<&str> = tables.iter().filter(plain).copied().collect();
    let of_tank: Vec<&str> = tables.iter().filter(|t| has(t, &OWN)).copied().collect();
    let mut stand = format!("[{}", shared.join("\n["))
        .replace("6.8 L", &format!("{} L", 6.8 * tanks as f64))
        .replace(
            "wall_mass = \"9 kg\"",
            &format!("wall_mass = \"{} kg\"", 9 * tanks),
        )
        .replace("0.08 Cv", &format!("{} Cv", 0.08 * tanks as f64));
    for tank in 0..tanks {
        let mut own = format!("\n[{}\n", of_tank.join("\n["));
        for name in NAMES {
            let numbered = format!("{name}{tank}");
            own = own.replace(&format!(".{name}]"), &format!(".{numbered}]"));
            own = own.replace(&format!("\"{name}\""), &format!("\"{numbered}\""));
        }
        stand += &own;
        stand += &format!("[[sequence]]\nat = \"5 s\"\nopen = \"run{tank}\"\n");
        let empty = format!("when = \"fuel{tank}.liquid_mass < 0.3 kg\"");
        stand += &format!("[[sequence]]\n{empty}\nclose = \"run{tank}\"\n");
    }
    stand
}

#[allow(clippy::print_stdout)] // what the table of the decision holds beside the time
fn tanks(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("25 s of one regulator with so many tanks");
    for count in [1, 2, 4] {
        let stand = scenarios::load(&stand(count)).expect("the tanks are in order");
        let network = stand.lower();
        let options = RunOptions {
            output_step_s: stand.run.until_s,
            readings: 1,
            step_rows: false,
            ..stand.run
        };
        let done = sim_core::simulate(&network, &options).statistics;
        println!(
            "{count}: {} steps, {} evaluations",
            done.steps, done.evaluations
        );
        group.bench_function(BenchmarkId::from_parameter(count), |bench| {
            bench.iter(|| sim_core::simulate(&network, &options));
        });
    }
    group.finish();
}

criterion_group!(benches, tanks);
criterion_main!(benches);
