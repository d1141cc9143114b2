//! The report of the demonstration alone, with its bands: its pictures drawn as SVG, its page made
//! and written. The bar is 300 ms, and 1.5 MB.

#![allow(clippy::print_stderr)]

use cli::page::Told;
use cli::page::report::{Drawn, pictures, report};
use criterion::{Criterion, criterion_group, criterion_main};
use scenarios::predict::PredictOptions;
use scenarios::studies::parallel::silent;
use scenarios::studies::{SEED, StandModel, bands};
use sim_core::outcome::Integrator;

const DRAWS: usize = 200;

fn page(told: &Told<'_>) -> String {
    let pictures = pictures(told, None);
    let drawn = pictures.iter().map(Drawn::of);
    let drawn: Vec<Drawn> = drawn.collect::<Result<_, _>>().expect("it can be painted");
    report(told, &drawn, None, false)
}

fn writing(criterion: &mut Criterion) {
    let text = scenarios::ready_made()[0].text;
    let stand = scenarios::load(text).expect("the demonstration is in order");
    let options = PredictOptions {
        tolerance: None,
        integrator: Integrator::Rodas5p,
    };
    let prediction = scenarios::predict(&stand, &options);
    let model = StandModel::new(&stand, prediction.options);
    let bands = bands(&model, (&prediction).into(), DRAWS, SEED, &silent);
    let bands = bands.expect("there are few inputs");
    let told = Told {
        stand: &stand,
        prediction: &prediction,
        bands: Some(&bands),
    };
    eprintln!("the report has {} bytes", page(&told).len());
    let path = std::env::temp_dir().join("pressfed-bench-report.html");
    criterion.bench_function("report of the demonstration", |bench| {
        bench.iter(|| std::fs::write(&path, page(&told)).expect("the folder takes files"));
    });
    let _ = std::fs::remove_file(&path);
}

criterion_group!(benches, writing);
criterion_main!(benches);
