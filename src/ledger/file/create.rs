//! Making a ledger: whole, with its first entry, or not at all.

use std::fs;
use std::io::ErrorKind;
use std::os::unix::fs::DirBuilderExt;
use std::path::Path;

use rusqlite::params;
use uuid::Uuid;

use crate::ledger::error::LedgerError;
use crate::ledger::file::connect::{Access, allow_all, connect};
use crate::ledger::file::new_file::{NewFile, folder_of};
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved;
use crate::ledger::schema::migrate::{STEPS, migrate};
use crate::ledger::schema::version::Version;
use crate::values::time::clock::Clock;

impl Ledger {
    /// Makes a new, empty ledger.
    #[cfg(test)]
    pub(crate) fn create(path: &Path, uuid: Uuid, clock: Clock) -> Result<Self, LedgerError> {
        Self::begin(path, uuid, clock, |_| Ok(())).map(|(ledger, ())| ledger)
    }

    /// Makes a new ledger, readable by its owner only, and lets `fill` write its first entries; the file takes its name only
    /// once they are in it, so that an interrupt leaves none.
    ///
    /// # Errors
    /// [`LedgerError::Exists`] where any file stands already, or whatever `fill` returns.
    pub fn begin<T>(
        path: &Path,
        uuid: Uuid,
        clock: Clock,
        fill: impl FnOnce(&Self) -> Result<T, LedgerError>,
    ) -> Result<(Self, T), LedgerError> {
        if path.symlink_metadata().is_ok() {
            return Err(LedgerError::Exists(path.to_owned()));
        }
        make_folder(folder_of(path))?;
        let new = NewFile::begin(path)?;
        // Errors speak of the ledger, not of the name it is made under.
        let filled = {
            let ledger = Self::create_in(&new, uuid, clock)?;
            fill(&ledger).map_err(|error| match error {
                // Whatever is in the file in the making is thrown away with it.
                LedgerError::Unconfirmed { what, .. } => LedgerError::Io { path: path.to_owned(), what },
                error => error.about(path),
            })?
        };
        new.take_new_name()?;
        saved::in_place(path);
        Ok((Self::open_to_write(path)?, filled))
    }

    /// Makes an empty ledger in a file in the making.
    pub(crate) fn create_in(new: &NewFile, uuid: Uuid, clock: Clock) -> Result<Self, LedgerError> {
        Self::make(new.temp(), uuid, clock).map_err(|error| error.about(new.target()))
    }

    fn make(temp: &Path, uuid: Uuid, clock: Clock) -> Result<Self, LedgerError> {
        let made = (|| {
            let temp = crate::ledger::file::header::resolve(temp)?;
            let mut conn = connect(&temp, Access::Write)?;
            allow_all(&mut conn)?;
            migrate(&conn, STEPS)?;
            conn.execute(
                "INSERT INTO ledger (id, uuid, made_at) VALUES (1, ?1, ?2)",
                params![uuid.to_string(), clock.now.timestamp()],
            )?;
            Self::of_connection(conn, Version::CURRENT, &temp, &temp)
        })();
        made.map_err(|error: LedgerError| error.at(temp))
    }
}

/// Makes a folder and those above it, open to their owner only.
///
/// # Errors
/// [`LedgerError`] when one of them cannot be made.
pub(crate) fn make_folder(folder: &Path) -> Result<(), LedgerError> {
    fs::DirBuilder::new().recursive(true).mode(0o700).create(folder).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists | ErrorKind::NotADirectory => LedgerError::Refused {
            what: format!("{} is to be a folder, and a file has that name", folder.display()),
            hint: "name another place".to_owned(),
        },
        _ => LedgerError::of_io(&error, folder, "making the folder"),
    })
}
