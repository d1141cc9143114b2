//! Percentiles of drawn values, and how well a number of draws knows them.

/// The lower end of a band: 2.5 %, so that a band holds the same 95 % as the uncertainties of
/// the stand file.
pub const LOW: f64 = 0.025;
/// The upper end of a band.
pub const HIGH: f64 = 0.975;
/// Draws below which the ends of a band would lie beyond the outermost draws.
pub const FEWEST_DRAWS: usize = 40;

/// Values in rising order.
#[derive(Clone, Debug, PartialEq)]
pub struct Sorted(Vec<f64>);

impl Sorted {
    /// Sorts the values that are numbers.
    #[must_use]
    pub fn of(values: impl IntoIterator<Item = f64>) -> Self {
        let mut values: Vec<f64> = values.into_iter().filter(|v| v.is_finite()).collect();
        values.sort_unstable_by(f64::total_cmp);
        Self(values)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// True if there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The value below which a part of them lies: definition 5 of R. J. Hyndman and Y. Fan, Am.
    /// Stat. 50 (1996) 361, the i-th of n values standing for (i - 1/2)/n. NaN if there is none.
    #[must_use]
    pub fn percentile(&self, part: f64) -> f64 {
        let last = match self.0.len() {
            0 => return f64::NAN,
            n => n - 1,
        };
        let place = (part * self.0.len() as f64 - 0.5).clamp(0.0, last as f64);
        let below = place.floor() as usize;
        let above = (below + 1).min(last);
        self.0[below] + (place - below as f64) * (self.0[above] - self.0[below])
    }

    /// Values between which the true percentile lies with 95 % confidence, whatever the
    /// distribution: order statistics (W. J. Conover, Practical Nonparametric Statistics, 3.2;
    /// normal approximation of the binomial). It holds for independent draws; evenly spread
    /// ones know it better. Confined to the outermost draws.
    #[must_use]
    pub fn confidence_of_percentile(&self, part: f64) -> (f64, f64) {
        let last = match self.0.len() {
            0 => return (f64::NAN, f64::NAN),
            n => n - 1,
        };
        let n = self.0.len() as f64;
        let reach = super::factor::SIGMAS_95 * (n * part * (1.0 - part)).sqrt();
        let rank = |r: f64| (r.max(1.0) as usize - 1).min(last);
        let (low, high) = ((n * part - reach).floor(), (n * part + reach).ceil() + 1.0);
        (self.0[rank(low)], self.0[rank(high)])
    }
}
