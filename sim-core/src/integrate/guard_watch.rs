//! Finds the first instant of a step at which a guard becomes positive.

use super::stepper::Interpolant;
use super::system::Hybrid;
use super::tuning::Tuning;

/// The scratch of the search.
#[derive(Default)]
pub(super) struct GuardWatch {
    state: Vec<f64>,
    start: Vec<f64>,
    middle: Vec<f64>,
    end: Vec<f64>,
}

/// A part of the step (0 to 1) and a guard's value there.
type Point = (f64, f64);

/// A step as a guard sees it.
struct View<'a, H: Hybrid, S> {
    system: &'a H,
    stepper: &'a S,
    start_s: f64,
    step_s: f64,
    state: &'a mut [f64],
}

/// A fault of the guards and the time of it.
pub(super) type At<F> = (f64, F);

impl<H: Hybrid, S: Interpolant> View<'_, H, S> {
    /// All guards at a part of the step.
    fn read(&mut self, theta: f64, values: &mut Vec<f64>) -> Result<(), At<H::Fault>> {
        let t_s = self.go_to(theta);
        values.clear();
        self.system
            .guards(t_s, self.state, values)
            .map_err(|fault| (t_s, fault))
    }

    /// One guard there.
    fn read_one(&mut self, theta: f64, guard: usize) -> Result<f64, At<H::Fault>> {
        let t_s = self.go_to(theta);
        let value = self.system.guard(guard, t_s, self.state);
        value.map_err(|fault| (t_s, fault))
    }

    fn go_to(&mut self, theta: f64) -> f64 {
        self.stepper.interpolate(theta, self.state);
        self.start_s + theta * self.step_s
    }
}

impl GuardWatch {
    pub(super) fn new(dimension: usize) -> Self {
        Self {
            state: vec![0.0; dimension],
            ..Self::default()
        }
    }

    /// Reads the guards at the start of a segment and names the first positive one.
    pub(super) fn restart<H: Hybrid>(
        &mut self,
        system: &H,
        t_s: f64,
        y: &[f64],
    ) -> Result<Option<usize>, H::Fault> {
        self.start.clear();
        system.guards(t_s, y, &mut self.start)?;
        Ok(self.start.iter().position(|g| *g > 0.0))
    }

    /// The part of the accepted step at which the first guard has just become positive,
    /// if one does.
    pub(super) fn scan<H: Hybrid, S: Interpolant>(
        &mut self,
        system: &H,
        stepper: &S,
        start_s: f64,
        step_s: f64,
        tuning: &Tuning,
    ) -> Result<Option<f64>, At<H::Fault>> {
        if self.start.is_empty() {
            return Ok(None);
        }
        let mut view = View {
            system,
            stepper,
            start_s,
            step_s,
            state: &mut self.state,
        };
        view.read(0.5, &mut self.middle)?;
        view.read(1.0, &mut self.end)?;
        let width = event_width(start_s, step_s, tuning);
        let mut first: Option<f64> = None;
        for guard in 0..self.start.len() {
            let samples = [
                (0.0, self.start[guard]),
                (0.5, self.middle[guard]),
                (1.0, self.end[guard]),
            ];
            let mut value = |theta: f64| view.read_one(theta, guard);
            if let Some((low, high)) = bracket(samples, &mut value)? {
                let root = locate(low, high, width, &mut value)?;
                first = Some(first.map_or(root, |earlier| earlier.min(root)));
            }
        }
        if first.is_none() {
            std::mem::swap(&mut self.start, &mut self.end);
        }
        Ok(first)
    }
}

/// Part of the step to which a crossing is narrowed; the clock cannot tell apart what lies
/// closer than its last digits.
fn event_width(start_s: f64, step_s: f64, tuning: &Tuning) -> f64 {
    let clock = 2.0 * f64::EPSILON * (start_s + step_s).abs() / step_s;
    tuning.event_width.max(clock)
}

/// Two points between which the guard becomes positive for the first time: the first is
/// not positive, the second is.
fn bracket<E>(
    samples: [Point; 3],
    value: &mut impl FnMut(f64) -> Result<f64, E>,
) -> Result<Option<(Point, Point)>, E> {
    let [start, middle, end] = samples;
    if middle.1 > 0.0 {
        return leave_zero(start, middle, value).map(Some);
    }
    if let Some(top) = summit(samples, value)? {
        let low = if top.0 > middle.0 { middle } else { start };
        return Ok(Some((low, top)));
    }
    Ok((end.1 > 0.0).then_some((middle, end)))
}

