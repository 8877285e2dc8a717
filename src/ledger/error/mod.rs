//! What can go wrong between the ledger file and the rest of the program: errors, Ctrl-C, files that are none.
//!
//! May use: rules, values.

pub mod interrupt;
pub mod regular;

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use rusqlite::{ErrorCode, ffi};

use crate::ledger::error::regular::open_regular;
use crate::rules::jar::jar_state::IllegalAct;
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// What is said where a limit of the program's own keeps a file from growing.
pub(crate) const OUTGROWN: &str = "no file may grow further, as on a full disk";

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
    /// The file is ours, and another program switched it to a write-ahead log.
    #[error(
        "another program switched the ledger {} to a write-ahead log, and part of it may still stand in that log; it was \
         not changed",
        path.display()
    )]
    WriteAhead {
        /// The file.
        path: PathBuf,
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
    /// No file may grow further: what a full disk is to one program.
    #[error("{}; nothing was saved in {}", OUTGROWN, .0.display())]
    Outgrown(PathBuf),
    /// There is no memory left, or no more than a ledger can need.
    #[error("there is not enough memory to carry this out on {}; nothing was saved", .0.display())]
    Memory(PathBuf),
    /// The operating system failed to read or write.
    #[error("{}: {what}; nothing was saved", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// The operation and the system's word for it.
        what: String,
    },
    /// A program was stopped in mid-write, and the file may not be written to put it right.
    #[error(
        "the ledger {} was left in mid-write by a program that was stopped, and may not be written to put it right",
        .0.display()
    )]
    NeedsRecovery(PathBuf),
    /// Another file, or none, stands at the path since the ledger was opened.
    #[error("the ledger {} was moved or replaced while this was being saved; what was saved went with it", .0.display())]
    Moved(PathBuf),
    /// Another release changed the schema since the ledger was opened.
    #[error("the ledger {} was brought to another schema meanwhile; nothing was saved", .0.display())]
    Migrated(PathBuf),
    /// The disk failed after the point where what was saved can be lost.
    #[error(
        "{} could not be written to the end: {what}; what was to be saved {}",
        path.display(),
        if *saved { "is in it" } else { "may or may not be in it" }
    )]
    Unconfirmed {
        /// The file.
        path: PathBuf,
        /// The operation and the system's word for it.
        what: String,
        /// Whether the entry was seen in the file afterwards.
        saved: bool,
    },
    /// The work was saved, and what came after it failed.
    #[error("what was asked is saved in {}; what followed failed: {what}", path.display())]
    AfterSaving {
        /// The file.
        path: PathBuf,
        /// What failed.
        what: String,
        /// Whether it was stopped by Ctrl-C.
        interrupted: bool,
    },
    /// The command was interrupted.
    #[error("interrupted; nothing was saved")]
    Interrupted,
    /// No such thing in the ledger.
    #[error("{0}")]
    NotFound(String),
    /// Everyday words that several jars answer to.
    #[error("\u{201c}{given}\u{201d} may be any of {} jars", among.len())]
    SeveralJars {
        /// The words.
        given: String,
        /// The jars, the one to eat first in front.
        among: Vec<JarCode>,
    },
    /// Everyday words that several names answer to.
    #[error("\u{201c}{given}\u{201d} may be {}", among.join(", or "))]
    SeveralNames {
        /// The words.
        given: String,
        /// The names.
        among: Vec<String>,
    },
    /// Nothing of this name; the names most like it are given.
    #[error("there is no {what} \u{201c}{given}\u{201d} in this ledger")]
    NoName {
        /// What was named: "lid lot".
        what: &'static str,
        /// The name asked for.
        given: String,
        /// Real names like it.
        near: Vec<String>,
    },
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
    /// Names what the system said about a file, and what was being done to it.
    pub(crate) fn of_io(error: &std::io::Error, path: &Path, doing: &str) -> Self {
        let path = path.to_owned();
        match error.kind() {
            ErrorKind::PermissionDenied => Self::NoPermission(path),
            ErrorKind::ReadOnlyFilesystem => Self::ReadOnly(path),
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::Full(path),
            ErrorKind::FileTooLarge => Self::Outgrown(path),
            _ => Self::Io { path, what: format!("{doing} failed: {error}") },
        }
    }

    /// Gives a bare SQLite error its name and the path it belongs to.
    pub(crate) fn at(self, path: &Path) -> Self {
        let path = path.to_owned();
        let error = match self {
            Self::Sql(error) => error,
            Self::Unreadable(what) => {
                return Self::Damaged {
                    path,
                    what: format!("it holds a value that no release writes: {what}"),
                };
            }
            named => return named,
        };
        let what = error.to_string();
        if let rusqlite::Error::InvalidColumnType(..)
        | rusqlite::Error::FromSqlConversionFailure(..)
        | rusqlite::Error::IntegralValueOutOfRange(..)
        | rusqlite::Error::Utf8Error(..) = &error
        {
            // Columns are STRICT and checked: only a page that is not whole gives such a value.
            return Self::Damaged { path, what: format!("it holds a value that no release writes: {what}") };
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) if interrupt::asked() => {
                Self::Interrupted
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy(path),
            Some(ErrorCode::ReadOnly) => match extended(&error) {
                ffi::SQLITE_READONLY_DBMOVED => Self::Moved(path),
                ffi::SQLITE_READONLY_ROLLBACK => Self::NeedsRecovery(path),
                _ => Self::ReadOnly(path),
            },
            Some(ErrorCode::PermissionDenied | ErrorCode::AuthorizationForStatementDenied) => {
                Self::NoPermission(path)
            }
            Some(ErrorCode::DiskFull) => Self::Full(path),
            Some(ErrorCode::SystemIoFailure) if interrupt::outgrown() => Self::Outgrown(path),
            Some(ErrorCode::SystemIoFailure | ErrorCode::CannotOpen) => {
                Self::Io { path, what: format!("{} failed", operation(extended(&error))) }
            }
            // SQLite takes a page the disk does not give for a page that is not whole.
            Some(ErrorCode::DatabaseCorrupt) => match read_through(&path) {
                Err(error) => Self::of_io(&error, &path, "reading it"),
                Ok(()) => Self::Damaged { path, what },
            },
            // Memory is bounded, so that a value no release writes cannot take it all; nor may the system have more.
            Some(ErrorCode::OutOfMemory) => Self::Memory(path),
            Some(ErrorCode::TooBig) => Self::Damaged { path, what },
            Some(ErrorCode::NotADatabase) => {
                Self::NotOurs { path, what: "it is not an SQLite file".to_owned() }
            }
            Some(ErrorCode::OperationInterrupted) if interrupt::asked() => Self::Interrupted,
            Some(ErrorCode::OperationInterrupted) => Self::Damaged {
                path,
                what: "reading it takes longer than a ledger of its size can".to_owned(),
            },
            _ => Self::Sql(error),
        }
    }

    /// The same error where the work stands in `file` already, so that it cannot say that nothing was saved.
    pub(crate) fn after_saving(self, file: &Path) -> Self {
        let interrupted = matches!(self, Self::Interrupted);
        let what = match self {
            Self::Io { what, .. } => what,
            Self::Damaged { what, .. } => format!("it is damaged: {what}"),
            Self::Sql(error) => error.to_string(),
            Self::Busy(_) => "another program uses it".to_owned(),
            Self::ReadOnly(_) | Self::NeedsRecovery(_) => "it may not be written".to_owned(),
            Self::NoPermission(_) => "there is no permission to open it".to_owned(),
            Self::Full(_) => "the disk is full".to_owned(),
            Self::Outgrown(_) => OUTGROWN.to_owned(),
            Self::Memory(_) => "there is not enough memory".to_owned(),
            Self::Migrated(_) => "it was brought to another schema meanwhile".to_owned(),
            Self::Interrupted => "it was interrupted".to_owned(),
            other => return other,
        };
        Self::AfterSaving { path: file.to_owned(), what, interrupted }
    }

    /// Speaks of the file by the name the user gave it.
    pub(super) fn about(mut self, shown: &Path) -> Self {
        if let Self::NoLedger(path)
        | Self::Exists(path)
        | Self::NotOurs { path, .. }
        | Self::Damaged { path, .. }
        | Self::TooNew { path, .. }
        | Self::Busy(path)
        | Self::ReadOnly(path)
        | Self::NoPermission(path)
        | Self::Full(path)
        | Self::Outgrown(path)
        | Self::Memory(path)
        | Self::Io { path, .. }
        | Self::NeedsRecovery(path)
        | Self::Moved(path)
        | Self::Migrated(path)
        | Self::Unconfirmed { path, .. } = &mut self
        {
            shown.clone_into(path);
        }
        self
    }

    /// Whether the file must be rolled back to before its last, unfinished transaction.
    pub(super) fn wants_recovery(&self) -> bool {
        matches!(self, Self::NeedsRecovery(_))
    }
}

