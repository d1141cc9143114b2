//! The run of liquid oxygen pushed by helium with its twelve layers, integration alone on one
//! thread, by the default method and by Dormand-Prince 5(4), the usual general-purpose method, for
//! which the layers' common pressure is stiff.
//!
//! `cargo bench -p scenarios --bench layers`

use criterion::{Criterion, criterion_group, criterion_main};
use sim_core::outcome::{Integrator, RunOptions};
use std::time::Duration;

const STAND: &str = "lox-helium";

fn layers(criterion: &mut Criterion) {
    let stands = scenarios::ready_made();
    let ready = stands.iter().find(|stand| stand.name == STAND);
    let stand = scenarios::load(ready.expect("it is ready-made").text);
    let stand = stand.expect("a ready-made stand is in order");
    let network = stand.lower();
    let mut group = criterion.benchmark_group("liquid oxygen under twelve layers");
    group.sample_size(10);
    group.measurement_time(Duration::from_secs(10));
    for (name, integrator) in [
        ("Rodas5P", Integrator::Rodas5p),
        ("Dormand-Prince", Integrator::Dopri5),
    ] {
        let options = RunOptions {
            integrator,
            output_step_s: stand.run.until_s,
            readings: 1,
            step_rows: false,
            ..stand.run
        };
        group.bench_function(name, |bench| {
            bench.iter(|| sim_core::simulate(&network, &options));
        });
    }
    group.finish();
}

criterion_group!(benches, layers);
criterion_main!(benches);
