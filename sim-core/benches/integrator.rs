//! Times of whole runs over the zoo, beside an independent Dormand-Prince implementation,
//! and what the integrator itself costs when the rates cost nothing.

#[path = "../tests/zoo/mod.rs"]
mod zoo;

use criterion::{Criterion, criterion_group, criterion_main};
use nalgebra::{DMatrix, DVector};
use sim_core::integrate::{Driver, Hybrid, Rates, Tuning};
use sim_core::outcome::{Integrator, Statistics};
use zoo::closed_form::{Braid, Chain, Orbit};
use zoo::ivp_set::{Hires, Orego};
use zoo::peer::run_peer;
use zoo::{Fault, INTEGRATORS, Problem, run};

const TOLERANCE: f64 = 1e-6;

fn race<P: Problem + Copy>(criterion: &mut Criterion, problem: P, stiff: bool) {
    let mut group = criterion.benchmark_group(problem.name());
    for integrator in INTEGRATORS {
        if stiff && integrator == Integrator::Dopri5 {
            continue;
        }
        group.bench_function(format!("{integrator:?}"), |bench| {
            bench.iter(|| run(problem, integrator, Tuning::at(TOLERANCE), &mut ()));
        });
    }
    if !stiff {
        group.bench_function("ode_solvers Dopri5", |bench| {
            bench.iter(|| run_peer(problem, TOLERANCE, f64::INFINITY));
        });
    }
    group.finish();
}

/// Sixteen states that follow their neighbours: rates and
/// Jacobian cost next to nothing. With `guards` it also watches eight that never fire.
struct Idle {
    guards: bool,
}

const STATES: usize = 16;

impl Rates for Idle {
    type Fault = Fault;

    fn dimension(&self) -> usize {
        STATES
    }

    fn rates(&self, _: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Fault> {
        for i in 0..STATES {
            dy[i] = (y[(i + 1) % STATES] - y[i]) * 10.0;
        }
        Ok(())
    }

    fn jacobian(
        &self,
        _: f64,
        _: &[f64],
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Fault> {
        // Full on purpose: no multiplier is skipped.
        jacobian.fill(1e-3);
        for i in 0..STATES {
            jacobian[(i, i)] = -10.0;
            jacobian[(i, (i + 1) % STATES)] = 10.0;
        }
        time_slope.fill(0.0);
        Ok(())
    }

    fn scale(&self, _: usize) -> f64 {
        1.0
    }
}

impl Hybrid for Idle {
    fn guards(&self, _: f64, y: &[f64], values: &mut Vec<f64>) -> Result<(), Fault> {
        if self.guards {
            values.extend(y[..8].iter().map(|y| y - 10.0));
        }
        Ok(())
    }

    fn next_stop(&self, _: f64) -> f64 {
        f64::INFINITY
    }

    fn at_stop(&mut self, _: f64, _: &mut [f64]) -> Result<(), Fault> {
        Ok(())
    }

    fn at_guard(&mut self, _: usize, _: f64, _: &mut [f64]) -> Result<(), Fault> {
        Ok(())
    }
}

/// 300 steps of one length.
fn overhead(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("overhead of 300 steps, 16 states");
    for (name, guards) in [("plain", false), ("8 guards", true)] {
        group.bench_function(name, |bench| {
            bench.iter(|| {
                let driver = Driver {
                    integrator: Integrator::Rodas5p,
                    tuning: zoo::fixed_steps(0.01),
                };
                let mut y: Vec<f64> = (0..STATES).map(|i| i as f64 / 16.0).collect();
                let mut statistics = Statistics::default();
                let run = driver.run(
                    &mut Idle { guards },
                    (0.0, 3.0),
                    &mut y,
                    &mut (),
                    &mut statistics,
                );
                (run, statistics.steps)
            });
        });
    }
    group.finish();
}

fn zoo_races(criterion: &mut Criterion) {
    race(criterion, Braid, false);
    race(criterion, Orbit { eccentricity: 0.5 }, false);
    race(criterion, Chain { exchange: 1.0 }, false);
    race(criterion, Hires, true);
    race(criterion, Orego, true);
}

criterion_group!(benches, overhead, zoo_races);
criterion_main!(benches);
