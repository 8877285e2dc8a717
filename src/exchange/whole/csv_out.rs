//! The ledger as CSV: one file a table (RFC 4180, with line feeds).

use std::fs::{self, File};
use std::io::{self, BufWriter, Write};
use std::path::Path;

use csv::{QuoteStyle, Terminator, WriterBuilder};

use crate::exchange::whole::formula::marked;
use crate::ledger::copies::dump::Table;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::cell::Cell;

/// What kept something from being written out.
#[derive(Debug, thiserror::Error)]
pub(crate) enum OutError {
    /// The ledger could not be read.
    #[error(transparent)]
    Ledger(#[from] LedgerError),
    /// The other side could not be written.
    #[error(transparent)]
    Io(#[from] io::Error),
}

impl From<csv::Error> for OutError {
    fn from(error: csv::Error) -> Self {
        match error.into_kind() {
            csv::ErrorKind::Io(error) => Self::Io(error),
            other => Self::Io(io::Error::other(format!("{other:?}"))),
        }
    }
}

/// The column added to batches and jars: their code, which follows from the others.
pub(in crate::exchange) const CODE: &str = "code";

/// Whether a table's rows have a code.
pub(in crate::exchange) fn has_code(table: &Table) -> bool {
    matches!(table.name.as_str(), "batch" | "jar")
}

/// Writes one table. Nothing recorded is an empty cell; in columns of text, unless `raw`, what a
/// spreadsheet could run is marked with a single quote, and an empty text is a quote alone.
///
/// # Errors
/// [`OutError`] when the ledger cannot be read or `to` cannot be written.
pub(crate) fn write_csv(ledger: &Ledger, table: &Table, raw: bool, to: impl Write) -> Result<(), OutError> {
    let mut writer = WriterBuilder::new()
        .terminator(Terminator::Any(b'\n'))
        .quote_style(QuoteStyle::Necessary)
        .from_writer(to);
    let mut heads: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
    if has_code(table) {
        heads.push(CODE);
    }
    writer.write_record(&heads)?;
    ledger.rows_of(table, |cells| {
        for cell in cells {
            match cell {
                Cell::Null => writer.write_field("")?,
                Cell::Integer(number) => writer.write_field(number.to_string())?,
                Cell::Real(number) => writer.write_field(number.to_string())?,
                Cell::Text(text) if raw => writer.write_field(text)?,
                Cell::Text(text) => writer.write_field(marked(text).as_ref())?,
            }
        }
        if has_code(table) {
            writer.write_field(ledger.code_of_row(table, cells)?.unwrap_or_default())?;
        }
        writer.write_record(None::<&[u8]>)?;
        Ok::<(), OutError>(())
    })?;
    writer.flush()?;
    Ok(())
}

/// Writes every table into a folder, a file each.
///
/// # Errors
/// [`OutError`] when the ledger cannot be read or the folder cannot be written.
pub(crate) fn write_folder(ledger: &Ledger, raw: bool, folder: &Path) -> Result<usize, OutError> {
    let tables = ledger.tables()?;
    ledger.at_one_moment(|ledger| {
        for table in &tables {
            let file = File::create_new(folder.join(format!("{}.csv", table.name)))?;
            let mut to = BufWriter::new(file);
            write_csv(ledger, table, raw, &mut to)?;
            to.into_inner().map_err(io::IntoInnerError::into_error)?.sync_all()?;
        }
        fs::File::open(folder)?.sync_all()?;
        Ok(tables.len())
    })
}
