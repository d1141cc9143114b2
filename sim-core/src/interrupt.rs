//! A wish from outside that runs end early: each keeps what it has computed and says that it did not
//! reach its end. It holds for all runs of the process, as the key that expresses it does.

use crate::fault::Fault;
use std::sync::atomic::{AtomicBool, Ordering};

static ASKED: AtomicBool = AtomicBool::new(false);

/// All runs end with their next step.
pub fn ask() {
    ASKED.store(true, Ordering::Relaxed);
}

/// Whether that has been asked for.
#[must_use]
pub fn is_asked() -> bool {
    ASKED.load(Ordering::Relaxed)
}

/// Ends a run if that has been asked for.
pub(crate) fn check() -> Result<(), Fault> {
    if !is_asked() {
        return Ok(());
    }
    Err(Fault {
        component: None,
        message: "interrupted; what was computed before is kept".to_owned(),
        refusal: None,
    })
}
