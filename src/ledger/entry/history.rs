//! Entries as they were made, newest first.

use chrono::{DateTime, FixedOffset};
use rusqlite::{Row, params};

use crate::ledger::entry::write::EntryId;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::instant;
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// One command that changed something.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct HistoryLine {
    /// Its number.
    pub entry: EntryId,
    /// The command.
    pub command: String,
    /// What it did, in one line.
    pub summary: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// The entry it takes back, if it is an undo.
    pub reverses: Option<EntryId>,
    /// Whether it counts no more.
    pub undone: bool,
    /// The undo in force that took it back.
    pub undone_by: Option<EntryId>,
}

/// One fact of an entry.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Fact {
    /// What sort of fact.
    pub kind: String,
    /// The jar or batch it is about.
    pub about: Option<String>,
    /// The fact in words.
    pub what: String,
}

const LINES: &str = "SELECT n.id, n.command, n.summary, n.at, n.at_offset, n.reverses, n.effective,
        u.id AS undone_by
     FROM entry n LEFT JOIN entry u ON u.reverses = n.id AND u.effective = 1";

/// Facts of entry ?1; `number` NULL: not about one jar, `year` NULL: not about a batch.
const FACTS: &str = "
    SELECT 1 AS part, v.id AS at, v.act AS kind, b.year, b.number AS batch_number, j.number,
           v.from_state || ' → ' || v.to_state || coalesce(', to ' || v.who, '') || coalesce(', ' || v.why, '')
           || coalesce(', now in ' || p.name, '') AS what
        FROM event v JOIN jar j ON j.id = v.jar_id JOIN batch b ON b.id = j.batch_id
        LEFT JOIN place p ON p.id = v.place_id WHERE v.entry_id = ?1
    UNION ALL SELECT 0, b.id, 'batch', b.year, b.number, NULL, p.name || ', put up ' || b.put_up
        FROM batch b JOIN product p ON p.id = b.product_id WHERE b.entry_id = ?1
    UNION ALL SELECT 2, g.id, 'judgement', b.year, b.number, NULL, 'load ' || l.number || ': ' || g.verdict
        FROM judgement g JOIN load l ON l.id = g.load_id JOIN batch b ON b.id = l.batch_id WHERE g.entry_id = ?1
    UNION ALL SELECT 3, h.id, 'hold', b.year, b.number, j.number, h.reason
        FROM hold h JOIN jar j ON j.id = h.jar_id JOIN batch b ON b.id = j.batch_id WHERE h.entry_id = ?1
    UNION ALL SELECT 4, r.id, 'release', b.year, b.number, j.number, r.reason
        FROM hold_release r JOIN hold h ON h.id = r.hold_id JOIN jar j ON j.id = h.jar_id
        JOIN batch b ON b.id = j.batch_id WHERE r.entry_id = ?1
    UNION ALL SELECT 5, c.id, 'correction', b.year, b.number, j.number,
           coalesce('load ' || l.number || ' ', '') || c.field || ' ' || coalesce(c.old_value, 'not recorded') || ' → '
           || coalesce(c.new_value, 'not recorded') || ': ' || c.reason
        FROM correction c LEFT JOIN jar j ON c.subject = 'jar' AND j.id = c.subject_id
        LEFT JOIN load l ON c.subject = 'load' AND l.id = c.subject_id
        LEFT JOIN batch b ON b.id = coalesce(j.batch_id, l.batch_id, c.subject_id) WHERE c.entry_id = ?1
    UNION ALL SELECT 6, s.id, 'setting', NULL, NULL, NULL, s.key || ' ' || s.value
        FROM setting s WHERE s.entry_id = ?1
    UNION ALL SELECT 7, c.id, 'canner', NULL, NULL, NULL, c.name || ', ' || c.method
        FROM canner c WHERE c.entry_id = ?1
    UNION ALL SELECT 8, t.id, 'gauge test', NULL, NULL, NULL, c.name || ' on ' || t.on_date
        FROM gauge_test t JOIN canner c ON c.id = t.canner_id WHERE t.entry_id = ?1
    UNION ALL SELECT 9, h.id, 'household process', NULL, NULL, NULL, h.food || ', ' || h.publication
        FROM household_process h WHERE h.entry_id = ?1
    UNION ALL SELECT 11, s.id, 'label sheet', NULL, NULL, NULL, s.name
        FROM label_sheet s WHERE s.entry_id = ?1
    ORDER BY 1, 2";

impl HistoryLine {
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        let entry = |column: &str| -> Result<Option<EntryId>, LedgerError> {
            Ok(row.get::<_, Option<i64>>(column)?.map(EntryId))
        };
        let effective: bool = row.get("effective")?;
        Ok(Self {
            entry: EntryId(row.get("id")?),
            command: row.get("command")?,
            summary: row.get("summary")?,
            at: instant(row.get("at")?, row.get("at_offset")?)?,
            reverses: entry("reverses")?,
            undone: !effective,
            undone_by: entry("undone_by")?,
        })
    }
}

impl Ledger {
    /// Lists the newest entries.
    pub fn history(&self, limit: u32) -> Result<Vec<HistoryLine>, LedgerError> {
        let mut statement = self.conn.prepare(&format!("{LINES} ORDER BY n.id DESC LIMIT ?1"))?;
        let rows = statement.query_and_then([limit], HistoryLine::from_row)?;
        rows.collect()
    }

    /// Finds one entry with its facts.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`] where there is none of that number.
    pub(crate) fn history_entry(&self, entry: EntryId) -> Result<(HistoryLine, Vec<Fact>), LedgerError> {
        let mut statement = self.conn.prepare(&format!("{LINES} WHERE n.id = ?1"))?;
        let mut rows = statement.query(params![entry.0])?;
        let line = match rows.next()? {
            Some(row) => HistoryLine::from_row(row)?,
            None => {
                return Err(LedgerError::NotFound(format!("there is no entry {} in this ledger", entry.0)));
            }
        };
        let mut statement = self.conn.prepare(FACTS)?;
        let facts = statement.query_and_then([entry.0], |row| {
            let year: Option<u8> = row.get("year")?;
            let batch = year
                .map(|year| Ok(BatchCode { year, number: row.get("batch_number")? }))
                .transpose()
                .map_err(|error: rusqlite::Error| LedgerError::from(error))?;
            let number: Option<u32> = row.get("number")?;
            let about = batch.map(|batch| match number {
                Some(number) => JarCode { batch, number }.to_string(),
                None => batch.to_string(),
            });
            Ok(Fact { kind: row.get("kind")?, about, what: row.get("what")? })
        })?;
        Ok((line, facts.collect::<Result<_, LedgerError>>()?))
    }
}
