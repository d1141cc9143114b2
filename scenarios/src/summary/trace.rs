//! Reading a history: values at instants, extremes, integrals.

use sim_core::outcome::History;

/// One column of a history against time. At an event the history has a row before and a
/// row after; [`Trace::before`] and [`Trace::after`] tell them apart.
#[derive(Clone, Debug)]
pub struct Trace {
    time_s: Vec<f64>,
    values: Vec<f64>,
}

impl Trace {
    /// Of values at instants, one or more.
    pub(super) fn new(time_s: Vec<f64>, values: Vec<f64>) -> Self {
        Self { time_s, values }
    }

    /// The column, if the history has it and any row.
    #[must_use]
    pub fn of(history: &History, column: &str) -> Option<Self> {
        let values = history.column(column)?;
        let time_s = history.column("time_s")?;
        (!values.is_empty()).then_some(Self { time_s, values })
    }

    /// The column `component.quantity`.
    #[must_use]
    pub fn of_component(history: &History, component: &str, quantity: &str) -> Option<Self> {
        Self::of(history, &format!("{component}.{quantity}"))
    }

    /// Last instant of a row at or below a value.
    #[must_use]
    pub(super) fn last_below(&self, value: f64) -> Option<f64> {
        let row = self.values.iter().rposition(|&v| v <= value)?;
        Some(self.time_s[row])
    }

    /// Instant and value of every row.
    pub(super) fn points(&self) -> impl Iterator<Item = (f64, f64)> {
        self.time_s.iter().copied().zip(self.values.iter().copied())
    }

    /// Value at an instant, just before it if something happens there.
    #[must_use]
    pub fn before(&self, at_s: f64) -> f64 {
        self.between(self.time_s.partition_point(|&t| t < at_s), at_s)
    }

    /// Value at an instant, just after it if something happens there.
    #[must_use]
    pub fn after(&self, at_s: f64) -> f64 {
        let next = self.time_s.partition_point(|&t| t <= at_s);
        if next > 0 && self.time_s[next - 1] == at_s {
            return self.values[next - 1];
        }
        self.between(next, at_s)
    }

    /// Interpolates in the interval that ends at row `next`; constant beyond the ends.
    fn between(&self, next: usize, at_s: f64) -> f64 {
        if next == 0 {
            return self.values[0];
        }
        if next == self.values.len() {
            return self.values[next - 1];
        }
        let (t0, t1) = (self.time_s[next - 1], self.time_s[next]);
        let (v0, v1) = (self.values[next - 1], self.values[next]);
        if t1 > t0 {
            v0 + (v1 - v0) * (at_s - t0) / (t1 - t0)
        } else {
            v1
        }
    }

    /// The first instant of the history within a span at which something holds.
    #[must_use]
    pub fn first_where(
        &self,
        from_s: f64,
        to_s: f64,
        mut holds: impl FnMut(f64) -> bool,
    ) -> Option<f64> {
        let times = self.time_s.iter().copied();
        let mut within = times.filter(|&t| from_s < t && t < to_s);
        within.find(|&t| holds(t))
    }

    /// The points within a span, its ends included.
    fn within(&self, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
        let inner = self.time_s.iter().zip(&self.values);
        let inner = inner.filter(|&(&t, _)| from_s < t && t < to_s);
        let mut points = vec![(from_s, self.after(from_s))];
        points.extend(inner.map(|(&t, &v)| (t, v)));
        points.push((to_s, self.before(to_s)));
        points
    }

    /// First instant and value of the maximum within a span.
    #[must_use]
    pub fn maximum(&self, from_s: f64, to_s: f64) -> (f64, f64) {
        let first_above = |best: (f64, f64), p: (f64, f64)| if p.1 > best.1 { p } else { best };
        let points = self.within(from_s, to_s);
        points
            .into_iter()
            .fold((from_s, f64::NEG_INFINITY), first_above)
    }

    /// First instant and value of the minimum within a span.
    #[must_use]
    pub fn minimum(&self, from_s: f64, to_s: f64) -> (f64, f64) {
        let first_below = |best: (f64, f64), p: (f64, f64)| if p.1 < best.1 { p } else { best };
        let points = self.within(from_s, to_s);
        points
            .into_iter()
            .fold((from_s, f64::INFINITY), first_below)
    }

    /// Integral over a span by the trapezoidal rule.
    #[must_use]
    pub fn integral(&self, from_s: f64, to_s: f64) -> f64 {
        let points = self.within(from_s, to_s);
        let area = |p: &[(f64, f64)]| 0.5 * (p[0].1 + p[1].1) * (p[1].0 - p[0].0);
        points.windows(2).map(area).sum()
    }

    /// Mean over a span; the value itself if the span is empty.
    #[must_use]
    pub fn mean(&self, from_s: f64, to_s: f64) -> f64 {
        if to_s > from_s {
            self.integral(from_s, to_s) / (to_s - from_s)
        } else {
            self.after(from_s)
        }
    }

    /// First instant within a span at which the value reaches `level` from below.
    #[must_use]
    pub fn first_reach(&self, level: f64, from_s: f64, to_s: f64) -> Option<f64> {
        let points = self.within(from_s, to_s);
        if points[0].1 >= level {
            return Some(points[0].0);
        }
        let pair = points.windows(2).find(|p| p[1].1 >= level)?;
        let ((t0, v0), (t1, v1)) = (pair[0], pair[1]);
        Some(t0 + (t1 - t0) * (level - v0) / (v1 - v0))
    }

    /// The same history's column plus `factor` times another one.
    #[must_use]
    pub fn plus(mut self, factor: f64, other: &Self) -> Self {
        for (value, more) in self.values.iter_mut().zip(&other.values) {
            *value += factor * more;
        }
        self
    }

    /// The highest value that is held for at least `hold_s` within a span, and when it is
    /// read: at the lowest point of the interval that holds it.
    #[must_use]
    pub fn highest_held(&self, hold_s: f64, from_s: f64, to_s: f64) -> (f64, f64) {
        let points = self.within(from_s, to_s);
        let mut best = (from_s, f64::NEG_INFINITY);
        for (i, &(start, value)) in points.iter().enumerate() {
            let end = start + hold_s;
            if end > to_s * (1.0 + 1e-12) {
                break;
            }
            if value <= best.1 {
                continue;
            }
            let last = (end, self.before(end));
            let held = points[i..].iter().take_while(|p| p.0 <= end);
            let lower = |low: (f64, f64), p: &(f64, f64)| if p.1 < low.1 { *p } else { low };
            let held = held.fold(last, lower);
            if held.1 > best.1 {
                best = held;
            }
        }
        best
    }

    /// Instants of the first and the last row.
    #[must_use]
    pub fn span_s(&self) -> (f64, f64) {
        (self.time_s[0], self.time_s[self.time_s.len() - 1])
    }
}
