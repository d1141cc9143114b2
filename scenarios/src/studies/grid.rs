//! The times at which runs are laid over each other.

use sim_core::outcome::{History, Outcome};

/// Most instants of the even part of a grid.
const EVEN: usize = 500;
/// About an event every row counts, this long before and after it.
const NEAR_S: f64 = 0.25;

/// Instants of a run: evenly spread over it, and each row near an event.
#[must_use]
pub fn common_grid(nominal: &Outcome) -> Vec<f64> {
    let times = nominal.history.column("time_s").unwrap_or_default();
    let every = times.len().div_ceil(EVEN).max(1);
    let is_near = |t: f64| {
        let mut events = nominal.events.iter();
        events.any(|e| (e.time_s - t).abs() <= NEAR_S)
    };
    let kept = times
        .iter()
        .enumerate()
        .filter(|&(i, &t)| i % every == 0 || i + 1 == times.len() || is_near(t));
    let mut grid: Vec<f64> = kept.map(|(_, &t)| t).collect();
    grid.dedup();
    grid
}

/// All columns but the time at the instants of a grid, row by row: straight between rows, just
/// after what happens at an instant, NaN beyond the end of the history.
#[must_use]
pub fn resampled(history: &History, grid: &[f64]) -> Vec<f32> {
    let width = history.columns.len().saturating_sub(1);
    let mut values = Vec::with_capacity(grid.len() * width);
    let mut next = 0;
    for &time_s in grid {
        while next < history.len() && history.row(next)[0] <= time_s {
            next += 1;
        }
        push_row(history, next, time_s, &mut values);
    }
    values
}

/// The row at an instant before row `next`.
fn push_row(history: &History, next: usize, time_s: f64, values: &mut Vec<f32>) {
    let width = history.columns.len().saturating_sub(1);
    let Some(before) = next.checked_sub(1).map(|row| history.row(row)) else {
        values.extend(std::iter::repeat_n(f32::NAN, width));
        return;
    };
    if before[0] == time_s {
        values.extend(before[1..].iter().map(|&v| v as f32));
    } else if next < history.len() {
        let after = history.row(next);
        let part = (time_s - before[0]) / (after[0] - before[0]);
        let pairs = before[1..].iter().zip(&after[1..]);
        values.extend(pairs.map(|(a, b)| (a + part * (b - a)) as f32));
    } else {
        values.extend(std::iter::repeat_n(f32::NAN, width));
    }
}
