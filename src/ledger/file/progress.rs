//! How far long work on a ledger is, for whoever wants to show it.

use std::sync::OnceLock;

static NOTICE: OnceLock<fn(u64, u64)> = OnceLock::new();

/// Sets what is called as work goes on: how much of how much is done.
pub(crate) fn on_progress(notice: fn(u64, u64)) {
    // A second caller would only set the same thing again.
    let _ = NOTICE.set(notice);
}

/// Reports how much of how much is done.
pub(in crate::ledger) fn progress(done: u64, of: u64) {
    if let Some(notice) = NOTICE.get() {
        notice(done, of);
    }
}
