//! Opening and making ledger files.

use std::fs::{self, OpenOptions};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt};
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, params};
use uuid::Uuid;

use super::LedgerError;
use super::migrate::migrate;
use super::schema::{APPLICATION_ID, Version};
use crate::rules::clock::Clock;

/// How long a writer waits for another before it gives up.
const BUSY_WAIT: Duration = Duration::from_secs(5);

/// An open ledger file.
#[derive(Debug)]
pub struct Ledger {
    pub(super) conn: Connection,
    pub(super) path: PathBuf,
    pub(super) uuid: Uuid,
}

impl Ledger {
    /// Opens the ledger for reading; the file's bytes stay as they are.
    ///
    /// # Errors
    /// [`LedgerError`] when there is no such file, or it is not a ledger this build reads.
    pub fn open(path: &Path) -> Result<Self, LedgerError> {
        Self::connect(path, OpenFlags::SQLITE_OPEN_READ_ONLY)
    }

    /// Opens the ledger for writing.
    ///
    /// # Errors
    /// As [`Self::open`], and when the file cannot be written.
    pub fn open_to_write(path: &Path) -> Result<Self, LedgerError> {
        Self::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE)
    }

    /// Makes a new, empty ledger, readable by its owner only.
    ///
    /// # Errors
    /// [`LedgerError::Exists`] where any file stands already.
    pub fn create(path: &Path, uuid: Uuid, clock: Clock) -> Result<Self, LedgerError> {
        if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
            fs::DirBuilder::new().recursive(true).mode(0o700).create(folder).map_err(|error| {
                LedgerError::Io {
                    path: folder.to_owned(),
                    what: format!("the folder could not be made: {error}"),
                }
            })?;
        }
        OpenOptions::new().write(true).create_new(true).mode(0o600).open(path).map_err(
            |error| match error.kind() {
                std::io::ErrorKind::AlreadyExists => LedgerError::Exists(path.to_owned()),
                std::io::ErrorKind::PermissionDenied | std::io::ErrorKind::ReadOnlyFilesystem => {
                    LedgerError::ReadOnly(path.to_owned())
                }
                _ => LedgerError::Io { path: path.to_owned(), what: error.to_string() },
            },
        )?;
        let made = (|| {
            let conn = Connection::open_with_flags(
                path,
                OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX,
            )?;
            prepare(&conn)?;
            migrate(&conn, None)?;
            conn.execute(
                "INSERT INTO ledger (id, uuid, made_at) VALUES (1, ?1, ?2)",
                params![uuid.to_string(), clock.now.timestamp()],
            )?;
            Ok(Self { conn, path: path.to_owned(), uuid })
        })();
        // A half-made file would only be refused later; there was none before, so none is left.
        made.map_err(|error: LedgerError| {
            let _ = fs::remove_file(path);
            error.at(path)
        })
    }

    fn connect(path: &Path, access: OpenFlags) -> Result<Self, LedgerError> {
        match fs::metadata(path) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                return Err(LedgerError::NoLedger(path.to_owned()));
            }
            Err(error) if error.kind() == std::io::ErrorKind::PermissionDenied => {
                return Err(LedgerError::NoPermission(path.to_owned()));
            }
            Err(error) => return Err(LedgerError::Io { path: path.to_owned(), what: error.to_string() }),
            Ok(about) if about.is_dir() => {
                return Err(LedgerError::NotOurs {
                    path: path.to_owned(),
                    what: "it is a folder".to_owned(),
                });
            }
            Ok(_) => {}
        }
        Self::attach(path, access).map_err(|error| error.at(path))
    }

    fn attach(path: &Path, access: OpenFlags) -> Result<Self, LedgerError> {
        let conn = Connection::open_with_flags(path, access | OpenFlags::SQLITE_OPEN_NO_MUTEX)?;
        prepare(&conn)?;
        let found = recognise(&conn, path)?;
        if found < Version::CURRENT && access.contains(OpenFlags::SQLITE_OPEN_READ_WRITE) {
            migrate(&conn, Some(found))?;
        }
        let uuid: String = conn.query_row("SELECT uuid FROM ledger WHERE id = 1", [], |row| row.get(0))?;
        let uuid = uuid.parse().map_err(|_| LedgerError::Unreadable(format!("ledger uuid {uuid}")))?;
        Ok(Self { conn, path: path.to_owned(), uuid })
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// The name of this ledger, the same in all its copies.
    pub const fn uuid(&self) -> Uuid {
        self.uuid
    }
}

/// Sets what every connection needs before any statement of ours runs.
fn prepare(conn: &Connection) -> Result<(), LedgerError> {
    conn.busy_timeout(BUSY_WAIT)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, true)?;
    conn.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, false)?;
    conn.execute_batch("PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA cell_size_check = ON;")?;
    Ok(())
}

/// Reads whose file this is and which version, before any other SQL.
fn recognise(conn: &Connection, path: &Path) -> Result<Version, LedgerError> {
    let application_id: i32 = conn.pragma_query_value(None, "application_id", |row| row.get(0))?;
    let stamp: i32 = conn.pragma_query_value(None, "user_version", |row| row.get(0))?;
    let foreign = |what: &str| LedgerError::NotOurs { path: path.to_owned(), what: what.to_owned() };
    if application_id != APPLICATION_ID {
        return Err(foreign("it is an SQLite file of another program, or empty"));
    }
    let found = Version::from_stamp(stamp).ok_or_else(|| foreign("its version is unreadable"))?;
    if found.major > Version::CURRENT.major {
        return Err(LedgerError::TooNew {
            path: path.to_owned(),
            found: found.to_string(),
            known: Version::CURRENT.to_string(),
        });
    }
    Ok(found)
}
