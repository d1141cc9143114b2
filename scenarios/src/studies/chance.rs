//! How likely something is, counted over draws.

use super::factor::SIGMAS_95;

/// A count out of a number of draws.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chance {
    /// How often it came about.
    pub count: usize,
    /// Out of how many.
    pub of: usize,
}

impl Chance {
    /// Counts.
    #[must_use]
    pub fn of(came_about: impl IntoIterator<Item = bool>) -> Self {
        let mut chance = Self { count: 0, of: 0 };
        for came in came_about {
            chance.of += 1;
            chance.count += usize::from(came);
        }
        chance
    }

    /// The part of the draws.
    #[must_use]
    pub fn part(&self) -> f64 {
        self.count as f64 / self.of as f64
    }

    /// Between what the true probability lies with 95 % confidence: the score interval of E. B.
    /// Wilson, J. Am. Stat. Assoc. 22 (1927) 209, for independent draws.
    #[must_use]
    pub fn interval_95(&self) -> (f64, f64) {
        let (n, p) = (self.of as f64, self.part());
        let z2 = SIGMAS_95 * SIGMAS_95 / n;
        let middle = p + 0.5 * z2;
        let reach = SIGMAS_95 * (p * (1.0 - p) / n + 0.25 * z2 / n).sqrt();
        let low = (middle - reach) / (1.0 + z2);
        let high = (middle + reach) / (1.0 + z2);
        (low.max(0.0), high.min(1.0))
    }
}
