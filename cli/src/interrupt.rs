//! Ctrl-C: what is left behind is whole, and what there is to know of it is said.

use crate::export::whole;
use crate::terminal::screen;
use sim_core::interrupt;
use std::process::ExitCode;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

/// Exit code of a program that Ctrl-C ended: 128 and the number of the signal, as shells have it.
const EXIT_CODE: u8 = 130;

/// The last thing to be done, which answers what is to be said.
type Farewell = Box<dyn FnOnce() -> String + Send>;

static FAREWELL: Mutex<Option<Farewell>> = Mutex::new(None);

/// Whether what runs is worth writing when it ends early.
static IS_KEPT: AtomicBool = AtomicBool::new(false);

/// From now on Ctrl-C removes what is half written, does what [`at_interrupt`] was told last, and
/// ends the program; after [`keep_what_runs`] the first one ends the runs alone.
pub fn prepare() {
    // Where no handler can be set, Ctrl-C ends the program by itself.
    let _ = ctrlc::set_handler(|| {
        let farewell = FAREWELL
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        let is_first = !interrupt::is_asked();
        if farewell.is_none() && IS_KEPT.load(Ordering::Relaxed) && is_first {
            interrupt::ask();
            screen::say("\ninterrupted; what is computed is written, Ctrl-C again ends at once");
            return;
        }
        whole::remove_unfinished();
        screen::say(&match farewell {
            Some(farewell) => format!("\ninterrupted; {}", farewell()),
            None => "\ninterrupted; no file is half written, those of an earlier run may be left"
                .to_owned(),
        });
        std::process::exit(EXIT_CODE.into());
    });
}

/// What Ctrl-C does and says from now on.
pub fn at_interrupt(farewell: impl FnOnce() -> String + Send + 'static) {
    let mut last = FAREWELL.lock().unwrap_or_else(PoisonError::into_inner);
    *last = Some(Box::new(farewell));
}

/// From now on runs that Ctrl-C ends early are written like others.
pub fn keep_what_runs() {
    IS_KEPT.store(true, Ordering::Relaxed);
}

/// The exit code of a program whose runs may have been ended early.
#[must_use]
pub fn exit_code(otherwise: ExitCode) -> ExitCode {
    match interrupt::is_asked() {
        true => ExitCode::from(EXIT_CODE),
        false => otherwise,
    }
}
