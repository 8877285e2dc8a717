//! Ctrl-C: work under way is rolled back; between pieces of work the program just ends.

use std::io;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, LazyLock, Mutex};

use signal_hook::SigId;
use signal_hook::consts::{SIGABRT, SIGINT, SIGTERM, SIGXFSZ};

struct Signals {
    /// Set once somebody asked the program to stop.
    asked: Arc<AtomicBool>,
    /// Set while nothing is under way that would need tidying.
    idle: Arc<AtomicBool>,
    /// Pieces of work under way, one inside the other.
    depth: AtomicUsize,
    /// Set once a file may not grow further.
    outgrown: Arc<AtomicBool>,
}

static SIGNALS: LazyLock<Signals> = LazyLock::new(|| Signals {
    asked: Arc::new(AtomicBool::new(false)),
    idle: Arc::new(AtomicBool::new(true)),
    depth: AtomicUsize::new(0),
    outgrown: Arc::new(AtomicBool::new(false)),
});

/// What ends a program that is asked a second time.
static IMPATIENT: Mutex<Vec<SigId>> = Mutex::new(Vec::new());

/// The exit code of a program that cannot go on: any other failure.
const CANNOT_GO_ON: i32 = 1;

/// Begins to listen for Ctrl-C, for a request to terminate, and for an allocation that fails.
///
/// # Errors
/// Where the system does not let the program listen.
pub(crate) fn listen() -> io::Result<()> {
    for signal in [SIGINT, SIGTERM] {
        // The order matters: a second request ends the program at once, even one that waits for a disk; so does a request while
        // nothing is under way. Work under way sees the flag and rolls back.
        let id = signal_hook::flag::register_conditional_default(signal, Arc::clone(&SIGNALS.asked))?;
        if let Ok(mut impatient) = IMPATIENT.lock() {
            impatient.push(id);
        }
        signal_hook::flag::register_conditional_default(signal, Arc::clone(&SIGNALS.idle))?;
        signal_hook::flag::register(signal, Arc::clone(&SIGNALS.asked))?;
    }
    // A file that may not grow further is reported like a full disk; by default the signal would end the program.
    signal_hook::flag::register(SIGXFSZ, Arc::clone(&SIGNALS.outgrown))?;
    // Where memory runs out the runtime says so and aborts; a ledger is whole after that as after any end.
    signal_hook::flag::register_conditional_shutdown(SIGABRT, CANNOT_GO_ON, Arc::new(AtomicBool::new(true)))?;
    Ok(())
}

/// Lets no second request end the program at once from now on: for a screen, which looks often whether it was asked and
/// has the terminal to give back. Some programs ask twice, such as a shell's `timeout`.
pub(crate) fn give_time() {
    if let Ok(mut impatient) = IMPATIENT.lock() {
        for id in impatient.drain(..) {
            signal_hook::low_level::unregister(id);
        }
    }
}

/// Whether a file was to grow past what this program may write.
pub(crate) fn outgrown() -> bool {
    SIGNALS.outgrown.load(Ordering::Relaxed)
}

/// Whether the program was asked to stop.
pub fn asked() -> bool {
    SIGNALS.asked.load(Ordering::Relaxed)
}

/// Marks a piece of work that must be tidied up when it is interrupted; dropped, the work is over.
#[derive(Debug)]
#[must_use = "the work is over once this is dropped"]
pub(crate) struct Working(());

impl Working {
    /// Begins a piece of work.
    pub fn begin() -> Self {
        SIGNALS.depth.fetch_add(1, Ordering::SeqCst);
        SIGNALS.idle.store(false, Ordering::SeqCst);
        Self(())
    }
}

impl Drop for Working {
    fn drop(&mut self) {
        if SIGNALS.depth.fetch_sub(1, Ordering::SeqCst) == 1 {
            SIGNALS.idle.store(true, Ordering::SeqCst);
        }
    }
}
