//! Copies of a ledger by SQLite's own online backup, verified before they take their name.

use std::collections::BTreeMap;
use std::path::Path;

use chrono::NaiveDate;
use rusqlite::Connection;
use rusqlite::backup::{Backup, StepResult};
use uuid::Uuid;

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::file::connect::{Access, connect};
use crate::ledger::file::header::resolve;
use crate::ledger::file::new_file::NewFile;
use crate::ledger::file::open::Ledger;
use crate::ledger::file::progress::progress;
use crate::ledger::schema::row::parsed_opt;
use crate::ledger::schema::version::Version;

/// Pages copied between two looks for an interrupt.
const PAGES_PER_STEP: i32 = 1_000;

/// What identifies one state of a ledger.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Extent {
    /// The ledger's name, the same in all its copies.
    #[serde(rename = "ledger", serialize_with = "as_text")]
    pub uuid: Uuid,
    /// Its schema.
    #[serde(skip)]
    pub(in crate::ledger) version: Version,
    /// Entries, those undone included.
    pub entries: i64,
    /// The latest day any of them was made.
    pub last_entry: Option<NaiveDate>,
    /// Jars ever put up, those undone left out.
    pub jars: i64,
}

impl Ledger {
    /// Counts what is in the ledger.
    pub fn extent(&self) -> Result<Extent, LedgerError> {
        extent_of(&self.conn, self).map_err(|error| error.at(&self.path))
    }

    /// Copies the ledger to a file that does not exist yet, and makes sure the copy is whole.
    ///
    /// # Errors
    /// [`LedgerError::Exists`] where the name is taken; [`LedgerError::Damaged`] where the copy is
    /// not whole, which means that the ledger is not. The name is then still free.
    pub(crate) fn copy_to(&self, target: &Path) -> Result<Extent, LedgerError> {
        let new = NewFile::begin(target)?;
        let extent = self.copy_into(&new)?;
        new.take_new_name()?;
        Ok(extent)
    }

    /// Copies the ledger into a file in the making, and makes sure the copy is whole.
    pub(in crate::ledger) fn copy_into(&self, new: &NewFile) -> Result<Extent, LedgerError> {
        let named = |error: LedgerError| error.at(&self.path);
        // One transaction, so that counts and pages are of the same moment.
        let tx = self.conn.unchecked_transaction().map_err(|error| named(error.into()))?;
        let counts = row_counts(&self.conn).map_err(named)?;
        copy_pages(&self.conn, new)?;
        drop(tx);
        let copy = Self::open_as_is(new.temp())?;
        copy.must_be_whole().map_err(|error| match error {
            // The copy is page for page the ledger.
            LedgerError::Damaged { what, .. } => LedgerError::Damaged { path: self.path.clone(), what },
            other => other,
        })?;
        let copied = row_counts(&copy.conn).map_err(|error| error.at(new.temp()))?;
        if copied != counts {
            return Err(LedgerError::Damaged {
                path: self.path.clone(),
                what: "a copy of it does not hold as many rows".to_owned(),
            });
        }
        copy.extent()
    }
}

/// Copies every page from a connection into a file in the making.
pub(in crate::ledger) fn copy_pages(from: &Connection, new: &NewFile) -> Result<(), LedgerError> {
    let copied = (|| {
        let mut to = connect(&resolve(new.temp())?, Access::Write)?;
        // Nobody sees the file before it is synced and named.
        to.execute_batch("PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY;")?;
        let backup = Backup::new(from, &mut to)?;
        loop {
            let stepped = backup.step(PAGES_PER_STEP)?;
            let pages = |count: i32| u64::try_from(count).unwrap_or(0);
            let all = pages(backup.progress().pagecount);
            // The copy is read through once more before it is whole.
            progress(all - pages(backup.progress().remaining).min(all), 2 * all);
            match stepped {
                StepResult::Done => return Ok(()),
                _ if interrupt::asked() => return Err(LedgerError::Interrupted),
                StepResult::More => {}
                // The reader's transaction keeps every other writer out, so whoever holds the lock does not let go.
                _ => return Err(LedgerError::Busy(new.target().to_owned())),
            }
        }
    })();
    copied.map_err(|error: LedgerError| error.at(new.target()).about(new.target()))
}

fn extent_of(conn: &Connection, ledger: &Ledger) -> Result<Extent, LedgerError> {
    let (entries, last_entry) =
        conn.query_row("SELECT count(*) AS entries, max(on_date) AS last_entry FROM entry", [], |row| {
            Ok((row.get("entries")?, parsed_opt(row, "last_entry")))
        })?;
    let jars = conn.query_row("SELECT count(*) FROM jar WHERE state <> 'void'", [], |row| row.get(0))?;
    Ok(Extent { uuid: ledger.uuid, version: ledger.version(), entries, last_entry: last_entry?, jars })
}

fn as_text<S: serde::Serializer>(uuid: &Uuid, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(uuid)
}

/// Rows of every table.
fn row_counts(conn: &Connection) -> Result<BTreeMap<String, i64>, LedgerError> {
    let mut statement = conn.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'")?;
    let tables: Vec<String> = statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    let mut counts = BTreeMap::new();
    for table in tables {
        let quoted = table.replace('"', "\"\"");
        let rows = conn.query_row(&format!("SELECT count(*) FROM \"{quoted}\""), [], |row| row.get(0))?;
        counts.insert(table, rows);
    }
    Ok(counts)
}
