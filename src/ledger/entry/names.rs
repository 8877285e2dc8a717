//! Products, places and lid lots: names met so far.

use rusqlite::{OptionalExtension, params};

use crate::ledger::entry::names_in_use::Named;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::names::everyday::meant;
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

/// The one of these names that everyday words mean; none where they mean none.
///
/// # Errors
/// [`LedgerError::SeveralNames`] where they mean several.
pub fn one_meant<'n>(
    words: &str,
    names: impl IntoIterator<Item = &'n str>,
) -> Result<Option<&'n str>, LedgerError> {
    match meant(words, names)[..] {
        [] => Ok(None),
        [only] => Ok(Some(only)),
        ref several => Err(LedgerError::SeveralNames {
            given: words.to_owned(),
            among: several.iter().map(|&name| name.to_owned()).collect(),
        }),
    }
}

impl Ledger {
    /// The place on record that everyday words mean; none where they mean none.
    ///
    /// # Errors
    /// [`LedgerError::SeveralNames`] where they mean several.
    pub fn place_meant(&self, words: &Name) -> Result<Option<Name>, LedgerError> {
        // As it was first written, and also where nothing stands any more.
        let spelt: Option<String> = self
            .conn
            .prepare_cached("SELECT name FROM place WHERE name_key = ?1")?
            .query_row([words.key()], |row| row.get(0))
            .optional()?;
        let found = match spelt {
            Some(spelt) => Some(spelt),
            None => {
                let known = self.names_in_use(Named::Place)?;
                one_meant(words.as_str(), known.iter().map(String::as_str))?.map(str::to_owned)
            }
        };
        found
            .map(|place| place.parse().map_err(|_| LedgerError::Unreadable(format!("place {place:?}"))))
            .transpose()
    }

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