/// Reads a file to its end.
fn read_through(path: &Path) -> std::io::Result<()> {
    open_regular(path).and_then(|mut file| std::io::copy(&mut file, &mut std::io::sink())).map(drop)
}

fn extended(error: &rusqlite::Error) -> i32 {
    error.sqlite_error().map_or(0, |error| error.extended_code)
}

/// The trade word for what SQLite was doing to the file.
const fn operation(code: i32) -> &'static str {
    match code {
        ffi::SQLITE_IOERR_READ | ffi::SQLITE_IOERR_SHORT_READ => "reading",
        ffi::SQLITE_IOERR_WRITE => "writing",
        ffi::SQLITE_IOERR_FSYNC => "syncing to the disk",
        ffi::SQLITE_IOERR_DIR_FSYNC => "syncing the folder to the disk",
        ffi::SQLITE_IOERR_TRUNCATE => "cutting the file to its length",
        ffi::SQLITE_IOERR_FSTAT => "asking for its length",
        ffi::SQLITE_IOERR_DELETE | ffi::SQLITE_IOERR_DELETE_NOENT => "removing its journal",
        ffi::SQLITE_IOERR_LOCK
        | ffi::SQLITE_IOERR_UNLOCK
        | ffi::SQLITE_IOERR_RDLOCK
        | ffi::SQLITE_IOERR_CHECKRESERVEDLOCK => "locking it",
        ffi::SQLITE_CANTOPEN => "opening it or its journal",
        _ => "reading or writing",
    }
}
