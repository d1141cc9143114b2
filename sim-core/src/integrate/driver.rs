//! Carries a hybrid system through a span of time.

use super::chatter::Chatter;
use super::dopri5::Dopri5;
use super::error::IntegrationError;
use super::guard_watch::GuardWatch;
use super::rodas5p::Rodas5p;
use super::step_size::{Controller, FIRST_MOTION, first_step_s, fit_s, weighed};
use super::stepper::{Interpolant, Refusal, Stepper};
use super::system::{DenseStep, Hybrid, Sink};
use super::tuning::Tuning;
use crate::outcome::{Integrator, Statistics};

/// Part of the step proposed before a gentle event with which the next segment begins.
const RESUMED: f64 = 0.6;

/// A method and its tuning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Driver {
    /// Which method.
    pub integrator: Integrator,
    /// How it is steered.
    pub tuning: Tuning,
}

impl Driver {
    /// Integrates from `span_s.0` to `span_s.1`, `y` from the initial to the last state.
    /// Answers the time reached, which is short of the end only if the system
    /// [finished](Hybrid::finished). The work is added to `statistics`, also of a run
    /// that fails.
    ///
    /// # Errors
    /// See [`IntegrationError`]; `y` and the sink then hold what was accepted before.
    ///
    /// # Panics
    /// If the length of `y` is not the dimension of the system.
    pub fn run<H: Hybrid, K: Sink<H>>(
        &self,
        system: &mut H,
        span_s: (f64, f64),
        y: &mut [f64],
        sink: &mut K,
        statistics: &mut Statistics,
    ) -> Result<f64, IntegrationError<H::Fault>> {
        let n = system.dimension();
        assert_eq!(y.len(), n, "one initial value for each state");
        match self.integrator {
            Integrator::Rodas5p => self.run_with(
                Rodas5p::new(n, system.coupled()),
                system,
                span_s,
                y,
                (sink, statistics),
            ),
            Integrator::Dopri5 => {
                self.run_with(Dopri5::new(n), system, span_s, y, (sink, statistics))
            }
        }
    }

    fn run_with<H: Hybrid, K: Sink<H>, S: Stepper<H>>(
        &self,
        stepper: S,
        system: &mut H,
        (start_s, end_s): (f64, f64),
        y: &mut [f64],
        (sink, statistics): (&mut K, &mut Statistics),
    ) -> Result<f64, IntegrationError<H::Fault>> {
        let n = y.len();
        let mut run = Run {
            tuning: &self.tuning,
            system,
            stepper,
            sink,
            statistics,
            t_s: start_s,
            y,
            watch: GuardWatch::new(n),
            chatter: Chatter::default(),
            resumed_s: None,
            trials: 0,
            weights: vec![0.0; n],
            bend: vec![0.0; n],
        };
        run.carry(end_s)?;
        Ok(run.t_s)
    }
}

/// A run on its way.
struct Run<'a, H, S, K> {
    tuning: &'a Tuning,
    system: &'a mut H,
    stepper: S,
    sink: &'a mut K,
    statistics: &'a mut Statistics,
    t_s: f64,
    y: &'a mut [f64],
    watch: GuardWatch,
    chatter: Chatter,
    /// The step proposed at the end of a segment, if the next one may go on with it.
    resumed_s: Option<f64>,
    /// Steps and segments tried.
    trials: u64,
    /// Scratch of the choice of the first step.
    weights: Vec<f64>,
    /// Scratch of the choice of the first step.
    bend: Vec<f64>,
}

/// How a step ended.
#[derive(PartialEq)]
enum Ending {
    /// Nothing happened.
    Smooth,
    /// At the stop or the end of the run.
    Target,
    /// At the crossing of a guard.
    Crossing,
}

