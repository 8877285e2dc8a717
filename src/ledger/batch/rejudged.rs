//! Many loads checked again, since a gauge test or a process has a bearing on them.

use std::collections::HashMap;

use rusqlite::{Row, params};

use crate::ledger::batch::judging::Judged;
use crate::ledger::batch::judging::{Bench, written_findings};
use crate::ledger::entry::write::{EntryId, Write};
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::schema::row::{batch_code, parsed, parsed_opt};
use crate::ledger::trace::traced::Traced;
use crate::values::codes::jar_code::JarCode;
use crate::values::codes::load_code::LoadCode;

/// What judging loads anew led to.
///
/// They may be all that were ever put up, so only what cannot be read back is kept;
/// [`Ledger::each_rejudged`] hands out the rest.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rejudged {
    /// How many loads were judged.
    pub loads: usize,
    /// How many of them have another verdict than before.
    pub verdicts_changed: usize,
    /// How many jars were put on hold.
    pub held: usize,
    /// The jars let go.
    pub released: Vec<JarCode>,
    /// The jars of the loads that are withheld now and were not before, in the order of a pull sheet.
    pub pulled: Traced,
}

/// What an entry judged, of one load each, and the verdict in force before it.
const JUDGED: &str = "SELECT b.year, b.number AS batch_number, o.number, g.verdict, g.findings,
        (SELECT e.verdict FROM judgement e JOIN entry n ON n.id = e.entry_id AND n.effective = 1
         WHERE e.load_id = g.load_id AND e.id < g.id ORDER BY e.id DESC LIMIT 1) AS was
     FROM judgement g
     JOIN load o ON o.id = g.load_id
     JOIN batch b ON b.id = o.batch_id";

impl Judged {
    /// Reads a row of [`JUDGED`].
    fn from_row(row: &Row<'_>) -> Result<Self, LedgerError> {
        Ok(Self {
            load: LoadCode { batch: batch_code(row)?, number: row.get("number")? },
            was: parsed_opt(row, "was")?,
            verdict: parsed(row, "verdict")?,
            findings: written_findings(&row.get::<_, String>("findings")?)?,
        })
    }
}

impl Ledger {
    /// Hands out the loads whose verdict or findings an entry changed, one by one in the order it judged them.
    ///
    /// # Errors
    /// [`LedgerError`] when the ledger cannot be read, or whatever `each` returns.
    pub(crate) fn each_rejudged<E: From<LedgerError>>(
        &self,
        entry: EntryId,
        mut each: impl FnMut(Judged) -> Result<(), E>,
    ) -> Result<(), E> {
        let prepared = self.conn.prepare(&format!("{JUDGED} WHERE g.entry_id = ?1 ORDER BY g.id"));
        let mut statement = prepared.map_err(LedgerError::from)?;
        for judged in statement.query_and_then([entry.0], Judged::from_row).map_err(LedgerError::from)? {
            each(judged?)?;
        }
        Ok(())
    }

    /// What an entry judged of the loads of some jars, in one line each.
    pub(in crate::ledger) fn judged_of_jars(
        &self,
        jars: &str,
        entry: EntryId,
    ) -> Result<HashMap<LoadCode, String>, LedgerError> {
        // Not by the index of entries: this one may have judged every load there is.
        let mut statement = self.conn.prepare_cached(&format!(
            "{JUDGED} WHERE +g.entry_id = ?2
               AND g.load_id IN (SELECT load_id FROM jar WHERE id IN (SELECT value FROM json_each(?1)))"
        ))?;
        let rows = statement.query_and_then(params![jars, entry.0], |row| {
            let judged = Judged::from_row(row)?;
            Ok((judged.load, judged.line()))
        })?;
        rows.collect()
    }
}

impl Write<'_> {
    /// Judges loads anew, by their rows.
    pub(in crate::ledger) fn rejudge(
        &self,
        loads: impl IntoIterator<Item = i64>,
    ) -> Result<Rejudged, LedgerError> {
        let mut bench = Bench::default();
        let (mut judged, mut verdicts_changed, mut held) = (0, 0, 0);
        let (mut released, mut newly_withheld) = (Vec::new(), Vec::new());
        for load in loads {
            let judging = self.judge_row(load, &mut bench)?;
            judged += 1;
            verdicts_changed += usize::from(judging.judged.is_changed());
            held += judging.held.len();
            if judging.is_newly_withheld() {
                newly_withheld.push(load);
            }
            released.extend(judging.released.iter().map(|jar| jar.code));
        }
        let pulled = self.traced_of_loads(&newly_withheld, self.entry)?;
        Ok(Rejudged { loads: judged, verdicts_changed, held, released, pulled })
    }
}
