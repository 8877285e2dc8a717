//! Opening ledger files.
//!
//! A ledger that is only read is opened read-only, and its bytes stay as they are, but for two
//! cases in which there is nothing to read yet: a program was killed in mid-write and the file
//! must be rolled back, or an older release wrote it and its schema must be brought up to date.

use std::cell::RefCell;
use std::fs;
use std::os::unix::fs::MetadataExt;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use chrono::{DateTime, Utc};
use rusqlite::Connection;
use uuid::Uuid;

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt::Working;
use crate::ledger::file::asked::Asked;
use crate::ledger::file::connect::{Access, allow, allow_all, connect, make_hasty};
use crate::ledger::file::header::{Header, journal_of, read_header, resolve};
use crate::ledger::file::recognise::{recognise, version_of};
use crate::ledger::schema::migrate::{STEPS, Step, is_behind, migrate};
use crate::ledger::schema::row::instant;
use crate::ledger::schema::version::Version;

/// Steps of SQLite's machine a reading command may take in any file, and more for each page.
/// The longest one on a ledger of a million jars takes a hundredth of this.
const STEPS_TO_READ: u64 = 1_000_000_000;
const STEPS_PER_PAGE: u64 = 100_000;

/// Steps a glance may take: some tenths of a second.
const STEPS_TO_GLANCE: u64 = 20_000_000;

/// An open ledger file.
#[derive(Debug)]
pub struct Ledger {
    pub(in crate::ledger) conn: Connection,
    pub(in crate::ledger) path: PathBuf,
    pub(in crate::ledger) uuid: Uuid,
    begun: DateTime<Utc>,
    /// The schema version it was opened with.
    version: Version,
    /// The file itself, whatever name it has: device and inode.
    file: (u64, u64),
    /// The name and the phone of the next entry, where a phone asks for it.
    pub(in crate::ledger) asked: RefCell<Option<Asked>>,
}

impl Ledger {
    /// Opens the ledger for reading; the file's bytes stay as they are.
    ///
    /// # Errors
    /// [`LedgerError`] when there is no such file, or it is not a ledger this build reads.
    pub fn open(path: &Path) -> Result<Self, LedgerError> {
        let ledger = Self::open_as_is(path)?;
        if !is_behind(ledger.version) {
            return Ok(ledger);
        }
        drop(ledger);
        drop(Self::open_to_write(path)?);
        Self::attach(path, Access::Read)
    }

    /// Opens the ledger for reading; none where it is of an older schema, which stays as it is.
    ///
    /// # Errors
    /// As [`Self::open`].
    pub(crate) fn open_if_current(path: &Path) -> Result<Option<Self>, LedgerError> {
        let ledger = Self::open_as_is(path)?;
        Ok((!is_behind(ledger.version)).then_some(ledger))
    }

    /// Opens the ledger for writing; one of an older schema is brought up to date first.
    ///
    /// # Errors
    /// As [`Self::open`], and when the file cannot be written.
    pub fn open_to_write(path: &Path) -> Result<Self, LedgerError> {
        let ledger = Self::attach(path, Access::Write)?;
        if !is_behind(ledger.version) {
            return Ok(ledger);
        }
        ledger.bring_up_to_date(STEPS)?;
        Self::attach(path, Access::Write)
    }

    /// Leaves off waiting for the disk: for a file still being made, which any trouble throws away.
    ///
    /// # Errors
    /// [`LedgerError`] when the setting is refused.
    pub(crate) fn make_hasty(&self) -> Result<(), LedgerError> {
        make_hasty(&self.conn)
    }

    /// Copies the ledger, then takes it through the steps it lacks.
    pub(in crate::ledger) fn bring_up_to_date(self, steps: &[Step]) -> Result<(), LedgerError> {
        let _working = Working::begin();
        self.copy_before_migration(SystemTime::now().into())?;
        migrate(&self.conn, steps).map_err(|error| error.at(&self.path))
    }

    /// Opens a ledger of any schema this build knows for reading, and leaves the schema as it is.
    pub(in crate::ledger) fn open_as_is(path: &Path) -> Result<Self, LedgerError> {
        match Self::attach(path, Access::Read) {
            Err(error) if error.wants_recovery() => {
                Self::roll_back(path)?;
                Self::attach(path, Access::Read)
            }
            outcome => outcome,
        }
    }

