//! What stands in one cell of a table.

use rusqlite::types::{ToSqlOutput, ValueRef};
use rusqlite::{Row, ToSql};

use crate::ledger::error::LedgerError;

/// What is in one cell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Cell<'a> {
    /// Nothing: not recorded.
    Null,
    /// A whole number.
    Integer(i64),
    /// A number.
    Real(f64),
    /// A text.
    Text(&'a str),
}

impl ToSql for Cell<'_> {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(ToSqlOutput::Borrowed(match *self {
            Self::Null => ValueRef::Null,
            Self::Integer(number) => ValueRef::Integer(number),
            Self::Real(number) => ValueRef::Real(number),
            Self::Text(text) => ValueRef::Text(text.as_bytes()),
        }))
    }
}

/// What is in a cell of a row, read as an export reads it.
pub(in crate::ledger) fn cell<'r>(row: &'r Row<'_>, at: usize) -> Result<Cell<'r>, LedgerError> {
    Ok(match row.get_ref(at)? {
        ValueRef::Null => Cell::Null,
        ValueRef::Integer(number) => Cell::Integer(number),
        ValueRef::Real(number) => Cell::Real(number),
        ValueRef::Text(bytes) => Cell::Text(
            std::str::from_utf8(bytes)
                .map_err(|_| LedgerError::Unreadable(format!("text that is not UTF-8: {bytes:?}")))?,
        ),
        ValueRef::Blob(_) => return Err(LedgerError::Unreadable("bytes where text is kept".to_owned())),
    })
}
