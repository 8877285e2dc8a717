//! Handing out every row of every table, true and in a fixed order.

use rusqlite::types::ValueRef;

use super::export_tables::Table;
use super::{Ledger, LedgerError};

/// One value of a row.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
#[serde(untagged)]
pub enum Cell {
    /// Not recorded.
    Null,
    /// A whole number.
    Integer(i64),
    /// A number.
    Real(f64),
    /// A text.
    Text(String),
}

/// What is handed out next.
#[derive(Debug)]
pub enum Part<'r> {
    /// The rows of this table follow.
    Table(&'static Table),
    /// A row, in the order of the table's columns.
    Row(&'r [Cell]),
}

impl Cell {
    fn read(value: ValueRef<'_>, table: &Table, column: &str) -> Result<Self, LedgerError> {
        let unreadable = |what: &str| LedgerError::Unreadable(format!("{}.{column}: {what}", table.name));
        Ok(match value {
            ValueRef::Null => Self::Null,
            ValueRef::Integer(number) => Self::Integer(number),
            ValueRef::Real(number) => Self::Real(number),
            ValueRef::Text(text) => Self::Text(
                std::str::from_utf8(text).map_err(|_| unreadable("a text that is not UTF-8"))?.to_owned(),
            ),
            ValueRef::Blob(_) => return Err(unreadable("bytes that are no text")),
        })
    }
}

impl Ledger {
    /// Hands out the rows of the tables given, by their keys, as they are at one moment.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `take` returns.
    pub fn export<E: From<LedgerError>>(
        &self,
        tables: impl IntoIterator<Item = &'static Table>,
        mut take: impl FnMut(Part<'_>) -> Result<(), E>,
    ) -> Result<(), E> {
        let bare = |error: rusqlite::Error| E::from(LedgerError::from(error));
        let _one_moment = self.conn.unchecked_transaction().map_err(bare)?;
        for table in tables {
            take(Part::Table(table))?;
            let columns = table.columns.join(", ");
            let mut statement = self
                .conn
                .prepare(&format!("SELECT {columns} FROM \"{}\" ORDER BY {}", table.name, table.key))
                .map_err(bare)?;
            let mut rows = statement.query([]).map_err(bare)?;
            let mut cells = Vec::with_capacity(table.columns.len());
            while let Some(row) = rows.next().map_err(bare)? {
                cells.clear();
                for (at, column) in table.columns.iter().enumerate() {
                    cells.push(Cell::read(row.get_ref(at).map_err(bare)?, table, column)?);
                }
                take(Part::Row(&cells))?;
            }
        }
        Ok(())
    }
}
