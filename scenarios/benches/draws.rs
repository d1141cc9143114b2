//! Draws of the demonstration stand with all their bands, on one thread and on two: the rates
//! tell draws per second and core, and how well a second thread is used.

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use rayon::ThreadPoolBuilder;
use scenarios::studies::parallel::silent;
use scenarios::studies::{SEED, StandModel, bands};
use std::time::Duration;

const DRAWS: usize = 100;

fn draws(criterion: &mut Criterion) {
    let text = scenarios::ready_made()[0].text;
    let stand = scenarios::load(text).expect("the demonstration is in order");
    let model = StandModel::new(&stand, stand.run);
    let nominal = model.nominal();
    let mut group = criterion.benchmark_group("draws of the demonstration");
    group.throughput(Throughput::Elements(DRAWS as u64));
    group.sample_size(10);
    group.measurement_time(Duration::from_secs(20));
    for threads in [1, 2] {
        let pool = ThreadPoolBuilder::new().num_threads(threads).build();
        let pool = pool.expect("threads can be started");
        group.bench_function(format!("{threads} threads"), |bench| {
            bench.iter(|| pool.install(|| bands(&model, (&nominal).into(), DRAWS, SEED, &silent)));
        });
    }
    group.finish();
}

criterion_group!(benches, draws);
criterion_main!(benches);
