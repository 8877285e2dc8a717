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
    const fn find(self) -> &'static str {
        match self {
            Self::Product => "SELECT id FROM product WHERE name_key = ?1",
            Self::Place => "SELECT id FROM place WHERE name_key = ?1",
            Self::LidLot => "SELECT id FROM lid_lot WHERE name_key = ?1",
        }
    }

    const fn add(self) -> &'static str {
        match self {
            Self::Product => "INSERT INTO product (name, name_key) VALUES (?1, ?2)",
            Self::Place => "INSERT INTO place (name, name_key) VALUES (?1, ?2)",
            Self::LidLot => "INSERT INTO lid_lot (name, name_key) VALUES (?1, ?2)",
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
        Ok(self.conn.prepare_cached(names.find())?.query_row([name.key()], |row| row.get(0)).optional()?)
    }
}

impl Write<'_> {
    /// Finds the row of a name, or makes it.
    pub(in crate::ledger) fn name_id_or_new(&self, names: Names, name: &Name) -> Result<i64, LedgerError> {
        if let Some(id) = self.name_id(names, name)? {
            return Ok(id);
        }
        self.conn.prepare_cached(names.add())?.execute(params![name.as_str(), name.key()])?;
        Ok(self.conn.last_insert_rowid())
    }
}
