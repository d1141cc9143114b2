//! Points that fill the unit cube evenly: a scrambled Sobol sequence.
//!
//! I. M. Sobol', USSR Comput. Math. Math. Phys. 7(4) (1967) 86; scrambled after A. B. Owen
//! (1995) by hashing, B. Burley, J. Comput. Graph. Tech. 9(4) (2020) 1. A point depends on its
//! index, its dimension and the seed alone, so that any part of a sequence can be computed
//! anywhere. The direction numbers hold for 65 536 points and 256 dimensions: further points
//! come from sequences of their own, scrambled independently; further dimensions are refused.

use std::fmt;

/// Most uncertain values that can be drawn at once.
pub const MOST_FACTORS: usize = sobol_burley::NUM_DIMENSIONS as usize;
/// The seed, unless another is asked for.
pub const SEED: u32 = 1;

const BLOCK: u64 = 1 << 16;
/// Half the spacing of the crate's 24 bits: keeps a draw off 0 and 1.
const HALF_STEP: f64 = 0.5 / (1 << 24) as f64;

/// More dimensions than there are direction numbers for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooManyFactors {
    /// How many were asked for.
    pub wanted: usize,
}

impl fmt::Display for TooManyFactors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} uncertain values cannot be drawn at once, at most {MOST_FACTORS}; give the least \
             important ones without their uncertainty",
            self.wanted
        )
    }
}

impl std::error::Error for TooManyFactors {}

/// A sequence of points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Draws {
    dimensions: usize,
    seed: u32,
}

impl Draws {
    /// A sequence in so many dimensions.
    ///
    /// # Errors
    /// If there are too many dimensions.
    pub fn new(dimensions: usize, seed: u32) -> Result<Self, TooManyFactors> {
        if dimensions > MOST_FACTORS {
            return Err(TooManyFactors { wanted: dimensions });
        }
        Ok(Self { dimensions, seed })
    }

    /// A coordinate of a point, above 0 and below 1.
    #[must_use]
    pub fn coordinate(&self, index: u64, dimension: usize) -> f64 {
        // Each block of the sequence is scrambled by a seed of its own; the first by the seed.
        let block = (index / BLOCK) as u32;
        let seed = self.seed ^ block.wrapping_mul(0x9e37_79b9);
        let within = (index % BLOCK) as u32;
        f64::from(sobol_burley::sample(within, dimension as u32, seed)) + HALF_STEP
    }

    /// A point.
    #[must_use]
    pub fn point(&self, index: u64) -> Vec<f64> {
        (0..self.dimensions)
            .map(|d| self.coordinate(index, d))
            .collect()
    }
}
