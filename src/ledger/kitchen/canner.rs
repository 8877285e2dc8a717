//! Canners and what they hold.

use std::collections::BTreeMap;

use rusqlite::{Row, params};

use crate::ledger::entry::names::one_meant;
use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::parsed;
use crate::rules::canning_day::loading::Room;
use crate::values::kinds::jar_size::JarSize;
use crate::values::kinds::method::Method;
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
    /// Jars of several sizes in one load, one entry a way to fill it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub holds_together: Vec<BTreeMap<JarSize, u32>>,
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
    /// Jars of several sizes in one load, one entry a way to fill it.
    pub holds_together: Vec<BTreeMap<JarSize, u32>>,
}

impl Canner {
    /// What it takes in one load.
    pub fn room(&self) -> Room<'_> {
        Room { alone: &self.holds, together: &self.holds_together }
    }
}

const CANNERS: &str = "SELECT c.id, c.name, c.method FROM canner c
     JOIN entry n ON n.id = c.entry_id AND n.effective = 1";

impl Ledger {
    /// Lists the canners by name.
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
        match one_meant(words.as_str(), known.iter().map(String::as_str))? {
            None => Err(LedgerError::NotFound(format!(
                "there is no canner \u{201c}{words}\u{201d}; {}",
                if known.is_empty() {
                    "none is on record yet".to_owned()
                } else {
                    format!("there is {}", known.join(", "))
                }
            ))),
            Some(name) => {
                let name = name.parse().map_err(|_| LedgerError::Unreadable(format!("canner {name:?}")))?;
                let found = self.canner_named(&name)?;
                found.ok_or_else(|| LedgerError::Unreadable(format!("canner {name}")))
            }
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
        let mut holds_together: Vec<BTreeMap<JarSize, u32>> = Vec::new();
        let mut statement = self
            .conn
            .prepare_cached("SELECT mix, size, jars FROM canner_mix WHERE canner_id = ?1 ORDER BY mix")?;
        let mut rows = statement.query([id])?;
        let mut last = None;
        while let Some(row) = rows.next()? {
            let mix: i64 = row.get("mix")?;
            if last != Some(mix) {
                holds_together.push(BTreeMap::new());
                last = Some(mix);
            }
            if let Some(way) = holds_together.last_mut() {
                way.insert(parsed(row, "size")?, row.get("jars")?);
            }
        }
        Ok(Canner { id, name: row.get("name")?, method: parsed(row, "method")?, holds, holds_together })
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
        for (way, mix) in new.holds_together.iter().zip(1..) {
            for (size, jars) in way {
                self.conn.execute(
                    "INSERT INTO canner_mix (canner_id, mix, size, jars) VALUES (?1, ?2, ?3, ?4)",
                    params![id, mix, size.as_str(), jars],
                )?;
            }
        }
        self.canner(&new.name)
    }
}
