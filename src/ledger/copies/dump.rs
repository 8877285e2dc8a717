//! Every table as it stands, row by row; and a ledger made anew from such rows.

use rusqlite::config::DbConfig;
use rusqlite::{Connection, params_from_iter};

use crate::ledger::check::report::CheckReport;
use crate::ledger::error::LedgerError;
use crate::ledger::error::interrupt;
use crate::ledger::file::connect::{Access, allow_all, connect, make_hasty};
use crate::ledger::file::header::resolve;
use crate::ledger::file::new_file::NewFile;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::cell::{Cell, cell};
use crate::ledger::schema::migrate::{STEPS, migrate};
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// A table and its columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// Its name.
    pub name: String,
    /// Its columns, in order.
    pub columns: Vec<Column>,
    /// How its rows are ordered: the columns of its key.
    key: Vec<String>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// What it holds.
    pub kind: CellKind,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CellKind {
    /// Whole numbers.
    Integer,
    /// Numbers.
    Real,
    /// Text.
    Text,
}

impl Ledger {
    /// The tables, each after those it refers to.
    pub fn tables(&self) -> Result<Vec<Table>, LedgerError> {
        tables_of(&self.conn)
    }

    /// Hands every row of a table to `each`, in the order of its key.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub(crate) fn rows_of<E: From<LedgerError>>(
        &self,
        table: &Table,
        mut each: impl FnMut(&[Cell<'_>]) -> Result<(), E>,
    ) -> Result<(), E> {
        let columns: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
        let sql =
            format!("SELECT {} FROM {} ORDER BY {}", columns.join(", "), table.name, table.key.join(", "));
        let named = |error: rusqlite::Error| E::from(LedgerError::from(error).at(&self.path));
        let mut statement = self.conn.prepare(&sql).map_err(named)?;
        let mut rows = statement.query([]).map_err(named)?;
        let mut count = 0_u32;
        while let Some(row) = rows.next().map_err(named)? {
            count = count.wrapping_add(1);
            if count.is_multiple_of(1_000) && interrupt::asked() {
                return Err(LedgerError::Interrupted.into());
            }
            let cells = (0..columns.len()).map(|at| cell(row, at)).collect::<Result<Vec<_>, _>>();
            each(&cells.map_err(|error| E::from(error.at(&self.path)))?)?;
        }
        Ok(())
    }

    /// Runs `read` with everything seen at one moment.
    pub(crate) fn at_one_moment<T, E: From<LedgerError>>(
        &self,
        read: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let tx = self
            .conn
            .unchecked_transaction()
            .map_err(|error| E::from(LedgerError::from(error).at(&self.path)))?;
        let outcome = read(self);
        drop(tx);
        outcome
    }

    /// The code of a batch's or jar's row, where it is one.
    pub(crate) fn code_of_row(
        &self,
        table: &Table,
        cells: &[Cell<'_>],
    ) -> Result<Option<String>, LedgerError> {
        let number = |name: &str| -> Option<u32> {
            let at = table.columns.iter().position(|column| column.name == name)?;
            let Cell::Integer(number) = cells.get(at)? else { return None };
            u32::try_from(*number).ok()
        };
        match table.name.as_str() {
            "batch" => Ok(number("year").zip(number("number")).and_then(|(year, number)| {
                Some(BatchCode { year: u8::try_from(year).ok()?, number }.to_string())
            })),
            "jar" => {
                let Some((batch_id, number)) = number("batch_id").zip(number("number")) else {
                    return Ok(None);
                };
                let batch = self
                    .conn
                    .prepare_cached("SELECT year, number FROM batch WHERE id = ?1")?
                    .query_row([batch_id], |row| Ok(BatchCode { year: row.get(0)?, number: row.get(1)? }))?;
                Ok(Some(JarCode { batch, number }.to_string()))
            }
            _ => Ok(None),
        }
    }

    /// Whether nothing was ever logged but the kitchen's settings.
    pub(crate) fn is_bare(&self) -> Result<bool, LedgerError> {
        for table in self.tables()? {
            if matches!(table.name.as_str(), "ledger" | "entry" | "setting") {
                continue;
            }
            let any: bool =
                self.conn.query_row(&format!("SELECT EXISTS (SELECT 1 FROM {})", table.name), [], |row| {
                    row.get(0)
                })?;
            if any {
                return Ok(false);
            }
        }
        Ok(true)
    }
}

fn tables_of(conn: &Connection) -> Result<Vec<Table>, LedgerError> {
    // In the order they were made, which is the order they refer to one another.
    let mut statement = conn.prepare(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY rowid",
    )?;
    let names: Vec<String> = statement.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
    names.into_iter().map(|name| table_of(conn, name)).collect()
}

fn table_of(conn: &Connection, name: String) -> Result<Table, LedgerError> {
    let mut statement = conn.prepare("SELECT name, type, pk FROM pragma_table_info(?1) ORDER BY cid")?;
    let mut rows = statement.query([&name])?;
    let mut columns = Vec::new();
    let mut key: Vec<(i64, String)> = Vec::new();
    while let Some(row) = rows.next()? {
        let (column, declared, in_key): (String, String, i64) = (row.get(0)?, row.get(1)?, row.get(2)?);
        let kind = match declared.as_str() {
            "INTEGER" => CellKind::Integer,
            "REAL" => CellKind::Real,
            _ => CellKind::Text,
        };
        if in_key > 0 {
            key.push((in_key, column.clone()));
        }
        columns.push(Column { name: column, kind });
    }
    key.sort_unstable();
    Ok(Table { name, columns, key: key.into_iter().map(|(_, column)| column).collect() })
}

/// A ledger being made from rows.
pub(crate) struct Refill {
    conn: Connection,
    tables: Vec<Table>,
}

impl Refill {
    /// Begins an empty ledger, without even a name, in a file in the making.
    pub fn begin(new: &NewFile) -> Result<Self, LedgerError> {
        let begun = (|| {
            let mut conn = connect(&resolve(new.temp())?, Access::Write)?;
            allow_all(&mut conn)?;
            // Nobody sees the file before it is whole, checked and synced.
            make_hasty(&conn)?;
            migrate(&conn, STEPS)?;
            // Rows come as they were left: what triggers would derive is in them, and is checked at the end.
            conn.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false)?;
            conn.execute_batch("PRAGMA foreign_keys = OFF; BEGIN")?;
            let tables = tables_of(&conn)?;
            Ok(Self { conn, tables })
        })();
        begun.map_err(|error: LedgerError| error.at(new.target()).about(new.target()))
    }

    /// The tables there are.
    pub fn tables(&self) -> &[Table] {
        &self.tables
    }

    /// Puts a row in.
    ///
    /// # Errors
    /// What the schema has against it, in words.
    pub fn row(&self, table: &Table, cells: &[Cell<'_>]) -> Result<(), String> {
        let columns: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
        let marks = vec!["?"; columns.len()].join(", ");
        let sql = format!("INSERT INTO {} ({}) VALUES ({marks})", table.name, columns.join(", "));
        let done =
            self.conn.prepare_cached(&sql).and_then(|mut insert| insert.execute(params_from_iter(cells)));
        done.map(drop).map_err(|error| error.to_string())
    }

    /// Ends, and derives everything again: what does not follow from the rest is in the report.
    ///
    /// # Errors
    /// [`LedgerError`] when the disk fails or there is no row that names the ledger.
    pub fn finish(self, new: &NewFile) -> Result<CheckReport, LedgerError> {
        let named: i64 = self.conn.query_row("SELECT count(*) FROM ledger", [], |row| row.get(0))?;
        if named != 1 {
            return Err(LedgerError::Unreadable("no row names the ledger".to_owned()));
        }
        self.conn.execute_batch("COMMIT").map_err(|error| LedgerError::from(error).at(new.target()))?;
        drop(self);
        Ledger::open_as_is(new.temp())?.check()
    }
}
