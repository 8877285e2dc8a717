//! What is saved already, so that an error that comes after it does not say that nothing was saved.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The file that was last written in full.
static SAVED: Mutex<Option<PathBuf>> = Mutex::new(None);

fn set(file: Option<PathBuf>) {
    *SAVED.lock().unwrap_or_else(PoisonError::into_inner) = file;
}

/// Begins a new piece of work, of which nothing is saved yet.
pub(in crate::ledger) fn nothing_yet() {
    set(None);
}

/// Records that what was asked is saved in the file from here on.
pub fn in_place(file: &Path) {
    set(Some(file.to_owned()));
}

/// Whether the last piece of work stands in this file.
pub(crate) fn stands_in(file: &Path) -> bool {
    SAVED.lock().unwrap_or_else(PoisonError::into_inner).as_deref() == Some(file)
}
