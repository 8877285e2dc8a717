//! A list in an answer that is written as it is read, since it may be longer than memory.

use std::cell::RefCell;

use serde::ser::{Error as _, SerializeSeq};
use serde::{Serialize, Serializer};

use crate::ledger::error::LedgerError;

/// Why a list was left off: the ledger could not be read on, or nobody takes more of it.
#[derive(Debug)]
pub(crate) enum Stop {
    Ledger(LedgerError),
    Full,
}

impl From<LedgerError> for Stop {
    fn from(error: LedgerError) -> Self {
        Self::Ledger(error)
    }
}

/// Takes one thing of a list.
pub(crate) type Take<'t, T> = &'t mut dyn FnMut(T) -> Result<(), Stop>;

/// Hands out a list, thing by thing.
type Read<'a, T> = Box<dyn Fn(Take<'_, T>) -> Result<(), Stop> + 'a>;

/// Such a list.
pub(crate) struct Streamed<'a, T> {
    read: Read<'a, T>,
}

thread_local! {
    /// What kept the ledger from being read on in the midst of an answer, which serde has no way to return.
    static UNREAD: RefCell<Option<LedgerError>> = const { RefCell::new(None) };
}

impl<'a, T: Serialize> Streamed<'a, T> {
    /// A list whose things `read` hands out one by one.
    pub(crate) fn new(read: impl Fn(Take<'_, T>) -> Result<(), Stop> + 'a) -> Self {
        Self { read: Box::new(read) }
    }

    /// Hands out its things one by one.
    pub(crate) fn each(&self, take: Take<'_, T>) -> Result<(), Stop> {
        (self.read)(take)
    }
}

impl<T: Serialize> Serialize for Streamed<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut list = serializer.serialize_seq(None)?;
        let mut failed = None;
        let read = self.each(&mut |row| {
            list.serialize_element(&row).map_err(|error| {
                failed = Some(error);
                Stop::Full
            })
        });
        match (read, failed) {
            (_, Some(error)) => Err(error),
            (Err(Stop::Ledger(error)), None) => {
                let failed = S::Error::custom(&error);
                UNREAD.with(|unread| unread.replace(Some(error)));
                Err(failed)
            }
            (Ok(()) | Err(Stop::Full), None) => list.end(),
        }
    }
}

/// What kept the ledger from being read on in the midst of the answer just written, if anything did.
pub(crate) fn what_kept_it_from_being_read() -> Option<LedgerError> {
    UNREAD.take()
}
