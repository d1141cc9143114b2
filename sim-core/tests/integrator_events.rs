//! Checklist of events: what fires, when, how often and in what order, by closed forms.

mod zoo;

use shared::Scalar;
use sim_core::integrate::{Driver, IntegrationError, Tuning};
use sim_core::outcome::{Integrator, Statistics};
use zoo::recorder::Recorder;
use zoo::{Equations, Fault, INTEGRATORS, Lifted, fixed_steps};

/// What is left of a run.
struct Trace<E> {
    system: E,
    y: Vec<f64>,
    recorder: Recorder,
    statistics: Statistics,
    result: Result<f64, IntegrationError<Fault>>,
}

fn trace<E: Equations>(system: E, integrator: Integrator, tuning: Tuning, end_s: f64) -> Trace<E> {
    let mut y = system.start();
    let mut lifted = Lifted(system);
    let mut recorder = Recorder::default();
    let mut statistics = Statistics::default();
    let driver = Driver { integrator, tuning };
    let result = driver.run(
        &mut lifted,
        (0.0, end_s),
        &mut y,
        &mut recorder,
        &mut statistics,
    );
    Trace {
        system: lifted.0,
        y,
        recorder,
        statistics,
        result,
    }
}

/// Events are located to a few last digits; the steps that lead there are exact for
/// polynomials up to order 4, so their roundings are all that is left.
const ROUNDING: f64 = 1e-12;

fn assert_near(got: f64, expected: f64, tolerance: f64) {
    let error = (got - expected).abs();
    assert!(
        error <= tolerance,
        "{got} instead of {expected}: {error:e} off"
    );
}

/// `y' = 1`; a list of levels at which guards fire, each once.
struct Climb {
    levels: Vec<f64>,
    passed: Vec<bool>,
    order: Vec<usize>,
    stops: Vec<f64>,
    stopped: Vec<f64>,
    /// Added to the state at each stop.
    lift: f64,
}

impl Climb {
    fn past(levels: &[f64]) -> Self {
        Self {
            levels: levels.to_vec(),
            passed: vec![false; levels.len()],
            order: Vec::new(),
            stops: Vec::new(),
            stopped: Vec::new(),
            lift: 0.0,
        }
    }
}

