//! Corrections in force.

use chrono::{DateTime, FixedOffset};
use rusqlite::{Row, params};

use crate::ledger::entry::correct_field::{Field, Subject};
use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{instant, parsed};

/// A correction in force.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub(crate) struct Correction {
    /// The entry that made it.
    pub entry: EntryId,
    /// When.
    pub at: DateTime<FixedOffset>,
    pub field: Field,
    /// What it said before; none: not recorded.
    pub old: Option<String>,
    /// What it says since.
    pub new: Option<String>,
    /// Why.
    pub reason: String,
}

/// Corrections in force; the caller adds a WHERE on `c`.
const CORRECTIONS: &str = "SELECT c.entry_id, n.at, n.at_offset, c.field, c.old_value, c.new_value, c.reason
     FROM correction c JOIN entry n ON n.id = c.entry_id AND n.effective = 1";

impl Correction {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            entry: EntryId(row.get("entry_id")?),
            at: instant(row.get("at")?, row.get("at_offset")?)?,
            field: parsed(row, "field")?,
            old: row.get("old_value")?,
            new: row.get("new_value")?,
            reason: row.get("reason")?,
        })
    }
}

impl Ledger {
    /// The corrections in force on the row of a batch, a load or a jar, oldest first.
    pub(in crate::ledger) fn corrections(
        &self,
        subject: Subject,
        id: i64,
    ) -> Result<Vec<Correction>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{CORRECTIONS} WHERE c.subject = ?1 AND c.subject_id = ?2 ORDER BY c.id"
        ))?;
        let rows = statement.query_and_then(params![subject.as_str(), id], Correction::from_row)?;
        rows.collect()
    }

    /// The corrections one entry made, in order.
    pub(crate) fn corrections_of(&self, entry: EntryId) -> Result<Vec<Correction>, LedgerError> {
        let mut statement =
            self.conn.prepare_cached(&format!("{CORRECTIONS} WHERE c.entry_id = ?1 ORDER BY c.id"))?;
        let rows = statement.query_and_then([entry.0], Correction::from_row)?;
        rows.collect()
    }
}
