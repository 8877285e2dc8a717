//! What stands in place already, so that an error that comes after it does not say that nothing was saved.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The file that was last written in full.
static SAVED: Mutex<Option<PathBuf>> = Mutex::new(None);

fn set(file: Option<PathBuf>) {
    *SAVED.lock().unwrap_or_else(PoisonError::into_inner) = file;
}

/// A new piece of work begins: what was saved before says nothing of it.
pub(in crate::ledger) fn nothing_yet() {
    set(None);
}

/// What was asked stands in the file from here on.
pub fn in_place(file: &Path) {
    set(Some(file.to_owned()));
}

/// Whether the last piece of work stands in this file.
pub fn stands_in(file: &Path) -> bool {
    SAVED.lock().unwrap_or_else(PoisonError::into_inner).as_deref() == Some(file)
}
