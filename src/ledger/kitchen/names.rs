//! Products, places and lid lots: names met so far.

use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::name::Name;
use crate::values::names::near::near_names;

/// A table of names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ledger) enum Names {
    Product,
    Place,
    LidLot,
}

impl Names {
    /// The table that keeps them.
    pub(in crate::ledger) const fn table(self) -> &'static str {
        match self {
            Self::Product => "product",
            Self::Place => "place",
            Self::LidLot => "lid_lot",
        }
    }
}

impl Ledger {
    /// What is said of a name that is not there.
    pub(in crate::ledger) fn no_name(what: &'static str, given: &Name, known: &[String]) -> LedgerError {
        let near = near_names(given.as_str(), known.iter().map(String::as_str));
        LedgerError::NoName {
            what,
            given: given.to_string(),
            near: near.into_iter().map(str::to_owned).collect(),
        }
    }

    /// Finds the row of a name.
    pub(in crate::ledger) fn name_id(&self, names: Names, name: &Name) -> Result<Option<i64>, LedgerError> {
        let sql = format!("SELECT id FROM {} WHERE name_key = ?1", names.table());
        Ok(self.conn.prepare_cached(&sql)?.query_row([name.key()], |row| row.get(0)).optional()?)
    }
}

impl Write<'_> {
    /// Finds the row of a name, or makes it.
    pub(in crate::ledger) fn name_id_or_new(&self, names: Names, name: &Name) -> Result<i64, LedgerError> {
        if let Some(id) = self.name_id(names, name)? {
            return Ok(id);
        }
        let sql = format!("INSERT INTO {} (name, name_key) VALUES (?1, ?2)", names.table());
        self.conn.prepare_cached(&sql)?.execute(params![name.as_str(), name.key()])?;
        Ok(self.conn.last_insert_rowid())
    }
}
