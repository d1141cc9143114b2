//! A sign of life while something takes longer than a second.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::Duration;

/// Nothing is shown before this.
const QUIET: Duration = Duration::from_secs(1);
/// How often the sign moves.
const TICK: Duration = Duration::from_millis(120);

/// Counts what is done of the work.
#[derive(Debug, Default)]
pub struct Done(AtomicU64);

impl Done {
    /// One piece more.
    pub fn one_more(&self) {
        self.0.fetch_add(1, Ordering::Relaxed);
    }
}

/// Does `work`; while it lasts beyond a second, a terminal shows what is done of `pieces`
/// and how long the rest will take. One piece shows the time spent alone.
pub fn with_patience<T>(what: &str, pieces: u64, work: impl FnOnce(&Done) -> T) -> T {
    let done = Done::default();
    std::thread::scope(|scope| {
        let (finished, waiting) = mpsc::channel::<()>();
        let counted = &done;
        scope.spawn(move || show(what, pieces, counted, &waiting));
        let result = work(counted);
        drop(finished);
        result
    })
}

fn show(what: &str, pieces: u64, done: &Done, waiting: &mpsc::Receiver<()>) {
    if waiting.recv_timeout(QUIET) != Err(RecvTimeoutError::Timeout) {
        return;
    }
    let bar = ProgressBar::with_draw_target(Some(pieces), ProgressDrawTarget::stderr());
    let form = if pieces > 1 {
        "{msg}: {pos} of {len}, {eta} to go"
    } else {
        "{msg}: {elapsed}"
    };
    if let Ok(style) = ProgressStyle::with_template(form) {
        bar.set_style(style);
    }
    bar.set_message(what.to_owned());
    let bar = bar.with_elapsed(QUIET);
    while waiting.recv_timeout(TICK) == Err(RecvTimeoutError::Timeout) {
        bar.set_position(done.0.load(Ordering::Relaxed));
        bar.tick();
    }
    bar.finish_and_clear();
}
