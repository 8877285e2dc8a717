//! Food that went from one batch into another when jars were reprocessed or used.
//!
//! The jars emptied and the batch they were emptied into belong to one entry; of jars used, `jar_use` names the batch.

use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::values::codes::jar_code::BatchCode;

/// Which way food is followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ledger) enum Follow {
    /// From a batch to those that its jars were emptied into.
    Onward,
    /// And from a batch back to those it came out of.
    BothWays,
}

/// A batch that holds food of another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ledger) struct SameFood {
    /// Its row.
    pub(in crate::ledger) id: i64,
    pub(in crate::ledger) batch: BatchCode,
    /// The batch the search began at; itself, of those it began with.
    pub(in crate::ledger) from: BatchCode,
}

// Each step goes by the indexes of events: nothing else of what was ever eaten is read.
const SAME_FOOD: &str = "
    WITH RECURSIVE reach (id, root) AS (
        SELECT value, value FROM json_each(?1)
        UNION SELECT b.id, r.root FROM reach r
            CROSS JOIN jar j ON j.batch_id = r.id
            CROSS JOIN event v ON v.jar_id = j.id AND v.act = 'reprocess'
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
            JOIN batch b ON b.entry_id = v.entry_id
        UNION SELECT j.batch_id, r.root FROM reach r
            CROSS JOIN batch b ON b.id = r.id
            CROSS JOIN event v ON v.entry_id = b.entry_id AND v.act = 'reprocess'
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
            JOIN jar j ON j.id = v.jar_id
            WHERE ?2
        UNION SELECT u.batch_id, r.root FROM reach r
            CROSS JOIN jar j ON j.batch_id = r.id
            CROSS JOIN jar_use u ON u.jar_id = j.id
            JOIN event v ON v.id = u.event_id
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
        UNION SELECT j.batch_id, r.root FROM reach r
            CROSS JOIN jar_use u ON u.batch_id = r.id
            JOIN event v ON v.id = u.event_id
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
            JOIN jar j ON j.id = u.jar_id
            WHERE ?2)
    SELECT r.id, b.year, b.number, o.year, o.number FROM reach r
    JOIN batch b ON b.id = r.id
    JOIN batch o ON o.id = r.root
    ORDER BY r.id <> r.root, r.id, r.root";

impl Ledger {
    /// The batches given as a JSON list of rows, and every batch that holds food of theirs.
    pub(in crate::ledger) fn same_food(
        &self,
        batches: &str,
        follow: Follow,
    ) -> Result<Vec<SameFood>, LedgerError> {
        let mut statement = self.conn.prepare_cached(SAME_FOOD)?;
        let rows = statement.query_and_then((batches, follow == Follow::BothWays), |row| {
            Ok(SameFood {
                id: row.get(0)?,
                batch: BatchCode { year: row.get(1)?, number: row.get(2)? },
                from: BatchCode { year: row.get(3)?, number: row.get(4)? },
            })
        })?;
        rows.collect()
    }
}
