//! Screening by elementary effects: M. D. Morris, Technometrics 33 (1991) 161, with the mean of
//! absolute effects of F. Campolongo, J. Cariboni and A. Saltelli, Environ. Model. Softw. 22
//! (2007) 1509.
//!
//! Each factor takes four levels, the middles of the quarters of its distribution, and moves by
//! two of them: by half of its distribution. An effect is the change of the figure by such a
//! move, in the figure's own unit.

use super::Answer;
use super::factor::{Factor, values_at};
use super::parallel::{Progress, gathered};
use fastrand::Rng;

const LEVELS: f64 = 4.0;
/// Half of the distribution.
const MOVE: f64 = 0.5;

/// Effects of a factor on one figure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Effects {
    /// Mean of their absolute values: how much the factor matters.
    pub mean_absolute: f64,
    /// Mean: which way it goes.
    pub mean: f64,
    /// Standard deviation: how far its effect depends on where it and the others stand.
    pub deviation: f64,
    /// How many effects were seen.
    pub seen: usize,
}

/// Runs of so many walks through so many factors.
#[must_use]
pub fn runs(factors: usize, walks: usize) -> usize {
    walks * (factors + 1)
}

/// Effects of every factor on every figure, over so many random walks that move each factor
/// once.
#[must_use]
pub fn morris(
    factors: &[Factor],
    walks: usize,
    seed: u32,
    progress: Progress<'_>,
    model: impl Fn(&[f64]) -> Answer + Sync,
) -> Vec<Vec<Effects>> {
    let walks: Vec<Walk> = (0..walks)
        .map(|w| Walk::new(factors.len(), u64::from(seed) << 32 | w as u64))
        .collect();
    let stops = factors.len() + 1;
    let answers = gathered(walks.len() * stops, progress, |i| {
        let point = walks[i / stops].stop(i % stops);
        model(&values_at(factors, &point)).unwrap_or_default()
    });
    let figures = answers.iter().map(Vec::len).max().unwrap_or(0);
    let mut changes = vec![vec![Vec::new(); figures]; factors.len()];
    for (walk, answers) in walks.iter().zip(answers.chunks_exact(stops)) {
        for (step, &factor) in walk.order.iter().enumerate() {
            let sign = walk.directions[factor];
            let pairs = answers[step].iter().zip(&answers[step + 1]);
            for (figure, (before, after)) in pairs.enumerate() {
                changes[factor][figure].push(sign * (after - before));
            }
        }
    }
    let of_factor = |f: Vec<Vec<f64>>| f.iter().map(|c| effects(c)).collect();
    changes.into_iter().map(of_factor).collect()
}

/// A start and the order in which the factors move.
struct Walk {
    start: Vec<f64>,
    directions: Vec<f64>,
    order: Vec<usize>,
}

impl Walk {
    fn new(factors: usize, seed: u64) -> Self {
        let mut rng = Rng::with_seed(seed);
        let mut order: Vec<usize> = (0..factors).collect();
        rng.shuffle(&mut order);
        let mut start = Vec::new();
        let mut directions = Vec::new();
        for _ in 0..factors {
            // A move up starts from one of the two lower levels, one down from the upper ones.
            let level = f64::from(rng.u8(0..2));
            let up = rng.bool();
            let lowest = (level + 0.5) / LEVELS;
            start.push(if up { lowest } else { lowest + MOVE });
            directions.push(if up { 1.0 } else { -1.0 });
        }
        Self {
            start,
            directions,
            order,
        }
    }

    /// The point after so many moves.
    fn stop(&self, moves: usize) -> Vec<f64> {
        let mut point = self.start.clone();
        for &factor in &self.order[..moves] {
            point[factor] += self.directions[factor] * MOVE;
        }
        point
    }
}

fn effects(changes: &[f64]) -> Effects {
    let seen: Vec<f64> = changes.iter().copied().filter(|c| c.is_finite()).collect();
    let n = seen.len() as f64;
    let mean = seen.iter().sum::<f64>() / n;
    let squares: f64 = seen.iter().map(|c| (c - mean).powi(2)).sum();
    Effects {
        mean_absolute: seen.iter().map(|c| c.abs()).sum::<f64>() / n,
        mean,
        deviation: (squares / (n - 1.0)).sqrt(),
        seen: seen.len(),
    }
}