impl Equations for Climb {
    fn start(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn rates<S: Scalar>(&self, _t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = S::constant(1.0);
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        let guard = |(level, passed): (&f64, &bool)| if *passed { -1.0 } else { y[0] - level };
        self.levels.iter().zip(&self.passed).map(guard).collect()
    }
    fn next_stop(&self, t_s: f64) -> f64 {
        let next = self.stops.iter().find(|stop| **stop > t_s);
        next.copied().unwrap_or(f64::INFINITY)
    }
    fn at_stop(&mut self, t_s: f64, y: &mut [f64]) {
        self.stopped.push(t_s);
        y[0] += self.lift;
    }
    fn at_guard(&mut self, guard: usize, _t_s: f64, _y: &mut [f64]) {
        self.passed[guard] = true;
        self.order.push(guard);
    }
}

#[test]
fn a_crossing_inside_a_step_is_found_once() {
    for integrator in INTEGRATORS {
        let run = trace(Climb::past(&[0.3]), integrator, fixed_steps(1.0), 2.0);
        assert_eq!(run.recorder.instants.len(), 1);
        assert_near(run.recorder.times()[0], 0.3, ROUNDING);
        assert_near(run.y[0], 2.0, ROUNDING);
        assert_eq!(run.statistics.events, 1);
        assert_eq!(run.result, Ok(2.0));
    }
}

#[test]
fn a_crossing_at_the_end_of_a_step_is_found_once() {
    for integrator in INTEGRATORS {
        // Halves and quarters are exact, so the guard is exactly zero where steps meet.
        let run = trace(Climb::past(&[0.5]), integrator, fixed_steps(0.25), 2.0);
        assert_eq!(run.system.order, [0]);
        assert_near(run.recorder.times()[0], 0.5, ROUNDING);
    }
}

#[test]
fn guards_that_fire_together_are_all_handled() {
    for integrator in INTEGRATORS {
        let levels = [0.7, 0.9, 0.7, 0.7];
        let run = trace(Climb::past(&levels), integrator, fixed_steps(1.0), 2.0);
        assert_eq!(run.system.order, [0, 2, 3, 1]);
        assert_eq!(run.recorder.instants.len(), 2, "one instant for the three");
        assert_eq!(run.statistics.events, 4);
    }
}

#[test]
fn the_earliest_of_many_crossings_in_a_step_comes_first() {
    for integrator in INTEGRATORS {
        let levels = [0.95, 0.6, 0.2, 0.45, 0.05];
        let run = trace(Climb::past(&levels), integrator, fixed_steps(1.0), 1.0);
        assert_eq!(run.system.order, [4, 2, 3, 1, 0]);
    }
}

#[test]
fn a_stop_and_an_event_at_the_same_time_both_happen() {
    for integrator in INTEGRATORS {
        let mut climb = Climb::past(&[1.5]);
        climb.stops = vec![1.5];
        let run = trace(climb, integrator, fixed_steps(1.0), 3.0);
        assert_eq!(run.system.order, [0]);
        assert_eq!(run.system.stopped, [1.5]);
        assert_near(run.recorder.times()[0], 1.5, ROUNDING);
        assert_near(run.y[0], 3.0, ROUNDING);
    }
}

#[test]
fn an_event_at_the_end_of_the_run_still_fires() {
    for integrator in INTEGRATORS {
        // Closer to the end than events are told apart, further than the roundings.
        let run = trace(
            Climb::past(&[1.0 - 1e-13]),
            integrator,
            fixed_steps(1.0),
            1.0,
        );
        assert_eq!(run.system.order, [0]);
        assert_eq!(run.result, Ok(1.0));
    }
}

#[test]
fn what_a_stop_makes_positive_fires_right_after_it() {
    for integrator in INTEGRATORS {
        let mut climb = Climb::past(&[1.2, 9.0]);
        climb.stops = vec![1.0];
        climb.lift = 0.5;
        let run = trace(climb, integrator, fixed_steps(1.0), 2.0);
        assert_eq!(run.recorder.times(), [1.0]);
        assert_eq!(run.system.order, [0]);
        let instant = &run.recorder.instants[0];
        assert_near(instant.before[0], 1.0, ROUNDING);
        assert_near(
            instant.after.as_ref().expect("came through")[0],
            1.5,
            ROUNDING,
        );
    }
}

#[test]
fn an_event_right_after_a_restart_is_not_lost() {
    for integrator in INTEGRATORS {
        for gap in [1e-3, 1e-6, 1e-9] {
            let mut climb = Climb::past(&[1.0 + gap]);
            climb.stops = vec![1.0];
            let run = trace(climb, integrator, Tuning::at(1e-6), 2.0);
            assert_eq!(run.system.order, [0]);
            assert_near(run.recorder.times()[1] - 1.0, gap, ROUNDING);
        }
    }
}

#[test]
fn a_stop_at_the_end_is_reached_and_one_beyond_is_not() {
    for integrator in INTEGRATORS {
        let mut climb = Climb::past(&[]);
        climb.stops = vec![0.5, 1.0, 1.5];
        let run = trace(climb, integrator, Tuning::at(1e-6), 1.0);
        assert_eq!(run.system.stopped, [0.5, 1.0]);
        assert_eq!(run.recorder.times(), [0.5, 1.0]);
    }
}

#[test]
fn a_guard_that_is_positive_at_the_start_fires_there() {
    for integrator in INTEGRATORS {
        let run = trace(Climb::past(&[-1.0, 0.5]), integrator, Tuning::at(1e-6), 1.0);
        assert_eq!(run.system.order, [0, 1]);
        assert_eq!(run.recorder.times()[0], 0.0);
    }
}

#[test]
fn an_empty_span_does_nothing() {
    let run = trace(
        Climb::past(&[0.5]),
        Integrator::Rodas5p,
        Tuning::at(1e-6),
        0.0,
    );
    assert_eq!(run.result, Ok(0.0));
    assert_eq!(run.statistics, Statistics::default());
}

/// Nothing to integrate, but stops to keep.
struct Clock(Vec<f64>);

impl Equations for Clock {
    fn start(&self) -> Vec<f64> {
        vec![]
    }
    fn rates<S: Scalar>(&self, _t: S, _y: &[S], _dy: &mut [S]) {}
    fn next_stop(&self, t_s: f64) -> f64 {
        t_s.floor() + 1.0
    }
    fn at_stop(&mut self, t_s: f64, _y: &mut [f64]) {
        self.0.push(t_s);
    }
}

#[test]
fn a_system_without_states_keeps_its_stops() {
    for integrator in INTEGRATORS {
        let run = trace(Clock(vec![]), integrator, Tuning::at(1e-6), 3.5);
        assert_eq!(run.result, Ok(3.5));
        assert_eq!(run.system.0, [1.0, 2.0, 3.0]);
    }
}

/// `y' = w cos w t`, `y = sin w t`; counts how often it passes a level upwards and back.
struct Wave {
    pulsation: f64,
    level: f64,
    above: bool,
}

impl Wave {
    fn below(level: f64) -> Self {
        Self {
            pulsation: 1.0,
            level,
            above: false,
        }
    }
}

impl Equations for Wave {
    fn start(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn rates<S: Scalar>(&self, t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = (t * self.pulsation).cos() * self.pulsation;
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        let over = y[0] - self.level;
        // Noise of the last digits must not bring the other mode back.
        let hysteresis = 1e-9;
        vec![if self.above {
            -over - hysteresis
        } else {
            over - hysteresis
        }]
    }
    fn at_guard(&mut self, _: usize, _t_s: f64, _y: &mut [f64]) {
        self.above = !self.above;
    }
}

#[test]
fn a_crossing_there_and_back_within_one_step_is_found() {
    for integrator in INTEGRATORS {
        // From 1.2 to 1.8 the wave rises to its top and falls again.
        let level = 1.6_f64.sin();
        let mut tuning = fixed_steps(0.6);
        tuning.event_width = 1e-13;
        let run = trace(Wave::below(level), integrator, tuning, 3.0);
        let times = run.recorder.times();
        assert_eq!(times.len(), 2, "{integrator:?}: {times:?}");
        // The step of 0.6 is good to some 1e-6, the crossing is as flat as cos 1.6 = 0.03.
        assert_near(times[0], std::f64::consts::PI - 1.6, 1e-3);
        assert_near(times[1], 1.6, 1e-3);
    }
}

#[test]
fn a_graze_fires_only_if_it_touches() {
    for integrator in INTEGRATORS {
        for (level, crossings) in [(1.0 - 1e-6, 2), (1.0 + 1e-6, 0)] {
            // The top of the wave, at pi/2, lies inside a step.
            let tuning = Tuning {
                longest_step_s: 0.2,
                ..Tuning::at(1e-9)
            };
            let run = trace(Wave::below(level), integrator, tuning, 3.0);
            assert_eq!(
                run.recorder.instants.len(),
                crossings,
                "{integrator:?} {level}"
            );
        }
    }
}

/// A ball that bounces on the ground: `h'' = -g`, rebound with a part of its speed.
struct Ball {
    height: f64,
    rebound: f64,
    bounces: u32,
    limit: u32,
}

const GRAVITY: f64 = 9.806_65;

impl Ball {
    fn dropped(rebound: f64, limit: u32) -> Self {
        Self {
            height: 2.0,
            rebound,
            bounces: 0,
            limit,
        }
    }

