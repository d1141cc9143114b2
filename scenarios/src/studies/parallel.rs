//! Work by index on all threads, its results in the order of the index.

use rayon::prelude::*;
use std::ops::Range;

/// Results that are held at once for each thread while they wait for their turn.
const AHEAD: u64 = 32;

/// Told of each piece that is done, on any thread.
pub type Progress<'a> = &'a (dyn Fn() + Sync);

/// Told nothing.
pub fn silent() {}

/// All results, in the order of the index.
pub fn gathered<T: Send>(
    count: usize,
    progress: Progress<'_>,
    work: impl Fn(usize) -> T + Sync,
) -> Vec<T> {
    let one = |index| {
        let result = work(index);
        progress();
        result
    };
    (0..count).into_par_iter().map(one).collect()
}

/// Hands each result on in the order of the index. Only a stretch of them is held at once, so
/// that memory does not grow with their number.
///
/// # Errors
/// The first error of `hand_on`; what follows is not done.
pub fn in_order<T: Send, E>(
    indices: Range<u64>,
    progress: Progress<'_>,
    work: impl Fn(u64) -> T + Sync,
    mut hand_on: impl FnMut(u64, T) -> Result<(), E>,
) -> Result<(), E> {
    let stretch = AHEAD * rayon::current_num_threads() as u64;
    let mut start = indices.start;
    while start < indices.end {
        let end = (start + stretch).min(indices.end);
        let count = (end - start) as usize;
        let results = gathered(count, progress, |offset| work(start + offset as u64));
        for (index, result) in (start..end).zip(results) {
            hand_on(index, result)?;
        }
        start = end;
    }
    Ok(())
}
