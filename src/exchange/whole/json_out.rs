//! The ledger as one JSON object: a key a table, an object a row, true values.

use std::io::Write;

use serde_json::{Map, Number, Value};

use crate::exchange::whole::csv_out::{CODE, OutError, has_code};
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::cell::Cell;
use crate::ledger::schema_version;

/// What says that a JSON object is an export.
pub(in crate::exchange) const FORMAT: &str = "jarledger export";

/// Writes every table, row by row.
///
/// # Errors
/// [`OutError`] when the ledger cannot be read or `to` cannot be written.
pub(crate) fn write_json(ledger: &Ledger, mut to: impl Write) -> Result<(), OutError> {
    let tables = ledger.tables()?;
    ledger.at_one_moment(|ledger| {
        write!(to, "{{\"schema\":1,\"format\":\"{FORMAT}\",\"ledger_schema\":\"{}\"", schema_version())?;
        for table in &tables {
            write!(to, ",\n\"{}\":[", table.name)?;
            let mut first = true;
            ledger.rows_of(table, |cells| {
                let mut row = Map::new();
                for (column, cell) in table.columns.iter().zip(cells) {
                    row.insert(column.name.clone(), value(*cell));
                }
                if has_code(table) {
                    row.insert(CODE.to_owned(), ledger.code_of_row(table, cells)?.into());
                }
                to.write_all(if first { b"\n" } else { b",\n" })?;
                first = false;
                serde_json::to_writer(&mut to, &row).map_err(std::io::Error::from)?;
                Ok::<(), OutError>(())
            })?;
            to.write_all(b"]")?;
        }
        to.write_all(b"}\n")?;
        to.flush()?;
        Ok(())
    })
}

fn value(cell: Cell<'_>) -> Value {
    match cell {
        Cell::Null => Value::Null,
        Cell::Integer(number) => number.into(),
        // SQLite keeps no number that is none.
        Cell::Real(number) => Number::from_f64(number).map_or(Value::Null, Value::Number),
        Cell::Text(text) => text.into(),
    }
}
