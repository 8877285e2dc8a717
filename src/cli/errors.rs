//! Exit codes, and what each failure says and advises.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use crate::answers::near::did_you_mean;
use crate::ledger::copies::backup::newest_backup;
use crate::ledger::error::{LedgerError, OUTGROWN};
use crate::ledger::file::saved::stands_in;
use crate::rules::jar::jar_state::{Act, IllegalAct, JarState};
use crate::values::codes::jar_code::JarCode;
use crate::values::names::named::UnknownName;
use crate::values::names::quoted::quoted;
use crate::values::time::on_screen;

/// The exit codes, documented here and repeated in the manual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Code {
    /// Done.
    Done,
    /// Any other failure.
    Other,
    /// The arguments are wrong.
    Usage,
    /// There is no such ledger, jar, batch, canner or food.
    NotFound,
    /// A rule refuses.
    Refused,
    /// A file given as input is wrong.
    BadInput,
    /// The ledger is damaged or not ours.
    Damaged,
    /// The ledger was written by a later release.
    TooNew,
    /// Another program holds the ledger; try again.
    Busy,
    /// Read-only, or no permission.
    ReadOnly,
    /// Disk full, or reading or writing failed.
    Io,
    /// `check` found problems.
    Problems,
    /// Another program switched the ledger to WAL mode.
    WriteAhead,
    /// Interrupted.
    Interrupted,
}

impl Code {
    /// What the program ends with. One number means that the ledger cannot be read as it is.
    pub const fn exit(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Other => 1,
            Self::Usage => 2,
            Self::NotFound => 3,
            Self::Refused => 4,
            Self::BadInput => 5,
            Self::Damaged | Self::WriteAhead => 6,
            Self::TooNew => 7,
            Self::Busy => 8,
            Self::ReadOnly => 9,
            Self::Io => 10,
            Self::Problems => 11,
            Self::Interrupted => 130,
        }
    }

    /// The code's name in JSON.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Done => "done",
            Self::Other => "other",
            Self::Usage => "usage",
            Self::NotFound => "not-found",
            Self::Refused => "refused",
            Self::BadInput => "bad-input",
            Self::Damaged => "damaged",
            Self::TooNew => "too-new",
            Self::Busy => "busy",
            Self::ReadOnly => "read-only",
            Self::Io => "io",
            Self::Problems => "problems",
            Self::WriteAhead => "write-ahead",
            Self::Interrupted => "interrupted",
        }
    }
}

const MAY_GROW: &str = "raise the limit that `ulimit -f` shows";
const MORE_MEMORY: &str = "close other programs, or raise the limit that `ulimit -v` shows";

/// Why a command ended without doing what it was asked.
#[derive(Debug)]
pub struct Failure {
    /// The exit code.
    pub code: Code,
    /// What is wrong, where, and what was not changed.
    pub message: String,
    /// What to type.
    pub hint: Option<String>,
}

impl Failure {
    /// A failure with a hint.
    pub(super) fn new(code: Code, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self { code, message: message.into(), hint: Some(hint.into()) }
    }

    /// What is wrong and what to do about it, for a question that is asked again.
    pub(super) fn in_one_line(self) -> String {
        match self.hint {
            Some(hint) => format!("{}; {hint}", self.message),
            None => self.message,
        }
    }

    /// An input that could not be read; `unchanged` says what was not done: "nothing was imported".
    pub(super) fn unreadable(
        input: impl std::fmt::Display,
        error: &io::Error,
        unchanged: &str,
        hint: &str,
    ) -> Self {
        let code = match error.kind() {
            io::ErrorKind::NotFound => Code::NotFound,
            io::ErrorKind::PermissionDenied => Code::ReadOnly,
            // Text that is not UTF-8, and what is no regular file.
            io::ErrorKind::InvalidData | io::ErrorKind::InvalidInput => Code::BadInput,
            _ => Code::Io,
        };
        Self::new(code, format!("{input} could not be read: {error}; {unchanged}"), hint)
    }

