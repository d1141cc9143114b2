//! What holds for any levels, stops and tolerances.

mod zoo;

use proptest::prelude::*;
use shared::Scalar;
use sim_core::integrate::Driver;
use sim_core::outcome::{Integrator, Statistics};
use zoo::recorder::Recorder;
use zoo::{Equations, Lifted, Tuning};

/// `y' = 1 + sin t`, `y = t + 1 - cos t`, which rises without turning; levels that fire
/// once each, and stops.
#[derive(Clone, Debug)]
struct Ramp {
    levels: Vec<f64>,
    passed: Vec<bool>,
    stops: Vec<f64>,
    /// Height and time of each event, and time of each stop, as they came.
    log: Vec<(Option<f64>, f64)>,
}

fn height(t_s: f64) -> f64 {
    t_s + 1.0 - t_s.cos()
}

impl Equations for Ramp {
    fn start(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn rates<S: Scalar>(&self, t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = t.sin() + 1.0;
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        let open = self
            .levels
            .iter()
            .zip(&self.passed)
            .filter(|(_, passed)| !**passed);
        open.map(|(level, _)| y[0] - level).collect()
    }
    fn next_stop(&self, t_s: f64) -> f64 {
        let ahead = self.stops.iter().copied().filter(|stop| *stop > t_s);
        ahead.fold(f64::INFINITY, f64::min)
    }
    fn at_stop(&mut self, t_s: f64, _y: &mut [f64]) {
        self.log.push((None, t_s));
    }
    fn at_guard(&mut self, guard: usize, t_s: f64, _y: &mut [f64]) {
        let open = (0..self.levels.len()).filter(|i| !self.passed[*i]);
        if let Some(index) = open.clone().nth(guard) {
            self.passed[index] = true;
            self.log.push((Some(self.levels[index]), t_s));
        }
    }
}

const END_S: f64 = 10.0;

/// Runs and answers the log and the bytes of everything that reached the sink.
fn run(mut ramp: Ramp, integrator: Integrator, tolerance: f64) -> (Ramp, Vec<u64>, Statistics) {
    ramp.passed = vec![false; ramp.levels.len()];
    let mut lifted = Lifted(ramp);
    let (mut recorder, mut work) = (Recorder::default(), Statistics::default());
    let tuning = Tuning::at(tolerance);
    let mut y = [0.0];
    Driver { integrator, tuning }
        .run(&mut lifted, (0.0, END_S), &mut y, &mut recorder, &mut work)
        .expect("the ramp has no faults");
    let bytes = |(t_s, y): &(f64, Vec<f64>)| [t_s.to_bits(), y[0].to_bits()];
    let bytes = recorder.steps.iter().flat_map(bytes).collect();
    (lifted.0, bytes, work)
}

fn ramp() -> impl Strategy<Value = Ramp> {
    // Below the last height by more than any of the tolerances may move it.
    let levels = prop::collection::vec(0.0..height(END_S) - 0.5, 0..12);
    let stops = prop::collection::vec(0.01..END_S, 0..6);
    (levels, stops).prop_map(|(levels, stops)| Ramp {
        levels,
        passed: vec![],
        stops,
        log: vec![],
    })
}

fn integrator() -> impl Strategy<Value = Integrator> {
    prop_oneof![Just(Integrator::Rodas5p), Just(Integrator::Dopri5)]
}

proptest! {
    #[test]
    fn every_level_and_every_stop_happens_once_and_in_order(
        ramp in ramp(),
        integrator in integrator(),
        digits in 4..9_i32,
    ) {
        let tolerance = 10_f64.powi(-digits);
        let (after, _, work) = run(ramp.clone(), integrator, tolerance);
        let mut stops = ramp.stops;
        stops.sort_by(f64::total_cmp);
        stops.dedup();
        let kept: Vec<f64> = after.log.iter().filter(|l| l.0.is_none()).map(|l| l.1).collect();
        prop_assert_eq!(kept, stops);
        let fired: Vec<f64> = after.log.iter().filter_map(|l| l.0).collect();
        let mut levels = ramp.levels;
        levels.sort_by(f64::total_cmp);
        prop_assert_eq!(&fired, &levels);
        prop_assert_eq!(work.events, levels.len() as u64);
        prop_assert!(after.log.windows(2).all(|pair| pair[0].1 <= pair[1].1));
        for (level, t_s) in after.log {
            // Some tens of steps, each wrong by the tolerance at its end and by some times
            // that inside.
            if let Some(level) = level {
                let allowed = 100.0 * tolerance * (1.0 + level);
                prop_assert!((height(t_s) - level).abs() < allowed);
            }
        }
    }

    #[test]
    fn the_same_run_gives_the_same_bytes(ramp in ramp(), integrator in integrator()) {
        let first = run(ramp.clone(), integrator, 1e-6);
        let second = run(ramp, integrator, 1e-6);
        prop_assert_eq!(first.1, second.1);
        prop_assert_eq!(first.2, second.2);
    }
}