/// A guard that starts at zero, as after its own event, may be negative before it is
/// positive: looks for that side ever closer to the start.
fn leave_zero<E>(
    start: Point,
    first_positive: Point,
    value: &mut impl FnMut(f64) -> Result<f64, E>,
) -> Result<(Point, Point), E> {
    const NARROWINGS: usize = 40;
    let mut high = first_positive;
    for _ in 0..NARROWINGS {
        if start.1 < 0.0 {
            break;
        }
        let theta = 0.5 * high.0;
        let probe = (theta, value(theta)?);
        if probe.1 < 0.0 {
            return Ok((probe, high));
        }
        high = probe;
    }
    Ok((start, high))
}

/// A point where a guard that is negative at three points is positive between them, by
/// successive parabolas through the highest; none if the parabola stays clearly below.
fn summit<E>(
    samples: [Point; 3],
    value: &mut impl FnMut(f64) -> Result<f64, E>,
) -> Result<Option<Point>, E> {
    /// Part of the guard's span by which the parabola may be wrong.
    const DOUBT: f64 = 0.1;
    const PROBES: usize = 4;
    let [mut a, mut m, mut b] = samples;
    for _ in 0..PROBES {
        let Some((theta, height)) = vertex(a, m, b) else {
            return Ok(None);
        };
        let span = a.1.max(m.1).max(b.1) - a.1.min(m.1).min(b.1);
        if height < -DOUBT * span {
            return Ok(None);
        }
        let top = (theta, value(theta)?);
        if top.1 > 0.0 {
            return Ok(Some(top));
        }
        (a, m, b) = if theta < m.0 {
            (a, top, m)
        } else {
            (m, top, b)
        };
    }
    Ok(None)
}

/// Top of the parabola through three points, if it has one between the outer two.
fn vertex(a: Point, m: Point, b: Point) -> Option<Point> {
    let left = (m.1 - a.1) / (m.0 - a.0);
    let right = (b.1 - m.1) / (b.0 - m.0);
    let bend = (right - left) / (b.0 - a.0);
    if bend >= 0.0 {
        return None;
    }
    let theta = 0.5 * (a.0 + m.0) - 0.5 * left / bend;
    let height = a.1 + (theta - a.0) * (left + bend * (theta - m.0));
    (theta > a.0 && theta < b.0 && theta != m.0).then_some((theta, height))
}

/// Narrows a crossing to `width` and answers its positive side.
///
/// Inverse quadratic interpolation or bisection as chosen by T. R. Chandrupatla, A new
/// hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function
/// without using derivatives, Advances in Engineering Software 28 (1997) 145-149.
fn locate<E>(
    low: Point,
    high: Point,
    width: f64,
    value: &mut impl FnMut(f64) -> Result<f64, E>,
) -> Result<f64, E> {
    let (mut a, mut b) = (high, low);
    let mut part = 0.5;
    while (a.0 - b.0).abs() > width {
        let theta = a.0 + part * (b.0 - a.0);
        let probe = (theta, value(theta)?);
        let c = if (probe.1 > 0.0) == (a.1 > 0.0) {
            a
        } else {
            std::mem::replace(&mut b, a)
        };
        a = probe;
        part = next_part(a, b, c, width);
    }
    Ok(if a.1 > 0.0 { a.0 } else { b.0 })
}

/// Where between `a` and `b` to look next.
fn next_part(a: Point, b: Point, c: Point, width: f64) -> f64 {
    let xi = (a.0 - b.0) / (c.0 - b.0);
    let phi = (a.1 - b.1) / (c.1 - b.1);
    let quadratic_fits = phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi;
    let part = if quadratic_fits {
        a.1 / (b.1 - a.1) * c.1 / (b.1 - c.1)
            + (c.0 - a.0) / (b.0 - a.0) * a.1 / (c.1 - a.1) * b.1 / (c.1 - b.1)
    } else {
        0.5
    };
    // Half a width off the best end, so that the other end closes in.
    let margin = 0.5 * width / (b.0 - a.0).abs();
    part.clamp(margin.min(0.5), 1.0 - margin.min(0.5))
}
