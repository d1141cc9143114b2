//! Round numbers for an axis.

/// Round positions on an axis and the decimals that tell them apart.
#[derive(Clone, Debug, PartialEq)]
pub struct Ticks {
    /// Positions, rising.
    pub at: Vec<f64>,
    /// Decimals to print.
    pub decimals: usize,
}

impl Ticks {
    /// About `wanted` round positions within `low..=high`, at least two: steps of 1, 2 or 5 times a
    /// power of ten.
    #[must_use]
    pub fn within(low: f64, high: f64, wanted: usize) -> Self {
        let mut step = round_step((high - low) / wanted.max(1) as f64);
        let mut ticks = Self::spaced(low, high, step);
        // After three finer steps it is below half of the range, and there twice wherever that begins.
        for _ in 0..3 {
            if ticks.at.len() < 2 {
                step = round_step(0.4 * step);
                ticks = Self::spaced(low, high, step);
            }
        }
        ticks
    }

    fn spaced(low: f64, high: f64, step: f64) -> Self {
        let slack = step * 1e-9;
        let first = ((low - slack) / step).ceil();
        let last = ((high + slack) / step).floor();
        let count = (last - first).max(-1.0) as usize + 1;
        Self {
            at: (0..count).map(|i| (first + i as f64) * step).collect(),
            decimals: (-step.log10().floor()).max(0.0) as usize,
        }
    }

    /// The number at a position as text, with a proper minus sign.
    #[must_use]
    pub fn label(&self, position: f64) -> String {
        let text = format!("{position:.*}", self.decimals);
        let zero = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
        if zero {
            text.replace('-', "")
        } else {
            text.replace('-', "\u{2212}")
        }
    }
}

/// The smallest of 1, 2, 5 times a power of ten that is not below `rough`.
fn round_step(rough: f64) -> f64 {
    if !(rough.is_finite() && rough > 0.0) {
        return 1.0;
    }
    let power = 10f64.powf(rough.log10().floor());
    let mantissa = rough / power;
    let round = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .find(|m| mantissa <= m * (1.0 + 1e-9));
    power * round.unwrap_or(10.0)
}

/// An axis range that holds `low..=high` with a little air, and zero if zero is near.
#[must_use]
pub fn roomy_range(low: f64, high: f64) -> (f64, f64) {
    if !(low.is_finite() && high.is_finite()) {
        return (0.0, 1.0);
    }
    let span = high - low;
    let least = 1e-6 * low.abs().max(high.abs()).max(1e-9);
    if span <= least {
        let half = (0.05 * high.abs()).max(1e-3);
        return (low - half, high + half);
    }
    let near_zero = low >= -0.01 * high && low < 0.35 * high;
    let floor = if near_zero {
        low.min(0.0)
    } else {
        low - 0.06 * span
    };
    (floor, high + 0.06 * span)
}