    /// An output that could not be written; `state` says what is there now: "it is as it was".
    pub(super) fn unwritten(output: impl std::fmt::Display, error: &io::Error, state: &str) -> Self {
        let (code, hint) = match error.kind() {
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                (Code::ReadOnly, "name a place you may write to")
            }
            io::ErrorKind::FileTooLarge => (Code::Io, MAY_GROW),
            _ => (Code::Io, "make room on that disk, or name a place on another"),
        };
        Self::new(code, format!("{output} could not be written: {}; {state}", why_unwritten(error)), hint)
    }

    /// Wrong arguments.
    pub(super) fn usage(message: impl Into<String>, hint: impl Into<String>) -> Self {
        Self::new(Code::Usage, message, hint)
    }

    /// Too little memory to begin with anything.
    pub(super) fn no_memory() -> Self {
        Self::new(Code::Other, "there is not enough memory to begin; nothing was changed", MORE_MEMORY)
    }
}

/// What the system said of a file or an answer that could not be written, in plain words where it is about room.
pub(super) fn why_unwritten(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::QuotaExceeded => "your share of the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge => OUTGROWN.to_owned(),
        _ => error.to_string(),
    }
}

impl From<UnknownName> for Failure {
    fn from(error: UnknownName) -> Self {
        Self { code: Code::Usage, message: error.to_string(), hint: None }
    }
}

/// The ledger that errors speak of.
static LEDGER: OnceLock<PathBuf> = OnceLock::new();

/// Names the ledger that errors speak of, once a command knows it.
pub(super) fn speak_of(ledger: &Path) {
    // A process runs one command on one ledger.
    let _ = LEDGER.set(ledger.to_owned());
}

impl From<LedgerError> for Failure {
    fn from(error: LedgerError) -> Self {
        let error = match LEDGER.get() {
            Some(path) if stands_in(path) => error.at(path).after_saving(path),
            Some(path) => error.at(path),
            None => error,
        };
        let message = error.to_string();
        let (code, hint) = match error {
            LedgerError::NoLedger(path) if newest_backup(&path).is_some() => {
                (Code::NotFound, format!("it was there before: {}", way_back(&path)))
            }
            LedgerError::NoLedger(_) => (
                Code::NotFound,
                "begin one with `jarledger setup --altitude 500ft`, or name yours with --ledger FILE"
                    .to_owned(),
            ),
            LedgerError::Exists(_) => (Code::Refused, "name another file with --ledger FILE".to_owned()),
            LedgerError::NotOurs { path, .. } => {
                (Code::Damaged, format!("name the ledger with --ledger FILE; {}", way_back(&path)))
            }
            LedgerError::Damaged { path, .. } => {
                (Code::Damaged, format!("see `jarledger doctor`; {}", way_back(&path)))
            }
            LedgerError::WriteAhead { path } => (
                Code::WriteAhead,
                format!(
                    "close that program, then let SQLite put it together: sqlite3 {} \"PRAGMA journal_mode = DELETE\"",
                    quoted(&path.display().to_string())
                ),
            ),
            LedgerError::TooNew { .. } => (Code::TooNew, newer_copy()),
            LedgerError::Busy(_) => (Code::Busy, "close the other program, or try again".to_owned()),
            LedgerError::ReadOnly(_) => {
                (Code::ReadOnly, "make the file and its folder writable, or work on a copy".to_owned())
            }
            LedgerError::NoPermission(_) => {
                (Code::ReadOnly, "the file belongs to somebody else: see `ls -l`".to_owned())
            }
            LedgerError::Full(_) => (Code::Io, "make room on that disk and run the command again".to_owned()),
            LedgerError::Outgrown(_) => (Code::Io, format!("{MAY_GROW} and run the command again")),
            LedgerError::Memory(_) => (Code::Other, MORE_MEMORY.to_owned()),
            LedgerError::Io { .. } => (Code::Io, "look at the disk, then run `jarledger check`".to_owned()),
            LedgerError::NeedsRecovery(_) => (
                Code::ReadOnly,
                "make the file and its folder writable, then run the command again".to_owned(),
            ),
            LedgerError::Moved(_) => (
                Code::Io,
                "find the file, name it with --ledger FILE, and see `jarledger history`".to_owned(),
            ),
            LedgerError::Migrated(_) => (Code::Busy, "run the command again".to_owned()),
            LedgerError::Unconfirmed { .. } => (
                Code::Io,
                "look at the disk, then at `jarledger history` before running this again".to_owned(),
            ),
            LedgerError::AfterSaving { interrupted, .. } => (
                if interrupted { Code::Interrupted } else { Code::Io },
                "look at `jarledger history` before running this again".to_owned(),
            ),
            LedgerError::Interrupted => (Code::Interrupted, String::new()),
            LedgerError::NotFound(_) => (Code::NotFound, String::new()),
            LedgerError::NoName { near, what, .. } => {
                let listed = "`jarledger shelf` lists what is there; what is no jar goes behind a flag, such as --why, --reason or --to";
                let fallback = if what == "product" { listed } else { "" };
                (Code::NotFound, did_you_mean(&near).unwrap_or_else(|| fallback.to_owned()))
            }
            LedgerError::SeveralJars { among, .. } => (Code::NotFound, one_of(&among)),
            LedgerError::SeveralNames { among, .. } => {
                let first = among.first().map(|name| format!(", such as {}", quoted(name)));
                (Code::NotFound, format!("write out which one{}", first.unwrap_or_default()))
            }
            LedgerError::NoJar { near, .. } => (Code::NotFound, nearest(&near)),
            LedgerError::WrongCheck { near, .. } => (Code::NotFound, nearest(&near)),
            LedgerError::NoBatch { near, .. } => (Code::NotFound, nearest(&near)),
            LedgerError::Refused { hint, .. } => (Code::Refused, hint),
            LedgerError::Illegal { jar, act } => (Code::Refused, way_on(jar, &act)),
            LedgerError::Unreadable(_) => (Code::Damaged, "run `jarledger check`".to_owned()),
            LedgerError::Sql(_) => (Code::Other, "run `jarledger check`".to_owned()),
        };
        Self { code, message, hint: Some(hint).filter(|hint| !hint.is_empty()) }
    }
}

