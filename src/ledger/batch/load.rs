//! Loads: what each canner-full went through.

use rusqlite::{Row, params};

use crate::ledger::batch::judging::written_findings;
use crate::ledger::batch::load_facts::LoadFacts;
use crate::ledger::error::LedgerError;
use crate::ledger::file::open::Ledger;
use crate::ledger::jar::live::LIVE;
use crate::ledger::schema::row::{batch_code, parsed_opt};
use crate::rules::load::finding::Finding;
use crate::rules::load::verdict::Verdict;
use crate::rules::seal::seal_window::SealWindow;
use crate::values::codes::jar_code::BatchCode;
use crate::values::codes::load_code::LoadCode;
use crate::values::kinds::method::Method;
use crate::values::measures::altitude::Altitude;

/// One canner-full on record. None means "not recorded".
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Load {
    #[serde(skip)]
    pub(in crate::ledger) id: i64,
    /// Its batch and number.
    #[serde(rename = "load")]
    pub code: LoadCode,
    /// The canner.
    pub canner: Option<String>,
    /// Its kind.
    pub method: Option<Method>,
    /// What it went through.
    #[serde(flatten)]
    pub facts: LoadFacts,
    /// The judgement in force; none: never judged.
    pub verdict: Option<Verdict>,
    /// What the judgement found.
    pub findings: Vec<Finding>,
}

/// Columns and joins of a [`Load`]; the caller adds a WHERE on `o` or `b`.
const LOADS: &str = "SELECT o.*, b.year, b.number AS batch_number, c.name AS canner, c.method
     FROM load o
     JOIN batch b ON b.id = o.batch_id
     JOIN entry n ON n.id = b.entry_id AND n.effective = 1
     LEFT JOIN canner c ON c.id = o.canner_id";

impl Load {
    /// When its seals are to be checked.
    pub(crate) const fn seal_window(&self) -> SealWindow {
        SealWindow::after(self.facts.out_at)
    }
}

impl Ledger {
    /// Lists a batch's loads by number.
    pub(crate) fn loads_of_batch(&self, batch: BatchCode) -> Result<Vec<Load>, LedgerError> {
        let mut statement = self
            .conn
            .prepare_cached(&format!("{LOADS} WHERE b.year = ?1 AND b.number = ?2 ORDER BY o.number"))?;
        let loads =
            statement.query_and_then(params![batch.year, batch.number], |row| self.load_from_row(row))?;
        loads.collect()
    }

    /// The loads put up at this height of which a jar is still in the house, oldest first.
    pub(crate) fn loads_put_up_at(&self, altitude: Altitude) -> Result<Vec<LoadCode>, LedgerError> {
        let mut statement = self.conn.prepare(&format!(
            "SELECT b.year, b.number AS batch_number, o.number FROM load o
             JOIN batch b ON b.id = o.batch_id
             JOIN entry n ON n.id = b.entry_id AND n.effective = 1
             WHERE o.altitude = ?1 AND EXISTS (SELECT 1 FROM jar j WHERE j.load_id = o.id AND {LIVE})
             ORDER BY b.year, b.number, o.number"
        ))?;
        let loads = statement.query_and_then([altitude.to_string()], |row| {
            Ok(LoadCode { batch: batch_code(row)?, number: row.get("number")? })
        })?;
        loads.collect()
    }

    /// Finds one load.
    ///
    /// # Errors
    /// [`LedgerError::NotFound`], naming the loads the batch has.
    pub fn load(&self, code: LoadCode) -> Result<Load, LedgerError> {
        let loads = self.loads_of_batch(code.batch)?;
        let count = loads.len();
        loads.into_iter().find(|load| load.code == code).ok_or_else(|| {
            LedgerError::NotFound(match count {
                0 => format!("batch {} has no load on record", code.batch),
                1 => format!("there is no load {code}; batch {0} has one, {0}/1", code.batch),
                count => format!("there is no load {code}; batch {} has loads 1 to {count}", code.batch),
            })
        })
    }

    /// The load a jar came out of, if it is on record.
    pub(in crate::ledger) fn load_of_jar(&self, jar_id: i64) -> Result<Option<Load>, LedgerError> {
        let mut statement = self
            .conn
            .prepare_cached(&format!("{LOADS} WHERE o.id = (SELECT load_id FROM jar WHERE id = ?1)"))?;
        let mut rows = statement.query([jar_id])?;
        rows.next()?.map(|row| self.load_from_row(row)).transpose()
    }

    fn load_from_row(&self, row: &Row<'_>) -> Result<Load, LedgerError> {
        let findings: Option<String> = row.get("findings")?;
        let findings = findings.as_deref().map(written_findings).transpose()?.unwrap_or_default();
        Ok(Load {
            id: row.get("id")?,
            code: LoadCode { batch: batch_code(row)?, number: row.get("number")? },
            canner: row.get("canner")?,
            method: parsed_opt(row, "method")?,
            facts: self.load_facts(row)?,
            verdict: parsed_opt(row, "verdict")?,
            findings,
        })
    }
}
