//! What can go wrong between the ledger file and the rest of the program.

use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;

use crate::rules::jar_code::{BatchCode, JarCode};
use crate::rules::jar_state::IllegalAct;

/// An error of the ledger; nothing was changed unless the variant says otherwise.
#[derive(Debug, thiserror::Error)]
pub enum LedgerError {
    /// No file at the path.
    #[error("there is no ledger at {}", .0.display())]
    NoLedger(PathBuf),
    /// A file stands where a new ledger was to be made.
    #[error("{} exists already; it was not changed", .0.display())]
    Exists(PathBuf),
    /// The file is SQLite's but not one of ours, or not SQLite's at all.
    #[error("{} is not a jarledger ledger ({what}); it was not changed", path.display())]
    NotOurs {
        /// The file.
        path: PathBuf,
        /// What it is instead.
        what: String,
    },
    /// The file is ours but damaged.
    #[error("the ledger {} is damaged: {what}; it was not changed", path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What SQLite or the checks found.
        what: String,
    },
    /// The file was written by a later, incompatible release.
    #[error("the ledger {} has schema {found}, and this build reads up to {known}", path.display())]
    TooNew {
        /// The file.
        path: PathBuf,
        /// Version in the file.
        found: String,
        /// Newest version this build reads.
        known: String,
    },
    /// Another program kept the file locked longer than the wait.
    #[error("the ledger {} is in use by another program; nothing was saved", .0.display())]
    Busy(PathBuf),
    /// The file, its folder or its disk cannot be written.
    #[error("the ledger {} is read-only; nothing was saved", .0.display())]
    ReadOnly(PathBuf),
    /// The file may not be read.
    #[error("no permission to open {}", .0.display())]
    NoPermission(PathBuf),
    /// The disk is full.
    #[error("the disk is full; nothing was saved in {}", .0.display())]
    Full(PathBuf),
    /// The operating system failed to read or write.
    #[error("{} could not be read or written: {what}; nothing was saved", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// The operation and the system's word for it.
        what: String,
    },
    /// The command was interrupted.
    #[error("interrupted; nothing was saved")]
    Interrupted,
    /// No such thing in the ledger.
    #[error("{0}")]
    NotFound(String),
    /// No such jar; the nearest real codes are given.
    #[error("there is no jar {given} in this ledger")]
    NoJar {
        /// The code asked for.
        given: String,
        /// Real codes like it.
        near: Vec<JarCode>,
    },
    /// The check digit of a jar code does not fit; the nearest real codes are given.
    #[error("the check digit of {given} does not fit: one of its digits is wrong")]
    WrongCheck {
        /// The code asked for.
        given: String,
        /// Real codes like it.
        near: Vec<JarCode>,
    },
    /// No such batch; the nearest real codes are given.
    #[error("there is no batch {given} in this ledger")]
    NoBatch {
        /// The code asked for.
        given: BatchCode,
        /// Real codes like it.
        near: Vec<BatchCode>,
    },
    /// A rule of the trade or of the ledger refuses.
    #[error("{what}; nothing was changed")]
    Refused {
        /// The rule, in words.
        what: String,
        /// What to do instead.
        hint: String,
    },
    /// The jar's state does not take the act.
    #[error("{jar}: {act}; nothing was changed")]
    Illegal {
        /// The jar.
        jar: JarCode,
        /// Why.
        act: IllegalAct,
    },
    /// The ledger holds a value no release writes.
    #[error("the ledger holds a value that no release writes: {0}")]
    Unreadable(String),
    /// SQLite refused for a reason that has no name of its own.
    #[error("the ledger could not carry this out: {0}; nothing was saved")]
    Sql(#[source] rusqlite::Error),
}

impl From<rusqlite::Error> for LedgerError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sql(error)
    }
}

impl LedgerError {
    /// Gives a bare SQLite error its name and the path it belongs to.
    pub(crate) fn at(self, path: &Path) -> Self {
        let Self::Sql(error) = self else { return self };
        let path = path.to_owned();
        let what = error.to_string();
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy(path),
            Some(ErrorCode::ReadOnly) => Self::ReadOnly(path),
            Some(ErrorCode::PermissionDenied | ErrorCode::AuthorizationForStatementDenied) => {
                Self::NoPermission(path)
            }
            Some(ErrorCode::DiskFull) => Self::Full(path),
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => Self::Io { path, what },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, what },
            Some(ErrorCode::NotADatabase) => {
                Self::NotOurs { path, what: "it is not an SQLite file".to_owned() }
            }
            Some(ErrorCode::OperationInterrupted) => Self::Interrupted,
            _ => Self::Sql(error),
        }
    }
}
