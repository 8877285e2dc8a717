//! Canners and what they hold.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
use crate::values::names::everyday::meant;
use crate::values::names::name::Name;

/// A canner on record.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Canner {
    /// Its row.
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// What the household calls it.
    pub name: String,
    /// Its kind.
    pub method: Method,
    /// Jars of each size in one load.
    pub holds: BTreeMap<JarSize, u32>,
}

/// A canner to be recorded.
#[derive(Debug, Clone, PartialEq)]
pub struct NewCanner {
    /// What the household calls it.
    pub name: Name,
    /// Its kind.
    pub method: Method,
    /// Jars of each size in one load.
    pub holds: BTreeMap<JarSize, u32>,
}

const CANNERS: &str = "SELECT c.id, c.name, c.method FROM canner c
     JOIN entry n ON n.id = c.entry_id AND n.effective = 1";

impl Ledger {
    /// Lists the canners by name.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read.
    pub fn canners(&self) -> Result<Vec<Canner>, LedgerError> {
        let mut statement = self.conn.prepare(&format!("{CANNERS} ORDER BY c.name_key"))?;
        let rows = statement.query_and_then([], |row| self.canner_from_row(row))?;
        rows.collect()
    }

    /// Finds the canner that everyday words name.
    ///
    /// # Errors
    /// [`LedgerError::SeveralNames`] where several answer to them, [`LedgerError::NotFound`], naming the canners there
    /// are, where none does.
    pub fn canner(&self, words: &Name) -> Result<Canner, LedgerError> {
        let known: Vec<String> = self.canners()?.into_iter().map(|canner| canner.name).collect();
        match meant(words.as_str(), known.iter().map(String::as_str))[..] {
            [] => Err(LedgerError::NotFound(format!(
                "there is no canner \u{201c}{words}\u{201d}; {}",
                if known.is_empty() {
                    "none is on record yet".to_owned()
                } else {
                    format!("there is {}", known.join(", "))
                }
            ))),
            [name] => {
                let name = name.parse().map_err(|_| LedgerError::Unreadable(format!("canner {name:?}")))?;
                let found = self.canner_named(&name)?;
                found.ok_or_else(|| LedgerError::Unreadable(format!("canner {name}")))
            }
            ref among => Err(LedgerError::SeveralNames {
                given: words.to_string(),
                among: among.iter().map(|&name| name.to_owned()).collect(),
            }),
        }
    }

    /// Finds a canner by its whole name.
    pub(in crate::ledger) fn canner_named(&self, name: &Name) -> Result<Option<Canner>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!("{CANNERS} WHERE c.name_key = ?1"))?;
        let mut rows = statement.query([name.key()])?;
        rows.next()?.map(|row| self.canner_from_row(row)).transpose()
    }

    fn canner_from_row(&self, row: &Row<'_>) -> Result<Canner, LedgerError> {
        let id: i64 = row.get("id")?;
        let mut statement =
            self.conn.prepare_cached("SELECT size, jars FROM canner_capacity WHERE canner_id = ?1")?;
        let holds = statement
            .query_and_then([id], |row| Ok((parsed(row, "size")?, row.get("jars")?)))?
            .collect::<Result<_, LedgerError>>()?;
        Ok(Canner { id, name: row.get("name")?, method: parsed(row, "method")?, holds })
    }
}

impl Write<'_> {
    /// Records a canner.
    ///
    /// # Errors
    /// [`LedgerError::Refused`] where the name is taken.
    pub fn add_canner(&self, new: &NewCanner) -> Result<Canner, LedgerError> {
        if self.canner_named(&new.name)?.is_some() {
            return Err(LedgerError::Refused {
                what: format!("there is a canner \u{201c}{}\u{201d} already", new.name),
                hint: "give the new one another name, or see `jarledger canner list`".to_owned(),
            });
        }
        self.conn.execute(
            "INSERT INTO canner (entry_id, name, name_key, method) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry.0, new.name.as_str(), new.name.key(), new.method.as_str()],
        )?;
        let id = self.conn.last_insert_rowid();
        for (size, jars) in &new.holds {
            self.conn.execute(
                "INSERT INTO canner_capacity (canner_id, size, jars) VALUES (?1, ?2, ?3)",
                params![id, size.as_str(), jars],
            )?;
        }
        self.canner(&new.name)
    }
}