    /// Opens a ledger as it is, rolling nothing back and upgrading nothing.
    pub(in crate::ledger) fn open_untouched(path: &Path) -> Result<Self, LedgerError> {
        Self::attach(path, Access::Read)
    }

    pub(in crate::ledger) fn attach(path: &Path, access: Access) -> Result<Self, LedgerError> {
        let opened = (|| {
            let resolved = resolve(path)?;
            let header = read_header(&resolved)?;
            let mut conn = connect(&resolved, access)?;
            let version = recognise(&conn, path)?;
            match access {
                Access::Read => allow(&mut conn, steps_to_read(&header))?,
                Access::Write => allow_all(&mut conn)?,
                Access::Glance => allow(&mut conn, STEPS_TO_GLANCE)?,
            }
            Self::of_connection(conn, version, path, &resolved)
        })();
        opened.map_err(|error: LedgerError| match error.at(path).about(path) {
            // No statement of a command has run yet, so the error is about the file itself.
            LedgerError::Sql(error) => {
                LedgerError::Damaged { path: path.to_owned(), what: error.to_string() }
            }
            named => named,
        })
    }

    /// The ledger behind a connection whose schema is known to be ours, of this version.
    pub(in crate::ledger) fn of_connection(
        conn: Connection,
        version: Version,
        path: &Path,
        resolved: &Path,
    ) -> Result<Self, LedgerError> {
        let (uuid, made_at): (String, i64) =
            conn.query_row("SELECT uuid, made_at FROM ledger WHERE id = 1", [], |row| {
                Ok((row.get("uuid")?, row.get("made_at")?))
            })?;
        let begun = instant(made_at, 0)?.to_utc();
        let uuid = uuid.parse().map_err(|_| LedgerError::Unreadable(format!("ledger uuid {uuid:?}")))?;
        let file = identity(resolved)?;
        Ok(Self { conn, path: path.to_owned(), uuid, begun, version, file, asked: RefCell::new(None) })
    }

    /// Rolls back what a killed program left half-written, as any opening for writing does.
    fn roll_back(path: &Path) -> Result<(), LedgerError> {
        match Self::attach(path, Access::Write) {
            Err(LedgerError::ReadOnly(_) | LedgerError::NoPermission(_)) => {
                Err(LedgerError::NeedsRecovery(path.to_owned()))
            }
            outcome => outcome.map(drop),
        }
    }

    /// When it was begun.
    pub const fn begun(&self) -> DateTime<Utc> {
        self.begun
    }

    /// The schema version it was opened with.
    pub(in crate::ledger) const fn version(&self) -> Version {
        self.version
    }

    /// The name of this ledger, the same in all its copies.
    pub const fn uuid(&self) -> Uuid {
        self.uuid
    }

    /// Where a transaction under way keeps what it would be rolled back to.
    pub(in crate::ledger) fn journal(&self) -> PathBuf {
        journal_of(&self.path.canonicalize().unwrap_or_else(|_| self.path.clone()))
    }

    /// Makes sure no other release changed the schema since the ledger was opened.
    pub(in crate::ledger) fn same_schema(&self) -> Result<(), LedgerError> {
        if version_of(&self.conn, &self.path)? == self.version {
            Ok(())
        } else {
            Err(LedgerError::Migrated(self.path.clone()))
        }
    }

    /// Makes sure the path still leads to the file that was opened.
    pub(in crate::ledger) fn still_there(&self) -> Result<(), LedgerError> {
        match identity(&self.path) {
            Ok(file) if file == self.file => Ok(()),
            _ => Err(LedgerError::Moved(self.path.clone())),
        }
    }
}

fn identity(path: &Path) -> Result<(u64, u64), LedgerError> {
    let about = fs::metadata(path).map_err(|error| LedgerError::of_io(&error, path, "looking for it"))?;
    Ok((about.dev(), about.ino()))
}

fn steps_to_read(header: &Header) -> u64 {
    STEPS_TO_READ.saturating_add(header.pages.saturating_mul(STEPS_PER_PAGE))
}
