//! Products, places, lid lots and people: names met so far.

use rusqlite::{OptionalExtension, params};

use super::{Ledger, LedgerError, Write};
use crate::rules::name::Name;
use crate::rules::near::near_names;

/// A table of names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Names {
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
    /// What was put up so far, the latest first.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn products(&self) -> Result<Vec<String>, LedgerError> {
        self.names(
            "SELECT p.name FROM batch b
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             JOIN product p ON p.id = b.product_id
             GROUP BY p.id ORDER BY max(b.id) DESC",
        )
    }

    /// The places, by name.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn places(&self) -> Result<Vec<String>, LedgerError> {
        self.names("SELECT name FROM place ORDER BY name_key")
    }

    /// The lid lots, the latest first.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn lid_lots(&self) -> Result<Vec<String>, LedgerError> {
        self.names("SELECT name FROM lid_lot ORDER BY id DESC")
    }

    /// The lots of ingredients, the latest first.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn ingredient_lots(&self) -> Result<Vec<String>, LedgerError> {
        self.names("SELECT lot FROM ingredient_lot GROUP BY lot ORDER BY max(batch_id) DESC")
    }

    /// Those who were given jars, the latest first.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn people(&self) -> Result<Vec<String>, LedgerError> {
        self.names(
            "SELECT v.who FROM event v JOIN entry n ON n.id = v.entry_id AND n.effective = 1
             WHERE v.who IS NOT NULL GROUP BY v.who ORDER BY max(v.id) DESC",
        )
    }

    /// What is said of a name that is not there.
    pub(super) fn no_name(what: &'static str, given: &Name, known: &[String]) -> LedgerError {
        let near = near_names(given.as_str(), known.iter().map(String::as_str));
        LedgerError::NoName {
            what,
            given: given.to_string(),
            near: near.into_iter().map(str::to_owned).collect(),
        }
    }

    fn names(&self, sql: &str) -> Result<Vec<String>, LedgerError> {
        let mut statement = self.conn.prepare_cached(sql)?;
        let names = statement.query_map([], |row| row.get(0))?;
        Ok(names.collect::<Result<_, _>>()?)
    }

    /// Finds the row of a name.
    pub(super) fn name_id(&self, names: Names, name: &Name) -> Result<Option<i64>, LedgerError> {
        Ok(self.conn.prepare_cached(names.find())?.query_row([name.key()], |row| row.get(0)).optional()?)
    }
}

impl Write<'_> {
    /// Finds the row of a name, or makes it.
    pub(super) fn name_id_or_new(&self, names: Names, name: &Name) -> Result<i64, LedgerError> {
        if let Some(id) = self.name_id(names, name)? {
            return Ok(id);
        }
        self.conn.prepare_cached(names.add())?.execute(params![name.as_str(), name.key()])?;
        Ok(self.conn.last_insert_rowid())
    }
}
