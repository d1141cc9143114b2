//! What a run asks of a gas at every evaluation, with all partials.
#![allow(missing_docs)] // criterion's macros make undocumented functions

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use fluids::{GasMixture, Liquid, MAX_SPECIES, PropertyMode, SpeciesSpec};

fn mixture(names: &[&str]) -> GasMixture {
    let species: Vec<_> = names
        .iter()
        .map(|name| SpeciesSpec::Named((*name).to_owned()))
        .collect();
    GasMixture::new(&species, PropertyMode::Polished).expect("known gases")
}

/// A volume's contents: mixture, species densities and energy density.
type Contents = (GasMixture, [f64; MAX_SPECIES], f64);

fn contents(names: &[&str], mole_fractions: &[f64], pressure_pa: f64) -> Contents {
    let gas = mixture(names);
    let point = gas
        .at(pressure_pa, 290.0, mole_fractions)
        .expect("in range");
    (gas, point.density_kg_m3, point.energy_j_m3)
}

fn states(criterion: &mut Criterion) {
    let cases = [
        ("nitrogen", contents(&["nitrogen"], &[1.0], 2e7)),
        (
            "nitrogen, water absent",
            contents(&["nitrogen", "water"], &[1.0, 0.0], 2e7),
        ),
        (
            "nitrogen + trace of water",
            contents(&["nitrogen", "water"], &[0.999, 0.001], 3e6),
        ),
        (
            "helium + trace of water",
            contents(&["helium", "water"], &[0.999, 0.001], 3e6),
        ),
        (
            "nitrogen + helium",
            contents(&["nitrogen", "helium"], &[0.5, 0.5], 2e7),
        ),
        (
            "nitrogen + air + water",
            contents(&["nitrogen", "air", "water"], &[0.8, 0.199, 0.001], 3e6),
        ),
    ];
    for (name, (gas, density, energy)) in &cases {
        criterion.bench_function(&format!("state: {name}"), |bench| {
            bench.iter(|| gas.state(black_box(density), black_box(*energy)));
        });
    }
    for (name, (gas, density, _)) in [&cases[0], &cases[2]] {
        criterion.bench_function(&format!("film: {name}"), |bench| {
            bench.iter(|| gas.film(black_box(density), black_box(290.0)));
        });
    }
}

fn fluxes(criterion: &mut Criterion) {
    let pure = mixture(&["nitrogen"]);
    let wet = mixture(&["nitrogen", "water"]);
    for (name, back) in [("choked", 1e5), ("unchoked", 2.5e6)] {
        criterion.bench_function(&format!("nozzle: nitrogen, {name}"), |bench| {
            bench.iter(|| pure.nozzle_flux(&[1.0], black_box(3e6), black_box(290.0), back));
        });
    }
    criterion.bench_function("nozzle: nitrogen + water, unchoked", |bench| {
        bench.iter(|| wet.nozzle_flux(&[0.999, 0.001], black_box(3e6), black_box(290.0), 2.5e6));
    });
    let water = Liquid::new("water", 3e6).expect("a known liquid");
    criterion.bench_function("liquid: water", |bench| {
        bench.iter(|| water.at(black_box(290.0)));
    });
}

criterion_group!(benches, states, fluxes);
criterion_main!(benches);
