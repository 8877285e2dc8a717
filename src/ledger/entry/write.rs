//! Entries: one for each command that changes something.

use std::ops::Deref;

use chrono::NaiveDate;
use rusqlite::{Transaction, TransactionBehavior, params};
use uuid::Uuid;

use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::error::interrupt::Working;
use crate::ledger::file::open::Ledger;
use crate::ledger::file::saved;
use crate::ledger::schema::row::{date, offset_minutes};
use crate::values::time::clock::Clock;

/// Number of an entry, counting from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct EntryId(pub i64);

/// The ledger seen from inside the one transaction of a command.
pub struct Write<'l> {
    ledger: &'l Ledger,
    /// The entry all facts of this command belong to.
    pub entry: EntryId,
    /// When the command runs.
    pub clock: Clock,
}

/// What a command wrote: its entry, and what the command made of it.
#[derive(Debug)]
pub struct Written<T> {
    /// The entry.
    pub entry: EntryId,
    /// The outcome.
    pub outcome: T,
}

impl Deref for Write<'_> {
    type Target = Ledger;

    fn deref(&self) -> &Ledger {
        self.ledger
    }
}

impl Ledger {
    /// Runs `act` in one transaction as one entry of `command`; `act` returns its outcome and
    /// the line `history` shows.
    ///
    /// # Errors
    /// Whatever `act` returns, or what kept the transaction from being committed. In
    /// either case the file is as it was.
    pub fn write<T>(
        &self,
        command: &str,
        clock: Clock,
        act: impl FnOnce(&Write<'_>) -> Result<(T, String), LedgerError>,
    ) -> Result<Written<T>, LedgerError> {
        let (entry, outcome) = self.write_or_not(command, clock, |write| {
            let (outcome, summary) = act(write)?;
            Ok((outcome, Some(summary)))
        })?;
        let entry = entry.expect("there is a summary, so there is an entry");
        Ok(Written { entry, outcome })
    }

    /// As [`Self::write`], where `act` may find that nothing is to be written: without a line for
    /// `history` everything is rolled back and there is no entry.
    ///
    /// # Errors
    /// As [`Self::write`].
    pub(crate) fn write_or_not<T>(
        &self,
        command: &str,
        clock: Clock,
        act: impl FnOnce(&Write<'_>) -> Result<(T, Option<String>), LedgerError>,
    ) -> Result<(Option<EntryId>, T), LedgerError> {
        let _working = Working::begin();
        saved::nothing_yet();
        self.write_inner(command, clock, act).map_err(|error| error.at(&self.path))
    }

    fn write_inner<T>(
        &self,
        command: &str,
        clock: Clock,
        act: impl FnOnce(&Write<'_>) -> Result<(T, Option<String>), LedgerError>,
    ) -> Result<(Option<EntryId>, T), LedgerError> {
        let tx = Transaction::new_unchecked(&self.conn, TransactionBehavior::Immediate)?;
        self.same_schema()?;
        let entry = self.begin_entry(command, clock)?;
        let write = Write { ledger: self, entry, clock };
        let (outcome, summary) = act(&write)?;
        let Some(summary) = summary else {
            tx.rollback()?;
            return Ok((None, outcome));
        };
        self.conn.execute("UPDATE entry SET summary = ?2 WHERE id = ?1", params![entry.0, summary])?;
        if interrupt::asked() {
            return Err(LedgerError::Interrupted);
        }
        self.still_there()?;
        if let Err(error) = tx.commit() {
            return Err(self.after_failed_commit(entry, command, clock, error));
        }
        self.still_there()?;
        saved::in_place(&self.path);
        Ok((Some(entry), outcome))
    }

    /// Finds out what became of an entry whose commit failed: the disk may fail before the
    /// point where the entry counts, or after it.
    fn after_failed_commit(
        &self,
        entry: EntryId,
        command: &str,
        clock: Clock,
        error: rusqlite::Error,
    ) -> LedgerError {
        let error = LedgerError::from(error).at(&self.path);
        let LedgerError::Io { path, what } = error else { return error };
        let looked = Self::open(&self.path).and_then(|ledger| ledger.holds_entry(entry, command, clock));
        match looked {
            Ok(false) => LedgerError::Io { path, what },
            Ok(true) => LedgerError::Unconfirmed { path, what, saved: true },
            // It cannot be read now, but what will be read is what the journal rolls back to.
            Err(_) if self.journal().exists() => LedgerError::Io { path, what },
            Err(_) => LedgerError::Unconfirmed { path, what, saved: false },
        }
    }

    fn holds_entry(&self, entry: EntryId, command: &str, clock: Clock) -> Result<bool, LedgerError> {
        let found: i64 = self.conn.query_row(
            "SELECT count(*) FROM entry WHERE id = ?1 AND command = ?2 AND at = ?3",
            params![entry.0, command, clock.now.timestamp()],
            |row| row.get(0),
        )?;
        Ok(found > 0)
    }

    /// The name of an entry. It follows from the ledger's own and the number, so that the same
    /// steps give the same file.
    pub(in crate::ledger) fn entry_name(&self, entry: EntryId) -> Uuid {
        Uuid::new_v5(&self.uuid, format!("entry/{}", entry.0).as_bytes())
    }

    /// The number of the last entry, which is how many there are.
    pub(crate) fn last_entry(&self) -> Result<i64, LedgerError> {
        Ok(self.conn.query_row("SELECT coalesce(max(id), 0) FROM entry", [], |row| row.get(0))?)
    }

    /// The day the newest entry was written on; none where there is no entry.
    pub(crate) fn day_of_last_entry(&self) -> Result<Option<NaiveDate>, LedgerError> {
        let mut newest = self.conn.prepare_cached("SELECT on_date FROM entry ORDER BY id DESC LIMIT 1")?;
        newest.query([])?.next()?.map(|row| date(row, "on_date")).transpose()
    }

    fn begin_entry(&self, command: &str, clock: Clock) -> Result<EntryId, LedgerError> {
        let entry = EntryId(self.last_entry()? + 1);
        let (uuid, phone) = match self.asked.take() {
            Some(asked) => (asked.key, Some(asked.phone)),
            None => (self.entry_name(entry), None),
        };
        self.conn
            .prepare_cached(
                "INSERT INTO entry (id, uuid, command, at, at_offset, on_date, phone)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            )?
            .execute(params![
                entry.0,
                uuid.to_string(),
                command,
                clock.now.timestamp(),
                offset_minutes(clock.now),
                clock.today().to_string(),
                phone,
            ])?;
        Ok(entry)
    }
}
