//! Where answers go, if anybody is there to read them: a program may be started with its output closed.

use std::io::{self, StdoutLock};
use std::sync::atomic::{AtomicBool, Ordering};

use rustix::io::{Errno, fcntl_getfd};

static IS_CLOSED: AtomicBool = AtomicBool::new(false);

/// Looks before `main`, which opens `/dev/null` in the place of what is closed, so that no file of ours takes its
/// number; from then on it cannot be distinguished from an answer sent to `/dev/null`.
#[ctor::ctor(unsafe)]
fn look() {
    IS_CLOSED.store(fcntl_getfd(rustix::stdio::stdout()) == Err(Errno::BADF), Ordering::Relaxed);
}

/// The output, unless the program began with it closed.
pub(in crate::cli) fn stdout() -> io::Result<StdoutLock<'static>> {
    if IS_CLOSED.load(Ordering::Relaxed) {
        return Err(Errno::BADF.into());
    }
    Ok(io::stdout().lock())
}
