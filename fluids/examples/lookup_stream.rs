//! Reads states from standard input, one `density energy` (kg/m3, J/kg) a line, looks each up
//! in every mode and writes p and T, then the time of a look-up in each mode.
//!
//! `cargo run --release -p fluids --example lookup_stream nitrogen < states`
//! serves `validation/peers/properties.py`, which compares with a reference library.

use std::error::Error;
use std::hint::black_box;
use std::io::{self, Read, Write};
use std::time::Instant;

use fluids::{PropertyMode, PureFluid};

const MODES: [PropertyMode; 3] = [
    PropertyMode::Exact,
    PropertyMode::Polished,
    PropertyMode::Table,
];

fn main() -> Result<(), Box<dyn Error>> {
    let name = std::env::args().nth(1).ok_or("give the name of a fluid")?;
    let fluid = PureFluid::named(&name)?;
    let states = read_states()?;
    let mut out = io::BufWriter::new(io::stdout().lock());
    for &(density, energy) in &states {
        for mode in MODES {
            match fluid.lookup(density, energy, mode) {
                Ok(found) => write!(out, "{:e} {:e} ", found.pressure_pa, found.temperature_k)?,
                Err(_) => write!(out, "nan nan ")?,
            }
        }
        writeln!(out)?;
    }
    write!(out, "ns")?;
    for mode in MODES {
        write!(out, " {:.1}", nanoseconds(&fluid, &states, mode))?;
    }
    writeln!(out)?;
    Ok(())
}

fn read_states() -> Result<Vec<(f64, f64)>, Box<dyn Error>> {
    let mut text = String::new();
    io::stdin().read_to_string(&mut text)?;
    let state = |line: &str| -> Result<(f64, f64), Box<dyn Error>> {
        let (density, energy) = line
            .trim()
            .split_once(' ')
            .ok_or("a line needs two numbers")?;
        Ok((density.parse()?, energy.parse()?))
    };
    text.lines().map(state).collect()
}

/// Best of twenty rounds, the least disturbed one.
fn nanoseconds(fluid: &PureFluid, states: &[(f64, f64)], mode: PropertyMode) -> f64 {
    let rounds = 4_000_usize.div_ceil(states.len().max(1));
    let look = |&(density, energy): &(f64, f64)| {
        let found = fluid.lookup(density, energy, mode);
        found.map_or(0.0, |found| found.pressure_pa + found.temperature_by_energy)
    };
    let round = |_| {
        let start = Instant::now();
        for _ in 0..rounds {
            black_box(black_box(states).iter().map(look).sum::<f64>());
        }
        start.elapsed().as_secs_f64() * 1e9 / (rounds * states.len()).max(1) as f64
    };
    (0..20).map(round).fold(f64::INFINITY, f64::min)
}