    /// Time of bounce `n`, from 1: the fall, and a flight of `2 v/g` after each bounce.
    fn bounce_s(&self, n: u32) -> f64 {
        let fall = (2.0 * self.height / GRAVITY).sqrt();
        let flights: f64 = (1..n).map(|k| self.rebound.powi(k as i32)).sum();
        fall * (1.0 + 2.0 * flights)
    }
}

impl Equations for Ball {
    fn start(&self) -> Vec<f64> {
        vec![self.height, 0.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[1];
        dy[1] = S::constant(-GRAVITY);
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        vec![-y[0]]
    }
    fn at_guard(&mut self, _: usize, _t_s: f64, y: &mut [f64]) {
        y[0] = 0.0;
        y[1] *= -self.rebound;
        self.bounces += 1;
    }
    fn finished(&self) -> bool {
        self.bounces == self.limit
    }
}

#[test]
fn a_ball_bounces_when_it_should() {
    for integrator in INTEGRATORS {
        let run = trace(Ball::dropped(0.8, 12), integrator, Tuning::at(1e-8), 100.0);
        for (n, t_s) in (1..).zip(run.recorder.times()) {
            // A speed is wrong by the last digits of the one before, which add up.
            assert_near(t_s, run.system.bounce_s(n), 1e-10);
        }
        assert_eq!(run.system.bounces, 12);
        assert_eq!(
            run.result,
            Ok(run.recorder.times()[11]),
            "ends when finished"
        );
    }
}

#[test]
fn a_ball_that_comes_to_rest_is_refused_as_chatter() {
    for integrator in INTEGRATORS {
        let ball = Ball::dropped(0.5, u32::MAX);
        // Twice the flights of a geometric series beyond the first fall.
        let rest_s = ball.bounce_s(1) * (1.0 + 2.0 * 0.5 / (1.0 - 0.5));
        let run = trace(ball, integrator, Tuning::at(1e-8), 100.0);
        match run.result {
            Err(IntegrationError::Chatter {
                guard: 0, time_s, ..
            }) => {
                assert_near(time_s, rest_s, 1e-9);
            }
            other => panic!("{integrator:?}: {other:?}"),
        }
        assert!(run.recorder.steps.len() > 10, "what came before is kept");
    }
}

/// A switch without hysteresis: `y' = -1` above zero, `+1` below; from the second guard
/// on, for the other never fires.
struct Switch {
    falling: bool,
}

impl Equations for Switch {
    fn start(&self) -> Vec<f64> {
        vec![0.4]
    }
    fn rates<S: Scalar>(&self, _t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = S::constant(if self.falling { -1.0 } else { 1.0 });
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        vec![-1.0, if self.falling { -y[0] } else { y[0] }]
    }
    fn at_guard(&mut self, _: usize, _t_s: f64, _y: &mut [f64]) {
        self.falling = !self.falling;
    }
}

#[test]
fn a_switch_without_hysteresis_is_refused_with_guard_and_time() {
    for integrator in INTEGRATORS {
        let run = trace(Switch { falling: true }, integrator, Tuning::at(1e-6), 1.0);
        match run.result {
            Err(IntegrationError::Chatter {
                guard: 1,
                time_s,
                count,
                ..
            }) => {
                assert_near(time_s, 0.4, 1e-6);
                assert_eq!(count, Tuning::default().chatter_limit + 1);
            }
            other => panic!("{integrator:?}: {other:?}"),
        }
        let (t_s, y) = &run.recorder.steps[0];
        assert!(*t_s > 0.0 && y[0] < 0.4, "what came before is kept");
    }
}

/// A vessel drains by `y' = -2 c sqrt y`, `y = (1 - c t)^2`, and has no rates below zero;
/// with a guard that ends the outflow at a residue.
struct Drain {
    coefficient: f64,
    residue: Option<f64>,
    empty: bool,
}

impl Equations for Drain {
    fn start(&self) -> Vec<f64> {
        vec![1.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        let outflow = y[0].sqrt() * (2.0 * self.coefficient);
        dy[0] = if self.empty { S::zero() } else { -outflow };
    }
    fn refusal(&self, _t_s: f64, y: &[f64]) -> Option<Fault> {
        (y[0] < 0.0).then_some("level below the bottom")
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        match self.residue {
            Some(residue) if !self.empty => vec![residue - y[0]],
            _ => vec![],
        }
    }
    fn at_guard(&mut self, _: usize, _t_s: f64, _y: &mut [f64]) {
        self.empty = true;
    }
}

#[test]
fn a_trial_step_beyond_the_model_is_taken_shorter() {
    for integrator in INTEGRATORS {
        let drain = Drain {
            coefficient: 1.0,
            residue: Some(1e-4),
            empty: false,
        };
        let run = trace(drain, integrator, Tuning::at(1e-3), 3.0);
        assert_eq!(run.result, Ok(3.0));
        assert!(
            run.statistics.rejected > 0,
            "{integrator:?} never came to the edge"
        );
        // (1 - t)^2 = 1e-4; the loose tolerance moves y by 1e-3, which t feels as 1e-2.
        assert_near(run.recorder.times()[0], 0.99, 1e-2);
        assert_near(run.y[0], 1e-4, ROUNDING);
    }
}

#[test]
fn a_model_that_has_no_way_on_ends_the_run_with_its_fault() {
    for integrator in INTEGRATORS {
        let drain = Drain {
            coefficient: 1.0,
            residue: None,
            empty: false,
        };
        let run = trace(drain, integrator, Tuning::at(1e-6), 3.0);
        match run.result {
            Err(IntegrationError::Model { time_s, fault }) => {
                assert_near(time_s, 1.0, 1e-3);
                assert_eq!(fault, "level below the bottom");
            }
            other => panic!("{integrator:?}: {other:?}"),
        }
        let reached_s = run.recorder.steps.last().expect("it started well").0;
        assert_near(reached_s, 1.0, 1e-3);
    }
}

/// `y' = y^2`, `y = 1/(1 - t)`.
struct Burst;

impl Equations for Burst {
    fn start(&self) -> Vec<f64> {
        vec![1.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        dy[0] = y[0] * y[0];
    }
}

#[test]
fn a_state_without_bound_ends_the_run_near_its_pole() {
    for integrator in INTEGRATORS {
        let run = trace(Burst, integrator, Tuning::at(1e-8), 2.0);
        match run.result {
            Err(
                IntegrationError::NotFinite { time_s, .. }
                | IntegrationError::StepTooSmall { time_s, .. },
            ) => assert_near(time_s, 1.0, 1e-6),
            other => panic!("{integrator:?}: {other:?}"),
        }
        assert!(
            run.y[0].is_finite() && run.y[0] > 1e6,
            "the last good state is kept"
        );
    }
}

/// `y' = 0/0` after one second.
struct Undefined;

impl Equations for Undefined {
    fn start(&self) -> Vec<f64> {
        vec![1.0, 1.0]
    }
    fn rates<S: Scalar>(&self, t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = S::constant(1.0);
        dy[1] = S::constant(if t.value() > 1.0 { f64::NAN } else { 1.0 });
    }
}

#[test]
fn an_undefined_rate_is_named_with_state_and_time() {
    for integrator in INTEGRATORS {
        let run = trace(Undefined, integrator, Tuning::at(1e-8), 2.0);
        match run.result {
            Err(IntegrationError::NotFinite { time_s, state: 1 }) => {
                assert_near(time_s, 1.0, 1e-9);
            }
            other => panic!("{integrator:?}: {other:?}"),
        }
    }
}

#[test]
fn the_limit_of_steps_holds_and_names_the_time() {
    for integrator in INTEGRATORS {
        let mut tuning = fixed_steps(0.01);
        tuning.step_limit = 50;
        let run = trace(Climb::past(&[]), integrator, tuning, 1.0);
        match run.result {
            Err(IntegrationError::TooManySteps { time_s, limit: 50 }) => {
                assert!(time_s > 0.4 && time_s < 0.51, "{time_s}");
            }
            other => panic!("{integrator:?}: {other:?}"),
        }
    }
}

/// A stop that does not lie ahead, against the contract.
struct Stuck;

impl Equations for Stuck {
    fn start(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn rates<S: Scalar>(&self, _t: S, _y: &[S], dy: &mut [S]) {
        dy[0] = S::constant(1.0);
    }
    fn next_stop(&self, t_s: f64) -> f64 {
        t_s
    }
}

#[test]
fn stops_that_do_not_advance_end_the_run() {
    let tuning = Tuning {
        step_limit: 100,
        ..Tuning::at(1e-6)
    };
    let run = trace(Stuck, Integrator::Rodas5p, tuning, 1.0);
    assert!(matches!(
        run.result,
        Err(IntegrationError::TooManySteps { .. })
    ));
}

/// A room that a thermostat heats: `T' = p - k T` while on, `-k T` while off, between two
/// limits; the time of the last of ten switchings is a smooth function of `p`.
struct Thermostat {
    power: f64,
    on: bool,
    switchings: u32,
    last_s: f64,
}

const LOSS: f64 = 0.7;
const LIMITS: (f64, f64) = (1.0, 1.2);

impl Thermostat {
    fn with(power: f64) -> Self {
        Self {
            power,
            on: true,
            switchings: 0,
            last_s: 0.0,
        }
    }

