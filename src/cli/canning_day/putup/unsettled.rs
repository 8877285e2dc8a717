//! Why a batch cannot be logged as it was given.

use crate::cli::errors::Failure;
use crate::cli::talk::ask;
use crate::ledger::error::LedgerError;

/// Why a batch is not settled.
#[derive(Debug)]
pub(super) enum Unsettled {
    /// A fact was not given, and can be asked for.
    Missing(Failure),
    /// What was given does not fit.
    Wrong(Failure),
}

impl From<Failure> for Unsettled {
    fn from(failure: Failure) -> Self {
        Self::Wrong(failure)
    }
}

impl From<LedgerError> for Unsettled {
    fn from(error: LedgerError) -> Self {
        Self::Wrong(error.into())
    }
}

impl From<Unsettled> for Failure {
    fn from(unsettled: Unsettled) -> Self {
        match unsettled {
            Unsettled::Missing(failure) | Unsettled::Wrong(failure) => failure,
        }
    }
}

/// A missing fact, with the flag that gives it.
pub(super) fn missing(flag: &str) -> Unsettled {
    Unsettled::Missing(ask::missing(flag))
}

/// A fact that does not fit.
pub(super) fn wrong(message: impl Into<String>, hint: &str) -> Unsettled {
    Unsettled::Wrong(Failure::usage(message, hint))
}
