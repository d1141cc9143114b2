//! Time of one look-up of p and T by density and energy, exact, polished and tabled, for each
//! gas, and of one bare evaluation of the equation.
//!
//! `cargo bench -p fluids --bench lookup`

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fluids::{PropertyMode, PureFluid};

const GASES: [&str; 5] = ["nitrogen", "helium", "argon", "oxygen", "air"];
const MODES: [(&str, PropertyMode); 3] = [
    ("exact", PropertyMode::Exact),
    ("polished", PropertyMode::Polished),
    ("table", PropertyMode::Table),
];

/// A bottle being blown down: 64 states from 300 bar, 320 K to 3 bar, 200 K.
fn blowdown(fluid: &PureFluid) -> Vec<(f64, f64)> {
    let state = |i: i32| {
        let share = f64::from(i) / 63.0;
        let (p, t) = (300e5 * 0.01_f64.powf(share), 320.0 - 120.0 * share);
        let point = fluid.by_pressure_temperature(p, t).expect("a gas");
        (point.density_kg_m3, point.internal_energy_j_kg)
    };
    (0..64).map(state).collect()
}

fn lookups(c: &mut Criterion) {
    for name in GASES {
        let fluid = PureFluid::named(name).expect("a known fluid");
        let states = blowdown(&fluid);
        let mut group = c.benchmark_group(name);
        for (label, mode) in MODES {
            let mut i = 0;
            group.bench_function(label, |b| {
                b.iter(|| {
                    i = (i + 1) % states.len();
                    let (density, energy) = black_box(states[i]);
                    fluid.lookup(density, energy, mode)
                });
            });
        }
        let (density, _) = states[20];
        group.bench_function("equation", |b| {
            b.iter(|| {
                fluid
                    .equation()
                    .state(black_box(density), black_box(280.0))
                    .pressure_pa()
            });
        });
        group.finish();
    }
}

criterion_group!(benches, lookups);
criterion_main!(benches);