impl<H: Hybrid, S: Stepper<H>, K: Sink<H>> Run<'_, H, S, K> {
    /// Goes from segment to segment until the end.
    fn carry(&mut self, end_s: f64) -> Result<(), IntegrationError<H::Fault>> {
        self.settle(false)?;
        while self.t_s < end_s && !self.system.finished() {
            // Counted too, so that stops which do not advance cannot hold the run for ever.
            self.count_trial()?;
            let stop_s = self.system.next_stop(self.t_s);
            let ending = self.segment(stop_s.min(end_s))?;
            self.settle(ending == Ending::Target && stop_s <= end_s)?;
        }
        Ok(())
    }

    /// Steps with frozen modes to `target_s` or to the first crossing.
    fn segment(&mut self, target_s: f64) -> Result<Ending, IntegrationError<H::Fault>> {
        let explicit = self.stepper.is_explicit();
        let mut controller = Controller::new(if explicit { self.tuning.memory } else { 0.0 });
        let mut proposal_s = self.resumed_s.take();
        let mut joined = false;
        loop {
            let remaining_s = target_s - self.t_s;
            if remaining_s <= self.least_step_s() {
                self.t_s = target_s;
                return Ok(Ending::Target);
            }
            self.begin(joined)?;
            joined = true;
            let wish_s = match proposal_s {
                Some(step_s) => step_s,
                None => self.first_step_s(remaining_s)?,
            };
            let wish_s = f64::min(wish_s, self.tuning.longest_step_s);
            let (step_s, next_s, crossing) =
                self.step_and_look(wish_s, remaining_s, &mut controller)?;
            proposal_s = Some(next_s);
            match self.finish_step(step_s, crossing, target_s)? {
                Ending::Smooth => {}
                ending => {
                    self.resumed_s = Some(RESUMED * next_s);
                    return Ok(ending);
                }
            }
        }
    }

    /// Tries steps until one is within the tolerance. Answers its length and the length
    /// proposed for the next.
    fn advance(
        &mut self,
        wish_s: f64,
        remaining_s: f64,
        controller: &mut Controller,
    ) -> Result<(f64, f64), IntegrationError<H::Fault>> {
        let order = self.stepper.error_order();
        let mut step_s = fit_s(wish_s, remaining_s);
        loop {
            self.count_trial()?;
            let tolerance = self.tuning.tolerance;
            let trial = self
                .stepper
                .attempt(self.system, step_s, tolerance, self.statistics);
            let factor = match &trial {
                Ok(error) if *error <= 1.0 => {
                    let factor = controller.after_success(*error, order, self.tuning);
                    self.stepper.accept();
                    self.statistics.steps += 1;
                    return Ok((step_s, step_s * factor));
                }
                Ok(error) => controller.after_excess(*error, order, self.tuning),
                Err(_) => controller.after_refusal(self.tuning),
            };
            self.statistics.rejected += 1;
            if step_s * factor <= self.least_step_s() {
                return Err(self.give_up(trial.err(), step_s));
            }
            step_s = fit_s(step_s * factor, remaining_s);
        }
    }

    /// Makes a step and looks for a crossing in it. Where the guards cannot be read inside the
    /// step, it was too long for its dense output, and a shorter one is made from the same start.
    /// Answers its length, the length proposed for the next, and the part at the crossing.
    fn step_and_look(
        &mut self,
        wish_s: f64,
        remaining_s: f64,
        controller: &mut Controller,
    ) -> Result<(f64, f64, Option<f64>), IntegrationError<H::Fault>> {
        let mut wish_s = wish_s;
        loop {
            let (step_s, next_s) = self.advance(wish_s, remaining_s, controller)?;
            let crossing =
                self.watch
                    .scan(self.system, &self.stepper, self.t_s, step_s, self.tuning);
            match crossing {
                Ok(crossing) => return Ok((step_s, next_s, crossing)),
                Err((time_s, fault)) => {
                    wish_s = step_s * controller.after_refusal(self.tuning);
                    if wish_s <= self.least_step_s() {
                        return Err(IntegrationError::Model { time_s, fault });
                    }
                    self.statistics.steps -= 1;
                    self.statistics.rejected += 1;
                }
            }
        }
    }

    /// Goes to the end of the accepted step or to the crossing in it, at the latest to `target_s`.
    fn finish_step(
        &mut self,
        step_s: f64,
        crossing: Option<f64>,
        target_s: f64,
    ) -> Result<Ending, IntegrationError<H::Fault>> {
        let part = crossing.unwrap_or(1.0);
        let end_s = self.t_s + part * step_s;
        if target_s - end_s <= self.least_step_s() {
            // With an event that the clock can hardly tell from the target, too.
            self.go(step_s, part, target_s)?;
            return Ok(Ending::Target);
        }
        self.go(step_s, part, end_s)?;
        Ok(crossing.map_or(Ending::Smooth, |_| Ending::Crossing))
    }

    /// Hands a part of the step to the sink and moves to its end.
    fn go(&mut self, step_s: f64, part: f64, end_s: f64) -> Result<(), IntegrationError<H::Fault>> {
        let step = Accepted {
            stepper: &self.stepper,
            start_s: self.t_s,
            end_s,
            step_s,
            part,
        };
        if end_s > self.t_s {
            let handed = self.sink.step(self.system, &step);
            handed.map_err(|fault| IntegrationError::Model {
                time_s: end_s,
                fault,
            })?;
        }
        self.stepper.interpolate(part, self.y);
        self.t_s = end_s;
        Ok(())
    }

    /// Handles what is due at this instant, if anything is.
    fn settle(&mut self, at_stop: bool) -> Result<(), IntegrationError<H::Fault>> {
        if at_stop || self.read_guards()?.is_some() {
            self.switch(at_stop)?;
        }
        Ok(())
    }

    /// Handles all that is due at this instant.
    fn switch(&mut self, at_stop: bool) -> Result<(), IntegrationError<H::Fault>> {
        let time_s = self.t_s;
        let model = |fault| IntegrationError::Model { time_s, fault };
        self.sink
            .before(self.system, time_s, self.y)
            .map_err(model)?;
        if at_stop {
            self.system.at_stop(time_s, self.y).map_err(model)?;
            self.resumed_s = None;
        }
        while let Some(guard) = self.read_guards()? {
            self.statistics.events += 1;
            if let Some(count) = self.chatter.count(guard, time_s, self.tuning) {
                let window_s = self.tuning.chatter_window_s;
                return Err(IntegrationError::Chatter {
                    time_s,
                    guard,
                    count,
                    window_s,
                });
            }
            let is_gentle = self.system.is_gentle(guard, time_s, self.y);
            if !is_gentle.map_err(model)? {
                self.resumed_s = None;
            }
            self.system.at_guard(guard, time_s, self.y).map_err(model)?;
        }
        self.sink.after(self.system, time_s, self.y).map_err(model)
    }

    /// Reads the guards here; the first positive one, if any.
    fn read_guards(&mut self) -> Result<Option<usize>, IntegrationError<H::Fault>> {
        let time_s = self.t_s;
        self.watch
            .restart(self.system, time_s, self.y)
            .map_err(|fault| IntegrationError::Model { time_s, fault })
    }

    fn begin(&mut self, joined: bool) -> Result<(), IntegrationError<H::Fault>> {
        self.stepper
            .begin(self.system, self.t_s, self.y, joined, self.statistics)
            .map_err(|refusal| self.give_up(Some(refusal), 0.0))
    }

    /// Step after a restart.
    fn first_step_s(&mut self, remaining_s: f64) -> Result<f64, IntegrationError<H::Fault>> {
        for (i, weight) in self.weights.iter_mut().enumerate() {
            *weight = self.tuning.tolerance * (self.system.scale(i) + self.y[i].abs());
        }
        let slope = weighed(self.stepper.start_rates(), &self.weights);
        let tolerance = self.tuning.tolerance;
        let probe_s = 0.1 * (FIRST_MOTION / (tolerance * slope)).min(remaining_s);
        let bend = self
            .stepper
            .curvature(self.system, probe_s, &mut self.bend, self.statistics);
        let step_s = match bend {
            Ok(()) => {
                let curvature = weighed(&self.bend, &self.weights);
                first_step_s(slope, curvature, self.stepper.error_order(), tolerance)
            }
            Err(_) => probe_s,
        };
        Ok(step_s.max(self.least_step_s()).min(remaining_s))
    }

    fn count_trial(&mut self) -> Result<(), IntegrationError<H::Fault>> {
        self.trials += 1;
        if self.trials > self.tuning.step_limit {
            return Err(IntegrationError::TooManySteps {
                time_s: self.t_s,
                limit: self.tuning.step_limit,
            });
        }
        Ok(())
    }

    /// The shortest step that moves the clock here.
    fn least_step_s(&self) -> f64 {
        self.tuning
            .shortest_step_s
            .max(4.0 * f64::EPSILON * self.t_s.abs())
    }

    fn give_up(
        &self,
        refusal: Option<Refusal<H::Fault>>,
        step_s: f64,
    ) -> IntegrationError<H::Fault> {
        let time_s = self.t_s;
        match refusal {
            Some(Refusal::Fault(fault)) => IntegrationError::Model { time_s, fault },
            Some(Refusal::NotFinite(state)) => IntegrationError::NotFinite { time_s, state },
            Some(Refusal::Singular) | None => IntegrationError::StepTooSmall { time_s, step_s },
        }
    }
}

/// What stands of an accepted step.
struct Accepted<'a, S> {
    stepper: &'a S,
    start_s: f64,
    end_s: f64,
    /// Length of the whole step, of which this may be the first part.
    step_s: f64,
    /// The part of it at `end_s`.
    part: f64,
}

impl<S: Interpolant> DenseStep for Accepted<'_, S> {
    fn start_s(&self) -> f64 {
        self.start_s
    }

    fn end_s(&self) -> f64 {
        self.end_s
    }

    fn middle(&self, y: &mut [f64]) -> f64 {
        let theta = 0.5 * self.part;
        self.stepper.interpolate(theta, y);
        self.start_s + theta * self.step_s
    }

    fn interpolate(&self, t_s: f64, y: &mut [f64]) {
        let theta = if t_s >= self.end_s {
            self.part
        } else {
            ((t_s - self.start_s) / self.step_s).clamp(0.0, self.part)
        };
        self.stepper.interpolate(theta, y);
    }
}
