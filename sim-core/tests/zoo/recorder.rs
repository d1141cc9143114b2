//! A sink that keeps all it is given and holds the driver to its word.

use super::Fault;
use sim_core::integrate::{DenseStep, Hybrid, Sink};

/// Everything that reached the sink.
#[derive(Default)]
pub struct Recorder {
    /// Ends of the steps with the states there.
    pub steps: Vec<(f64, Vec<f64>)>,
    /// Instants at which something switched, with the states before and after.
    pub instants: Vec<Instant>,
}

/// An instant at which something switched.
pub struct Instant {
    pub t_s: f64,
    pub before: Vec<f64>,
    pub after: Option<Vec<f64>>,
}

impl Recorder {
    /// When something switched.
    pub fn times(&self) -> Vec<f64> {
        self.instants.iter().map(|i| i.t_s).collect()
    }

    /// Time and state reached last.
    fn last(&self) -> Option<(f64, &[f64])> {
        let step = self.steps.last().map(|(t, y)| (*t, y.as_slice()));
        match self.instants.last() {
            Some(i) if step.is_none_or(|(t, _)| i.t_s >= t) => Some((i.t_s, i.after.as_deref()?)),
            _ => step,
        }
    }
}

impl<H: Hybrid<Fault = Fault>> Sink<H> for Recorder {
    fn step(&mut self, system: &H, step: &dyn DenseStep) -> Result<(), Fault> {
        assert!(step.end_s() > step.start_s(), "a step moves the clock");
        let mut y = vec![0.0; system.dimension()];
        step.interpolate(step.start_s(), &mut y);
        if let Some((t_s, last)) = self.last() {
            assert!((step.start_s() - t_s).abs() <= 4.0 * f64::EPSILON * t_s.abs());
            assert_eq!(y, last, "steps join");
        }
        step.interpolate(step.end_s(), &mut y);
        self.steps.push((step.end_s(), y));
        Ok(())
    }

    fn before(&mut self, _: &H, t_s: f64, y: &[f64]) -> Result<(), Fault> {
        if let Some((_, last)) = self.last() {
            assert_eq!(y, last, "an instant joins the step before");
        }
        self.instants.push(Instant {
            t_s,
            before: y.to_vec(),
            after: None,
        });
        Ok(())
    }

    fn after(&mut self, _: &H, t_s: f64, y: &[f64]) -> Result<(), Fault> {
        let instant = self.instants.last_mut().ok_or("after comes after before")?;
        assert_eq!(instant.t_s, t_s);
        instant.after = Some(y.to_vec());
        Ok(())
    }
}
