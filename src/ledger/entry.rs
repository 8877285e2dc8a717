//! Entries: one for each command that changes something.

use std::ops::Deref;

use rusqlite::{Transaction, TransactionBehavior, params};
use uuid::Uuid;

use super::row::offset_minutes;
use super::{Ledger, LedgerError};
use crate::rules::clock::Clock;

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
        self.write_inner(command, clock, act).map_err(|error| error.at(&self.path))
    }

    fn write_inner<T>(
        &self,
        command: &str,
        clock: Clock,
        act: impl FnOnce(&Write<'_>) -> Result<(T, String), LedgerError>,
    ) -> Result<Written<T>, LedgerError> {
        let tx = Transaction::new_unchecked(&self.conn, TransactionBehavior::Immediate)?;
        let entry = self.begin_entry(command, clock)?;
        let write = Write { ledger: self, entry, clock };
        let (outcome, summary) = act(&write)?;
        self.conn.execute("UPDATE entry SET summary = ?2 WHERE id = ?1", params![entry.0, summary])?;
        tx.commit()?;
        Ok(Written { entry, outcome })
    }

    fn begin_entry(&self, command: &str, clock: Clock) -> Result<EntryId, LedgerError> {
        let last: i64 =
            self.conn.query_row("SELECT coalesce(max(id), 0) FROM entry", [], |row| row.get(0))?;
        let entry = EntryId(last + 1);
        // The name follows from the ledger's own and the number, so that the same steps give the same file.
        let uuid = Uuid::new_v5(&self.uuid, format!("entry/{}", entry.0).as_bytes());
        self.conn
            .prepare_cached(
                "INSERT INTO entry (id, uuid, command, at, at_offset, on_date) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            )?
            .execute(params![
                entry.0,
                uuid.to_string(),
                command,
                clock.now.timestamp(),
                offset_minutes(clock.now),
                clock.today().to_string(),
            ])?;
        Ok(entry)
    }
}
