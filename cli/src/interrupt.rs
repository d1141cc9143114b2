//! Ctrl-C: what is left behind is whole, and what there is to know of it is said.

use crate::export::whole;
use crate::terminal::screen;
use std::sync::{Mutex, PoisonError};

/// Exit code of a program that Ctrl-C ended: 128 and the number of the signal, as shells have it.
const EXIT_CODE: i32 = 130;

/// The last thing to be done, which answers what is to be said.
type Farewell = Box<dyn FnOnce() -> String + Send>;

static FAREWELL: Mutex<Option<Farewell>> = Mutex::new(None);

/// From now on Ctrl-C removes what is half written, does what [`at_interrupt`] was told last, and
/// ends the program.
pub fn prepare() {
    // Where no handler can be set, Ctrl-C ends the program by itself.
    let _ = ctrlc::set_handler(|| {
        whole::remove_unfinished();
        let farewell = FAREWELL
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .take();
        screen::say(&match farewell {
            Some(farewell) => format!("\ninterrupted; {}", farewell()),
            None => "\ninterrupted; no file is half written, those of an earlier run may be left"
                .to_owned(),
        });
        std::process::exit(EXIT_CODE);
    });
}

/// What Ctrl-C does and says from now on.
pub fn at_interrupt(farewell: impl FnOnce() -> String + Send + 'static) {
    let mut last = FAREWELL.lock().unwrap_or_else(PoisonError::into_inner);
    *last = Some(Box::new(farewell));
}
