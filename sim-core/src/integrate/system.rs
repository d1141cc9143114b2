//! What the driver asks of a system and of the place where results go.

use nalgebra::{DMatrix, DVector};

/// A system of rates `dy/dt = f(t, y)` with its modes frozen.
pub trait Rates {
    /// Why the rates cannot be computed, for example a state outside a property's range.
    type Fault;

    /// Number of states; constant for the whole run.
    fn dimension(&self) -> usize;

    /// Writes `f(t, y)` into `dy`.
    ///
    /// # Errors
    /// The fault, if `y` lies where `f` is not defined. Inside a trial step the driver
    /// then tries a shorter one.
    fn rates(&self, t_s: f64, y: &[f64], dy: &mut [f64]) -> Result<(), Self::Fault>;

    /// Writes `df/dy` (row: rate, column: state) and `df/dt`. Both arrive with whatever
    /// they held before, so every entry has to be written.
    ///
    /// # Errors
    /// As [`Rates::rates`].
    fn jacobian(
        &self,
        t_s: f64,
        y: &[f64],
        jacobian: &mut DMatrix<f64>,
        time_slope: &mut DVector<f64>,
    ) -> Result<(), Self::Fault>;

    /// How many of the first states the rates depend on. The states behind them only count:
    /// their columns of the Jacobian are zero.
    fn coupled(&self) -> usize {
        self.dimension()
    }

    /// Magnitude of state `i` below which only absolute accuracy is asked: the error of
    /// a step is weighed against `tolerance * (scale + |y_i|)`. Positive.
    fn scale(&self, i: usize) -> f64;
}

/// Rates that switch: guards, scheduled stops, changes of mode.
///
/// # The rule of the guards
/// In a mode that fits the state **every guard is zero or negative**; a positive guard
/// says that the mode must change. A guard that becomes positive within a step is located
/// and handed to [`Hybrid::at_guard`], which must leave it zero or negative, by another
/// mode (with hysteresis, so that noise does not bring it back at once) or by another
/// state. After every call the guards are read anew; as long as one is positive it is
/// handed over too, at the same instant. So guards that fire together are all handled,
/// guards that a stop made positive fire right after the stop, those that are positive at
/// the start of the run fire there, and a guard that nothing can quiet is refused as
/// chatter.
pub trait Hybrid: Rates {
    /// Appends the guards of the present mode to `values`, which arrives empty. They are
    /// continuous in `(t, y)`; number and meaning may change in [`Hybrid::at_stop`] and
    /// [`Hybrid::at_guard`] only. Guards are read at the middle of each step too.
    ///
    /// # Errors
    /// The fault. Inside a step the driver then tries a shorter one; at the start of a segment it
    /// ends the run.
    fn guards(&self, t_s: f64, y: &[f64], values: &mut Vec<f64>) -> Result<(), Self::Fault>;

    /// One of the guards, by its place in what [`Hybrid::guards`] appended last, in the same modes.
    ///
    /// # Errors
    /// As [`Hybrid::guards`].
    fn guard(&self, guard: usize, t_s: f64, y: &[f64]) -> Result<f64, Self::Fault> {
        let mut values = Vec::new();
        self.guards(t_s, y, &mut values)?;
        Ok(values[guard])
    }

    /// First scheduled stop strictly after `t_s`; infinity if there is none. A kink of
    /// the rates in time belongs here, not among the guards.
    fn next_stop(&self, t_s: f64) -> f64;

    /// Called exactly at a scheduled stop, the end of the run included if a stop lies
    /// there. May change modes and state.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn at_stop(&mut self, t_s: f64, y: &mut [f64]) -> Result<(), Self::Fault>;

    /// Called where guard `guard` (its place in [`Hybrid::guards`]) is found positive,
    /// after a crossing by less than a part in 1e12 of the step.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn at_guard(&mut self, guard: usize, t_s: f64, y: &mut [f64]) -> Result<(), Self::Fault>;

    /// Whether what [`Hybrid::at_guard`] does about a guard leaves the rates nearly as they are (a
    /// law that goes over into another without a jump, a state that is only written in another way):
    /// the steps then go on. Asked before it is done.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn is_gentle(&self, _guard: usize, _t_s: f64, _y: &[f64]) -> Result<bool, Self::Fault> {
        Ok(false)
    }

    /// True when the run may end before its time. Asked at the start and after every
    /// stop and event.
    fn finished(&self) -> bool {
        false
    }
}

/// Where a run goes. The calls come in the order of time: steps that join without a gap,
/// and one pair `before`, `after` for each instant at which something switched.
pub trait Sink<H: Hybrid + ?Sized> {
    /// An accepted step; its dense output may be read anywhere between its ends.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn step(&mut self, system: &H, step: &dyn DenseStep) -> Result<(), H::Fault>;

    /// The state and the modes right before an instant at which something switches.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn before(&mut self, system: &H, t_s: f64, y: &[f64]) -> Result<(), H::Fault>;

    /// The state and the modes right after it, when all that was due has been handled.
    ///
    /// # Errors
    /// The fault, which ends the run.
    fn after(&mut self, system: &H, t_s: f64, y: &[f64]) -> Result<(), H::Fault>;
}

/// The sink that keeps nothing.
impl<H: Hybrid + ?Sized> Sink<H> for () {
    fn step(&mut self, _: &H, _: &dyn DenseStep) -> Result<(), H::Fault> {
        Ok(())
    }

    fn before(&mut self, _: &H, _: f64, _: &[f64]) -> Result<(), H::Fault> {
        Ok(())
    }

    fn after(&mut self, _: &H, _: f64, _: &[f64]) -> Result<(), H::Fault> {
        Ok(())
    }
}

/// An accepted step, cut at the event or stop that ends it.
pub trait DenseStep {
    /// Where it begins.
    fn start_s(&self) -> f64;

    /// Where it ends.
    fn end_s(&self) -> f64;

    /// Writes the state in the middle into `y` and answers its time. Of a whole step it is,
    /// to the last bit, the instant at which the guards were read.
    fn middle(&self, y: &mut [f64]) -> f64;

    /// Writes the state at `t_s` into `y`; times outside the step are taken as its ends.
    fn interpolate(&self, t_s: f64, y: &mut [f64]);
}
