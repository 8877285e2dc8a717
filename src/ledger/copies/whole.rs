//! SQLite's own check of every page, index, reference and constraint.

use rusqlite::Connection;

use crate::ledger::error::LedgerError;
use crate::ledger::file::connect::{Access, allow_all, connect};
use crate::ledger::file::header::resolve;
use crate::ledger::file::open::Ledger;

impl Ledger {
    /// What SQLite finds wrong in the pages, at most `most` lines; nothing is written.
    pub(in crate::ledger) fn flaws(&self, most: u32) -> Result<Vec<String>, LedgerError> {
        let writing = self.reader_that_could_write();
        let conn = writing.as_ref().unwrap_or(&self.conn);
        let mut statement = conn.prepare(&format!("PRAGMA integrity_check({most})"))?;
        let lines = statement.query_map([], |row| row.get::<_, String>(0))?;
        let mut flaws = Vec::new();
        for line in lines {
            let line = line?;
            // SQLITE_NOMEM: the machine is short of memory, which says nothing of the file.
            if line.ends_with("error code=7") {
                return Err(LedgerError::Memory(self.path.clone()));
            }
            if line != "ok" {
                flaws.push(line.trim_start_matches("*** in database main ***\n").to_owned());
            }
        }
        Ok(flaws)
    }

    /// SQLite forgets the CHECK constraints of a file it opened read-only, and would not look at
    /// them; where the file could be written, it is opened for writing with writes turned off.
    fn reader_that_could_write(&self) -> Option<Connection> {
        let mut conn = connect(&resolve(&self.path).ok()?, Access::Write).ok()?;
        conn.execute_batch("PRAGMA query_only = ON").ok()?;
        allow_all(&mut conn).ok()?;
        Some(conn)
    }

    /// References that lead nowhere, as "table, row, what it should refer to".
    pub(in crate::ledger) fn dangling(&self) -> Result<Vec<String>, LedgerError> {
        let mut statement =
            self.conn.prepare("SELECT \"table\", rowid, parent FROM pragma_foreign_key_check LIMIT 10000")?;
        let rows = statement.query_map([], |row| {
            let (table, id, parent): (String, Option<i64>, String) = (row.get(0)?, row.get(1)?, row.get(2)?);
            let id = id.map_or_else(String::new, |id| format!(" {id}"));
            Ok(format!("{table}{id} refers to a {parent} that is not there"))
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Makes sure every page and every reference is whole.
    pub(in crate::ledger) fn must_be_whole(&self) -> Result<(), LedgerError> {
        let looked = (|| {
            let flaws = self.flaws(1)?;
            match flaws.into_iter().chain(self.dangling()?).next() {
                None => Ok(()),
                Some(what) => Err(LedgerError::Damaged { path: self.path.clone(), what }),
            }
        })();
        looked.map_err(|error: LedgerError| error.at(&self.path))
    }
}
