//! A quick look into a ledger for what could be meant, while somebody types.
//!
//! It waits for nobody, rolls nothing back, upgrades nothing and gives up soon.

use std::path::Path;

use crate::ledger::entry::names_in_use::MOST;
use crate::ledger::error::LedgerError;
use crate::ledger::file::connect::Access;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::find::Jar;
use crate::ledger::jar::live::LIVE;
use crate::ledger::schema::row::batch_code;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::values::codes::jar_code::BatchCode;

/// Which jars could be meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meant {
    /// Every jar there ever was.
    Any,
    /// Jars in the house.
    InHand,
    /// Jars whose state takes an act; of those to be eaten, none on hold.
    Taking(Act),
    /// Jars on hold.
    Held,
}

impl Meant {
    /// Whether a jar is one of them.
    pub fn takes(self, jar: &Jar) -> bool {
        self.takes_state(jar.state) && self.held().is_none_or(|held| held == jar.on_hold)
    }

    /// Whether they must be on hold, or must not; none: either.
    const fn held(self) -> Option<bool> {
        match self {
            Self::Held => Some(true),
            Self::Taking(Act::Open | Act::Give | Act::Finish) => Some(false),
            Self::Any | Self::InHand | Self::Taking(_) => None,
        }
    }

    fn takes_state(self, state: JarState) -> bool {
        match self {
            Self::Any => true,
            Self::InHand | Self::Held => state.is_live(),
            Self::Taking(act) => state.after(act).is_ok(),
        }
    }
}

impl Ledger {
    /// Opens a ledger for a glance.
    ///
    /// # Errors
    /// [`LedgerError`] when it is not there, busy, damaged or of another release: nothing is done about it.
    pub(crate) fn glance(path: &Path) -> Result<Self, LedgerError> {
        Self::attach(path, Access::Glance)
    }

    /// Batches with such jars whose code begins with `typed`, newest first, each with its product.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read soon.
    pub(crate) fn batches_meant(
        &self,
        meant: Meant,
        typed: &str,
    ) -> Result<Vec<(BatchCode, String)>, LedgerError> {
        let states = JarState::ALL.iter().filter(|state| meant.takes_state(**state));
        let states: Vec<String> = states.map(|state| format!("'{state}'")).collect();
        let held = meant.held().map_or("", |held| if held { "AND j.held = 1" } else { "AND j.held = 0" });
        // Every batch in force had jars; only those still in the house have an index that is quick to ask.
        let jars = match meant {
            Meant::Any => String::new(),
            _ => format!(
                "AND EXISTS (SELECT 1 FROM jar j
                     WHERE j.batch_id = b.id AND {LIVE} AND j.state IN ({}) {held})",
                states.join(", ")
            ),
        };
        let mut statement = self.conn.prepare(&format!(
            "SELECT b.year, b.number AS batch_number, p.name FROM batch b
             JOIN product p ON p.id = b.product_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE b.year BETWEEN ?1 AND ?2 {jars}
             ORDER BY b.year DESC, b.number DESC"
        ))?;
        let rows = statement.query_and_then(years(typed), |row| Ok((batch_code(row)?, row.get("name")?)))?;
        rows.filter(|row: &Result<(BatchCode, String), LedgerError>| {
            row.as_ref().map_or(true, |(batch, _)| batch.to_string().starts_with(typed))
        })
        .take(MOST)
        .collect()
    }

    /// Loads whose code begins with `typed`, such as `26-041/1`, newest first, each with its product.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read soon.
    pub(crate) fn loads_meant(&self, typed: &str) -> Result<Vec<(String, String)>, LedgerError> {
        let mut statement = self.conn.prepare(
            "SELECT b.year, b.number AS batch_number, l.number, p.name FROM load l
             JOIN batch b ON b.id = l.batch_id
             JOIN product p ON p.id = b.product_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE b.year BETWEEN ?1 AND ?2
             ORDER BY b.year DESC, b.number DESC, l.number",
        )?;
        let rows = statement.query_and_then(years(typed), |row| {
            let number: i64 = row.get("number")?;
            Ok((format!("{}/{number}", batch_code(row)?), row.get("name")?))
        })?;
        rows.filter(|row: &Result<(String, String), LedgerError>| {
            row.as_ref().map_or(true, |(load, _)| load.starts_with(typed))
        })
        .take(MOST)
        .collect()
    }
}

/// The years, of two digits, that what is typed leaves open.
fn years(typed: &str) -> [u8; 2] {
    match (typed.get(..2).unwrap_or(typed).parse(), typed.len()) {
        (Ok(year), 2..) => [year, year],
        (Ok(decade), 1) => [decade * 10, decade * 10 + 9],
        _ => [0, 99],
    }
}
