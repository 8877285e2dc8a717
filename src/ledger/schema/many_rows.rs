//! Rows for one table, written many to a statement.
//!
//! For a `CHECK (size IN (…))` SQLite lays the list out in a table of its own, for every row anew. Within one statement
//! that table is only cleared; a statement a row makes and drops it each time, which costs more than the row itself.

use rusqlite::{Connection, Statement, ToSql};

use crate::ledger::error::LedgerError;

/// Rows of one statement.
const TOGETHER: usize = 40;

/// Gathers rows and writes them; what is not finished is not written.
pub(in crate::ledger) struct ManyRows<'c> {
    statement: Statement<'c>,
    columns: usize,
    rows: usize,
}

impl<'c> ManyRows<'c> {
    /// Rows for `INSERT INTO {into}`: the table, its columns in brackets. The first is never NULL.
    pub(in crate::ledger) fn new(
        conn: &'c Connection,
        into: &str,
        columns: usize,
        conflict: &str,
    ) -> Result<Self, LedgerError> {
        let row = format!("({})", vec!["?"; columns].join(", "));
        let rows = vec![row.as_str(); TOGETHER].join(", ");
        // A place without a row has no value bound to it.
        let sql =
            format!("INSERT INTO {into} SELECT * FROM (VALUES {rows}) WHERE column1 IS NOT NULL {conflict}");
        Ok(Self { statement: conn.prepare(&sql)?, columns, rows: 0 })
    }

    /// Adds a row, by its values in the order of the columns.
    pub(in crate::ledger) fn add(&mut self, values: &[&dyn ToSql]) -> Result<(), LedgerError> {
        debug_assert_eq!(values.len(), self.columns, "a value for each column");
        for (at, value) in values.iter().enumerate() {
            self.statement.raw_bind_parameter(self.rows * self.columns + at + 1, value)?;
        }
        self.rows += 1;
        if self.rows == TOGETHER { self.finish() } else { Ok(()) }
    }

    /// Writes what was added.
    pub(in crate::ledger) fn finish(&mut self) -> Result<(), LedgerError> {
        self.rows = 0;
        self.statement.raw_execute()?;
        self.statement.clear_bindings();
        Ok(())
    }
}