    /// Time of switching `2 n - 1`: one heating from zero, then rounds down and up.
    fn switching_s(power: f64, rounds: i32) -> f64 {
        let steady = power / LOSS;
        let heat = |from: f64, to: f64| ((steady - from) / (steady - to)).ln() / LOSS;
        let round = (LIMITS.1 / LIMITS.0).ln() / LOSS + heat(LIMITS.0, LIMITS.1);
        heat(0.0, LIMITS.1) + f64::from(rounds - 1) * round
    }
}

impl Equations for Thermostat {
    fn start(&self) -> Vec<f64> {
        vec![0.0]
    }
    fn rates<S: Scalar>(&self, _t: S, y: &[S], dy: &mut [S]) {
        let power = if self.on { self.power } else { 0.0 };
        dy[0] = y[0] * -LOSS + power;
    }
    fn guards(&self, _t_s: f64, y: &[f64]) -> Vec<f64> {
        vec![if self.on {
            y[0] - LIMITS.1
        } else {
            LIMITS.0 - y[0]
        }]
    }
    fn at_guard(&mut self, _: usize, t_s: f64, _y: &mut [f64]) {
        self.on = !self.on;
        self.switchings += 1;
        self.last_s = t_s;
    }
    fn finished(&self) -> bool {
        self.switchings == 9
    }
}

#[test]
fn differences_of_runs_with_events_are_smooth() {
    for integrator in INTEGRATORS {
        let last_s = |power: f64| {
            let run = trace(Thermostat::with(power), integrator, Tuning::at(1e-8), 1e3);
            run.system.last_s
        };
        let (power, shift) = (1.3, 1e-4);
        let slope = |f: &dyn Fn(f64) -> f64| (f(power + shift) - f(power - shift)) / (2.0 * shift);
        let exact = |power: f64| Thermostat::switching_s(power, 5);
        assert_near(last_s(power), exact(power), 1e-6);
        // Both sides carry the same error of the difference itself; 1e-7 is what sizing
        // and fitting by differences of whole runs needs.
        let (got, expected) = (slope(&last_s), slope(&exact));
        assert_near(got / expected, 1.0, 1e-7);
    }
}

/// A sink that refuses the third step.
struct Full(u32);

impl<H: sim_core::integrate::Hybrid<Fault = Fault>> sim_core::integrate::Sink<H> for Full {
    fn step(&mut self, _: &H, _: &dyn sim_core::integrate::DenseStep) -> Result<(), Fault> {
        self.0 += 1;
        if self.0 == 3 { Err("full") } else { Ok(()) }
    }
    fn before(&mut self, _: &H, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }
    fn after(&mut self, _: &H, _: f64, _: &[f64]) -> Result<(), Fault> {
        Ok(())
    }
}

#[test]
fn a_sink_can_end_the_run() {
    let driver = Driver {
        integrator: Integrator::Rodas5p,
        tuning: fixed_steps(0.1),
    };
    let mut statistics = Statistics::default();
    let mut system = Lifted(Climb::past(&[]));
    let result = driver.run(
        &mut system,
        (0.0, 1.0),
        &mut [0.0],
        &mut Full(0),
        &mut statistics,
    );
    match result {
        Err(IntegrationError::Model {
            fault: "full",
            time_s,
        }) => assert_near(time_s, 0.3, 0.11),
        other => panic!("{other:?}"),
    }
}

/// `y' = -L (y - cos t) - sin t`, which is `cos t` for ever, and what is off it dies at once (A.
/// Prothero and A. Robinson, Math. Comp. 28 (1974) 145); with guards at even times that change
/// nothing.
struct Marks {
    passed: usize,
    gentle: bool,
}

const STIFFNESS_1_S: f64 = 1e4;

impl Equations for Marks {
    fn start(&self) -> Vec<f64> {
        vec![1.0]
    }
    fn rates<S: Scalar>(&self, t: S, y: &[S], dy: &mut [S]) {
        let (sin, cos) = t.value().sin_cos();
        dy[0] = (y[0] - t.lift(cos, -sin)) * -STIFFNESS_1_S - t.lift(sin, cos);
    }
    fn guards(&self, t_s: f64, _y: &[f64]) -> Vec<f64> {
        vec![t_s - (self.passed + 1) as f64]
    }
    fn at_guard(&mut self, _: usize, _t_s: f64, _y: &mut [f64]) {
        self.passed += 1;
    }
    fn is_gentle(&self, _: usize) -> bool {
        self.gentle
    }
}

#[test]
fn a_gentle_event_does_not_make_the_steps_start_small_again() {
    let work = |gentle| {
        let marks = Marks { passed: 0, gentle };
        let tuning = Tuning {
            tolerance: 1e-6,
            ..Tuning::default()
        };
        let run = trace(marks, Integrator::Rodas5p, tuning, 20.5);
        assert_eq!(run.system.passed, 20);
        // What is off the curve dies: the error is that of the last step, ten tolerances at most.
        assert_near(run.y[0], 20.5_f64.cos(), 1e-5);
        run.statistics.evaluations
    };
    assert!(work(true) < work(false));
}
