//! Jars emptied into other batches, and the batches made with them, through any number of them.

use rusqlite::params;

use chrono::{DateTime, FixedOffset};

use crate::ledger::entry::write::Write;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::event::Particulars;
use crate::ledger::jar::find::{JARS, Jar};
use crate::ledger::jar::hold::HoldCause;
use crate::ledger::schema::row::batch_code;
use crate::ledger::trace::query::listed;
use crate::rules::jar::jar_state::{Act, JarState};
use crate::rules::jar::permit::When;
use crate::values::codes::jar_code::{BatchCode, JarCode};

/// A batch made with a jar, itself or by way of other batches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::ledger) struct MadeWith {
    /// The batch's row.
    pub(in crate::ledger) batch_id: i64,
    pub(in crate::ledger) batch: BatchCode,
    /// The row of the jar that was used.
    pub(in crate::ledger) jar_id: i64,
    pub(in crate::ledger) jar: JarCode,
}

// Each step goes by an index; of several jars that lead to a batch the first put up is named.
const MADE_WITH: &str = "
    WITH RECURSIVE reach (jar, batch) AS (
        SELECT u.jar_id, u.batch_id FROM jar_use u
            JOIN event v ON v.id = u.event_id
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
            WHERE u.jar_id IN (SELECT value FROM json_each(?1))
        UNION SELECT r.jar, u.batch_id FROM reach r
            CROSS JOIN jar j ON j.batch_id = r.batch
            CROSS JOIN jar_use u ON u.jar_id = j.id
            JOIN event v ON v.id = u.event_id
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
        UNION SELECT r.jar, b.id FROM reach r
            CROSS JOIN jar j ON j.batch_id = r.batch
            CROSS JOIN event v ON v.jar_id = j.id AND v.act = 'reprocess'
            JOIN entry n ON n.id = v.entry_id AND n.effective = 1
            JOIN batch b ON b.entry_id = v.entry_id)
    SELECT r.batch AS batch_id, o.year AS made_year, o.number AS made_number, min(r.jar) AS jar_id,
           b.year, b.number AS batch_number, j.number
    FROM reach r
    JOIN batch o ON o.id = r.batch
    JOIN jar j ON j.id = r.jar
    JOIN batch b ON b.id = j.batch_id
    GROUP BY r.batch ORDER BY r.batch";

impl Ledger {
    /// The batches that jars, by their rows, went into.
    pub(in crate::ledger) fn made_with(&self, jars: &[i64]) -> Result<Vec<MadeWith>, LedgerError> {
        if jars.is_empty() {
            return Ok(Vec::new());
        }
        let mut statement = self.conn.prepare_cached(MADE_WITH)?;
        let rows = statement.query_and_then([listed(jars)], |row| {
            Ok(MadeWith {
                batch_id: row.get("batch_id")?,
                batch: BatchCode { year: row.get("made_year")?, number: row.get("made_number")? },
                jar_id: row.get("jar_id")?,
                jar: JarCode { batch: batch_code(row)?, number: row.get("number")? },
            })
        })?;
        rows.collect()
    }

    /// The jars emptied into a batch.
    pub(crate) fn used_in(&self, batch: BatchCode) -> Result<Vec<Jar>, LedgerError> {
        let mut statement = self.conn.prepare_cached(&format!(
            "{JARS} WHERE j.id IN (SELECT u.jar_id FROM jar_use u
                 JOIN event v ON v.id = u.event_id JOIN entry n ON n.id = v.entry_id AND n.effective = 1
                 JOIN batch o ON o.id = u.batch_id WHERE o.year = ?1 AND o.number = ?2)
             ORDER BY b.year, b.number, j.number"
        ))?;
        let jars = statement.query_and_then(params![batch.year, batch.number], Jar::from_row)?;
        jars.collect()
    }
}

impl Write<'_> {
    /// Empties jars into a batch as something that goes into it, begun at `begun`.
    ///
    /// # Errors
    /// [`LedgerError::Illegal`] for a jar that is not sealed, [`LedgerError::Refused`] for one on hold and where the
    /// order of time forbids it.
    pub(crate) fn use_jars(
        &self,
        jars: &[Jar],
        into: BatchCode,
        begun: DateTime<FixedOffset>,
    ) -> Result<(), LedgerError> {
        let particulars = Particulars { why: Some(format!("into batch {into}")), ..Particulars::default() };
        self.act_on(jars, Act::Use, When::At(begun), &particulars)?;
        let batch = self.batch(into)?.id;
        for jar in jars {
            self.conn.execute(
                "INSERT INTO jar_use (event_id, jar_id, batch_id)
                 SELECT max(id), jar_id, ?2 FROM event WHERE jar_id = ?1 AND act = 'use' AND entry_id = ?3",
                params![jar.id, batch, self.entry.0],
            )?;
        }
        Ok(())
    }

    /// Puts the jars of every batch made with these jars on hold, by trace; returns those held now.
    pub(in crate::ledger) fn hold_made_with(&self, jars: &[Jar], why: &str) -> Result<Vec<Jar>, LedgerError> {
        let used: Vec<i64> =
            jars.iter().filter(|jar| jar.state == JarState::Used).map(|jar| jar.id).collect();
        let mut held = Vec::new();
        for made in self.made_with(&used)? {
            let reason = format!("made with {}: {why}", made.jar);
            for mut jar in self.jars_of_batch(made.batch)?.into_iter().filter(|jar| jar.state.is_live()) {
                if !self.is_held_for(&jar, HoldCause::Trace, &reason)? {
                    self.insert_hold_through(jar.id, HoldCause::Trace, &reason, Some(made.jar_id))?;
                    jar.on_hold = true;
                    held.push(jar);
                }
            }
        }
        Ok(held)
    }
}