/// The newest backup of a ledger and the command that brings it back.
fn way_back(ledger: &Path) -> String {
    match newest_backup(ledger) {
        Some(newest) => format!(
            "the newest backup is of {}: `jarledger restore {}`{}",
            on_screen::day(newest.at.date_naive()),
            newest.file.display(),
            if newest.here { "" } else { ", once its disk can be seen here" },
        ),
        None => "no backup of it is known: `jarledger restore FILE` brings back a copy you have".to_owned(),
    }
}

/// What to do with a ledger of a later release: which copy of the program this is, since another may be newer.
fn newer_copy() -> String {
    let this =
        std::env::current_exe().map_or_else(|_| "this one".to_owned(), |path| path.display().to_string());
    format!("this is {this}; use the newer jarledger: another copy may be on PATH, see `jarledger doctor`")
}

/// What to do with a jar whose state does not take an act.
fn way_on(jar: JarCode, refused: &IllegalAct) -> String {
    let batch = jar.batch;
    match (refused.from, refused.act) {
        (JarState::Cooling, Act::Open | Act::Give | Act::Finish) => {
            format!("its lid was never checked: `jarledger seal {batch}` first")
        }
        (JarState::Unsealed, Act::Open | Act::Give | Act::Finish) => {
            "it did not seal: `jarledger eat` shows what may still be done with it, and until when".to_owned()
        }
        (JarState::Sealed, Act::Finish) => format!("open it first: `jarledger open {jar}`"),
        (JarState::Sealed, Act::Chill | Act::Freeze) => {
            "chilling and freezing are for jars that did not seal; it is sealed".to_owned()
        }
        (JarState::Opened | JarState::Chilled | JarState::Frozen, Act::Open | Act::Give) => {
            format!("it is in use: `jarledger finish {jar}`, or `jarledger discard {jar} --why ...`")
        }
        (JarState::Missing, _) => format!("it was missing at the last count: `jarledger jar {jar}`"),
        _ => format!("see its story with `jarledger jar {jar}`"),
    }
}

fn nearest(codes: &[impl std::fmt::Display]) -> String {
    did_you_mean(codes).unwrap_or_else(|| "see `jarledger shelf`".to_owned())
}

/// Codes to name instead of words, the first in front.
fn one_of(among: &[JarCode]) -> String {
    const NAMED: usize = 5;
    let codes: Vec<String> = among.iter().take(NAMED).map(ToString::to_string).collect();
    let more = among.len().saturating_sub(NAMED);
    let more =
        if more > 0 { format!(", and {more} more in `jarledger shelf --jars`") } else { String::new() };
    format!("name it by its code: {}{more}", codes.join(", "))
}
